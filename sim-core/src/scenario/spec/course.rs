//! What happens and what is asked of it: travel, limits, start, model, steps.

use super::short::CONTROL;
use super::{Kind, NOT_NEGATIVE, POSITIVE, SHARE, TableSpec, bounds, key, positive_up_to};
use crate::units::Quantity as Q;

pub(super) static TRAVEL: TableSpec = TableSpec {
    doc: "Travel over the field.",
    keys: &[
        key("speed", Kind::Quantity(Q::Speed, POSITIVE), "Forward speed.").required(),
        key("rate", Kind::Quantity(Q::ApplicationRate, POSITIVE), "Application rate wanted."),
    ],
};

pub(super) static LIMITS: TableSpec = TableSpec {
    doc: "Limits on the findings: a value, `\"off\"`, or a table of `at_most` and `source`.",
    keys: &[
        key("spread", Kind::Limit(Q::Share), "Spread of tip pressures over the boom."),
        key(
            "section_drop",
            Kind::Limit(Q::Share),
            "Drop from the held gauge to any section's far end.",
        ),
        key(
            "section_balance",
            Kind::Limit(Q::Share),
            "Difference of any section's feed-end pressure from their mean.",
        ),
        key("tip_flow", Kind::Limit(Q::Share), "Deviation of any tip's flow from the mean."),
        key("tip_flow_variation", Kind::Limit(Q::Share), "Coefficient of variation of tip flows."),
        key("velocity", Kind::Limit(Q::Speed), "Velocity in any line of the pressure side."),
        key("suction_velocity", Kind::Limit(Q::Speed), "Velocity in any suction line."),
        key(
            "rate",
            Kind::Limit(Q::Share),
            "Deviation of the application rate from the one wanted.",
        ),
        key(
            "prime_within",
            Kind::Limit(Q::Duration),
            "Time until every running tip has full strength.",
        ),
        key(
            "rinsed_to",
            Kind::Limit(Q::Share),
            "Strength left at any running tip when a rinse ends.",
        ),
    ],
};

pub(super) static START: TableSpec = TableSpec {
    doc: "Strengths at the start of the first step: product over label strength.",
    keys: &[
        key("lines_hold", Kind::Quantity(Q::Share, SHARE), "Strength in every line and dead leg.")
            .or("0 %"),
        key("tanks_hold", Kind::Quantity(Q::Share, SHARE), "Strength in every tank.").or("100 %"),
        key(
            "full_from",
            Kind::Quantity(Q::Share, bounds(Some(0.0), None, Some(1.0))),
            "Strength, as a share of the tank's, from which a tip counts as full.",
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
            Kind::Quantity(Q::Duration, positive_up_to(1.0)),
            "Longest time that contents move at once: halve it to see that nothing hangs on it.",
        )
        .or("0.1 s"),
    ],
};

pub(super) static STEP: TableSpec = TableSpec {
    doc: "Something the machine does. Without any step, it sprays with every section open.",
    keys: &[
        key("name", Kind::Text, "Its name; what it does and its number where left out."),
        key(
            "do",
            Kind::Choice(&["spray", "prime", "circulate", "stand", "rinse"]),
            "Spray; prime (spray until every tip has full strength); circulate to the tank with tips \
             shut; stand with the pump at rest; rinse (spray to wash product out).",
        )
        .required(),
        key(
            "for",
            Kind::Quantity(Q::Duration, positive_up_to(1e5)),
            "How long it lasts at most (priming: 5 min where left out); without it only the state of \
             flow is asked for, and nothing moves.",
        ),
        key(
            "until",
            Kind::Choice(&["full strength", "rinsed", "tank empty", "time"]),
            "What ends it before its time: every running tip (every tip, where none runs) at full \
             strength, where priming ends if not told otherwise; every running tip at or below \
             `rinsed_to` of [limits]; a tank down to its heel; or nothing.",
        ),
        key("sections", Kind::Names, "The sections that are open; all where left out."),
        key("shut_tips", Kind::Names, "Tips shut by command while spraying."),
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
            "repeat",
            Kind::Table(&REPEAT),
            "Steps from a named one up to this one run several times.",
        ),
    ],
};

static LOAD: TableSpec = TableSpec {
    doc: "What a tank is filled with as a step starts: another product is a mix of strength 0.",
    keys: &[
        key("tank", Kind::Text, "Which tank; the machine's where left out."),
        key("holds", Kind::Quantity(Q::Volume, NOT_NEGATIVE), "Volume it then holds."),
        key("strength", Kind::Quantity(Q::Share, SHARE), "Strength it then holds.").required(),
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

static REPEAT: TableSpec = TableSpec {
    doc: "Runs steps again.",
    keys: &[
        key("from", Kind::Text, "The name of the first of them; this step alone where left out."),
        key("times", Kind::Count { most: 10_000 }, "How often they run in all.").required(),
    ],
};
