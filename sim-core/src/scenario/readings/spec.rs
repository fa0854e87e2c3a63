//! The format of a readings file and of an overlay file, as data.

use super::super::spec::{Bounds, Key, Kind, TableSpec};
use crate::units::Quantity as Q;

const fn bounds(above: Option<f64>, least: Option<f64>, most: Option<f64>) -> Bounds {
    Bounds { above, least, most }
}

const fn key(name: &'static str, kind: Kind, doc: &'static str) -> Key {
    Key { name, kind, required: false, default: None, doc }
}

const fn required(name: &'static str, kind: Kind, doc: &'static str) -> Key {
    Key { name, kind, required: true, default: None, doc }
}

const fn or(name: &'static str, kind: Kind, default: &'static str, doc: &'static str) -> Key {
    Key { name, kind, required: false, default: Some(default), doc }
}

/// A share that says how good a reading is.
const GOOD_TO: Kind = Kind::Quantity(Q::Share, bounds(Some(0.0), None, Some(0.5)));

pub(super) static READINGS: TableSpec = TableSpec {
    doc: "Readings taken at a machine.",
    keys: &[
        or("title", Kind::Text, "readings", "What they are called."),
        key("accuracy", Kind::Table(&ACCURACY), "How far readings of each kind may be off."),
        key("state", Kind::List(&STATE), "A state of the machine and what was read in it."),
    ],
};

// What a careful technician reaches with a test gauge, a jug and a watch: common practice, no source.
pub(super) static ACCURACY: TableSpec = TableSpec {
    doc: "How far readings may be off, as one standard deviation.",
    keys: &[
        or("gauge", GOOD_TO, "2 %", "Gauges."),
        or("catch", GOOD_TO, "2 %", "Catch tests."),
        or("meter", GOOD_TO, "2 %", "Flow meters."),
        or("speed", GOOD_TO, "1 %", "Pump speeds."),
        or(
            "model",
            Kind::Quantity(Q::Share, bounds(None, Some(0.0), Some(0.5))),
            "1 %",
            "The model of the healthy machine.",
        ),
    ],
};

pub(super) static STATE: TableSpec = TableSpec {
    doc: "A state of the machine and what was read in it.",
    keys: &[
        key("name", Kind::Text, "Its name."),
        or("do", Kind::Choice(&["spray", "circulate"]), "spray", "What the machine does."),
        key("sections", Kind::Names, "The sections that are open; all where left out."),
        key("shut_tips", Kind::Names, "Tips that are closed."),
        key("valves", Kind::Openings, "Valves by name and their opening."),
        key("pumps", Kind::Speeds, "Pumps by name and their speed."),
        key(
            "pump",
            Kind::Quantity(Q::Share, bounds(Some(0.0), None, Some(10.0))),
            "Speed of the pump, fixed: nothing is held.",
        ),
        key(
            "hold",
            Kind::AnyOf(&[Q::Pressure, Q::Flow]),
            "What the machine's own gauge (or meter) shows where the control holds it.",
        ),
        key("gauge", Kind::List(&GAUGE), "A pressure read."),
        key("catch", Kind::List(&CATCH), "A catch test."),
        key("meter", Kind::List(&METER), "A flow meter read."),
        key("speed", Kind::List(&SPEED), "A pump's speed read."),
    ],
};

static GAUGE: TableSpec = TableSpec {
    doc: "A pressure read.",
    keys: &[
        required(
            "at",
            Kind::Text,
            "A gauge of the machine (`boom`, `pump`), or where a test gauge sat: a node, a tip or \
             `section NAME feed end`, `... far end`, `... left end`, `... right end`.",
        ),
        required(
            "reads",
            Kind::Quantity(Q::Pressure, bounds(Some(-1e5), None, Some(1e8))),
            "The pressure; negative before the pump.",
        ),
        key("accuracy", Kind::AnyOf(&[Q::Share, Q::Pressure]), "How far it may be off."),
    ],
};

static CATCH: TableSpec = TableSpec {
    doc: "A catch test: volume and time, or flow.",
    keys: &[
        required("tip", Kind::Text, "The tip."),
        key(
            "volume",
            Kind::Quantity(Q::Volume, bounds(None, Some(0.0), Some(1.0))),
            "What was caught.",
        ),
        key(
            "time",
            Kind::Quantity(Q::Duration, bounds(Some(0.0), None, Some(3600.0))),
            "How long it was caught.",
        ),
        key(
            "flow",
            Kind::Quantity(Q::Flow, bounds(None, Some(0.0), Some(1.0))),
            "The flow, instead of volume and time.",
        ),
        key("accuracy", Kind::AnyOf(&[Q::Share, Q::Flow]), "How far it may be off."),
    ],
};

static METER: TableSpec = TableSpec {
    doc: "A flow meter read.",
    keys: &[
        or("at", Kind::Text, "meter", "The meter."),
        required(
            "reads",
            Kind::Quantity(Q::Flow, bounds(None, Some(0.0), Some(1.0))),
            "The flow it shows.",
        ),
        key("accuracy", Kind::AnyOf(&[Q::Share, Q::Flow]), "How far it may be off."),
    ],
};

static SPEED: TableSpec = TableSpec {
    doc: "A pump's speed read.",
    keys: &[
        or("at", Kind::Text, "pump", "The pump."),
        required(
            "reads",
            Kind::Quantity(Q::Share, bounds(Some(0.0), None, Some(10.0))),
            "The speed shown, as a share of the speed of the pump's curve.",
        ),
        key(
            "accuracy",
            Kind::Quantity(Q::Share, bounds(Some(0.0), None, Some(0.5))),
            "How far it may be off.",
        ),
    ],
};

const FACTOR: Kind = Kind::Number(bounds(Some(0.0), None, Some(100.0)));

pub(super) static OVERLAY: TableSpec = TableSpec {
    doc: "Factors on what a scenario says of a healthy machine, found from readings of it.",
    keys: &[
        or("roughness", FACTOR, "1", "On the wall roughness of every line."),
        or("suction_losses", FACTOR, "1", "On loss coefficients from tank to pump."),
        or("main_losses", FACTOR, "1", "On loss coefficients from pump to header."),
        or("hose_losses", FACTOR, "1", "On loss coefficients of the section hoses."),
        or("return_losses", FACTOR, "1", "On loss coefficients of the return lines."),
        or("part_losses", FACTOR, "1", "On the loss of valves, strainers and flow meters."),
    ],
};
