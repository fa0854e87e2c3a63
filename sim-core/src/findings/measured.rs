//! Measures of a step, each with the place that has its worst value.

use super::named::Named;
use super::ranking::largest_first;
use crate::measures::{Better, Measure, Over};
use crate::plumbing::{BranchId, NodeId, SectionId, TipId};
use schemars::JsonSchema;
use serde::Serialize;

/// What a measure comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct Measured {
    /// Which measure.
    pub measure: Measure,
    /// Its value, SI; of a time that was not reached, the time that it was waited for.
    pub value: f64,
    /// Where the worst value is, if one place has it.
    pub place: Option<Place>,
    /// Whether it is more than a time that was not reached.
    pub reached: bool,
}

/// A place of the machine.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Place {
    /// A tip.
    Tip(Named<TipId>),
    /// A section.
    Section(Named<SectionId>),
    /// A line.
    Line(Named<BranchId>),
    /// The line that holds most of it.
    MostIn(Named<BranchId>),
    /// A node.
    Node(Named<NodeId>),
}

impl Place {
    /// The name of the place.
    fn name(&self) -> &str {
        match self {
            Self::Tip(tip) => &tip.name,
            Self::Section(section) => &section.name,
            Self::Line(line) | Self::MostIn(line) => &line.name,
            Self::Node(node) => &node.name,
        }
    }
}

/// The value of `measure` in what was `found`, SI; `None` where it is not there or was not reached.
pub fn value(found: &[Measured], measure: Measure) -> Option<f64> {
    let found = found.iter().find(|found| found.measure == measure && found.reached);
    found.map(|found| found.value)
}

/// Measures as they are found.
#[derive(Debug, Default)]
pub(super) struct Measures(Vec<Measured>);

impl Measures {
    /// A value, if there is one.
    pub(super) fn add(&mut self, measure: Measure, value: impl Into<Option<f64>>) {
        self.add_at(measure, value.into().map(|value| (value, None)));
    }

    /// A value, if there is one, and its place.
    pub(super) fn add_at(&mut self, measure: Measure, found: Option<(f64, Option<Place>)>) {
        let found = found.map(|(value, place)| Measured { measure, value, place, reached: true });
        self.0.extend(found);
    }

    /// The largest of `values`.
    pub(super) fn largest(&mut self, measure: Measure, values: impl Iterator<Item = (f64, Place)>) {
        let largest = values.min_by(|a, b| largest_first((a.0, a.1.name()), (b.0, b.1.name())));
        self.add_at(measure, largest.map(|(value, place)| (value, Some(place))));
    }

    /// A time; where it was not reached, `place` is what it waits for, and `lasted_s` how long it did.
    pub(super) fn time(
        &mut self,
        measure: Measure,
        time_s: Option<f64>,
        lasted_s: f64,
        place: Option<Place>,
    ) {
        let (value, reached) = (time_s.unwrap_or(lasted_s), time_s.is_some());
        self.0.push(Measured { measure, value, place: place.filter(|_| !reached), reached });
    }

    /// What a run of `steps` has of each measure.
    pub(super) fn over(steps: &[Vec<Measured>]) -> Self {
        let mut whole = Self::default();
        Measure::ALL.iter().for_each(|measure| whole.add(*measure, over_steps(*measure, steps)));
        whole
    }

    /// All of them, in the order of the catalogue.
    pub(super) fn sorted(mut self) -> Vec<Measured> {
        self.0.sort_by_key(|measured| measured.measure);
        self.0
    }
}

/// What a run of `steps` has of `measure`, SI; `None` where no step has it, or where a time was not reached.
fn over_steps(measure: Measure, steps: &[Vec<Measured>]) -> Option<f64> {
    let found = steps.iter().flatten().filter(|measured| measured.measure == measure);
    let mut values = found.map(|measured| Some(measured.value).filter(|_| measured.reached));
    if measure.over() == Over::First {
        return values.next()?;
    }
    let values: Vec<f64> = values.collect::<Option<_>>()?;
    let values = values.into_iter();
    match (measure.over(), measure.better()) {
        (Over::First | Over::Run, _) => None,
        (Over::Last, _) => values.last(),
        (Over::Sum, _) => values.reduce(|sum, value| sum + value),
        (Over::Worst, Better::More) => values.reduce(f64::min),
        (Over::Worst, _) => values.reduce(f64::max),
    }
}
