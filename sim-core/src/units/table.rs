//! The table of units: quantity, spellings, exact factor to SI.
//!
//! Factors follow from the international inch (25.4 mm), the avoirdupois pound (0.453 592 37 kg),
//! standard gravity (9.806 65 m/s2), the US gallon (231 in3), the imperial gallon (4.546 09 L) and the
//! acre of 43 560 ft2: NIST Special Publication 811 (2008), appendix B.

use super::system::UnitSystem;
use std::f64::consts::PI;

/// One unit of a quantity.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unit {
    /// How it is written; the first is the usual way.
    pub spellings: &'static [&'static str],
    /// SI value of one unit.
    pub factor: f64,
    /// Added after the factor (temperatures only).
    pub offset: f64,
}

/// What is known of a quantity.
pub(super) struct Facts {
    name: &'static str,
    /// A value as a user of SI or of US units would write it.
    example: [&'static str; 2],
    /// The units it is shown in, SI and US, and with how many decimals.
    pub(super) shown: [(&'static str, usize); 2],
    units: &'static [Unit],
}

/// Declares the quantities: of each its meaning and SI unit, its name in a sentence, a value as users of SI and of US units would write it,
/// the unit and the decimals it is shown with in SI and in US units, and all its units, the usual ones first.
macro_rules! quantities {
    ($($(#[$doc:meta])+ $kind:ident: $name:literal, $example:tt, $si:tt, $us:tt, $units:expr;)+) => {
        /// What kind of value is meant.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
        pub enum Quantity {
            $($(#[$doc])+ $kind),+
        }

        impl Quantity {
            /// Every quantity.
            pub const ALL: [Self; [$($name),+].len()] = [$(Self::$kind),+];

            pub(super) fn facts(self) -> Facts {
                match self {
                    $(Self::$kind => {
                        const UNITS: &[Unit] = $units;
                        Facts { name: $name, example: $example, shown: [$si, $us], units: UNITS }
                    })+
                }
            }
        }
    };
}

impl Quantity {
    /// Its name in a sentence: `a pressure`.
    pub fn name(self) -> &'static str {
        self.facts().name
    }

    /// Its name without the article: `pressure`.
    pub fn noun(self) -> &'static str {
        let name = self.name();
        name.split_once(' ').map_or(name, |(_, noun)| noun)
    }

    /// A value as a user of `system` would write it.
    pub fn example(self, system: UnitSystem) -> &'static str {
        self.facts().example[system as usize]
    }
}

/// The units of `quantity`, the usual ones first.
pub fn units_of(quantity: Quantity) -> &'static [Unit] {
    quantity.facts().units
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

/// Square roots of 1 bar and 1 psi in Pa, for flow coefficients.
const SQRT_BAR: f64 = 316.227_766_016_837_94;
const SQRT_PSI: f64 = 83.034_675_245_757_19;

const fn unit(spellings: &'static [&'static str], factor: f64) -> Unit {
    Unit { spellings, factor, offset: 0.0 }
}

const MILLIMETRES: Unit = unit(&["mm", "millimetre", "millimeter"], 1e-3);
const CENTIMETRES: Unit = unit(&["cm"], 1e-2);
const METRES: Unit = unit(&["m", "metre", "meter", "metres", "meters"], 1.0);
const INCHES: Unit = unit(&["in", "inch", "inches", "\""], INCH);
const FEET: Unit = unit(&["ft", "foot", "feet", "'"], FOOT);
const MICROMETRES: Unit = unit(&["um", "µm", "μm", "micron", "microns"], 1e-6);
const YARDS: Unit = unit(&["yd"], 3.0 * FOOT);

quantities! {
    /// Gauge pressure or a difference of pressure; Pa.
    Pressure: "a pressure", ["3 bar", "40 psi"], ("bar", 2), ("psi", 1), &[
        unit(&["bar", "bars"], BAR),
        unit(&["mbar"], 1e-3 * BAR),
        unit(&["kPa"], 1e3),
        unit(&["MPa"], 1e6),
        unit(&["Pa"], 1.0),
        unit(&["psi", "psig", "lbf/in2"], PSI),
    ];
    /// Volume flow; m3/s.
    Flow: "a flow", ["12 L/min", "3 gal/min"], ("L/min", 2), ("gal/min", 3), &[
        unit(&["L/min", "lpm", "l/m"], LITRE / MINUTE),
        unit(&["L/s"], LITRE),
        unit(&["L/h"], LITRE / HOUR),
        unit(&["mL/min"], 1e-3 * LITRE / MINUTE),
        unit(&["m3/h", "m³/h"], 1.0 / HOUR),
        unit(&["m3/s", "m³/s"], 1.0),
        unit(&["gal/min", "gpm", "US gal/min"], GALLON / MINUTE),
        unit(&["gal/h", "gph"], GALLON / HOUR),
        unit(&["imp gal/min"], IMPERIAL_GALLON / MINUTE),
        unit(&["ft3/min", "ft³/min", "cfm"], FOOT * FOOT * FOOT / MINUTE),
    ];
    /// Length, height, position; m.
    Length: "a length", ["2.5 m", "8 ft"], ("m", 2), ("ft", 1), &[METRES, MILLIMETRES, CENTIMETRES, FEET, INCHES, YARDS, MICROMETRES];
    /// Bore or another small length; m.
    Bore: "a bore", ["25 mm", "1 in"], ("mm", 1), ("in", 3), &[MILLIMETRES, INCHES, CENTIMETRES, METRES, FEET, MICROMETRES];
    /// Wall roughness; m.
    Roughness: "a roughness", ["10 um", "10 um"], ("um", 1), ("um", 1), &[MICROMETRES, MILLIMETRES, METRES, INCHES];
    /// Volume; m3.
    Volume: "a volume", ["400 L", "100 gal"], ("L", 1), ("gal", 2), &[
        unit(&["L", "l", "litre", "litres", "liter", "liters"], LITRE),
        unit(&["mL", "cc"], 1e-3 * LITRE),
        unit(&["m3", "m³"], 1.0),
        unit(&["gal", "US gal", "gallon", "gallons"], GALLON),
        unit(&["imp gal"], IMPERIAL_GALLON),
        unit(&["fl oz"], GALLON / 128.0),
    ];
    /// Time; s.
    Duration: "a time", ["30 s", "30 s"], ("s", 1), ("s", 1), &[
        unit(&["s", "sec", "second", "seconds"], 1.0),
        unit(&["ms"], 1e-3),
        unit(&["min", "minute", "minutes"], MINUTE),
        unit(&["h", "hour", "hours"], HOUR),
    ];
    /// Temperature; degC.
    Temperature: "a temperature", ["15 degC", "60 degF"], ("degC", 1), ("degF", 1), &[
        unit(&["degC", "°C", "C"], 1.0),
        Unit { spellings: &["degF", "°F", "F"], factor: 5.0 / 9.0, offset: -160.0 / 9.0 },
    ];
    /// Angle; rad.
    Angle: "an angle", ["5 deg", "5 deg"], ("deg", 1), ("deg", 1), &[
        unit(&["deg", "°", "degrees"], PI / 180.0),
        unit(&["rad"], 1.0),
    ];
    /// Flow coefficient; m3/s per sqrt(Pa) of water of 1000 kg/m3.
    FlowCoefficient: "a flow coefficient", ["9 m3/h", "10 cv"], ("m3/h", 1), ("cv", 1), &[
        unit(&["m3/h", "m³/h", "kv"], 1.0 / HOUR / SQRT_BAR),
        unit(&["cv", "gal/min", "gpm"], GALLON / MINUTE / SQRT_PSI),
        unit(&["L/min"], LITRE / MINUTE / SQRT_BAR),
        unit(&["m3/s/Pa^0.5"], 1.0),
    ];
    /// Density; kg/m3.
    Density: "a density", ["1280 kg/m3", "10.7 lb/gal"], ("kg/m3", 0), ("lb/gal", 2), &[
        unit(&["kg/m3", "kg/m³"], 1.0),
        unit(&["kg/L", "g/cm3", "g/mL"], 1e3),
        unit(&["lb/gal"], POUND / GALLON),
        unit(&["lb/ft3"], POUND / (FOOT * FOOT * FOOT)),
    ];
    /// Dynamic viscosity; Pa s.
    Viscosity: "a viscosity", ["2 mPa s", "2 cP"], ("mPa s", 2), ("cP", 2), &[
        unit(&["mPa s", "mPa.s", "mPa·s", "cP"], 1e-3),
        unit(&["Pa s", "Pa.s", "Pa·s"], 1.0),
    ];
    /// Surface tension; N/m.
    SurfaceTension: "a surface tension", ["35 mN/m", "35 mN/m"], ("mN/m", 1), ("mN/m", 1), &[
        unit(&["mN/m", "dyn/cm"], 1e-3),
        unit(&["N/m"], 1.0),
    ];
    /// Application rate; m (m3 of spray on m2 of field).
    ApplicationRate: "an application rate", ["200 L/ha", "20 gal/ac"], ("L/ha", 0), ("gal/ac", 1), &[
        unit(&["L/ha"], LITRE / HECTARE),
        unit(&["gal/ac", "gpa", "gal/acre"], GALLON / ACRE),
        unit(&["mm"], 1e-3),
        unit(&["m3/m2"], 1.0),
    ];
    /// Speed over ground; m/s.
    Speed: "a speed", ["10 km/h", "6 mph"], ("km/h", 1), ("mph", 1), &[
        unit(&["km/h", "kph", "kmh"], 1e3 / HOUR),
        unit(&["m/s"], 1.0),
        unit(&["mph", "mile/h"], MILE / HOUR),
        unit(&["ft/s"], FOOT),
    ];
    /// Velocity in a line; m/s.
    Velocity: "a velocity", ["3 m/s", "10 ft/s"], ("m/s", 2), ("ft/s", 1), &[
        unit(&["m/s"], 1.0),
        unit(&["ft/s"], FOOT),
        unit(&["km/h", "kph", "kmh"], 1e3 / HOUR),
        unit(&["mph", "mile/h"], MILE / HOUR),
    ];
    /// How fast something turns; turns in a second.
    Rotation: "a rotation", ["540 /min", "540 /min"], ("/min", 0), ("/min", 0), &[
        unit(&["/min", "1/min", "rpm"], 1.0 / MINUTE),
        unit(&["/s", "1/s"], 1.0),
    ];
    /// A share of a whole; 1.
    Share: "a share", ["80 %", "80 %"], ("%", 1), ("%", 1), &[
        unit(&["%", "percent"], 1e-2),
        unit(&["ppm"], 1e-6),
    ];
    /// Power; W.
    Power: "a power", ["4 kW", "5 hp"], ("kW", 2), ("hp", 2), &[
        unit(&["W"], 1.0),
        unit(&["kW"], 1e3),
        unit(&["hp"], 550.0 * FOOT * POUND * GRAVITY),
    ];
    /// Head of liquid; m.
    Head: "a head", ["12 m", "40 ft"], ("m", 1), ("ft", 1), &[METRES, FEET];
    /// Money for a volume, in the user's currency; per m3.
    Price: "a price", ["0.35 /L", "1.30 /gal"], ("/L", 2), ("/gal", 2), &[
        unit(&["/L", "per L"], 1.0 / LITRE),
        unit(&["/m3", "per m3"], 1.0),
        unit(&["/gal", "per gal"], 1.0 / GALLON),
    ];
    /// Money for an area, in the user's currency; per m2.
    PriceOfArea: "a price of an area", ["40 /ha", "16 /ac"], ("/ha", 2), ("/ac", 2), &[
        unit(&["/ha", "per ha"], 1.0 / HECTARE),
        unit(&["/ac", "/acre", "per ac"], 1.0 / ACRE),
        unit(&["/m2", "per m2"], 1.0),
    ];
    /// Money for a time, in the user's currency; per s.
    PriceOfTime: "a price of time", ["45 /h", "45 /h"], ("/h", 2), ("/h", 2), &[
        unit(&["/h", "per h"], 1.0 / HOUR),
        unit(&["/min", "per min"], 1.0 / MINUTE),
        unit(&["/s", "per s"], 1.0),
    ];
    /// Sonic conductance of a valve for air (ISO 6358); m3/(s Pa).
    Conductance: "a conductance", ["2 L/(s bar)", "0.3 ft3/(min psi)"], ("L/(s bar)", 2), ("ft3/(min psi)", 2), &[
        unit(&["L/(s bar)", "L/(s.bar)", "L/(s·bar)", "L/s/bar"], LITRE / BAR),
        unit(&["dm3/(s bar)", "dm3/(s.bar)", "dm³/(s·bar)", "dm3/s/bar"], LITRE / BAR),
        unit(&["m3/(s Pa)", "m3/(s.Pa)", "m³/(s·Pa)"], 1.0),
        unit(&["ft3/(min psi)", "cfm/psi"], FOOT * FOOT * FOOT / MINUTE / PSI),
    ];
}

#[cfg(test)]
mod tests;
