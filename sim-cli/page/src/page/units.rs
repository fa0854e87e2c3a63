//! Units as a page shows them.

use serde::Serialize;
use sim_core::units::{Quantity as Q, UnitSystem, display_unit};

/// A unit as a page shows it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct ShownUnit {
    symbol: &'static str,
    decimals: usize,
}

/// The units of what is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct ShownUnits {
    pressure: ShownUnit,
    flow: ShownUnit,
    velocity: ShownUnit,
}

impl ShownUnits {
    /// Those of `units`.
    pub fn of(units: UnitSystem) -> Self {
        let unit = |quantity| {
            let unit = display_unit(quantity, units);
            ShownUnit { symbol: unit.symbol, decimals: unit.decimals() }
        };
        Self { pressure: unit(Q::Pressure), flow: unit(Q::Flow), velocity: unit(Q::Velocity) }
    }
}
