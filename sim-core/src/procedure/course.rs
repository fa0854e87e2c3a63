//! What is done with a machine, from its start to its last step.

use super::{ModelOptions, RecordOptions, Step};
use crate::fluids::{Liquid, Particles};
use crate::plumbing::BranchId;

/// All that is done with a machine, and with what liquid.
#[derive(Clone, Debug, PartialEq)]
pub struct Course {
    /// The liquid in the lines and tanks.
    pub liquid: Liquid,
    /// What is known of the product.
    pub product: Product,
    /// What lines and tanks hold at the start.
    pub start: Start,
    /// What happens, in order. At least one.
    pub steps: Vec<Step>,
    /// Concentration at or below which a tip counts as rinsed, above 0, if anything is to be rinsed.
    pub rinsed_to: Option<f64>,
    /// Travel over the field, if given.
    pub travel: Option<Travel>,
    /// Choices of the model.
    pub model: ModelOptions,
    /// What the record keeps beside what it always keeps.
    pub record: RecordOptions,
}

impl Course {
    /// `steps` with `liquid`: tanks full of it at full strength, lines of water, nothing suspended in it.
    pub fn new(liquid: Liquid, steps: Vec<Step>) -> Self {
        Self {
            liquid,
            product: Product::default(),
            start: Start::default(),
            steps,
            rinsed_to: None,
            travel: None,
            model: ModelOptions::default(),
            record: RecordOptions::default(),
        }
    }

    /// Whether lines may hold air at some time.
    pub(crate) fn may_hold_air(&self) -> bool {
        let purges = self.steps.iter().any(|step| step.purge.is_some());
        purges || self.start.empty || self.start.own.iter().any(|(_, holds)| holds.is_none())
    }
}

/// Travel over the field.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Travel {
    /// Forward speed, m/s, > 0.
    pub speed_m_s: f64,
    /// Application rate wanted, m (m3 of spray per m2 of field), if given.
    pub rate_m: Option<f64>,
}

/// What is known of the product in the tank mix.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Product {
    /// Price of tank mix at full strength, per m3, in the user's currency.
    pub price_per_m3: Option<f64>,
    /// What the price is in.
    pub currency: String,
    /// Its particles, if it is suspended.
    pub particles: Option<Particles>,
}

/// What lines and tanks hold at the start, as concentrations.
#[derive(Clone, Debug, PartialEq)]
pub struct Start {
    /// Concentration in every line and dead leg, 0 to 1.
    pub lines_hold: f64,
    /// Whether lines hold air instead, all but those on the suction side.
    pub empty: bool,
    /// Lines that start otherwise: air (`None`) or a concentration.
    pub own: Vec<(BranchId, Option<f64>)>,
    /// Whether the first step begins with the flow it comes to, instead of at rest; only where no line holds air then.
    pub flowing: bool,
    /// Gauge pressure of the air in lines that start with air, Pa; that of the surroundings where nothing is said.
    pub air_pa: Vec<(BranchId, f64)>,
    /// Concentration in every tank, 0 to 1.
    pub tanks_hold: f64,
    /// Concentration, as a share of the tank's at the start of a step, from which a tip counts as full.
    pub full_from: f64,
}

impl Default for Start {
    fn default() -> Self {
        Self {
            lines_hold: 0.0,
            empty: false,
            own: Vec::new(),
            flowing: false,
            air_pa: Vec::new(),
            tanks_hold: 1.0,
            full_from: 0.95,
        }
    }
}
