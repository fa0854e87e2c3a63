//! What do air and liquid do in one line?
//!
//! Pure laws of the air purge: how fast air runs into a full line and what it leaves behind, how the layer
//! remaining is dragged out, and what holds liquid in a low spot. Flows are superficial velocities:
//! volume flow over the whole cross-section of the line. Holdup is the share of the cross-section that is
//! liquid. A slope is the sine of the angle, upward in the direction counted as positive.
//!
//! ```
//! use sim_core::fluids::water;
//! use sim_core::two_phase::nose;
//! // Liquid pushed at 1 m/s out of a level hose of 25 mm: air runs ahead, and leaves liquid on the wall.
//! let front = nose(1.0, 0.025, 0.0, &water(20.0));
//! assert!(front.velocity_m_s > 1.2 && front.left_behind > 0.1);
//! ```

mod film;
mod flat_layer;
mod layer;
mod low_spot;
mod martinelli;
mod nose;
mod stratified;

pub use film::{aussillous_quere, film_left_behind, film_share, han_shikazono, left_behind};
pub use flat_layer::FlatLayer;
pub use layer::{Layer, LayerFlux, LayerLaw};
pub use low_spot::{
    KUTATELADZE, carried_share, carry_limit, critical_gas_flux, kutateladze_gas_flux, seal_volume,
    slope_rule_gas_flux, wallis_gas_flux,
};
pub use martinelli::{
    Regime, butterworth_holdup, butterworth_parameter, gas_multiplier, parameter,
    turbulent_parameter, wallis_holdup,
};
pub use nose::{MOST_LEFT_BEHIND, Nose, level_drift, nose, upright_drift};
pub use stratified::{Level, Stratified, area_share, level};
