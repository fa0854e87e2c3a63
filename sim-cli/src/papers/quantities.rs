//! Volumes, weights and counts as papers state them.

use crate::columns::Columns;
use sim_core::plumbing::Plumbing;
use sim_core::units::{Quantity as Q, UnitSystem, display_unit, show_number};

/// Liquid in all lines when full, m3.
pub(super) fn whole_volume_m3(plumbing: &Plumbing) -> f64 {
    plumbing.volume_by_side().iter().map(|(_, m3)| m3).sum()
}

/// The unit of mass that goes with `units`, and how much of it a kilogram is.
pub(super) fn mass_unit(units: UnitSystem) -> (&'static str, f64) {
    // Exact: NIST SP 811.
    const POUND_KG: f64 = 0.453_592_37;
    match units {
        UnitSystem::Si => ("kg", 1.0),
        UnitSystem::Us => ("lb", 1.0 / POUND_KG),
    }
}

/// Adds to `columns` lengths as a tape measure has them: where people think in feet it is read in inches.
pub(super) fn on_tape<'a, T>(
    columns: Columns<'a, T>,
    head: &str,
    units: UnitSystem,
    length_m: impl Fn(&T) -> Option<f64> + 'a,
) -> Columns<'a, T> {
    // Exact: NIST SP 811.
    const INCH_M: f64 = 0.0254;
    match units {
        UnitSystem::Si => columns.under(head, Q::Length, length_m),
        UnitSystem::Us => {
            columns.plain(&format!("{head} in"), 1, move |row| Some(length_m(row)? / INCH_M))
        }
    }
}

/// A value that is set, with no digit more than it needs.
pub(super) fn as_set(value_si: f64, quantity: Q, units: UnitSystem) -> String {
    let number = show_number(value_si, quantity, units);
    let number = if number.contains('.') {
        number.trim_end_matches('0').trim_end_matches('.')
    } else {
        &number
    };
    format!("{number} {}", display_unit(quantity, units).symbol)
}

#[cfg(test)]
mod tests {
    use super::as_set;
    use sim_core::units::{Quantity, UnitSystem};

    #[test]
    fn what_is_set_has_no_digit_more_than_it_needs() {
        let flow = |m3_s| as_set(m3_s, Quantity::Flow, UnitSystem::Si);
        assert_eq!(flow(200.0 / 60_000.0), "200 L/min");
        assert_eq!(flow(12.5 / 60_000.0), "12.5 L/min");
    }
}
