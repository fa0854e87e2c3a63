//! The hydraulics of field-sprayer boom plumbing: pressures and flows at one instant, and what lines hold through time
//! while mix is primed, circulated, rinsed out or blown back by air.
//!
//! The library opens no file, reads no clock and prints nothing. Inside, everything is SI and says so in its name.
//!
//! # A tour
//!
//! One module a question; each may use only those named before it (`docs/architecture.md` holds the exact arrows).
//!
//! | module | question |
//! | --- | --- |
//! | [`units`] | what number is "40 psi", and how is it shown? |
//! | [`fluids`] | how dense, how viscous is the liquid? what settles? |
//! | [`plumbing`] | what is connected to what, and what is each part? |
//! | [`procedure`] | what is open, closed, held or running in a step, from start to end? |
//! | [`scenario`] | what did the user ask for, and is it valid? |
//! | [`settings`] | what is a scenario with one setting at another value? |
//! | [`air`], [`two_phase`] | how does air flow? what do air and liquid do in one line? |
//! | [`hydraulics`] | what are pressures and flows now? |
//! | [`transport`] | given the flows, where is everything next? |
//! | [`simulation`] | run the steps, keep the record |
//! | [`findings`] | what does the record mean? |
//! | [`sizing`], [`diagnosis`] | which tip, which order of a purge? which fault explains the readings? |
//! | [`study`] | how far may a result be off, and why? |
//! | [`search`], [`layouts`] | which of very many designs are better than all others? which layout should be built? |
//!
//! Three ways in:
//!
//! - *From a scenario's text*: [`scenario::read`], [`simulation::run`], [`findings::of_run`].
//! - *From a machine in code*: [`plumbing::boom::build`], or [`plumbing::Sketch`] for any network; [`procedure::Step`] makes
//!   steps of spraying, circulating, purging; then [`hydraulics::Solver`] for one instant, or a [`procedure::Course`] of
//!   steps and [`simulation::run`].
//! - *Piece by piece*: the laws of single parts in [`hydraulics`], [`air`] and [`two_phase`] stand alone.
//!
//! ```
//! use sim_core::{findings, scenario, simulation};
//!
//! let text = r#"
//!     [pump]
//!     points = [["0 L/min", "5 bar"], ["120 L/min", "3 bar"]]
//!     suction = { bore = "38 mm", length = "2 m" }
//!     [boom]
//!     width = "12 m"
//!     sections = 3
//!     tips_per_section = 8
//!     tube = { bore = "20 mm", material = "stainless" }
//!     [tank]
//!     holds = "600 L"
//!     [supply]
//!     main = { bore = "25 mm", length = "3 m" }
//!     hose = { bore = "19 mm", losses = ["elbow 90"] }
//!     section_valve = { kv = "6 m3/h" }
//!     [tips]
//!     size = "03"
//!     [control]
//!     hold = "2.5 bar"
//! "#;
//! let scenario = scenario::read(text, &scenario::NoFiles).expect("a valid scenario");
//! let record = simulation::run(&scenario.machine, &scenario.course).expect("a result to trust");
//! let findings = findings::of_run(&scenario.machine, &scenario.course, &scenario.limits, &record);
//! let boom = findings[0].boom.as_ref().expect("tips run");
//! assert!((boom.mean_pressure_pa / 2.5e5 - 1.0).abs() < 0.05);
//! assert!(boom.pressure_variation_share < 0.02);
//! ```
//!
//! `sim-core/examples` holds more: `steady_boom`, `priming`, `purge_line`, `scenario`, `diagnose`.
//!
//! # Errors, and what is taken on trust
//!
//! [`scenario::read`] returns every fault of a text with its place. A plumbing put together in code is checked where it
//! is used: [`hydraulics::Solver`] and [`simulation::run`] return [`plumbing::Invalid`] where a reference leads nowhere
//! or a figure is out of its range; [`plumbing::Plumbing::check`] and [`scenario::Scenario::check`] ask ahead of that.
//! Pure laws take figures as they come: outside the range their docs state, they return a number without meaning, or
//! none, and do not panic. Handles ([`plumbing::NodeId`] and its like) belong to the plumbing they were made for;
//! [`findings`] and [`diagnosis`] take record or readings for those of the scenario they are given with.
//!
//! # Trust
//!
//! Each law names its source and range; `docs/theory.md` holds them all. Figures are no permission to spray: the product
//! label, local rules and licensed practice decide.

pub mod air;
pub mod diagnosis;
pub mod findings;
pub mod fluids;
pub mod hydraulics;
pub mod layouts;
mod linear;
pub mod measures;
pub mod plumbing;
pub mod procedure;
pub mod scenario;
pub mod search;
pub mod settings;
pub mod simulation;
pub mod sizing;
pub mod study;
pub mod transport;
pub mod two_phase;
pub mod units;
