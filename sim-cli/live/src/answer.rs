//! What findings mean to who looks at the page.

use page_model::words::{allowed, place, place_words, sentence};
use serde::Serialize;
use sim_core::findings::{LossFinding, Measured, StepFindings, TipFinding, Verdict};
use sim_core::units::{Quantity as Q, UnitSystem, show};

/// Losses that are shown at most.
const MOST_LOSSES: usize = 10;

/// The findings of a step in words and shown values.
#[derive(Debug, Serialize)]
pub(crate) struct Answer {
    verdicts: Vec<VerdictRow>,
    measures: Vec<MeasureRow>,
    losses: Vec<LossRow>,
    warnings: Vec<String>,
    /// Flow of each tip over that of its table, less 1, in percent; nothing for a tip that does not run.
    off_table: Vec<Option<f64>>,
}

#[derive(Debug, Serialize)]
struct VerdictRow {
    words: &'static str,
    value: String,
    allowed: String,
    place: String,
    source: String,
    met: bool,
    /// Whether it waits for something that may still come.
    pending: bool,
}

#[derive(Debug, Serialize)]
struct MeasureRow {
    words: &'static str,
    value: String,
    place: String,
}

#[derive(Debug, Serialize)]
struct LossRow {
    name: String,
    loss: String,
    velocity: String,
    /// Of what all pumps give, in percent.
    share: f64,
}

impl Answer {
    /// What was `found`, so far where the run `goes_on`.
    pub(crate) fn of(found: &StepFindings, goes_on: bool, units: UnitSystem) -> Self {
        let loss = |loss: &LossFinding| LossRow {
            name: loss.branch.name.replace('-', " "),
            loss: show(loss.loss_pa, Q::Pressure, units),
            velocity: loss.velocity_m_s.map(|v| show(v, Q::Velocity, units)).unwrap_or_default(),
            share: 100.0 * loss.power_share,
        };
        let off = |tip: &TipFinding| tip.from_nominal_share.map(|share| 100.0 * share);
        Self {
            verdicts: found
                .verdicts
                .iter()
                .map(|verdict| verdict_row(verdict, goes_on, units))
                .collect(),
            measures: found.measured().iter().map(|one| measure_row(one, units)).collect(),
            losses: found.losses.iter().take(MOST_LOSSES).map(loss).collect(),
            warnings: found.warnings.iter().map(|warning| sentence(warning, units)).collect(),
            off_table: found.tips.iter().map(off).collect(),
        }
    }
}

fn verdict_row(verdict: &Verdict, goes_on: bool, units: UnitSystem) -> VerdictRow {
    let value = show(verdict.value, verdict.measure.quantity(), units);
    VerdictRow {
        words: verdict.measure.words(),
        value: if verdict.reached { value } else { format!("not within {value}") },
        allowed: allowed(verdict, units),
        place: place(verdict),
        source: verdict.source.clone(),
        met: verdict.met,
        pending: goes_on && !verdict.reached,
    }
}

fn measure_row(measured: &Measured, units: UnitSystem) -> MeasureRow {
    let value = show(measured.value, measured.measure.quantity(), units);
    MeasureRow {
        words: measured.measure.words(),
        value: if measured.reached { value } else { format!("not within {value}") },
        place: measured.place.as_ref().map(place_words).unwrap_or_default(),
    }
}
