//! Tables and keys that several places of the format use.

use super::{
    Key, Kind, NOT_NEGATIVE, POSITIVE, POSITIVE_SHARE, SHARE, TableSpec, bounds, key,
    positive_up_to,
};
use crate::units::Quantity as Q;

/// Longest line taken, m.
const LONGEST_M: f64 = 1e5;
/// Widest bore taken, m.
const WIDEST_M: f64 = 5.0;

pub(super) const BORE: Key =
    key("bore", Kind::Quantity(Q::Bore, positive_up_to(WIDEST_M)), "Inside diameter.").required();
pub(super) const LENGTH: Key = key(
    "length",
    Kind::Quantity(Q::Length, positive_up_to(LONGEST_M)),
    "Length; section hoses take it from geometry where it is left out.",
);
pub(super) const LOSSES: Key = key(
    "losses",
    Kind::Losses,
    "Sum of the loss coefficients of its fittings on its own velocity head, entry and exit \
     included, or a list of fitting names.",
)
.or("0");
pub(super) const MATERIAL: Key = key(
    "material",
    Kind::Text,
    "What it is made of: stainless, plastic, polyethylene, pvc, hose, coated, steel or galvanised; hose \
     where neither it nor a roughness is given. It stands for a roughness and for what the line bears.",
);
pub(super) const ROUGHNESS: Key = key(
    "roughness",
    Kind::Quantity(Q::Roughness, NOT_NEGATIVE),
    "Wall roughness, instead of a material's.",
);
pub(super) const RATING: Key =
    key("rating", Kind::Quantity(Q::Pressure, POSITIVE), "Pressure rating of its weakest piece.");

pub(super) const SAG: Key = key(
    "sag",
    Kind::Quantity(Q::Length, NOT_NEGATIVE),
    "Depth of its lowest point, half way along, below the straight line between its ends; of a tube with \
     tips, between any two of them.",
)
.or("0 m");

/// What is said of every line.
pub(super) const LINE_KEYS: [Key; 7] = [BORE, LENGTH, LOSSES, MATERIAL, ROUGHNESS, RATING, SAG];

pub(super) static LINE: TableSpec = TableSpec { doc: "A pipe, tube or hose.", keys: &LINE_KEYS };

pub(super) const KV: Key = key(
    "kv",
    Kind::Quantity(Q::FlowCoefficient, POSITIVE),
    "Flow coefficient fully open: m3/h of water at 1 bar (`\"9 m3/h\"`), or `\"10 cv\"`.",
)
.required();
pub(super) const OPENING: Key =
    key("opening", Kind::Opening, "Opening at the start: `\"open\"`, `\"closed\"` or a share.")
        .or("open");
pub(super) const CHARACTERISTIC: Key = key(
    "characteristic",
    Kind::Choice(&["linear", "equal percentage"]),
    "How the flow coefficient follows the opening.",
)
.or("linear");
pub(super) const RANGEABILITY: Key = key(
    "rangeability",
    Kind::Number(bounds(Some(1.0), None, Some(1000.0))),
    "Ratio of largest to smallest coefficient of an equal-percentage valve.",
)
.or("50");

pub(super) static VALVE: TableSpec = TableSpec {
    doc: "A valve that opens and closes.",
    keys: &[KV, OPENING, CHARACTERISTIC, RANGEABILITY],
};

pub(super) static RESTRICTION: TableSpec =
    TableSpec { doc: "A part with a fixed flow coefficient.", keys: &[KV] };

pub(super) const DISCHARGE: Key = key(
    "discharge_coefficient",
    Kind::Number(POSITIVE_SHARE),
    "Discharge coefficient on the area of the hole.",
)
.or("0.65");

pub(super) const OPENS_AT: Key = key(
    "opens_at",
    Kind::Quantity(Q::Pressure, NOT_NEGATIVE),
    "Pressure difference at which it opens.",
)
.or("0 bar");

pub(super) const POINTS: Key = key(
    "points",
    Kind::Points(Q::Flow, &[Q::Pressure, Q::Head]),
    "The pump's curve at full speed: pairs of flow and pressure (or head), from no flow on.",
);
pub(super) const CURVE: Key = key(
    "curve",
    Kind::File,
    "The pump's curve in a CSV file, instead of points: columns `flow UNIT` and `pressure UNIT` or \
     `head UNIT`, perhaps `efficiency %` and `npsh UNIT`.",
);
pub(super) const TEST_DENSITY: Key = key(
    "test_density",
    Kind::Quantity(Q::Density, POSITIVE),
    "Density of the liquid the curve's pressures were measured with.",
)
.or("998.207 kg/m3");
pub(super) const SPEED: Key = key(
    "speed",
    Kind::Quantity(Q::Share, positive_up_to(10.0)),
    "Speed at the start, as a share of the curve's speed.",
)
.or("100 %");
pub(super) const TOP_SPEED: Key = key(
    "top_speed",
    Kind::Quantity(Q::Share, positive_up_to(10.0)),
    "Highest speed the drive reaches, as a share of the curve's speed.",
)
.or("100 %");
pub(super) const EFFICIENCY: Key = key(
    "efficiency",
    Kind::Points(Q::Flow, &[Q::Share]),
    "Pairs of flow and efficiency at full speed.",
);
pub(super) const NPSH: Key = key(
    "npsh",
    Kind::Points(Q::Flow, &[Q::Head]),
    "Pairs of flow and net positive suction head required at full speed.",
);

pub(super) const SIZE: Key = key("size", Kind::Text, "Tip size after ISO 10625, such as `\"04\"`.");
pub(super) const TIP_FLOW: Key =
    key("flow", Kind::Quantity(Q::Flow, POSITIVE), "Rated flow of water, instead of a size.");
pub(super) const AT: Key =
    key("at", Kind::Quantity(Q::Pressure, POSITIVE), "Pressure of the rated flow.").or("3 bar");
pub(super) const BODY_KV: Key = key(
    "body_kv",
    Kind::Quantity(Q::FlowCoefficient, POSITIVE),
    "Flow coefficient of nozzle body and tip strainer together; no loss where left out.",
);
pub(super) const SHUT_OFF: Key = key(
    "shut_off",
    Kind::Choice(&["each", "check valve", "none"]),
    "What stops a tip: a positive shut-off of its own, a spring-loaded check valve, or nothing.",
)
.or("each");
pub(super) const TIP_OPENS_AT: Key = key(
    "opens_at",
    Kind::Quantity(Q::Pressure, POSITIVE),
    "Pressure at which a tip's check valve opens.",
)
.or("0.7 bar");
pub(super) const RESEATS_AT: Key = key(
    "reseats_at",
    Kind::Quantity(Q::Pressure, POSITIVE),
    "Pressure at which a tip's check valve closes again.",
)
.or("0.5 bar");
pub(super) const OPEN_LOSS: Key = key(
    "open_loss",
    Kind::Quantity(Q::Pressure, NOT_NEGATIVE),
    "Pressure a tip's check valve takes once open.",
)
.or("0.05 bar");
pub(super) const HEEL: Key = key(
    "heel",
    Kind::Quantity(Q::Volume, NOT_NEGATIVE),
    "Volume that its outlet cannot draw: down to it, the tank counts as empty.",
)
.or("0 L");
pub(super) const TANK_CONCENTRATION: Key = key(
    "strength",
    Kind::Quantity(Q::Share, SHARE),
    "Concentration it holds at the start, instead of `tanks_hold` of [start].",
);
pub(super) const DUTY: Key = key(
    "duty",
    Kind::Quantity(Q::Share, POSITIVE_SHARE),
    "Share of the time a tip is open under pulse-width control.",
)
.or("100 %");
pub(super) const WEAR: Key = key(
    "wear",
    Kind::Quantity(Q::Share, bounds(Some(-0.9), None, Some(5.0))),
    "Extra flow of a worn tip at equal pressure (negative: partly plugged).",
)
.or("0 %");
pub(super) const WINDOW: Key = key(
    "window",
    Kind::Pair(Q::Pressure),
    "Lowest and highest pressure at which its droplets are as intended.",
);
