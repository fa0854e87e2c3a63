//! The short form: a boom machine as its user knows it.

use super::air::AIR;
use super::control::CONTROL;
use super::course::{MODEL, START, TRAVEL};
use super::limits::LIMITS;
use super::liquid::{LIQUID, PRODUCT};
use super::long::{
    BOOM_SECTION, CHECK_VALVE, GAUGE, LONG_LINE, LONG_PUMP, LONG_TANK, LONG_TIP, LONG_VALVE, METER,
    NODE, ORIFICE, ROLES, STRAINER, TEE,
};
use super::shared::{
    AT, BODY_KV, CURVE, DISCHARGE, DUTY, EFFICIENCY, HEEL, KV, LINE, NPSH, OPEN_LOSS, POINTS,
    RESEATS_AT, RESTRICTION, SHUT_OFF, SIZE, SPEED, TANK_CONCENTRATION, TEST_DENSITY, TIP_FLOW,
    TIP_OPENS_AT, TOP_SPEED, VALVE, WEAR, WINDOW,
};
use super::step::STEP;
use super::{ANY, Kind, NOT_NEGATIVE, POSITIVE, TableSpec, bounds, key, positive_up_to};
use crate::units::Quantity as Q;

/// The whole file.
pub(in crate::scenario) static TOP: TableSpec = TableSpec {
    doc: "A scenario: a machine's plumbing, its liquid, what happens, and what is demanded.",
    keys: &[
        key("title", Kind::Text, "What the scenario is called.").or("untitled"),
        key("about", Kind::Text, "What it shows."),
        key("liquid", Kind::Table(&LIQUID), "The liquid."),
        key("product", Kind::Table(&PRODUCT), "The product in the tank mix."),
        key("tank", Kind::TableAndNamed(&TANK, &LONG_TANK), "The tank."),
        key("pump", Kind::TableAndNamed(&PUMP, &LONG_PUMP), "The pump."),
        key("control", Kind::OneOrMore(&CONTROL), "What is held, and by what."),
        key("boom", Kind::Table(&BOOM), "The boom."),
        key("supply", Kind::Table(&SUPPLY), "Pump to sections."),
        key("return_path", Kind::Table(&RETURN_PATH), "Section ends back to the tank."),
        key("tips", Kind::Table(&TIPS), "The tips."),
        key("section", Kind::List(&SECTION), "Sections, left to right."),
        key("air", Kind::Table(&AIR), "Compressed air for purging."),
        key("travel", Kind::Table(&TRAVEL), "Travel over the field."),
        key("limits", Kind::Table(&LIMITS), "What is demanded of the findings."),
        key("start", Kind::Table(&START), "What lines and tanks hold at the start."),
        key("model", Kind::Table(&MODEL), "Choices of the model."),
        key("step", Kind::List(&STEP), "What happens, in order."),
        key("node", Kind::Named(&NODE), "Points of the network."),
        key("line", Kind::Named(&LONG_LINE), "Pipes, tubes and hoses."),
        key("valve", Kind::Named(&LONG_VALVE), "Valves."),
        key("check_valve", Kind::Named(&CHECK_VALVE), "Check and relief valves."),
        key("strainer", Kind::Named(&STRAINER), "Strainers."),
        key("meter", Kind::Named(&METER), "Flow meters."),
        key("orifice", Kind::Named(&ORIFICE), "Orifices and jets."),
        key("tip", Kind::Named(&LONG_TIP), "Tips."),
        key("gauge", Kind::Named(&GAUGE), "Pressure gauges."),
        key("tee", Kind::Named(&TEE), "Tees whose losses follow the split of flow."),
        key("boom_section", Kind::Named(&BOOM_SECTION), "Sections of a long-form boom."),
        key("roles", Kind::Table(&ROLES), "Which part plays which role."),
    ],
};

static TANK: TableSpec = TableSpec {
    doc: "The tank of a short-form machine.",
    keys: &[
        key("capacity", Kind::Quantity(Q::Volume, POSITIVE), "Nominal volume."),
        key("holds", Kind::Quantity(Q::Volume, NOT_NEGATIVE), "Volume held at the start."),
        HEEL,
        TANK_CONCENTRATION,
        key(
            "surface_above_boom",
            Kind::Quantity(Q::Length, ANY),
            "Height of the liquid surface above the level boom.",
        )
        .or("0.5 m"),
        key(
            "inlet_above_boom",
            Kind::Quantity(Q::Length, ANY),
            "Height at which return, bypass and agitation enter; at the surface where left out.",
        ),
    ],
};

static PUMP: TableSpec = TableSpec {
    doc: "The pump of a short-form machine: a curve at full speed, in a file or as points.",
    keys: &[
        CURVE,
        POINTS,
        TEST_DENSITY,
        SPEED,
        TOP_SPEED,
        EFFICIENCY,
        NPSH,
        key(
            "above_boom",
            Kind::Quantity(Q::Length, ANY),
            "Height of the pump above the level boom (negative below).",
        )
        .or("0 m"),
        key("suction", Kind::Table(&LINE), "The line from tank to pump.").required(),
        key("suction_strainer", Kind::Table(&RESTRICTION), "The suction strainer, if fitted."),
    ],
};

const FEEDS: &[&str] = &["one end", "centre"];
const ENDS: &[&str] = &["outer", "inner"];

static BOOM: TableSpec = TableSpec {
    doc: "The boom of a short-form machine, and what its sections share.",
    keys: &[
        key("width", Kind::Quantity(Q::Length, positive_up_to(1e5)), "Width of the boom.")
            .required(),
        key("spacing", Kind::Quantity(Q::Length, positive_up_to(100.0)), "Distance between tips.")
            .or("0.5 m"),
        key(
            "roll",
            Kind::Quantity(Q::Angle, bounds(None, Some(-0.8), Some(0.8))),
            "Roll of the boom; positive lifts the right end.",
        )
        .or("0 deg"),
        key("feed", Kind::Choice(FEEDS), "Where each section's tube is fed.").or("one end"),
        key("feed_end", Kind::Choice(ENDS), "Which end, where it is fed at one.").or("outer"),
        key("return", Kind::Flag, "Whether the tubes' far ends return to the tank.").or("false"),
        key("tube", Kind::Table(&LINE), "The tube that carries the tips.").required(),
        key(
            "stub",
            Kind::Quantity(Q::Length, NOT_NEGATIVE),
            "Capped tube beyond the last tip of an end that is neither fed nor returned.",
        )
        .or("60 mm"),
        key(
            "lead",
            Kind::Quantity(Q::Length, POSITIVE),
            "Tube between a fed or returned end and its first tip; half a spacing where left out.",
        ),
        key(
            "body_losses",
            Kind::Number(NOT_NEGATIVE),
            "Loss coefficient of one nozzle body's stem in the tube.",
        )
        .or("0"),
        key(
            "sections",
            Kind::Count { most: 100_000 },
            "Number of equal sections, instead of one [[section]] each.",
        ),
        key("tips_per_section", Kind::Count { most: 100_000 }, "Tips of each equal section."),
    ],
};

static SUPPLY: TableSpec = TableSpec {
    doc: "Pump to sections, and what leads back to the tank ahead of them.",
    keys: &[
        key("main", Kind::Table(&LINE), "Pump to header.").required(),
        key("hose", Kind::Table(&LINE), "Header to each section's tube.").required(),
        key(
            "hose_extra",
            Kind::Quantity(Q::Length, NOT_NEGATIVE),
            "Added to every hose length taken from geometry.",
        )
        .or("0.5 m"),
        key(
            "strainer",
            Kind::Table(&RESTRICTION),
            "Pressure strainer ahead of the main, if fitted.",
        ),
        key("meter", Kind::Table(&RESTRICTION), "Flow meter ahead of the main, if fitted."),
        key("section_valve", Kind::Table(&VALVE), "The valve of each section at the header.")
            .required(),
        key("agitation", Kind::Table(&AGITATION), "The jet that stirs the tank, if fitted."),
        key("bypass", Kind::Table(&VALVE), "The valve from pump outlet to tank, if fitted."),
        key(
            "relief",
            Kind::Table(&RELIEF),
            "The relief valve from pump outlet to tank, if fitted.",
        ),
    ],
};

static AGITATION: TableSpec = TableSpec {
    doc: "A jet from pump outlet to tank.",
    keys: &[
        key("orifice", Kind::Quantity(Q::Bore, positive_up_to(1.0)), "Diameter of its hole.")
            .required(),
        DISCHARGE,
    ],
};

static RELIEF: TableSpec = TableSpec {
    doc: "A relief valve.",
    keys: &[
        key("opens_at", Kind::Quantity(Q::Pressure, POSITIVE), "Pressure at which it opens.")
            .required(),
        KV,
    ],
};

static RETURN_PATH: TableSpec = TableSpec {
    doc: "Section ends back to the tank.",
    keys: &[
        key("hose", Kind::Table(&LINE), "Each tube's far end to the return header.").required(),
        key("main", Kind::Table(&LINE), "Return header to tank.").required(),
        key("valve", Kind::Table(&VALVE), "The recirculation valve.").required(),
    ],
};

static TIPS: TableSpec = TableSpec {
    doc: "The tips of a short-form machine.",
    keys: &[
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

static SECTION: TableSpec = TableSpec {
    doc: "One section; whatever it leaves out is as [boom], [supply], [return_path] and [tips] say.",
    keys: &[
        key("name", Kind::Text, "Its name; its number from the left where left out."),
        key("tips", Kind::Count { most: 100_000 }, "Number of tips.").required(),
        key(
            "spacing",
            Kind::Quantity(Q::Length, positive_up_to(100.0)),
            "Distance between its tips.",
        ),
        key("feed", Kind::Choice(FEEDS), "Where its tube is fed."),
        key("feed_end", Kind::Choice(ENDS), "Which end, where it is fed at one."),
        key("return", Kind::Flag, "Whether its far end returns to the tank."),
        key("tube", Kind::Override(&LINE), "Its tube."),
        key("stub", Kind::Quantity(Q::Length, NOT_NEGATIVE), "Capped tube beyond its last tip."),
        key(
            "lead",
            Kind::Quantity(Q::Length, POSITIVE),
            "Tube between a fed or returned end and its first tip.",
        ),
        key(
            "body_losses",
            Kind::Number(NOT_NEGATIVE),
            "Loss coefficient of one nozzle body's stem.",
        ),
        key("hose", Kind::Override(&LINE), "Its hose from the header."),
        key("valve", Kind::Override(&VALVE), "Its valve."),
        key("return_hose", Kind::Override(&LINE), "Its hose to the return header."),
        key("tip", Kind::Override(&TIPS), "Its tips, where they differ."),
    ],
};
