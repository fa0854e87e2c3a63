//! What is asked of a run: travel, limits, start, model.

use super::{Kind, POSITIVE, SHARE, TableSpec, bounds, key};
use crate::units::Quantity as Q;

pub(super) static TRAVEL: TableSpec = TableSpec {
    doc: "Travel over the field.",
    keys: &[
        key("speed", Kind::Quantity(Q::Speed, POSITIVE), "Forward speed.").required(),
        key("rate", Kind::Quantity(Q::ApplicationRate, POSITIVE), "Application rate wanted."),
    ],
};

pub(super) static START: TableSpec = TableSpec {
    doc: "What lines and tanks hold as the first step starts. A concentration is product over label \
          strength.",
    keys: &[
        key(
            "lines_hold",
            Kind::Quantity(Q::Share, SHARE),
            "Concentration in every line and dead leg.",
        )
        .or("0 %"),
        key(
            "empty",
            Kind::Flag,
            "Whether lines hold air instead, all but those on the suction side.",
        )
        .or("false"),
        key("tanks_hold", Kind::Quantity(Q::Share, SHARE), "Concentration in every tank.")
            .or("100 %"),
        key(
            "full_from",
            Kind::Quantity(Q::Share, bounds(Some(0.0), None, Some(1.0))),
            "Concentration, as a share of the tank's, from which a tip counts as full.",
        )
        .or("95 %"),
    ],
};

pub(super) static MODEL: TableSpec = TableSpec {
    doc: "Choices of the model, to see what each does.",
    keys: &[
        key(
            "velocity_head",
            Kind::Flag,
            "Whether velocity head, and what follows from it at tips and tees, is counted.",
        )
        .or("true"),
        key("dispersion", Kind::Flag, "Whether fronts spread by turbulent dispersion.").or("true"),
        key(
            "laminar_tail",
            Kind::Flag,
            "Whether the parabolic profile of laminar lines holds old liquid back.",
        )
        .or("true"),
        key(
            "longest_move",
            Kind::Quantity(Q::Duration, bounds(None, Some(1e-3), Some(1.0))),
            "Longest time that contents move at once: halve it to see that nothing hangs on it.",
        )
        .or("0.1 s"),
        key(
            "holdup",
            Kind::Flag,
            "Whether a front of air leaves liquid behind, which the air then drags along.",
        )
        .or("true"),
    ],
};
