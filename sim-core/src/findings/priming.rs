//! When is new liquid at every tip, and what was sprayed until then?

use super::dead_legs::DeadLeg;
use super::measured::{Measures, Place};
use super::named::Named;
use super::ranking::largest_first;
use crate::hydraulics::{FlowState, STILL_M3_S};
use crate::measures::Measure;
use crate::plumbing::{Machine, Plumbing, SectionId, Side, TipId};
use crate::procedure::{Action, Course};
use crate::simulation::{MovedRecord, StepRecord};
use crate::transport::Amount;
use schemars::JsonSchema;
use serde::Serialize;

/// When new liquid came to the tips, and what was sprayed until then. Product is given as volume at full strength.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Priming {
    /// Whether new liquid had to come: some tip that counts was not at full strength as the step began.
    pub new_liquid: bool,
    /// Concentration of the tank that feeds the machine.
    pub fed_concentration: f64,
    /// When the last tip that runs (the last of all, where none runs) came to full strength.
    pub all_full_s: Option<f64>,
    /// The same after the run's start.
    pub full_since_start_s: Option<f64>,
    /// Volume sprayed below full strength.
    pub under_dosed_m3: f64,
    /// Product in what was sprayed below full strength.
    pub under_dosed_product_m3: f64,
    /// Price of the product sprayed below full strength, where given, in the scenario's currency.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub under_dosed_price: Option<f64>,
    /// Travel until every tip sprays full strength.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub under_dosed_distance_m: Option<f64>,
    /// Volume of the lines after the pump in which something flows, over the flow of the main.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub turnover_s: Option<f64>,
    /// Each tip.
    pub tips: Vec<TipPriming>,
    /// Each section with tips that count.
    pub sections: Vec<SectionPriming>,
    /// Capped stretches, the largest first.
    pub dead_legs: Vec<DeadLeg>,
}

/// When new liquid came to the body of a tip, after the step's start.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct TipPriming {
    /// Which tip.
    pub tip: Named<TipId>,
    /// First of it: 1 % of the way from old to new concentration.
    pub first_s: Option<f64>,
    /// Half of the way.
    pub half_s: Option<f64>,
    /// 95 % of the way.
    pub most_s: Option<f64>,
    /// From when on it stayed at full strength: `full_from` of what the tank gives at that time.
    pub full_s: Option<f64>,
    /// Volume it sprayed below full strength.
    pub under_dosed_m3: f64,
}

/// When the tips of a section came to full strength, after the step's start.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SectionPriming {
    /// Which section.
    pub section: Named<SectionId>,
    /// Full strength at its first tip.
    pub first_s: Option<f64>,
    /// Full strength at its middle tip.
    pub median_s: Option<f64>,
    /// Full strength at its last tip.
    pub last_s: Option<f64>,
}

impl Priming {
    /// Its measures, in a step that lasted `lasted_s`.
    pub(super) fn measure(&self, lasted_s: f64, found: &mut Measures) {
        found.add(Measure::DeadLegs, self.dead_legs.iter().map(|leg| leg.volume_m3).sum::<f64>());
        if !self.new_liquid {
            return;
        }
        let late = self.tips.iter().find(|tip| tip.full_s.is_none());
        let late = late.map(|late| Place::Tip(late.tip.clone()));
        found.time(Measure::FullStrength, self.all_full_s, lasted_s, late.clone());
        found.time(Measure::FullSinceStart, self.full_since_start_s, lasted_s, late);
        found.add(Measure::UnderDosed, self.under_dosed_m3);
        found.add(Measure::UnderDosedProduct, self.under_dosed_product_m3);
        found.add(Measure::UnderDosedDistance, self.under_dosed_distance_m);
        found.add(Measure::Turnover, self.turnover_s);
    }
}

/// When new liquid came to the tips in step number `step`; `None` for a machine at rest and for a rinse.
pub(super) fn priming(
    (machine, course): (&Machine, &Course),
    step: usize,
    record: &StepRecord,
    moved: &MovedRecord,
    dead_legs: Vec<DeadLeg>,
) -> Option<Priming> {
    if matches!(course.steps[step].action, Action::Stand | Action::Rinse) {
        return None;
    }
    let runs: Vec<bool> = record.end.tip_flow_m3_s.iter().map(|flow| *flow > STILL_M3_S).collect();
    let any_runs = runs.iter().any(|runs| *runs);
    let counts = |i: usize| runs[i] || !any_runs;
    let full = |i: usize| moved.arrivals[i].full_s;
    let counted: Vec<usize> = (0..moved.arrivals.len()).filter(|i| counts(*i)).collect();
    let all_full_s = counted
        .iter()
        .try_fold(0.0f64, |latest, i| full(*i).map(|time| latest.max(time)))
        .filter(|_| !counted.is_empty());
    let flow: f64 = record.end.tip_flow_m3_s.iter().map(|flow| flow.max(0.0)).sum();
    let travel = course.travel.filter(|_| flow > 0.0).zip(all_full_s);
    let mut under_dosed = Amount::default();
    moved.arrivals.iter().for_each(|arrival| under_dosed += arrival.under_dosed);
    let price = course.product.price_per_m3;
    Some(Priming {
        new_liquid: counted.iter().any(|i| full(*i).is_none_or(|time| time > 0.0)),
        fed_concentration: moved.fed_concentration,
        all_full_s,
        full_since_start_s: all_full_s.map(|time| record.start_s + time),
        under_dosed_m3: under_dosed.liquid_m3,
        under_dosed_product_m3: under_dosed.product_m3,
        under_dosed_price: price.map(|price| price * under_dosed.product_m3),
        under_dosed_distance_m: travel.map(|(travel, time)| travel.speed_m_s * time),
        turnover_s: turnover(machine, &record.end),
        tips: tips(&machine.plumbing, moved),
        sections: sections(&machine.plumbing, &counted, &full),
        dead_legs,
    })
}

impl TipPriming {
    /// The one of `tips` that sprayed most below full strength, of equal ones the first by name.
    pub fn most_under_dosed<'a>(tips: impl Iterator<Item = &'a Self>) -> Option<&'a Self> {
        tips.min_by(|a, b| {
            largest_first((a.under_dosed_m3, &a.tip.name), (b.under_dosed_m3, &b.tip.name))
        })
    }
}

fn tips(plumbing: &Plumbing, moved: &MovedRecord) -> Vec<TipPriming> {
    let arrivals = moved.arrivals.iter().enumerate();
    let tip = |(i, arrival): (usize, &crate::simulation::Arrival)| TipPriming {
        tip: Named::tip(plumbing, TipId::at(i)),
        first_s: arrival.first_s,
        half_s: arrival.half_s,
        most_s: arrival.most_s,
        full_s: arrival.full_s,
        under_dosed_m3: arrival.under_dosed.liquid_m3,
    };
    arrivals.map(tip).collect()
}

/// First, middle and last tip of each section to come to full strength.
fn sections(
    plumbing: &Plumbing,
    counted: &[usize],
    full: &dyn Fn(usize) -> Option<f64>,
) -> Vec<SectionPriming> {
    let mut of_section: Vec<Vec<Option<f64>>> = vec![Vec::new(); plumbing.sections.len()];
    for &i in counted {
        if let Some(section) = plumbing.tips[i].section {
            of_section[section.index()].push(full(i));
        }
    }
    let finding = |(section, mut times): (Named<SectionId>, Vec<Option<f64>>)| {
        let later = |time: &Option<f64>| time.unwrap_or(f64::INFINITY);
        times.sort_by(|a, b| later(a).total_cmp(&later(b)));
        (!times.is_empty()).then(|| SectionPriming {
            section,
            first_s: times[0],
            median_s: times[(times.len() - 1) / 2],
            last_s: times[times.len() - 1],
        })
    };
    Named::sections(plumbing).zip(of_section).filter_map(finding).collect()
}

/// Volume of the lines in which something flows after the pump, over the flow into them.
fn turnover(machine: &Machine, end: &FlowState) -> Option<f64> {
    let branches = || machine.plumbing.branches.iter().zip(&end.flow_m3_s);
    let moving = branches().filter(|(branch, flow)| {
        flow.abs() > STILL_M3_S && matches!(branch.side, Side::Feed | Side::Boom | Side::Return)
    });
    let volume: f64 =
        moving.filter_map(|(branch, _)| branch.part.line()).map(|l| l.volume_m3()).sum();
    let main = machine.roles.main.map(|main| end.flow_m3_s[main.index()].abs());
    let flow = main.filter(|flow| *flow > STILL_M3_S)?;
    Some(volume / flow)
}
