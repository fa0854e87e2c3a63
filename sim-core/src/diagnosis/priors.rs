//! How likely faults are, and how large, before anything is read.

use super::fault::FaultKind;
use crate::scenario::PriorChanges;

/// What is known of a kind of fault before anything is read.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KindPrior {
    /// The kind.
    pub kind: FaultKind,
    /// How often it occurs, in proportion to the others.
    pub weight: f64,
    /// How large it is; `None` where it is there or not.
    pub severity: Option<SeverityPrior>,
    /// What the severity is.
    pub meaning: &'static str,
}

/// The severity of a kind of fault before anything is read: its logarithm is normally distributed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SeverityPrior {
    /// Median, > 0.
    pub typical: f64,
    /// Two in three are within this factor of the median either way, > 1.
    pub factor: f64,
    /// Smallest severity that the model takes, > 0.
    pub least: f64,
    /// Largest.
    pub most: f64,
}

/// Where the figures of [`KIND_PRIORS`] come from.
pub const PRIOR_SOURCE: &str = "assumption of common practice, no source";

const fn kind(kind: FaultKind, weight: f64, meaning: &'static str) -> KindPrior {
    KindPrior { kind, weight, severity: None, meaning }
}

const fn sized(
    kind: FaultKind,
    weight: f64,
    (typical, factor): (f64, f64),
    (least, most): (f64, f64),
    meaning: &'static str,
) -> KindPrior {
    let severity = Some(SeverityPrior { typical, factor, least, most });
    KindPrior { kind, weight, severity, meaning }
}

use FaultKind as K;

const ADDED: &str = "resistance added, times the part's own";
const EXTRA: &str = "flow above rated, as a share";
const LOST: &str = "flow below rated, as a share";
const TIP: &str = "flow over rated flow";
const THERE: &str = "there or not";
const READS: &str = "reading over truth";

/// Every kind of fault with its prior, in the order of [`FaultKind`]: assumptions of common practice, no source. A readings file
/// changes any of them.
pub const KIND_PRIORS: [KindPrior; 23] = [
    sized(K::StrainerPlugged, 3.0, (10.0, 5.0), (0.05, 1e5), ADDED),
    sized(K::HoseKinked, 1.5, (60.0, 5.0), (0.1, 1e5), "loss coefficient added"),
    sized(K::TubeBlocked, 1.0, (300.0, 6.0), (0.1, 1e6), "loss coefficient added"),
    sized(K::ValvePartOpen, 1.5, (15.0, 5.0), (0.05, 1e5), ADDED),
    sized(K::HoseOtherBore, 1.0, (0.75, 1.3), (0.2, 2.0), "bore over stated bore"),
    sized(K::SectionWorn, 2.0, (0.12, 2.0), (0.003, 1.0), EXTRA),
    sized(K::SectionClogged, 1.0, (0.15, 2.0), (0.003, 0.95), LOST),
    sized(K::BoomWorn, 3.0, (0.12, 2.0), (0.003, 1.0), EXTRA),
    sized(K::BoomClogged, 1.0, (0.12, 2.0), (0.003, 0.95), LOST),
    sized(K::TipWrong, 3.0, (0.85, 1.6), (0.003, 5.0), TIP),
    sized(K::TipUncaught, 2.0, (0.85, 1.6), (0.003, 5.0), TIP),
    kind(K::TipStrainerMissing, 0.5, THERE),
    kind(K::CheckStuck, 1.0, THERE),
    kind(K::CheckStuckOpen, 0.5, THERE),
    sized(K::PumpSlow, 1.5, (0.10, 2.0), (0.002, 0.9), "speed lost, as a share"),
    sized(K::PumpWorn, 2.0, (0.15, 2.0), (0.002, 0.9), "delivery lost at equal head, as a share"),
    sized(K::ValvePasses, 2.0, (0.05, 4.0), (5e-4, 1.0), "flow coefficient over the open valve's"),
    sized(K::Leak, 1.5, (0.04, 2.5), (5e-4, 1.0), "flow over that of all tips at equal pressure"),
    sized(
        K::AirAtSuction,
        1.0,
        (0.10, 2.0),
        (0.002, 0.9),
        "air in what the pump moves, as a share",
    ),
    sized(K::GaugeOff, 3.0, (1.0, 1.10), (0.1, 10.0), READS),
    sized(K::MeterOff, 2.0, (1.0, 1.10), (0.1, 10.0), READS),
    sized(K::LiquidDensity, 0.7, (1.0, 1.15), (0.5, 2.0), "density over stated density"),
    sized(K::LiquidViscosity, 0.5, (1.0, 2.0), (0.2, 50.0), "viscosity over stated viscosity"),
];

/// What is known before anything is read.
#[derive(Clone, Debug, PartialEq)]
pub struct Priors {
    /// Probability of no fault that readings show, above 0.
    pub no_fault: f64,
    /// Probability of two faults at once.
    pub two_faults: f64,
    /// Probability of something that is not in the catalogue, or of a wrong reading.
    pub something_else: f64,
    kinds: [KindPrior; KIND_PRIORS.len()],
}

impl Default for Priors {
    /// Half of all machines that somebody takes readings at have no fault that they show, 40 of 100 have one, 5 have two, and 5
    /// something that no catalogue holds: assumption of common practice, no source.
    fn default() -> Self {
        Self { no_fault: 0.5, two_faults: 0.05, something_else: 0.05, kinds: KIND_PRIORS }
    }
}

impl Priors {
    /// The usual priors with `changes`. What no fault, two faults and something else leave is one fault's; where they leave
    /// less than a hundredth, all are scaled down to leave that much.
    pub fn with(changes: &PriorChanges) -> Self {
        let usual = Self::default();
        let mut priors = Self {
            no_fault: changes.no_fault.unwrap_or(usual.no_fault),
            two_faults: changes.two_faults.unwrap_or(usual.two_faults),
            something_else: changes.something_else.unwrap_or(usual.something_else),
            ..usual
        };
        let all = priors.no_fault + priors.two_faults + priors.something_else;
        if all > MOST_NOT_ONE {
            let scale = MOST_NOT_ONE / all;
            priors.no_fault *= scale;
            priors.two_faults *= scale;
            priors.something_else *= scale;
        }
        for change in &changes.kinds {
            let named = |prior: &&mut KindPrior| prior.kind.name() == change.kind;
            let Some(prior) = priors.kinds.iter_mut().find(named) else { continue };
            prior.weight = change.weight.unwrap_or(prior.weight);
            if let Some(severity) = &mut prior.severity {
                let typical = change.typical.unwrap_or(severity.typical);
                severity.typical = typical.clamp(severity.least, severity.most);
                severity.factor = change.factor.unwrap_or(severity.factor).max(LEAST_FACTOR);
            }
        }
        priors
    }

    /// Probability of exactly one fault.
    pub fn one_fault(&self) -> f64 {
        1.0 - self.no_fault - self.two_faults - self.something_else
    }

    /// The prior of `kind`.
    pub fn of(&self, kind: FaultKind) -> &KindPrior {
        &self.kinds[kind as usize]
    }

    /// The severity prior of `kind`; `None` where such a fault is there or not.
    pub fn severity(&self, kind: FaultKind) -> Option<&SeverityPrior> {
        self.of(kind).severity.as_ref()
    }
}

/// Most that no fault, two faults and something else may have together.
const MOST_NOT_ONE: f64 = 0.99;
/// Least factor of a severity: below it a fault has one size.
const LEAST_FACTOR: f64 = 1.001;

impl SeverityPrior {
    /// Severity of standard score `z`, within the range.
    pub fn at(&self, z: f64) -> f64 {
        (self.typical * (z * self.factor.ln()).exp()).clamp(self.least, self.most)
    }

    /// Standard score of `severity`, > 0.
    pub fn score(&self, severity: f64) -> f64 {
        (severity / self.typical).ln() / self.factor.ln()
    }
}

impl FaultKind {
    /// Every kind, in order.
    pub fn all() -> impl Iterator<Item = Self> {
        KIND_PRIORS.iter().map(|prior| prior.kind)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_has_its_row_in_its_place_under_the_name_that_files_use() {
        for (i, prior) in KIND_PRIORS.iter().enumerate() {
            assert_eq!(prior.kind as usize, i);
            let debug = format!("{:?}", prior.kind).to_lowercase();
            assert_eq!(prior.kind.name().replace('_', ""), debug);
        }
    }

    #[test]
    fn what_is_changed_is_as_stated_and_one_fault_keeps_a_share() {
        let changes = PriorChanges { no_fault: Some(0.99), ..PriorChanges::default() };
        let priors = Priors::with(&changes);
        assert!(priors.one_fault() > 0.0099 && priors.no_fault < 0.91);
    }
}
