//! Steps that cannot do what their action says, in sentences: what cannot happen, and what would be needed.

use super::listed::{are, listed};
use sim_core::findings::Warning;
use sim_core::units::{Quantity as Q, UnitSystem, show};

/// `warning`, which is of such a step.
pub(super) fn undone(warning: &Warning, units: UnitSystem) -> String {
    let share = |share: f64| show(share, Q::Share, units);
    match warning {
        Warning::NothingCirculates { pumps_rest: true, .. } => {
            "Nothing circulates: no pump runs in this step. Give the pump a speed (`pump = \"45 %\"`) or something to hold."
                .into()
        }
        Warning::NothingCirculates { has_return: false, .. } => {
            "Nothing circulates: the sections end dead, and no line leads from them back to the tank. Circulating takes a \
             return (`return = true` in [boom]); without one, new liquid comes to the tips by spraying alone."
                .into()
        }
        Warning::NothingCirculates { .. } => {
            "Nothing circulates: there is a return, but no liquid comes through it. A closed valve of sections or return, or a \
             check valve that stays closed, is in the way."
                .into()
        }
        Warning::SectionsNotCirculated { sections } => format!(
            "Nothing circulates in {}: nothing leads back to the tank from there, or it is closed, and old liquid stays in the \
             tubes. It takes a return hose, or spraying, to get it out.",
            listed("section", sections)
        ),
        Warning::TipsWouldOpen { tips, highest_pa } => format!(
            "{} above the opening pressure of the check valve while tips are to be closed (up to {}): with nothing but check \
             valves they would spray. Turn the pump down, open the return further, or give each tip a positive shut-off.",
            are("tip", tips),
            show(*highest_pa, Q::Pressure, units)
        ),
        Warning::NothingSprays { pumps_rest: true, .. } => {
            "No tip sprays: no pump runs in this step. Give the pump a speed (`pump = \"70 %\"`) or something to hold.".into()
        }
        Warning::NothingSprays { sections_closed: true, .. } => {
            "No tip sprays: every section is closed in this step. Open those that are to spray (`sections`).".into()
        }
        Warning::NothingSprays { .. } => {
            "No tip sprays: no liquid comes to an open tip, or its pressure does not open the check valves. Look at the valves on \
             the way and at the pressure at the header."
                .into()
        }
        Warning::NothingToPrime => {
            "Nothing is primed: the lines hold what the tank gives from the start. Say what they hold before \
             (`[start] lines_hold = \"0 %\"`), or leave the step out."
                .into()
        }
        Warning::RinseNotClean { fed_concentration, wanted } => format!(
            "This rinse does not bring the tips to {}: the tank that feeds it held {} of the label strength when it began. It takes \
             clean water from a tank of its own, or one more rinse.",
            share(*wanted),
            share(*fed_concentration)
        ),
        Warning::NotRinsed { lines, product_m3 } => format!(
            "The rinse does not reach {}: nothing flows there, and {} of product (as full-strength mix) stay. It takes a way \
             through: circulate with water as well where there is a return, and flush capped ends by opening them.",
            listed("line", lines),
            show(*product_m3, Q::Volume, units)
        ),
        _ => String::new(),
    }
}
