//! What stands where at each moment the page can show.

use crate::results::Finished;
use page_model::page::rounded;
use serde::Serialize;
use sim_core::hydraulics::{FlowState, STILL_M3_S};
use sim_core::simulation::{Sample, StepRecord};
use sim_core::units::{Quantity as Q, display_unit};

/// Figures handed over at most, so that a page stays small; a step keeps its start and end in any case.
const MOST_FIGURES: usize = 240_000;
/// Moments handed over at most, and at least where the run has so many.
const MOST_MOMENTS: usize = 400;
const LEAST_MOMENTS: usize = 24;

/// Everything over time, in the units shown; concentrations in percent.
#[derive(Debug, Serialize)]
pub(super) struct Moments {
    /// s after the run's start.
    time: Vec<f64>,
    /// Number of the step.
    step: Vec<usize>,
    /// One series a branch.
    line: LineSeries,
    node: Nodes,
    tip: Tips,
    /// One series a tank.
    tank: Vec<Series>,
}

#[derive(Debug, Serialize)]
struct LineSeries {
    concentration: Vec<Series>,
    leaving: Vec<Series>,
    flow: Vec<Series>,
    /// Share that is air, 0 to 1; left out where no line ever holds any.
    #[serde(skip_serializing_if = "Option::is_none")]
    air: Option<Vec<Series>>,
    /// Where the column of liquid is in lines that hold air; left out where no line ever holds any.
    #[serde(skip_serializing_if = "Option::is_none")]
    column: Option<ColumnSeries>,
}

/// Where columns of liquid begin and end, as shares of each line from its `from` end; no value where air passes from end to
/// end.
#[derive(Debug, Serialize)]
struct ColumnSeries {
    from: Vec<Series>,
    to: Vec<Series>,
}

#[derive(Debug, Serialize)]
struct Nodes {
    concentration: Vec<Series>,
    pressure: Vec<Series>,
}

#[derive(Debug, Serialize)]
struct Tips {
    concentration: Vec<Series>,
    flow: Vec<Series>,
}

/// One figure over all moments: pairs of a moment's number and the value from it on. Most figures rest most
/// of the time. [`NONE`] where there is no value.
type Series = Vec<serde_json::Number>;

/// One moment: a sample of a step that lasts, or the state of one that does not.
enum Moment<'a> {
    Sample(&'a Sample),
    State(&'a FlowState),
}

impl Moments {
    /// The moments of `finished` that a page of `shown` machines shows.
    pub(super) fn of(finished: &Finished, shown: usize) -> Self {
        let (plumbing, units) = (finished.plumbing(), finished.units);
        let chosen = chosen(finished, MOST_FIGURES / shown.max(1));
        let (p, q) = (display_unit(Q::Pressure, units), display_unit(Q::Flow, units));
        let of_sample = |get: &dyn Fn(&Sample) -> f32| {
            series(&chosen, 2, |moment| match moment {
                Moment::Sample(sample) => 100.0 * f64::from(get(sample)),
                Moment::State(_) => f64::NAN,
            })
        };
        let pressure = |i: usize| {
            series(&chosen, 4, |moment| match moment {
                Moment::Sample(sample) => p.from_si(f64::from(sample.nodes_pa[i])),
                Moment::State(state) => p.from_si(state.static_pressure_pa[i]),
            })
        };
        // What is still in the solve is still on the drawing: rounding is no flow.
        let shown = |m3_s: f64| if m3_s.abs() <= STILL_M3_S { 0.0 } else { q.from_si(m3_s) };
        let flow = |sampled: &dyn Fn(&Sample) -> f32, stated: &dyn Fn(&FlowState) -> f64| {
            series(&chosen, 4, |moment| match moment {
                Moment::Sample(sample) => shown(f64::from(sampled(sample))),
                Moment::State(state) => shown(stated(state)),
            })
        };
        let any_air = chosen.iter().any(|(_, _, moment)| match moment {
            Moment::Sample(sample) => sample.air.is_some(),
            Moment::State(_) => false,
        });
        let air = |i: usize| {
            series(&chosen, 3, |moment| match moment {
                Moment::Sample(Sample { air: Some(air), .. }) => air.air_share(i),
                _ => 0.0,
            })
        };
        let column = |i: usize, end: usize| {
            series(&chosen, 3, |moment| match moment {
                Moment::Sample(Sample { air: Some(air), .. }) => {
                    air.lines[i].column.map_or(f64::NAN, |column| f64::from(column[end]))
                }
                _ => end as f64,
            })
        };
        let (branches, nodes) = (0..plumbing.branches.len(), 0..plumbing.nodes.len());
        let tips = 0..plumbing.tips.len();
        Self {
            time: chosen.iter().map(|(_, time_s, _)| rounded(*time_s, 3)).collect(),
            step: chosen.iter().map(|(step, ..)| *step).collect(),
            line: LineSeries {
                concentration: branches.clone().map(|i| of_sample(&|s| s.lines[i])).collect(),
                leaving: branches.clone().map(|i| of_sample(&|s| s.leaving[i])).collect(),
                air: any_air.then(|| branches.clone().map(air).collect()),
                column: any_air.then(|| ColumnSeries {
                    from: branches.clone().map(|i| column(i, 0)).collect(),
                    to: branches.clone().map(|i| column(i, 1)).collect(),
                }),
                flow: branches.map(|i| flow(&|s| s.flows_m3_s[i], &|s| s.flow_m3_s[i])).collect(),
            },
            node: Nodes {
                concentration: nodes.clone().map(|i| of_sample(&|s| s.nodes[i])).collect(),
                pressure: nodes.map(pressure).collect(),
            },
            tip: Tips {
                concentration: tips.clone().map(|i| of_sample(&|s| s.tips[i])).collect(),
                flow: tips
                    .map(|i| flow(&|s| s.tip_flows_m3_s[i], &|s| s.tip_flow_m3_s[i]))
                    .collect(),
            },
            tank: (0..plumbing.tanks.len()).map(|i| of_sample(&|s| s.tanks[i])).collect(),
        }
    }
}

/// The changes of one figure over the moments, to `decimals` places.
fn series(
    chosen: &[(usize, f64, Moment<'_>)],
    decimals: i32,
    value: impl Fn(&Moment<'_>) -> f64,
) -> Series {
    let mut changes = Series::new();
    let mut last = None;
    for (k, (_, _, moment)) in chosen.iter().enumerate() {
        let value = rounded(value(moment), decimals);
        // No value stands as a number that no figure takes.
        let value = if value.is_finite() { value } else { NONE };
        if last != Some(value) {
            changes.push(k.into());
            changes.extend(number(value));
            last = Some(value);
        }
    }
    changes
}

/// Stands where there is no value.
const NONE: f64 = -1e9;

/// A number without a needless fraction.
fn number(value: f64) -> Option<serde_json::Number> {
    if value.fract() == 0.0 && value.abs() < 1e15 {
        return Some((value as i64).into());
    }
    serde_json::Number::from_f64(value)
}

/// The moments that are shown, of `most_figures` figures in all or little more, each with its step's number and its time, s.
fn chosen(finished: &Finished, most_figures: usize) -> Vec<(usize, f64, Moment<'_>)> {
    let plumbing = finished.plumbing();
    let figures = 3 * plumbing.branches.len() + 2 * plumbing.nodes.len() + 2 * plumbing.tips.len();
    let most = (most_figures / figures.max(1)).clamp(LEAST_MOMENTS, MOST_MOMENTS);
    let sampled = |record: &StepRecord| record.moved.as_ref().map_or(0, |m| m.samples.len());
    let all: usize = finished.record.steps.iter().map(sampled).sum();
    let share = (most as f64 / all.max(1) as f64).min(1.0);
    let mut moments = Vec::new();
    for (i, record) in finished.record.steps.iter().enumerate() {
        let Some(moved) = &record.moved else {
            moments.push((i, record.end_s, Moment::State(&record.end)));
            continue;
        };
        let samples = &moved.samples;
        let count = ((samples.len() as f64 * share).round() as usize).max(2).min(samples.len());
        let last = samples.len().saturating_sub(1);
        for k in 0..count {
            // The first and the last of a step always are there: its figures are those of its end.
            let sample = &samples[k * last / (count - 1).max(1)];
            moments.push((i, sample.time_s, Moment::Sample(sample)));
        }
    }
    moments
}
