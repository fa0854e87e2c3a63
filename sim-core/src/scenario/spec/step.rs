//! Steps: what happens, in order.

use super::{Kind, NOT_NEGATIVE, POSITIVE, SHARE, of, positive_up_to};
use crate::units::Quantity as Q;

/// Most parts an order of purging may have.
pub(in crate::scenario) const MOST_PARTS: u32 = 200;

tables! {
    /// Something the machine does. Without any step, it sprays with every section open.
    pub(super) STEP {
        name: Kind::Text, "Its name; what it does and its number where left out.";
        do: Kind::Choice(&["spray", "prime", "circulate", "stand", "rinse", "purge"]), required,
            "Spray; prime (spray until every tip has full strength); circulate to the tank with tips closed; stand \
             with the pump at rest; rinse (spray to wash product out); purge (compressed air pushes the liquid in \
             the lines back to the tank, pump at rest, tips closed).";
        for: of(Q::Duration, positive_up_to(1e5)),
            "How long it lasts at most (priming: 5 min where left out); without it only the state of flow is \
             asked for, and nothing moves. A purge in parts: all of them together, each as long as the others.";
        until: Kind::Choice(&["full strength", "rinsed", "tank empty", "filled", "no liquid", "receiver down", "time"]),
            "What ends it before its time: every running tip (every tip, where none runs) at full concentration, where \
             priming ends unless set otherwise; every running tip at or below `rinsed_to` of [limits]; a tank \
             down to its heel; liquid at every tip of the open sections, where lines held air; or nothing. A \
             purge: no liquid back to a tank for `quiet_for` after some has come; the receiver down to \
             `receiver_at`; or nothing.";
        sections: Kind::Names, "The sections that are open; all where left out.";
        tips: Kind::Names,
            "The tips of each nozzle body that are open, by their positions, such as `[\"A\", \"B\"]`; the one of [tips] where left \
             out.";
        closed_tips: Kind::Names, "Tips closed by command while spraying.";
        valves: Kind::Openings, "Valves by name and their opening.";
        pumps: Kind::Each(Q::Share, 10.0), "Pumps by name and their speed.";
        pump: of(Q::Share, positive_up_to(10.0)), "Speed of the machine's pump, fixed: nothing is held in this step.";
        hold: Kind::AnyOf(&[Q::Pressure, Q::Flow]), "What the control holds in this step instead.";
        control: Kind::OneOrMore(&CONTROL), "Controls of this step, instead of [control].";
        ramp: of(Q::Duration, NOT_NEGATIVE), or "0.2 s",
            "Time over which valves, tips and pumps move to what this step sets.";
        delays: Kind::Each(Q::Duration, 1e5), "Valves and pumps by name that start to move only after a time.";
        load: Kind::OneOrMore(&LOAD), "What a tank is filled with as the step starts.";
        transfer: Kind::OneOrMore(&TRANSFER), "A flow from tank to tank beside the plumbing, such as a rinse pump's.";
        air: Kind::Text, "Where the air of a purge enters: an entry of [air]; its first where left out.";
        pulse: Kind::Table(&PULSE), "Air of a purge that comes and goes.";
        order: Kind::SectionOrder, or "together",
            "Which sections a purge opens: those of `sections` `\"together\"` or `\"one at a time\"`, or a list \
             of parts that follow each other, each a section or a list of sections, such as `[[\"1\", \"6\"], \
             [\"2\", \"5\"]]`. Each part becomes a step.";
        each: of(Q::Duration, positive_up_to(1e5)),
            "How long each part of a purge's order lasts at most, instead of `for`.";
        quiet_for: of(Q::Duration, positive_up_to(1e5)), or "3 s",
            "How long no liquid must come back until `\"no liquid\"` ends a purge.";
        receiver_at: of(Q::Pressure, POSITIVE), "Pressure of the receiver at which `\"receiver down\"` ends a purge.";
        part: Kind::Table(&PART),
            "Which part of an order a purge is: `millstream expand` writes it, you write `order`.";
        repeat: Kind::Table(&REPEAT), "Steps from a named one up to this one run several times.";
    }

    /// What a tank is filled with as a step starts: another product is a mix of concentration 0.
    LOAD {
        tank: Kind::Text, "Which tank; the machine's where left out.";
        holds: of(Q::Volume, NOT_NEGATIVE), "Volume it then holds.";
        concentration: of(Q::Share, SHARE), required, "Concentration it then holds.";
    }

    /// A flow from one tank to another beside the plumbing while a step lasts.
    TRANSFER {
        from: Kind::Text, required, "The tank that gives.";
        to: Kind::Text, "The tank that takes; the machine's where left out.";
        flow: of(Q::Flow, POSITIVE), required, "The flow.";
    }

    /// Air let in for a while and held back for a while, again and again.
    PULSE {
        on: of(Q::Duration, positive_up_to(1e5)), required, "Time it blows.";
        off: of(Q::Duration, positive_up_to(1e5)), required, "Time it is held back.";
    }

    /// A part of a purge's order.
    PART {
        number: Kind::Count { most: MOST_PARTS }, required, "Which, from 1.";
        of: Kind::Count { most: MOST_PARTS }, required, "How many there are.";
    }

    /// Runs steps again.
    REPEAT {
        from: Kind::Text, "The name of the first of them; this step alone where left out.";
        times: Kind::Count { most: 10_000 }, required, "How often they run in all.";
    }

    /// Something held by moving something else.
    pub(super) CONTROL {
        hold: Kind::AnyOf(&[Q::Pressure, Q::Flow]), required, "The pressure or flow to hold.";
        at: Kind::Text,
            "The gauge or node where a pressure is held (gauge `boom` where left out), or the part through which \
             a flow is held (`main` where left out).";
        by: Kind::Text, or "pump speed", "What moves: `pump speed`, `bypass`, or the name of a pump or valve.";
        response: of(Q::Duration, NOT_NEGATIVE), or "0 s",
            "Time constant with which what moves comes to its place after a change; with the step's ramp where 0.";
    }
}
