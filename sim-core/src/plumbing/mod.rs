//! What is connected to what, and what is each part?
//!
//! A [`Plumbing`] is the checked machine: flat arrays, SI units, references resolved. It says what
//! is bolted together, never what is open or running: that is the procedure's. A [`Machine`] adds which part plays which
//! role: pump, header, return valve. Three ways lead to one: a scenario's text, a [`boom::BoomDesign`], or a [`Sketch`]
//! piece by piece; [`Machine::check`] says whether it can be computed.

mod air_supply;
pub mod boom;
pub(crate) mod connect;
mod fittings;
mod ids;
mod machine;
mod material;
mod network;
mod parts;
mod shared;
mod sketch;
mod tip;
mod tip_size;
mod topology;
mod validity;

pub use air_supply::{AirEntry, AirSupply};
pub use fittings::{FITTINGS, Fitting, fitting_named};
pub use ids::{BranchId, GaugeId, NodeId, SectionId, TankId, TipId};
pub use machine::{Machine, NoRole, Roles};
pub use material::{MATERIALS, Material, material};
pub use network::{
    Branch, Gauge, Node, Plumbing, Section, Side, Tank, TankConnection, Tee, VolumeBySide,
};
pub use parts::{
    CheckValve, Displacement, Line, Opening, Orifice, Part, Pump, PumpCurve, Restriction, Valve,
};
pub(crate) use shared::Shared;
pub use sketch::Sketch;
pub use tip::{ShutOff, Tip};
pub use tip_size::{NOMINAL_PRESSURE_PA, TIP_SIZES, TipSize, tip_size};
pub use topology::Topology;
pub use validity::Invalid;
pub(crate) use validity::{figure, refers};
