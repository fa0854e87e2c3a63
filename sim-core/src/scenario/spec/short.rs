//! The short form: a boom machine as its user knows it.

use super::air::AIR;
use super::course::{LIQUID, MODEL, PROBE, PRODUCT, RECORD, START, TRAVEL};
use super::limits::LIMITS;
use super::long::{
    BOOM_SECTION, CHECK_VALVE, GAUGE, LONG_LINE, LONG_PUMP, LONG_TANK, LONG_TIP, LONG_VALVE, METER,
    NODE, ORIFICE, ROLES, STRAINER, TEE,
};
use super::shared::{
    BODY, DISCHARGE, KV, LINE, PUMP_CURVE, RATED, RESTRICTION, TANK_HOLDS, TIP_ITSELF, VALVE,
};
use super::step::{CONTROL, STEP};
use super::{ANY, Kind, NOT_NEGATIVE, POSITIVE, bounds, of, positive_up_to};
use crate::units::{Quantity as Q, UnitSystem};

const FEEDS: &[&str] = &["one end", "centre"];
const ENDS: &[&str] = &["outer", "inner", "left", "right"];

tables! {
    /// A scenario: a machine's plumbing, its liquid, what happens, and what is demanded.
    pub(in crate::scenario) TOP {
        title: Kind::Text, or "untitled", "What the scenario is called.";
        about: Kind::Text, "What it shows.";
        units: Kind::Choice(&UnitSystem::NAMES), or "si",
            "The units that text, pages and tables show: `\"si\"` (bar, L/min, L, mm, m) or `\"us\"` (psi, gal/min, gal, in, ft); \
             values may be written in any. The option `--units` outweighs it.";
        liquid: Kind::Table(&LIQUID), "The liquid.";
        product: Kind::Table(&PRODUCT), "The product in the tank mix.";
        tank: Kind::TableAndNamed(&TANK, &LONG_TANK), "The tank.";
        pump: Kind::TableAndNamed(&PUMP, &LONG_PUMP), "The pump.";
        control: Kind::OneOrMore(&CONTROL), "What is held, and by what.";
        boom: Kind::Table(&BOOM), "The boom.";
        supply: Kind::Table(&SUPPLY), "Pump to sections.";
        return_path: Kind::Table(&RETURN_PATH), "Section ends back to the tank.";
        tips: Kind::Table(&TIPS), "The tips.";
        section: Kind::List(&SECTION), "Sections, left to right.";
        air: Kind::Table(&AIR), "Compressed air for purging.";
        travel: Kind::Table(&TRAVEL), "Travel over the field.";
        limits: Kind::Table(&LIMITS), "What is demanded of the findings.";
        start: Kind::Table(&START), "What lines and tanks hold at the start.";
        model: Kind::Table(&MODEL), "Choices of the model.";
        record: Kind::Table(&RECORD), "What the table over time has.";
        probe: Kind::Named(&PROBE), "Places to watch over time.";
        step: Kind::List(&STEP), "What happens, in order.";
        node: Kind::Named(&NODE), "Points of the network.";
        line: Kind::Named(&LONG_LINE), "Pipes, tubes and hoses.";
        valve: Kind::Named(&LONG_VALVE), "Valves.";
        check_valve: Kind::Named(&CHECK_VALVE), "Check and relief valves.";
        strainer: Kind::Named(&STRAINER), "Strainers.";
        meter: Kind::Named(&METER), "Flow meters.";
        orifice: Kind::Named(&ORIFICE), "Orifices and jets.";
        tip: Kind::Named(&LONG_TIP), "Tips.";
        gauge: Kind::Named(&GAUGE), "Pressure gauges.";
        tee: Kind::Named(&TEE), "Tees whose losses follow the split of flow.";
        boom_section: Kind::Named(&BOOM_SECTION), "Sections of a long-form boom.";
        roles: Kind::Table(&ROLES), "Which part plays which role.";
    }

    /// The tank of a short-form machine.
    TANK {
        capacity: of(Q::Volume, POSITIVE), "Nominal volume.";
        holds: of(Q::Volume, NOT_NEGATIVE), "Volume held at the start.";
        ..TANK_HOLDS;
        surface_above_boom: of(Q::Length, ANY), or "0.5 m", "Height of the liquid surface above the level boom.";
        inlet_above_boom: of(Q::Length, ANY),
            "Height at which return, bypass and agitation enter; at the surface where left out.";
    }

    /// The pump of a short-form machine: a curve at full speed, in a file or as points.
    PUMP {
        ..PUMP_CURVE;
        above_boom: of(Q::Length, ANY), or "0 m", "Height of the pump above the level boom (negative below).";
        suction: Kind::Table(&LINE), required, "The line from tank to pump.";
        suction_strainer: Kind::Table(&RESTRICTION), "The suction strainer, if fitted.";
    }

    /// The boom of a short-form machine, and what its sections share.
    BOOM {
        width: of(Q::Length, positive_up_to(1e5)), required, "Width of the boom.";
        spacing: of(Q::Length, positive_up_to(100.0)), or "0.5 m", "Distance between tips.";
        roll: of(Q::Angle, bounds(None, Some(-0.8), Some(0.8))), or "0 deg",
            "Roll of the boom; positive lifts the right end.";
        feed: Kind::Choice(FEEDS), or "one end", "Where each section's tube is fed.";
        feed_end: Kind::Choice(ENDS), or "outer", "Which end, where it is fed at one: `\"outer\"` is away from the machine's centre, `\"inner\"` towards it. A section \
             whose middle is at the centre or right of it counts as a right one: one that crosses the centre evenly is fed at \
             its right by `\"outer\"`, at its left by `\"inner\"`; `\"left\"` and `\"right\"` say it outright.";
        return: Kind::Flag, or "false", "Whether the tubes' far ends return to the tank.";
        tube: Kind::Table(&LINE), required, "The tube that carries the tips.";
        stub: of(Q::Length, NOT_NEGATIVE), or "60 mm",
            "Capped tube beyond the last tip of an end that is neither fed nor returned.";
        lead: of(Q::Length, POSITIVE),
            "Tube between a fed or returned end and its first tip; half a spacing where left out.";
        body_losses: Kind::Number(NOT_NEGATIVE), or "0", "Loss coefficient of one nozzle body's stem in the tube.";
        sections: Kind::Count { most: 100_000 }, "Number of equal sections, instead of one [[section]] each.";
        tips: Kind::Counts { most: 100_000 },
            "Tips of each section, left to right, such as `[5, 6, 6, 5]`: instead of `sections` and `tips_per_section`, or one \
             [[section]] each.";
        tips_per_section: Kind::Count { most: 100_000 }, "Tips of each equal section.";
    }

    /// Pump to sections, and what leads back to the tank ahead of them.
    SUPPLY {
        main: Kind::Table(&LINE), required, "Pump to header.";
        hose: Kind::Table(&LINE), required, "Header to each section's tube.";
        hose_extra: of(Q::Length, NOT_NEGATIVE), or "0.5 m", "Added to every hose length taken from geometry.";
        strainer: Kind::Table(&RESTRICTION), "Pressure strainer ahead of the main, if fitted.";
        meter: Kind::Table(&RESTRICTION), "Flow meter ahead of the main, if fitted.";
        section_valve: Kind::Table(&VALVE), required, "The valve of each section at the header.";
        agitation: Kind::Table(&AGITATION), "The jet that stirs the tank, if fitted.";
        bypass: Kind::Table(&VALVE), "The valve from pump outlet to tank, if fitted.";
        relief: Kind::Table(&RELIEF), "The relief valve from pump outlet to tank, if fitted.";
    }

    /// A jet from pump outlet to tank.
    AGITATION {
        orifice: of(Q::Bore, positive_up_to(1.0)), required, "Diameter of its hole.";
        ..DISCHARGE;
    }

    /// A relief valve.
    RELIEF {
        opens_at: of(Q::Pressure, POSITIVE), required, "Pressure at which it opens.";
        ..KV;
    }

    /// Section ends back to the tank.
    RETURN_PATH {
        hose: Kind::Table(&LINE), required, "Each tube's far end to the return header.";
        main: Kind::Table(&LINE), required, "Return header to tank.";
        valve: Kind::Table(&VALVE), required, "The recirculation valve.";
    }

    /// The tips of a short-form machine.
    TIPS {
        ..RATED, BODY, TIP_ITSELF;
        position: Kind::Text, or "A",
            "Which of the tips of each nozzle body these are, where it carries several: they are open unless a step names others.";
        beside: Kind::List(&BESIDE), "Further tips of each nozzle body.";
    }

    /// Further tips, one in each nozzle body beside those of [tips], closed unless a step opens them by `tips`. A body's
    /// further tip is called like its first and its position: `1-01-B`. Shut-off, duty and body are those of [tips].
    BESIDE {
        position: Kind::Text, required, "What steps call it.";
        ..RATED, TIP_ITSELF;
    }

    /// One section; whatever it leaves out is as [boom], [supply], [return_path] and [tips] say.
    SECTION {
        name: Kind::Text, "Its name; its number from the left where left out.";
        tips: Kind::Count { most: 100_000 }, required, "Number of tips.";
        spacing: of(Q::Length, positive_up_to(100.0)), "Distance between its tips.";
        feed: Kind::Choice(FEEDS), "Where its tube is fed.";
        feed_end: Kind::Choice(ENDS), "Which end, where it is fed at one, as in [boom].";
        return: Kind::Flag, "Whether its far end returns to the tank.";
        tube: Kind::Override(&LINE), "Its tube.";
        stub: of(Q::Length, NOT_NEGATIVE), "Capped tube beyond its last tip.";
        lead: of(Q::Length, POSITIVE), "Tube between a fed or returned end and its first tip.";
        body_losses: Kind::Number(NOT_NEGATIVE), "Loss coefficient of one nozzle body's stem.";
        hose: Kind::Override(&LINE), "Its hose from the header.";
        valve: Kind::Override(&VALVE), "Its valve.";
        return_hose: Kind::Override(&LINE), "Its hose to the return header.";
        tip: Kind::Override(&TIPS), "Its tips, where they differ.";
    }
}
