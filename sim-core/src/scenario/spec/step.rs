//! Steps: what happens, in order.

use super::control::CONTROL;
use super::{Kind, NOT_NEGATIVE, POSITIVE, SHARE, TableSpec, key, positive_up_to};
use crate::units::Quantity as Q;

/// Most parts an order of purging may have.
pub(in crate::scenario) const MOST_PARTS: u32 = 200;

pub(super) static STEP: TableSpec = TableSpec {
    doc: "Something the machine does. Without any step, it sprays with every section open.",
    keys: &[
        key("name", Kind::Text, "Its name; what it does and its number where left out."),
        key(
            "do",
            Kind::Choice(&["spray", "prime", "circulate", "stand", "rinse", "purge"]),
            "Spray; prime (spray until every tip has full strength); circulate to the tank with tips \
             closed; are with the pump at rest; rinse (spray to wash product out); purge (compressed \
             air pushes the liquid in the lines back to the tank, pump at rest, tips closed).",
        )
        .required(),
        key(
            "for",
            Kind::Quantity(Q::Duration, positive_up_to(1e5)),
            "How long it lasts at most (priming: 5 min where left out); without it only the state of \
             flow is asked for, and nothing moves. A purge in parts: all of them together, each as \
             long as the others.",
        ),
        key(
            "until",
            Kind::Choice(&[
                "full strength",
                "rinsed",
                "tank empty",
                "filled",
                "no liquid",
                "receiver down",
                "time",
            ]),
            "What ends it before its time: every running tip (every tip, where none runs) at full \
             concentration, where priming ends unless set otherwise; every running tip at or below \
             `rinsed_to` of [limits]; a tank down to its heel; liquid at every tip of the open \
             sections, where lines held air; or nothing. A purge: no liquid back to a tank for \
             `quiet_for` after some has come; the receiver down to `receiver_at`; or nothing.",
        ),
        key("sections", Kind::Names, "The sections that are open; all where left out."),
        key("shut_tips", Kind::Names, "Tips closed by command while spraying."),
        key("valves", Kind::Openings, "Valves by name and their opening."),
        key("pumps", Kind::Speeds, "Pumps by name and their speed."),
        key(
            "pump",
            Kind::Quantity(Q::Share, positive_up_to(10.0)),
            "Speed of the machine's pump, fixed: nothing is held in this step.",
        ),
        key(
            "hold",
            Kind::AnyOf(&[Q::Pressure, Q::Flow]),
            "What the control holds in this step instead.",
        ),
        key("control", Kind::OneOrMore(&CONTROL), "Controls of this step, instead of [control]."),
        key(
            "ramp",
            Kind::Quantity(Q::Duration, NOT_NEGATIVE),
            "Time over which valves, tips and pumps move to what this step sets.",
        )
        .or("0.2 s"),
        key(
            "delays",
            Kind::Durations,
            "Valves and pumps by name that start to move only after a time.",
        ),
        key("load", Kind::OneOrMore(&LOAD), "What a tank is filled with as the step starts."),
        key(
            "transfer",
            Kind::OneOrMore(&TRANSFER),
            "A flow from tank to tank beside the plumbing, such as a rinse pump's.",
        ),
        key(
            "air",
            Kind::Text,
            "Where the air of a purge enters: an entry of [air]; its first where left out.",
        ),
        key("pulse", Kind::Table(&PULSE), "Air of a purge that comes and goes."),
        key(
            "order",
            Kind::Order,
            "Which sections a purge opens: those of `sections` `\"together\"` or `\"one at a time\"`, or a \
             list of parts that follow each other, each a section or a list of sections, such as \
             `[[\"1\", \"6\"], [\"2\", \"5\"]]`. Each part becomes a step.",
        )
        .or("together"),
        key(
            "each",
            Kind::Quantity(Q::Duration, positive_up_to(1e5)),
            "How long each part of a purge's order lasts at most, instead of `for`.",
        ),
        key(
            "quiet_for",
            Kind::Quantity(Q::Duration, positive_up_to(1e5)),
            "How long no liquid must come back until `\"no liquid\"` ends a purge.",
        )
        .or("3 s"),
        key(
            "receiver_at",
            Kind::Quantity(Q::Pressure, POSITIVE),
            "Pressure of the receiver at which `\"receiver down\"` ends a purge.",
        ),
        key(
            "part",
            Kind::Table(&PART),
            "Which part of an order a purge is: `millstream expand` writes it, you write `order`.",
        ),
        key(
            "repeat",
            Kind::Table(&REPEAT),
            "Steps from a named one up to this one run several times.",
        ),
    ],
};

static LOAD: TableSpec = TableSpec {
    doc: "What a tank is filled with as a step starts: another product is a mix of concentration 0.",
    keys: &[
        key("tank", Kind::Text, "Which tank; the machine's where left out."),
        key("holds", Kind::Quantity(Q::Volume, NOT_NEGATIVE), "Volume it then holds."),
        key("strength", Kind::Quantity(Q::Share, SHARE), "Concentration it then holds.").required(),
    ],
};

static TRANSFER: TableSpec = TableSpec {
    doc: "A flow from one tank to another beside the plumbing while a step lasts.",
    keys: &[
        key("from", Kind::Text, "The tank that gives.").required(),
        key("to", Kind::Text, "The tank that takes; the machine's where left out."),
        key("flow", Kind::Quantity(Q::Flow, POSITIVE), "The flow.").required(),
    ],
};

static PULSE: TableSpec = TableSpec {
    doc: "Air let in for a while and held back for a while, again and again.",
    keys: &[
        key("on", Kind::Quantity(Q::Duration, positive_up_to(1e5)), "Time it blows.").required(),
        key("off", Kind::Quantity(Q::Duration, positive_up_to(1e5)), "Time it is held back.")
            .required(),
    ],
};

static PART: TableSpec = TableSpec {
    doc: "A part of a purge's order.",
    keys: &[
        key("number", Kind::Count { most: MOST_PARTS }, "Which, from 1.").required(),
        key("of", Kind::Count { most: MOST_PARTS }, "How many there are.").required(),
    ],
};

static REPEAT: TableSpec = TableSpec {
    doc: "Runs steps again.",
    keys: &[
        key("from", Kind::Text, "The name of the first of them; this step alone where left out."),
        key("times", Kind::Count { most: 10_000 }, "How often they run in all.").required(),
    ],
};
