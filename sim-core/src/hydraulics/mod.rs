//! Given openings and contents, what are pressures and flows now?
//!
//! Each kind of part has its law in a file of its own: a pure function from flow to drop of total
//! pressure with its derivative. [`Solver`] puts them together.
//!
//! ```
//! use sim_core::fluids::water;
//! use sim_core::hydraulics::Solver;
//! use sim_core::plumbing::{Line, Sketch};
//! use sim_core::procedure::{ModelOptions, Settings};
//!
//! // A tank 10 m up, 50 m of hose, and a tip that passes 1.6 L/min at 3 bar.
//! let mut sketch = Sketch::default();
//! let tank = sketch.tank("tank", 10.0);
//! let (top, bottom) = (sketch.tank_node("top", tank, 9.0), sketch.node("bottom", 0.0));
//! sketch.line("hose", top, bottom, Line::plain(0.012, 50.0));
//! sketch.tip("tip", bottom, 1.6e-3 / 60.0, 3e5);
//! let (plumbing, liquid) = (sketch.finish(), water(20.0));
//! let mut solver = Solver::new(&plumbing, &liquid, ModelOptions::default());
//! let now = solver.solve(&Settings::of(&plumbing), &[])?;
//! // Nearly the 0.98 bar of 10 m of water: so little flows that the hose takes next to nothing.
//! assert!((now.tip_pressure_pa[0] / 0.978e5 - 1.0).abs() < 0.02);
//! # Ok::<(), sim_core::hydraulics::SolveError>(())
//! ```

mod air;
mod air_circuit;
mod border;
mod check_valve;
mod circuit;
mod controls;
mod convergence;
mod expanding;
mod expansion;
mod filling;
mod flow_state;
mod friction;
mod idle_pumps;
mod islands;
mod law;
mod lift;
mod line;
mod line_search;
mod mixture;
mod monotone_cubic;
mod newton;
mod notices;
mod pump;
mod search;
mod solver;
mod splits;
mod system_curve;
mod tee;
mod time_step;
mod tip;
mod validity;
mod valve;

pub(crate) use air::{InletLaw, PocketLaw, SpringLaw};
pub(crate) use filling::{BranchFilling, Fillings, Store};
pub(crate) use flow_state::ROUNDING_M3_S;
pub use flow_state::{Actuated, FlowState, Notice, Reached, STILL_M3_S, SolverStatistics};
pub use friction::{Factor, Friction, LAMINAR_UP_TO, TURBULENT_FROM};
pub use law::{Loss, coefficient_of_kv, quadratic};
pub(crate) use lift::Lift;
pub use line::LineLaw;
pub use pump::PumpLaw;
pub(crate) use solver::{AirFlowState, AirInflow};
pub use solver::{SolveError, Solver};
pub use system_curve::{pump_curve, system_curve};
pub use tee::drops as tee_drops;
pub(crate) use time_step::TimeStep;
pub use tip::TipLaw;
