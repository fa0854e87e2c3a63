//! The figures that matter of every step, steps beside each other.

use crate::columns::Columns;
use crate::results::{Finished, FinishedStep};
use crate::tables::purge::called;
use sim_core::findings::{Measured, Residual, value};
use sim_core::measures::Measure;
use sim_core::units::{Quantity as Q, show, show_number};

/// Columns that names of figures take, and those of a step.
const NAMES: usize = 36;
const STEP: usize = 12;

/// A row of the table.
#[derive(Clone, Copy)]
enum Figure {
    /// A measure as it is.
    Of(Measure),
    /// Rate over the field, and the one wanted.
    Rate,
    /// What a purge brought back, of what was in the lines.
    Returned,
    /// Part of what a purge left, and what it is called.
    Left(&'static str, fn(&Residual) -> f64),
}

/// The rows in order; those that no step has anything for are left out.
const FIGURES: [Figure; 20] = [
    Figure::Of(Measure::Filled),
    Figure::Of(Measure::FullStrength),
    Figure::Of(Measure::UnderDosed),
    Figure::Rate,
    Figure::Of(Measure::MeanTipPressure),
    Figure::Of(Measure::TipPressureVariation),
    Figure::Of(Measure::ReturnFlow),
    Figure::Returned,
    Figure::Of(Measure::PurgeResidual),
    Figure::Left("  of it wall film", |left| left.wall_film_m3),
    Figure::Left("  of it undrained", |left| left.undrained_m3),
    Figure::Left("  of it in low spots", |left| left.low_spot_m3),
    Figure::Left("  of it in dead legs", |left| left.dead_leg_m3),
    Figure::Of(Measure::PurgeLost),
    Figure::Of(Measure::Sprayed),
    Figure::Of(Measure::HighestTipConcentration),
    Figure::Of(Measure::ResidualProduct),
    Figure::Of(Measure::Settled),
    Figure::Of(Measure::HighestPressure),
    Figure::Of(Measure::SuctionMargin),
];

/// A step and what was measured in it.
type MeasuredStep<'a> = (FinishedStep<'a>, Vec<Measured>);

/// The table in lines of `width`; a line more says how many steps have no place in it.
pub(super) fn table(finished: &Finished, width: usize) -> String {
    let steps = finished.reported_steps().map(|of| (of, of.findings.measured()));
    let mut steps: Vec<MeasuredStep<'_>> = steps.filter(|step| says_something(step, 0)).collect();
    let most = (width.saturating_sub(NAMES) / STEP).max(1);
    if steps.len() > most {
        // What only has a pressure is left out first.
        steps.retain(|step| says_something(step, 1));
    }
    let left_out = steps.len().saturating_sub(most);
    steps.truncate(most);
    let rows = FIGURES.iter().filter(|row| steps.iter().any(|step| row.cell(step).is_some()));
    let rows: Vec<&Figure> = rows.collect();
    if rows.is_empty() {
        return String::new();
    }
    let mut columns = Columns::new().words("", |row: &&Figure| row.words());
    for step in &steps {
        columns = columns.text(&called(&step.0), |row: &&Figure| row.cell(step));
    }
    let mut out = format!("\n{}", columns.table("", &rows, finished.units).bare(width));
    if left_out > 0 {
        let more = if left_out == 1 { "step" } else { "steps" };
        out.push_str(&format!(" and {left_out} more {more}: --show figures\n"));
    }
    out
}

/// Whether the table has more than `few` figures of a step.
fn says_something(step: &MeasuredStep<'_>, few: usize) -> bool {
    FIGURES.iter().filter(|row| row.cell(step).is_some()).count() > few
}

impl Figure {
    fn words(self) -> &'static str {
        match self {
            Self::Of(measure) => measure.words(),
            Self::Rate => "application rate",
            Self::Returned => Measure::PurgeReturned.words(),
            Self::Left(words, _) => words,
        }
    }

    /// What the row has of a step; nothing where that is nothing.
    fn cell(self, (of, found): &MeasuredStep<'_>) -> Option<String> {
        let volume = |m3: f64| of.show(m3, Q::Volume);
        match self {
            // What leaves the tips in a purge is lost.
            Self::Of(Measure::Sprayed) if of.findings.purge.is_some() => None,
            Self::Of(measure) => {
                let value = value(found, measure).filter(|value| *value != 0.0)?;
                Some(of.show(value, measure.quantity()))
            }
            Self::Rate => {
                let application = of.findings.application.as_ref()?;
                let rate = show(application.rate_m, Q::ApplicationRate, of.units);
                let wanted = application.target_rate_m;
                let wanted = wanted.map(|wanted| show_number(wanted, Q::ApplicationRate, of.units));
                Some(wanted.map_or(rate.clone(), |wanted| format!("{rate} ({wanted} wanted)")))
            }
            Self::Returned => {
                let purge = of.findings.purge.as_ref()?;
                let returned = show_number(purge.returned_m3, Q::Volume, of.units);
                Some(format!("{returned} of {}", volume(purge.at_start_m3)))
            }
            Self::Left(_, part) => {
                let left = part(&of.findings.purge.as_ref()?.residual);
                (left > 0.0).then(|| volume(left))
            }
        }
    }
}
