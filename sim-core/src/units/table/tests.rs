use super::*;
use approx::assert_relative_eq;
use uom::si::f64 as q;
use uom::si::{
    angle, dynamic_viscosity, length, mass_density, power, pressure, time, velocity, volume,
    volume_rate,
};

fn factor(quantity: Quantity, spelling: &str) -> f64 {
    let units = units_of(quantity);
    units.iter().find(|u| u.spellings.contains(&spelling)).unwrap().factor
}

macro_rules! agree {
    ($kind:ident, $type:ident, $module:ident: $($text:literal = $unit:ident),+) => {
        $(assert_relative_eq!(
            factor(Quantity::$kind, $text),
            q::$type::new::<$module::$unit>(1.0).value,
            max_relative = 2e-7
        );)+
    };
}

/// Source: the crate `uom` 0.38, whose customary factors carry seven figures.
#[test]
fn factors_agree_with_an_independent_library() {
    agree!(Pressure, Pressure, pressure: "bar" = bar, "kPa" = kilopascal, "psi" = psi,
        "mbar" = millibar, "MPa" = megapascal);
    agree!(Flow, VolumeRate, volume_rate: "L/min" = liter_per_minute,
        "gal/min" = gallon_per_minute, "ft3/min" = cubic_foot_per_minute, "m3/h" = cubic_meter_per_hour, "L/s" = liter_per_second);
    agree!(Length, Length, length: "in" = inch, "ft" = foot, "yd" = yard, "mm" = millimeter);
    agree!(Volume, Volume, volume: "gal" = gallon, "L" = liter, "imp gal" = gallon_imperial,
        "fl oz" = fluid_ounce);
    agree!(Duration, Time, time: "min" = minute, "h" = hour, "ms" = millisecond);
    agree!(Angle, Angle, angle: "deg" = degree);
    agree!(Density, MassDensity, mass_density: "lb/gal" = pound_per_gallon,
        "lb/ft3" = pound_per_cubic_foot, "g/cm3" = gram_per_cubic_centimeter);
    agree!(Viscosity, DynamicViscosity, dynamic_viscosity: "cP" = centipoise);
    agree!(Speed, Velocity, velocity: "km/h" = kilometer_per_hour, "mph" = mile_per_hour,
        "ft/s" = foot_per_second);
    agree!(Power, Power, power: "hp" = horsepower, "kW" = kilowatt);
}

/// Source: NIST SP 811 (2008), B.8: acre 4046.873 m2 by the survey foot; by the international
/// foot 4046.856 m2, hence 9.353 958 L/ha for one gallon to the acre (derived).
#[test]
fn gallon_to_the_acre_follows_from_gallon_and_acre() {
    let litres_per_hectare = factor(Quantity::ApplicationRate, "gal/ac") / 1e-7;
    assert_relative_eq!(litres_per_hectare, 3.785_411_784 / 0.404_685_642_24, max_relative = 1e-14);
}

/// Source: IEC 60534-1 terms; Kv = 0.864 978 Cv follows from the units (derived).
#[test]
fn kv_and_cv_stand_in_their_published_ratio() {
    let ratio = factor(Quantity::FlowCoefficient, "cv") / factor(Quantity::FlowCoefficient, "kv");
    assert_relative_eq!(ratio, 0.864_978, max_relative = 1e-6);
    assert_relative_eq!(SQRT_PSI, PSI.sqrt(), max_relative = 1e-15);
    assert_relative_eq!(SQRT_BAR, BAR.sqrt(), max_relative = 1e-15);
}

/// Source: ISO 6358 gives conductances in dm3/(s bar), 1e-8 m3/(s Pa) (derived).
#[test]
fn a_conductance_is_a_flow_for_each_pressure() {
    let conductance = |spelling| factor(Quantity::Conductance, spelling);
    assert_relative_eq!(conductance("dm3/(s bar)"), 1e-8, max_relative = 1e-15);
    assert_relative_eq!(
        conductance("cfm/psi"),
        factor(Quantity::Flow, "cfm") / factor(Quantity::Pressure, "psi"),
        max_relative = 1e-15
    );
}

#[test]
fn no_spelling_of_a_quantity_stands_twice() {
    for quantity in Quantity::ALL {
        let mut all: Vec<&str> =
            units_of(quantity).iter().flat_map(|u| u.spellings.iter().copied()).collect();
        let count = all.len();
        all.sort_unstable();
        all.dedup();
        assert_eq!(all.len(), count, "{quantity:?}");
    }
}
