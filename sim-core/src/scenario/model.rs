//! A scenario after checking: SI numbers, references resolved, no places in a file.

use crate::fluids::{Liquid, Particles};
use crate::plumbing::{BranchId, Plumbing};
use crate::procedure::{ModelOptions, Step};

/// Everything a run needs.
#[derive(Clone, Debug, PartialEq)]
pub struct Scenario {
    /// What the user calls it.
    pub title: String,
    /// What it shows, if the user says so.
    pub about: Option<String>,
    /// The liquid in the lines and tanks.
    pub liquid: Liquid,
    /// The machine.
    pub plumbing: Plumbing,
    /// What happens, in order. At least one.
    pub steps: Vec<Step>,
    /// Travel over the field, if given.
    pub travel: Option<Travel>,
    /// What the user or a standard demands.
    pub limits: Limits,
    /// Choices of the model.
    pub model: ModelOptions,
    /// What lines and tanks hold at the start.
    pub start: Start,
    /// What is known of the product.
    pub product: Product,
}

impl Scenario {
    /// A scenario of `plumbing`, `liquid` and `steps` alone: everything else as where a file says nothing, and
    /// nothing demanded.
    pub fn plain(plumbing: Plumbing, liquid: Liquid, steps: Vec<Step>) -> Self {
        Self {
            title: String::new(),
            about: None,
            liquid,
            plumbing,
            steps,
            travel: None,
            limits: Limits::default(),
            model: ModelOptions::default(),
            start: Start::default(),
            product: Product::default(),
        }
    }

    /// Whether its lines may hold air at some time.
    pub fn may_hold_air(&self) -> bool {
        let purges = self.steps.iter().any(|step| step.purge.is_some());
        purges || self.start.empty || self.start.own.iter().any(|(_, holds)| holds.is_none())
    }
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

/// What lines and tanks hold at the start, as strengths.
#[derive(Clone, Debug, PartialEq)]
pub struct Start {
    /// Strength in every line and dead leg, 0 to 1.
    pub lines_hold: f64,
    /// Whether lines hold air instead, all but those on the suction side.
    pub empty: bool,
    /// Lines that start otherwise: air (`None`) or a strength.
    pub own: Vec<(BranchId, Option<f64>)>,
    /// Strength in every tank, 0 to 1.
    pub tanks_hold: f64,
    /// Strength, as a share of the tank's at the start of a step, from which a tip counts as full.
    pub full_from: f64,
}

impl Default for Start {
    fn default() -> Self {
        Self { lines_hold: 0.0, empty: false, own: Vec::new(), tanks_hold: 1.0, full_from: 0.95 }
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

/// Limits on findings, as shares unless the name ends in a unit; `None` where nothing is demanded.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Limits {
    /// Spread of tip pressures over the boom.
    pub spread: Option<Limit>,
    /// Drop from gauge to the outer end of any section, as a share of the gauge pressure.
    pub section_drop: Option<Limit>,
    /// Difference of any section's feed-end pressure from the mean of all.
    pub section_balance: Option<Limit>,
    /// Deviation of any tip's flow from the mean of all.
    pub tip_flow: Option<Limit>,
    /// Coefficient of variation of tip flows.
    pub tip_flow_variation: Option<Limit>,
    /// Velocity in any line of the pressure side, m/s.
    pub velocity_m_s: Option<Limit>,
    /// Velocity in any suction line, m/s.
    pub suction_velocity_m_s: Option<Limit>,
    /// Deviation of the application rate from the one wanted.
    pub rate: Option<Limit>,
    /// Time until every running tip has full strength, s.
    pub prime_within_s: Option<Limit>,
    /// Strength left at any running tip when a rinse ends.
    pub rinsed_to: Option<Limit>,
    /// Liquid left in the purged lines, m3.
    pub left_behind_m3: Option<Limit>,
    /// Liquid lost through tips by a purge, m3.
    pub lost_m3: Option<Limit>,
}

/// One limit and where it comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct Limit {
    /// The largest value that meets it, SI.
    pub at_most: f64,
    /// Who demands it: `scenario`, or a standard and how its figure is known.
    pub source: String,
}
