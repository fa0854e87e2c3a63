//! Measures as rows, layouts as columns.

use crate::columns::{Columns, broken};
use crate::compare::Comparison;
use crate::compare::difference::{FigureBlock, FigureRow};
use crate::compare::letters::LETTERS;
use crate::results::Finished;
use sim_core::measures::Measure;
use sim_core::units::UnitSystem;

/// What steps are set beside each other by here; `--full` has all.
const OF_STEPS: [Measure; 11] = [
    Measure::PurgeResidual,
    Measure::PurgeNearlyReturned,
    Measure::ReturnHalf,
    Measure::TipPressureVariation,
    Measure::SectionDrop,
    Measure::HighestPressure,
    Measure::MeanTipPressure,
    Measure::ReturnFlow,
    Measure::SuctionMargin,
    Measure::HighestTipConcentration,
    Measure::ResidualProduct,
];

/// A row of the table.
enum TableLine<'a> {
    /// The run or a step begins.
    Head(&'a FigureBlock),
    Figure(&'a FigureRow),
}

/// The table within `most` lines of `width`, and what there is to say of it.
pub(super) fn table(of: &Comparison, runs: &[Finished], most: usize, width: usize) -> String {
    let units = runs[0].units;
    let mut alike: Vec<&str> = Vec::new();
    let mut lines: Vec<TableLine<'_>> = Vec::new();
    for (at, block) in of.findings.iter().enumerate() {
        let own = block.figures.iter().filter(|row| at == 0 || OF_STEPS.contains(&row.measure));
        let (same, other): (Vec<&FigureRow>, Vec<_>) = own.partition(|row| row.are_alike());
        let new = same.iter().map(|row| row.measure.words()).filter(|words| !alike.contains(words));
        let new: Vec<&str> = new.collect();
        alike.extend(new);
        if !other.is_empty() {
            lines.push(TableLine::Head(block));
            lines.extend(other.into_iter().map(TableLine::Figure));
        }
    }
    let notes = notes(of, &lines, &alike, width);
    // Heads of the columns, and the line that counts what is left out.
    let place = most.saturating_sub(notes.lines().count() + 2).max(4);
    let left_out = lines.len().saturating_sub(place);
    lines.truncate(place);
    if matches!(lines.last(), Some(TableLine::Head(_))) {
        lines.pop();
    }
    let mut columns = Columns::new().words("", |line: &TableLine<'_>| line.words());
    for (layout, letter) in LETTERS[..runs.len()].iter().enumerate() {
        columns = columns.text(&letter.to_string(), move |line| line.cell(layout, units));
    }
    let best = |line: &TableLine<'_>| match line {
        TableLine::Figure(row) => {
            row.best().iter().map(|i| LETTERS[*i].to_string()).collect::<Vec<_>>().join(", ")
        }
        TableLine::Head(_) => String::new(),
    };
    let mut out = columns.words("best", best).table("", &lines, units).bare(width);
    if left_out > 0 {
        out.push_str(&format!(" and {left_out} more: --full\n"));
    }
    out + &notes
}

impl TableLine<'_> {
    fn words(&self) -> String {
        match self {
            Self::Head(block) => block.title.clone(),
            Self::Figure(row) => format!("  {}", row.measure.words()),
        }
    }

    fn cell(&self, layout: usize, units: UnitSystem) -> String {
        match self {
            Self::Head(_) => String::new(),
            Self::Figure(row) => row.shown(layout, units),
        }
    }
}

/// What the marks mean, why there are blanks, and what is alike.
fn notes(of: &Comparison, lines: &[TableLine<'_>], alike: &[&str], width: usize) -> String {
    let mut notes = Vec::new();
    let figures = || {
        lines.iter().filter_map(|line| match line {
            TableLine::Figure(row) => Some(*row),
            TableLine::Head(_) => None,
        })
    };
    if figures().any(|row| !row.best().is_empty()) {
        notes.push(
            "Best: by more than 2 % (less shows on no gauge) and by what is shown.".to_owned(),
        );
    }
    if figures().any(|row| row.values.contains(&None)) {
        let lacks = of.findings.iter().filter(|block| !block.lacking.is_empty()).map(|block| {
            let letters = block.lacking.iter().map(char::to_string).collect::<Vec<_>>().join(", ");
            format!("{letters} no {}", block.title.replacen("Step", "step", 1))
        });
        let lacks: Vec<String> = lacks.collect();
        notes.push(if lacks.is_empty() {
            "-: there is no such figure in this layout.".to_owned()
        } else {
            format!("-: this layout has no such step ({}) or no such figure.", lacks.join("; "))
        });
    }
    if !alike.is_empty() {
        notes.push(format!("Alike: {}.", alike.join(", ")));
    }
    notes.extend(Some(of.alone_in_words()).filter(|alone| !alone.is_empty()));
    broken(&notes.join(" "), "", width)
}
