//! Guessed values in round figures, as a person would write them.

use sim_core::units::{Quantity as Q, UnitSystem, display_unit};

/// `si` to two figures with its unit.
pub(super) fn round(si: f64, quantity: Q, units: UnitSystem) -> String {
    figures(si, quantity, units, 2)
}

/// `si` to so many `figures` with its unit.
pub(super) fn figures(si: f64, quantity: Q, units: UnitSystem, figures: i32) -> String {
    let unit = display_unit(quantity, units);
    let number = unit.from_si(si);
    if number == 0.0 {
        return format!("0 {}", unit.symbol);
    }
    let decimals = figures - 1 - number.abs().log10().floor() as i32;
    let step = 10f64.powi(decimals);
    let rounded = (number * step).round() / step;
    format!("{} {}", trimmed(rounded, decimals), unit.symbol)
}

/// A bore: millimetres, or inches and their fractions.
pub(super) fn bore(si: f64, units: UnitSystem) -> String {
    match units {
        UnitSystem::Si => format!("{} mm", trimmed(1e3 * si, 1)),
        UnitSystem::Us => format!("{} in", inches(si / 0.0254)),
    }
}

/// `number` with its whole and 32nds.
fn inches(number: f64) -> String {
    let parts = (number * 32.0).round().max(1.0) as u64;
    let (whole, mut over, mut of) = (parts / 32, parts % 32, 32);
    while over > 0 && over % 2 == 0 {
        (over, of) = (over / 2, of / 2);
    }
    match (whole, over) {
        (whole, 0) => whole.to_string(),
        (0, over) => format!("{over}/{of}"),
        (whole, over) => format!("{whole} {over}/{of}"),
    }
}

/// `number` with at most so many decimals, zeros at its end left out.
fn trimmed(number: f64, decimals: i32) -> String {
    let text = format!("{number:.*}", usize::try_from(decimals).unwrap_or(0));
    match text.contains('.') {
        true => text.trim_end_matches('0').trim_end_matches('.').to_owned(),
        false => text,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn guesses_are_in_round_figures_and_inches_in_fractions() {
        assert_eq!(round(0.002_345, Q::Volume, UnitSystem::Si), "2.3 L");
        assert_eq!(round(1.234, Q::Volume, UnitSystem::Si), "1200 L");
        assert_eq!(bore(0.0125, UnitSystem::Si), "12.5 mm");
        assert_eq!(bore(2.5 * 0.0254, UnitSystem::Us), "2 1/2 in");
        assert_eq!(bore(0.375 * 0.0254, UnitSystem::Us), "3/8 in");
    }
}
