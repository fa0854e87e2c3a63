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
        key("left_behind", Kind::Limit(Q::Volume), "Liquid left in the lines by a purge."),
        key("lost", Kind::Limit(Q::Volume), "Liquid lost through tips by a purge."),
    ],
};

pub(super) static START: TableSpec = TableSpec {
    doc: "What lines and tanks hold as the first step starts. A strength is product over label \
          strength.",
    keys: &[
        key("lines_hold", Kind::Quantity(Q::Share, SHARE), "Strength in every line and dead leg.")
            .or("0 %"),
        key(
            "empty",
            Kind::Flag,
            "Whether lines hold air instead, all but those on the suction side.",
        )
        .or("false"),
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
