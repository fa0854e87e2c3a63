//! What branches and nodes hold, as far as the flow of a time step is concerned.

use super::air::{InletLaw, PocketLaw, SpringLaw};
use super::lift::Lift;
use crate::plumbing::NodeId;

/// What a branch holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum BranchFilling {
    /// Liquid, from end to end.
    Liquid,
    /// A column of liquid in a line, with air on one side of it or both.
    Column {
        /// Length of the column, m, >= 0.
        length_m: f64,
        /// How much higher its `to` side stands than its `from` side, m.
        rise_m: f64,
    },
    /// Air, over liquid that clings to the wall.
    Air {
        /// Density of the air, kg/m3.
        density_kg_m3: f64,
        /// Pressure gradient over that of the air alone in the whole bore, >= 1.
        multiplier: f64,
        /// Weight of its liquid.
        lift: Lift,
    },
    /// Air and liquid mixed, passing a part that holds neither.
    Mixture {
        /// Flow of liquid that reaches it, m3/s, >= 0: what else passes is air.
        liquid_m3_s: f64,
        /// Density of its air, kg/m3.
        air_kg_m3: f64,
    },
}

/// What a node stores.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) enum Store {
    /// Air.
    Air(PocketLaw),
    /// Liquid.
    Liquid(SpringLaw),
}

/// Everything that makes a network differ from one full of liquid.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Fillings {
    /// What each branch holds.
    pub(crate) branches: Vec<BranchFilling>,
    /// What each node stores; `None` where a tank gives the pressure.
    pub(crate) stores: Vec<Option<Store>>,
    /// Nodes that hold air, tanks' open mouths among them.
    pub(crate) air_at: Vec<bool>,
    /// Compressed air: the node where it enters, and its supply.
    pub(crate) inlet: Option<(NodeId, InletLaw)>,
    /// Liquid that reaches each node, m3/s.
    pub(crate) arriving_m3_s: Vec<f64>,
}
