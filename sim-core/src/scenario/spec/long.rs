//! The long form: any network, one named table a thing.

use super::shared::{
    BODY, BORE, DISCHARGE, GIVEN_LENGTH, KV, MOVES, OPENS_AT, PUMP_CURVE, RATED, TANK_HOLDS,
    TIP_ITSELF, WALL,
};
use super::{ANY, Kind, NOT_NEGATIVE, bounds, of};
use crate::units::Quantity as Q;

/// Kinds of branch in the long form, by their keys of the file.
pub(in crate::scenario) const LONG: [&str; 7] =
    ["line", "valve", "check_valve", "strainer", "meter", "orifice", "pump"];

shared_keys! {
    /// Between which nodes a line or part is.
    ENDS {
        from: Kind::Text, required, "Node where a positive flow enters.";
        to: Kind::Text, required, "Node where a positive flow leaves.";
    }

    /// Which side of the machine it is on.
    ON_SIDE {
        side: Kind::Choice(&["suction", "feed", "boom", "return", "tank", "other"]), or "other",
            "Which stretch of the machine it belongs to.";
    }

    /// The section of a line, part or tip.
    OF_SECTION {
        section: Kind::Text, "The section it serves.";
    }
}

tables! {
    /// A point where lines and parts meet. Nodes with nothing to say may be left out.
    pub(super) NODE {
        elevation: of(Q::Length, ANY), or "0 m", "Height above the level boom.";
        x: of(Q::Length, ANY), "Position along the boom, to the right of the centre.";
        tank: Kind::Text, "The tank it opens into.";
        pressure: of(Q::Pressure, NOT_NEGATIVE),
            "Pressure that something beyond this network keeps there, whatever flows, velocity head included: as if it opened into \
             an endless tank of its own with that much liquid over it, which holds `tanks_hold` of [start].";
    }

    /// A pipe, tube or hose between two nodes.
    pub(super) LONG_LINE {
        ..ENDS, BORE, GIVEN_LENGTH, WALL;
        holds: Kind::Contents, "What it holds at the start instead of what [start] says: `\"air\"`, or a concentration.";
        air_pressure: of(Q::Pressure, NOT_NEGATIVE),
            "Pressure of the air it holds at the start, beside `holds = \"air\"`; that of the surroundings where left out.";
        friction: Kind::Number(bounds(None, Some(0.0), Some(10.0))),
            "Darcy friction factor to use instead of the calculated one.";
        ..ON_SIDE, OF_SECTION;
    }

    /// A valve between two nodes.
    pub(super) LONG_VALVE {
        ..ENDS, KV, MOVES, ON_SIDE, OF_SECTION;
    }

    /// A check or relief valve between two nodes.
    pub(super) CHECK_VALVE {
        ..ENDS, KV, OPENS_AT, ON_SIDE, OF_SECTION;
    }

    /// A strainer between two nodes.
    pub(super) STRAINER {
        ..ENDS, KV, ON_SIDE, OF_SECTION;
    }

    /// A flow meter between two nodes.
    pub(super) METER {
        ..ENDS, KV, ON_SIDE, OF_SECTION;
    }

    /// An orifice or jet between two nodes.
    pub(super) ORIFICE {
        ..ENDS, BORE, DISCHARGE, ON_SIDE, OF_SECTION;
    }

    /// A pump between two nodes.
    pub(super) LONG_PUMP {
        ..ENDS, PUMP_CURVE, ON_SIDE, OF_SECTION;
    }

    /// A tip at a node.
    pub(super) LONG_TIP {
        node: Kind::Text, required, "Where its body draws from.";
        ..OF_SECTION;
        x: of(Q::Length, ANY), "Position along the boom; its node's where left out.";
        ..RATED, BODY, TIP_ITSELF;
        position: Kind::Text, "Which of the tips of its nozzle body it is, where that carries several.";
        in_use: Kind::Flag, or "true", "Whether it is open where a step sprays and names no positions by `tips`.";
    }

    /// A tank; nodes open into it by its name.
    pub(super) LONG_TANK {
        surface: of(Q::Length, ANY), required, "Height of the liquid surface above the level boom.";
        capacity: of(Q::Volume, NOT_NEGATIVE), "Nominal volume.";
        holds: of(Q::Volume, NOT_NEGATIVE), "Volume held at the start.";
        ..TANK_HOLDS;
    }

    /// A pressure gauge; it reads static pressure.
    pub(super) GAUGE {
        node: Kind::Text, required, "Where it is screwed in.";
    }

    /// A tee of equal bores whose losses follow the split of flow.
    pub(super) TEE {
        node: Kind::Text, required, "Where its three lines meet.";
        run: Kind::Names, required, "The two lines in one line with each other.";
        side_branch: Kind::Text, required, "The line, or part, at a right angle.";
    }

    /// A section of a long-form boom; tips and lines name it.
    pub(super) BOOM_SECTION {
        valve: Kind::Text, "The valve that opens and closes it.";
        feed_end: Kind::Text, "The node where its tube is fed.";
        far_ends: Kind::Names, "The nodes of its tube farthest from the feed.";
    }

    /// Which part of the machine plays which role. The short form knows; here a long form says, or a part of the short
    /// form is replaced.
    pub(super) ROLES {
        pump: Kind::Text, "The pump that `pump` of a step sets and `pump speed` moves; the first one where left out.";
        main: Kind::Text,
            "The line that feeds the boom, through which a flow is held where a control says nothing else; the \
             line or part `main` where left out.";
        header: Kind::Text,
            "The node where the section valves meet; where the first section's valve starts where left out.";
        gauge: Kind::Text,
            "The gauge or node where a pressure is held where a control says nothing else; `boom` where left out.";
        bypass: Kind::Text,
            "The valve from pump outlet to tank that `bypass` moves; the valve of that name where left out.";
        return_valve: Kind::Text,
            "The recirculation valve: a step that circulates, or purges, opens it and any other closes it, unless \
             `valves` of the step says otherwise. Without it steps of a long form leave valves as they are; \
             states of readings take the valve `return-valve`.";
        return_header: Kind::Text, "The node where the return hoses meet.";
        air_inlet: Kind::Text,
            "The node where the air of a purge enters unless the step says otherwise; the first entry of [air] \
             where left out.";
        back_valve: Kind::Text,
            "The valve to the tank that a purge with air from `return_header` opens, in place of `return_valve`.";
        tank: Kind::Text,
            "The tank that a load or transfer means where it names none; `tank`, or the only one, where left out.";
    }
}
