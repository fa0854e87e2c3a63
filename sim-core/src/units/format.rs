//! From an SI value to text, for people and for files.

use super::parse::parse;
use super::system::UnitSystem;
use super::table::{Quantity, units_of};

/// The unit a quantity is shown in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct DisplayUnit {
    /// How it is written.
    pub symbol: &'static str,
    factor: f64,
    offset: f64,
    decimals: usize,
}

impl DisplayUnit {
    /// The number to show for an SI value.
    pub fn from_si(&self, value_si: f64) -> f64 {
        (value_si - self.offset) / self.factor
    }

    /// Decimals that values are shown with.
    pub fn decimals(&self) -> usize {
        self.decimals
    }
}

/// The unit of `quantity` in `system`.
pub fn display_unit(quantity: Quantity, system: UnitSystem) -> DisplayUnit {
    let (symbol, decimals) = quantity.facts().shown[system as usize];
    let unit = units_of(quantity).iter().find(|unit| unit.spellings.contains(&symbol));
    let (factor, offset) = unit.map_or((1.0, 0.0), |unit| (unit.factor, unit.offset));
    DisplayUnit { symbol, factor, offset, decimals }
}

/// The number of `value_si` in the unit of `system`, without the unit.
pub fn show_number(value_si: f64, quantity: Quantity, system: UnitSystem) -> String {
    let unit = display_unit(quantity, system);
    let rounded = format!("{:.*}", unit.decimals, unit.from_si(value_si));
    // A value that rounds to nothing carries no sign.
    match rounded.strip_prefix('-') {
        Some(size) if size.bytes().all(|b| matches!(b, b'0' | b'.')) => size.to_owned(),
        _ => rounded,
    }
}

/// Times from which minutes, and hours, say more than seconds, s.
const LONG_S: f64 = 300.0;
const LONGER_S: f64 = 10_000.0;

/// `value_si` with its unit, as people of `system` read it.
pub fn show(value_si: f64, quantity: Quantity, system: UnitSystem) -> String {
    if quantity == Quantity::Duration && value_si >= LONG_S {
        let (number, symbol) =
            if value_si < LONGER_S { (value_si / 60.0, "min") } else { (value_si / 3600.0, "h") };
        return format!("{number:.1} {symbol}");
    }
    let symbol = display_unit(quantity, system).symbol;
    format!("{} {symbol}", show_number(value_si, quantity, system))
}

/// A bound as people write it: as [`show`] does where that says it all, else exactly.
pub fn show_bound(value_si: f64, quantity: Quantity, system: UnitSystem) -> String {
    let shown = show(value_si, quantity, system);
    match parse(&shown, quantity) {
        Ok(read) if (read - value_si).abs() <= 1e-3 * value_si.abs() => shown,
        _ => write_exact(value_si, quantity, system),
    }
}

/// `value_si` as text that [`parse`] reads back to the identical number: in the familiar unit of `system`
/// where that is exact within twelve figures, else in the SI unit itself.
pub fn write_exact(value_si: f64, quantity: Quantity, system: UnitSystem) -> String {
    let familiar = display_unit(quantity, system);
    let number = familiar.from_si(value_si);
    for digits in [6, 9, 12] {
        let rounded = format!("{number:.digits$}");
        let rounded = rounded.trim_end_matches('0').trim_end_matches('.');
        let text = format!("{rounded} {}", familiar.symbol);
        if parse(&text, quantity) == Ok(value_si) {
            return text;
        }
    }
    exact_in_base(value_si, quantity)
}

/// `value_si` in a unit whose factor leaves every digit alone; for the quantities that have none
/// (shares, temperatures in the scale shown), the nearest number that reads back to it.
fn exact_in_base(value_si: f64, quantity: Quantity) -> String {
    let units = units_of(quantity);
    if let Some(base) = units.iter().find(|u| u.factor == 1.0 && u.offset == 0.0) {
        return format!("{value_si:?} {}", base.spellings[0]);
    }
    let unit = units[0];
    let mut number = (value_si - unit.offset) / unit.factor;
    let text = |number: f64| format!("{number:?} {}", unit.spellings[0]);
    for _ in 0..4 {
        match parse(&text(number), quantity) {
            Ok(back) if back < value_si => number = number.next_up(),
            Ok(back) if back > value_si => number = number.next_down(),
            _ => break,
        }
    }
    text(number)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn values_are_shown_as_people_read_them() {
        let si = |value, quantity| show(value, quantity, UnitSystem::Si);
        let us = |value, quantity| show(value, quantity, UnitSystem::Us);
        assert_eq!(si(3e5, Quantity::Pressure), "3.00 bar");
        assert_eq!(us(3e5, Quantity::Pressure), "43.5 psi");
        assert_eq!(si(1.6e-3 / 60.0, Quantity::Flow), "1.60 L/min");
        assert_eq!(us(1.6e-3 / 60.0, Quantity::Flow), "0.423 gal/min");
        assert_eq!(us(36.576, Quantity::Length), "120.0 ft");
        assert_eq!(us(20.0, Quantity::Temperature), "68.0 degF");
        assert_eq!(si(-1e-9, Quantity::Pressure), "0.00 bar");
    }

    #[test]
    fn familiar_values_are_written_in_familiar_units() {
        use Quantity as Q;
        assert_eq!(write_exact(parse("22 mm", Q::Bore).unwrap(), Q::Bore, UnitSystem::Si), "22 mm");
        let flow = parse("1.6 L/min", Q::Flow).unwrap();
        assert_eq!(write_exact(flow, Q::Flow, UnitSystem::Si), "1.6 L/min");
        let hose = parse("1 1/4 in", Q::Bore).unwrap();
        assert_eq!(write_exact(hose, Q::Bore, UnitSystem::Us), "1.25 in");
    }

    proptest! {
        #[test]
        fn exact_text_reads_back_to_the_same_number(value in 1e-9f64..1e6, which in 0..Quantity::ALL.len(), us: bool) {
            let quantity = Quantity::ALL[which];
            let system = if us { UnitSystem::Us } else { UnitSystem::Si };
            let text = write_exact(value, quantity, system);
            let back = parse(&text, quantity).unwrap();
            let tolerance = if quantity == Quantity::Share { 2e-16 } else { 0.0 };
            prop_assert!((back - value).abs() <= tolerance * value, "{value} {text} {back}");
        }
    }
}
