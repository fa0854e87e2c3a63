//! The long form: any network, one named table a thing.

use super::shared::{
    AT, BODY_KV, BORE, CHARACTERISTIC, CURVE, DISCHARGE, DUTY, EFFICIENCY, HEEL, KV, LENGTH,
    LOSSES, MATERIAL, NPSH, OPEN_LOSS, OPENING, OPENS_AT, POINTS, RANGEABILITY, RATING, RESEATS_AT,
    ROUGHNESS, SAG, SHUT_OFF, SIZE, SPEED, TANK_CONCENTRATION, TEST_DENSITY, TIP_FLOW,
    TIP_OPENS_AT, TOP_SPEED, WEAR, WINDOW,
};
use super::{ANY, Key, Kind, NOT_NEGATIVE, TableSpec, bounds, key};
use crate::units::Quantity as Q;

const FROM: Key = key("from", Kind::Text, "Node where a positive flow enters.").required();
const TO: Key = key("to", Kind::Text, "Node where a positive flow leaves.").required();
const SIDE: Key = key(
    "side",
    Kind::Choice(&["suction", "feed", "boom", "return", "tank", "other"]),
    "Which stretch of the machine it belongs to.",
)
.or("other");
const SECTION: Key = key("section", Kind::Text, "The section it serves.");

pub(super) static NODE: TableSpec = TableSpec {
    doc: "A point where lines and parts meet. Nodes with nothing to say may be left out.",
    keys: &[
        key("elevation", Kind::Quantity(Q::Length, ANY), "Height above the level boom.").or("0 m"),
        key(
            "x",
            Kind::Quantity(Q::Length, ANY),
            "Position along the boom, to the right of the centre.",
        ),
        key("tank", Kind::Text, "The tank it opens into."),
    ],
};

pub(super) static LONG_LINE: TableSpec = TableSpec {
    doc: "A pipe, tube or hose between two nodes.",
    keys: &[
        FROM,
        TO,
        BORE,
        Key { required: true, doc: "Length.", ..LENGTH },
        LOSSES,
        MATERIAL,
        ROUGHNESS,
        RATING,
        SAG,
        key(
            "holds",
            Kind::Contents,
            "What it holds at the start instead of what [start] says: `\"air\"`, or a concentration.",
        ),
        key(
            "friction",
            Kind::Number(bounds(None, Some(0.0), Some(10.0))),
            "Darcy friction factor to use instead of the calculated one.",
        ),
        SIDE,
        SECTION,
    ],
};

pub(super) static LONG_VALVE: TableSpec = TableSpec {
    doc: "A valve between two nodes.",
    keys: &[FROM, TO, KV, OPENING, CHARACTERISTIC, RANGEABILITY, SIDE, SECTION],
};

pub(super) static CHECK_VALVE: TableSpec = TableSpec {
    doc: "A check or relief valve between two nodes.",
    keys: &[FROM, TO, KV, OPENS_AT, SIDE, SECTION],
};

pub(super) static STRAINER: TableSpec =
    TableSpec { doc: "A strainer between two nodes.", keys: &[FROM, TO, KV, SIDE, SECTION] };

pub(super) static METER: TableSpec =
    TableSpec { doc: "A flow meter between two nodes.", keys: &[FROM, TO, KV, SIDE, SECTION] };

pub(super) static ORIFICE: TableSpec = TableSpec {
    doc: "An orifice or jet between two nodes.",
    keys: &[FROM, TO, BORE, DISCHARGE, SIDE, SECTION],
};

pub(super) static LONG_PUMP: TableSpec = TableSpec {
    doc: "A pump between two nodes.",
    keys: &[
        FROM,
        TO,
        CURVE,
        POINTS,
        TEST_DENSITY,
        SPEED,
        TOP_SPEED,
        EFFICIENCY,
        NPSH,
        SIDE,
        SECTION,
    ],
};

pub(super) static LONG_TIP: TableSpec = TableSpec {
    doc: "A tip at a node.",
    keys: &[
        key("node", Kind::Text, "Where its body draws from.").required(),
        SECTION,
        key(
            "x",
            Kind::Quantity(Q::Length, ANY),
            "Position along the boom; its node's where left out.",
        ),
        SIZE,
        TIP_FLOW,
        AT,
        BODY_KV,
        SHUT_OFF,
        TIP_OPENS_AT,
        RESEATS_AT,
        OPEN_LOSS,
        DUTY,
        WEAR,
        WINDOW,
    ],
};

pub(super) static LONG_TANK: TableSpec = TableSpec {
    doc: "A tank; nodes open into it by its name.",
    keys: &[
        key(
            "surface",
            Kind::Quantity(Q::Length, ANY),
            "Height of the liquid surface above the level boom.",
        )
        .required(),
        key("capacity", Kind::Quantity(Q::Volume, NOT_NEGATIVE), "Nominal volume."),
        key("holds", Kind::Quantity(Q::Volume, NOT_NEGATIVE), "Volume held at the start."),
        HEEL,
        TANK_CONCENTRATION,
    ],
};

pub(super) static GAUGE: TableSpec = TableSpec {
    doc: "A pressure gauge; it reads static pressure.",
    keys: &[key("node", Kind::Text, "Where it is screwed in.").required()],
};

pub(super) static TEE: TableSpec = TableSpec {
    doc: "A tee of equal bores whose losses follow the split of flow.",
    keys: &[
        key("node", Kind::Text, "Where its three lines meet.").required(),
        key("run", Kind::Names, "The two lines in one line with each other.").required(),
        key("side_arm", Kind::Text, "The line, or part, at a right angle.").required(),
    ],
};

pub(super) static BOOM_SECTION: TableSpec = TableSpec {
    doc: "A section of a long-form boom; tips and lines name it.",
    keys: &[
        key("valve", Kind::Text, "The valve that opens and closes it."),
        key("feed_end", Kind::Text, "The node where its tube is fed."),
        key("far_ends", Kind::Names, "The nodes of its tube farthest from the feed."),
    ],
};

pub(super) static ROLES: TableSpec = TableSpec {
    doc: "Which part of the machine plays which role. The short form knows; here a long form says, or a part of the short \
          form is replaced.",
    keys: &[
        key(
            "pump",
            Kind::Text,
            "The pump that `pump` of a step sets and `pump speed` moves; the first one where left out.",
        ),
        key(
            "main",
            Kind::Text,
            "The line that feeds the boom, through which a flow is held where a control says nothing else; the line or part \
             `main` where left out.",
        ),
        key(
            "header",
            Kind::Text,
            "The node where the section valves meet; where the first section's valve starts where left out.",
        ),
        key(
            "gauge",
            Kind::Text,
            "The gauge or node where a pressure is held where a control says nothing else; `boom` where left out.",
        ),
        key(
            "bypass",
            Kind::Text,
            "The valve from pump outlet to tank that `bypass` moves; the valve of that name where left out.",
        ),
        key(
            "return_valve",
            Kind::Text,
            "The recirculation valve: a step that circulates, or purges, opens it and any other closes it, unless `valves` \
             of the step says otherwise. Without it steps of a long form leave valves as they are; states of readings \
             take the valve `return-valve`.",
        ),
        key("return_header", Kind::Text, "The node where the return hoses meet."),
        key(
            "air_inlet",
            Kind::Text,
            "The node where the air of a purge enters unless the step says otherwise; the first entry of [air] where left \
             out.",
        ),
        key(
            "back_valve",
            Kind::Text,
            "The valve to the tank that a purge with air from `return_header` opens, in place of `return_valve`.",
        ),
        key(
            "tank",
            Kind::Text,
            "The tank that a load or transfer means where it names none; `tank`, or the only one, where left out.",
        ),
    ],
};

/// Kinds of branch in the long form: key of the file, and whether it stands inside a short table.
pub(in crate::scenario) const LONG: [&str; 7] =
    ["line", "valve", "check_valve", "strainer", "meter", "orifice", "pump"];
