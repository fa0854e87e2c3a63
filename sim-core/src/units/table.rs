//! The table of units: quantity, spellings, exact factor to SI.
//!
//! Factors follow from the international inch (25.4 mm), the avoirdupois pound (0.453 592 37 kg),
//! standard gravity (9.806 65 m/s2), the US gallon (231 in3), the imperial gallon (4.546 09 L) and the
//! acre of 43 560 ft2: NIST Special Publication 811 (2008), appendix B.

use std::f64::consts::PI;

/// What kind of value is meant.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Quantity {
    /// Gauge pressure or a difference of pressure; Pa.
    Pressure,
    /// Volume flow; m3/s.
    Flow,
    /// Length, height, position; m.
    Length,
    /// Bore or another small length; m.
    Bore,
    /// Wall roughness; m.
    Roughness,
    /// Volume; m3.
    Volume,
    /// Time; s.
    Duration,
    /// Temperature; degC.
    Temperature,
    /// Angle; rad.
    Angle,
    /// Flow coefficient; m3/s per sqrt(Pa) of water of 1000 kg/m3.
    FlowCoefficient,
    /// Density; kg/m3.
    Density,
    /// Dynamic viscosity; Pa s.
    Viscosity,
    /// Application rate; m (m3 of spray on m2 of field).
    ApplicationRate,
    /// Speed over ground; m/s.
    Speed,
    /// Velocity in a line; m/s.
    Velocity,
    /// A share of a whole; 1.
    Share,
    /// Power; W.
    Power,
    /// Head of liquid; m.
    Head,
    /// Money for a volume, in the user's currency; per m3.
    Price,
    /// Sonic conductance of a valve for air (ISO 6358); m3/(s Pa).
    Conductance,
}

/// One unit of a quantity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unit {
    /// The quantity it measures.
    pub quantity: Quantity,
    /// How it is written; the first is the usual way.
    pub spellings: &'static [&'static str],
    /// SI value of one unit.
    pub factor: f64,
    /// Added after the factor (temperatures only).
    pub offset: f64,
}

const INCH: f64 = 0.0254;
const FOOT: f64 = 12.0 * INCH;
const MILE: f64 = 5280.0 * FOOT;
const POUND: f64 = 0.453_592_37;
const GRAVITY: f64 = 9.806_65;
const GALLON: f64 = 231.0 * INCH * INCH * INCH;
const IMPERIAL_GALLON: f64 = 4.546_09e-3;
const ACRE: f64 = 43_560.0 * FOOT * FOOT;
const HECTARE: f64 = 1e4;
const PSI: f64 = POUND * GRAVITY / (INCH * INCH);
const BAR: f64 = 1e5;
const HOUR: f64 = 3600.0;
const MINUTE: f64 = 60.0;
const LITRE: f64 = 1e-3;

const fn unit(quantity: Quantity, spellings: &'static [&'static str], factor: f64) -> Unit {
    Unit { quantity, spellings, factor, offset: 0.0 }
}

use Quantity as Q;

/// Square roots of 1 bar and 1 psi in Pa, for flow coefficients.
const SQRT_BAR: f64 = 316.227_766_016_837_94;
const SQRT_PSI: f64 = 83.034_675_245_757_19;

const LENGTHS: [(&[&str], f64); 7] = [
    (&["mm", "millimetre", "millimeter"], 1e-3),
    (&["cm"], 1e-2),
    (&["m", "metre", "meter", "metres", "meters"], 1.0),
    (&["in", "inch", "inches", "\""], INCH),
    (&["ft", "foot", "feet", "'"], FOOT),
    (&["um", "µm", "μm", "micron", "microns"], 1e-6),
    (&["yd"], 3.0 * FOOT),
];

#[rustfmt::skip]
const OTHERS: &[Unit] = &[
    unit(Q::Pressure, &["bar", "bars"], BAR),
    unit(Q::Pressure, &["mbar"], 1e-3 * BAR),
    unit(Q::Pressure, &["kPa"], 1e3),
    unit(Q::Pressure, &["MPa"], 1e6),
    unit(Q::Pressure, &["Pa"], 1.0),
    unit(Q::Pressure, &["psi", "psig", "lbf/in2"], PSI),
    unit(Q::Flow, &["L/min", "lpm", "l/m"], LITRE / MINUTE),
    unit(Q::Flow, &["L/s"], LITRE),
    unit(Q::Flow, &["L/h"], LITRE / HOUR),
    unit(Q::Flow, &["mL/min"], 1e-3 * LITRE / MINUTE),
    unit(Q::Flow, &["m3/h", "m³/h"], 1.0 / HOUR),
    unit(Q::Flow, &["m3/s", "m³/s"], 1.0),
    unit(Q::Flow, &["gal/min", "gpm", "US gal/min"], GALLON / MINUTE),
    unit(Q::Flow, &["gal/h", "gph"], GALLON / HOUR),
    unit(Q::Flow, &["imp gal/min"], IMPERIAL_GALLON / MINUTE),
    unit(Q::Flow, &["ft3/min", "ft³/min", "cfm"], FOOT * FOOT * FOOT / MINUTE),
    unit(Q::Volume, &["L", "l", "litre", "litres", "liter", "liters"], LITRE),
    unit(Q::Volume, &["mL"], 1e-3 * LITRE),
    unit(Q::Volume, &["m3", "m³"], 1.0),
    unit(Q::Volume, &["gal", "US gal", "gallon", "gallons"], GALLON),
    unit(Q::Volume, &["imp gal"], IMPERIAL_GALLON),
    unit(Q::Volume, &["fl oz"], GALLON / 128.0),
    unit(Q::Duration, &["s", "sec", "second", "seconds"], 1.0),
    unit(Q::Duration, &["ms"], 1e-3),
    unit(Q::Duration, &["min", "minute", "minutes"], MINUTE),
    unit(Q::Duration, &["h", "hour", "hours"], HOUR),
    unit(Q::Temperature, &["degC", "°C", "C"], 1.0),
    Unit { quantity: Q::Temperature, spellings: &["degF", "°F", "F"], factor: 5.0 / 9.0, offset: -160.0 / 9.0 },
    unit(Q::Angle, &["deg", "°", "degrees"], PI / 180.0),
    unit(Q::Angle, &["rad"], 1.0),
    unit(Q::FlowCoefficient, &["m3/h", "m³/h", "kv"], 1.0 / HOUR / SQRT_BAR),
    unit(Q::FlowCoefficient, &["cv", "gal/min", "gpm"], GALLON / MINUTE / SQRT_PSI),
    unit(Q::FlowCoefficient, &["L/min"], LITRE / MINUTE / SQRT_BAR),
    unit(Q::FlowCoefficient, &["m3/s/Pa^0.5"], 1.0),
    unit(Q::Density, &["kg/m3", "kg/m³"], 1.0),
    unit(Q::Density, &["kg/L", "g/cm3", "g/mL"], 1e3),
    unit(Q::Density, &["lb/gal"], POUND / GALLON),
    unit(Q::Density, &["lb/ft3"], POUND / (FOOT * FOOT * FOOT)),
    unit(Q::Viscosity, &["mPa s", "mPa.s", "mPa·s", "cP"], 1e-3),
    unit(Q::Viscosity, &["Pa s", "Pa.s", "Pa·s"], 1.0),
    unit(Q::ApplicationRate, &["L/ha"], LITRE / HECTARE),
    unit(Q::ApplicationRate, &["gal/ac", "gpa", "gal/acre"], GALLON / ACRE),
    unit(Q::ApplicationRate, &["mm"], 1e-3),
    unit(Q::ApplicationRate, &["m3/m2"], 1.0),
    unit(Q::Speed, &["km/h", "kph", "kmh"], 1e3 / HOUR),
    unit(Q::Speed, &["m/s"], 1.0),
    unit(Q::Speed, &["mph", "mile/h"], MILE / HOUR),
    unit(Q::Speed, &["ft/s"], FOOT),
    unit(Q::Velocity, &["m/s"], 1.0),
    unit(Q::Velocity, &["ft/s"], FOOT),
    unit(Q::Velocity, &["km/h", "kph", "kmh"], 1e3 / HOUR),
    unit(Q::Velocity, &["mph", "mile/h"], MILE / HOUR),
    unit(Q::Share, &["%", "percent"], 1e-2),
    unit(Q::Share, &["ppm"], 1e-6),
    unit(Q::Price, &["/L", "per L"], 1.0 / LITRE),
    unit(Q::Price, &["/m3", "per m3"], 1.0),
    unit(Q::Price, &["/gal", "per gal"], 1.0 / GALLON),
    unit(Q::Conductance, &["L/(s bar)", "L/(s.bar)", "L/(s·bar)", "L/s/bar"], LITRE / BAR),
    unit(Q::Conductance, &["dm3/(s bar)", "dm3/(s.bar)", "dm³/(s·bar)", "dm3/s/bar"], LITRE / BAR),
    unit(Q::Conductance, &["m3/(s Pa)", "m3/(s.Pa)", "m³/(s·Pa)"], 1.0),
    unit(Q::Conductance, &["ft3/(min psi)", "cfm/psi"], FOOT * FOOT * FOOT / MINUTE / PSI),
    unit(Q::Power, &["W"], 1.0),
    unit(Q::Power, &["kW"], 1e3),
    unit(Q::Power, &["hp"], 550.0 * FOOT * POUND * GRAVITY),
];

/// The units of `quantity`, the usual ones first.
pub fn units_of(quantity: Quantity) -> Vec<Unit> {
    let order: &[usize] = match quantity {
        Q::Length => &[2, 0, 1, 4, 3, 6, 5],
        Q::Bore => &[0, 3, 1, 2, 4, 5],
        Q::Roughness => &[5, 0, 2, 3],
        Q::Head => &[2, 4],
        _ => &[],
    };
    if order.is_empty() {
        return OTHERS.iter().filter(|unit| unit.quantity == quantity).copied().collect();
    }
    order.iter().map(|&i| unit(quantity, LENGTHS[i].0, LENGTHS[i].1)).collect()
}

impl Quantity {
    /// Every quantity.
    pub const ALL: [Self; 20] = [
        Q::Pressure,
        Q::Flow,
        Q::Length,
        Q::Bore,
        Q::Roughness,
        Q::Volume,
        Q::Duration,
        Q::Temperature,
        Q::Angle,
        Q::FlowCoefficient,
        Q::Density,
        Q::Viscosity,
        Q::ApplicationRate,
        Q::Speed,
        Q::Velocity,
        Q::Share,
        Q::Power,
        Q::Head,
        Q::Price,
        Q::Conductance,
    ];
}

impl Quantity {
    /// Its name in a sentence: `a pressure`.
    pub fn name(self) -> &'static str {
        match self {
            Q::Pressure => "a pressure",
            Q::Flow => "a flow",
            Q::Length => "a length",
            Q::Bore => "a bore",
            Q::Roughness => "a roughness",
            Q::Volume => "a volume",
            Q::Duration => "a time",
            Q::Temperature => "a temperature",
            Q::Angle => "an angle",
            Q::FlowCoefficient => "a flow coefficient",
            Q::Density => "a density",
            Q::Viscosity => "a viscosity",
            Q::ApplicationRate => "an application rate",
            Q::Speed => "a speed",
            Q::Velocity => "a velocity",
            Q::Share => "a share",
            Q::Power => "a power",
            Q::Head => "a head",
            Q::Price => "a price",
            Q::Conductance => "a conductance",
        }
    }

    /// A value as a user would write it.
    pub fn example(self) -> &'static str {
        match self {
            Q::Pressure => "3 bar",
            Q::Flow => "12 L/min",
            Q::Length => "2.5 m",
            Q::Bore => "25 mm",
            Q::Roughness => "10 um",
            Q::Volume => "400 L",
            Q::Duration => "30 s",
            Q::Temperature => "15 degC",
            Q::Angle => "5 deg",
            Q::FlowCoefficient => "9 m3/h",
            Q::Density => "1280 kg/m3",
            Q::Viscosity => "2 mPa s",
            Q::ApplicationRate => "200 L/ha",
            Q::Speed => "10 km/h",
            Q::Velocity => "3 m/s",
            Q::Share => "80 %",
            Q::Power => "4 kW",
            Q::Head => "12 m",
            Q::Price => "0.35 /L",
            Q::Conductance => "2 L/(s bar)",
        }
    }
}

#[cfg(test)]
mod tests;
