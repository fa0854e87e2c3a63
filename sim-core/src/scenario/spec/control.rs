//! What is held.

use super::{Kind, NOT_NEGATIVE, TableSpec, key};
use crate::units::Quantity as Q;

pub(super) static CONTROL: TableSpec = TableSpec {
    doc: "Something held by moving something else.",
    keys: &[
        key("hold", Kind::AnyOf(&[Q::Pressure, Q::Flow]), "The pressure or flow to hold.")
            .required(),
        key(
            "at",
            Kind::Text,
            "The gauge or node where a pressure is held (gauge `boom` where left out), or the part \
             through which a flow is held (`main` where left out).",
        ),
        key(
            "by",
            Kind::Text,
            "What moves: `pump speed`, `bypass`, or the name of a pump or valve.",
        )
        .or("pump speed"),
        key(
            "response",
            Kind::Quantity(Q::Duration, NOT_NEGATIVE),
            "Time constant with which what moves comes to its place after a change; with the step's \
             ramp where 0.",
        )
        .or("0 s"),
    ],
};
