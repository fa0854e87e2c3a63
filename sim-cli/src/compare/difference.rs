//! Figures of several layouts, how they differ, and which is better.

use super::letters::LETTERS;
use super::pairs::Pair;
use crate::columns::Columns;
use crate::results::Finished;
use crate::tables::Page;
use crate::words::{limits_missed, or_dash};
use serde::Serialize;
use sim_core::findings::{Measured, of_whole_run, value};
use sim_core::measures::{Better, Measure};
use sim_core::units::{Quantity as Q, UnitSystem, show};

/// Difference, as a share of the larger value, below which no layout is called better: a careful reading with a test gauge or
/// a jug would not show it (common practice, no source).
const ALIKE: f64 = 0.02;

/// Figures of steps that are side by side, or of the whole runs.
#[derive(Debug, Serialize)]
pub(crate) struct FigureBlock {
    pub(super) title: String,
    pub(super) figures: Vec<FigureRow>,
    /// Letters of the layouts that have no such step.
    #[serde(skip)]
    pub(super) lacking: Vec<char>,
}

/// One figure of every layout.
#[derive(Debug, Serialize)]
pub(super) struct FigureRow {
    #[serde(rename = "key")]
    pub(super) measure: Measure,
    /// SI; null where a layout has no such figure.
    pub(super) values: Vec<Option<f64>>,
    /// Number of the layout that is better, from 0; null where none is.
    pub(super) better: Option<usize>,
    /// The values in words, where these say more than a number and its unit.
    #[serde(skip)]
    in_words: Option<Vec<String>>,
}

/// The whole runs beside each other.
pub(super) fn whole(runs: &[Finished]) -> FigureBlock {
    let found = |run: &Finished| of_whole_run(run.plumbing(), &run.findings);
    let found: Vec<Vec<Measured>> = runs.iter().map(found).collect();
    let mut figures = rows(Measure::of_runs(), &found);
    for row in figures.iter_mut().filter(|row| row.measure == Measure::LimitsMissed) {
        row.in_words = Some(runs.iter().map(|run| limits_missed(&run.findings)).collect());
    }
    FigureBlock { title: "Whole run".into(), figures, lacking: Vec::new() }
}

/// One step of each layout beside the others'.
pub(super) fn of_step(runs: &[Finished], pair: &Pair) -> FigureBlock {
    let steps = || runs.iter().zip(&pair.steps);
    let mut names: Vec<&str> = Vec::new();
    for name in steps().filter_map(|(run, i)| Some(&run.scenario().course.steps[(*i)?].name)) {
        if !names.contains(&name.as_str()) {
            names.push(name);
        }
    }
    let measured = |(run, i): (&Finished, &Option<usize>)| {
        i.map(|i| run.findings[i].measured()).unwrap_or_default()
    };
    let found: Vec<Vec<Measured>> = steps().map(measured).collect();
    FigureBlock {
        title: format!("Step {}", names.join(" / ")),
        figures: rows(Measure::of_steps(), &found),
        lacking: pair
            .steps
            .iter()
            .zip(LETTERS)
            .filter(|(i, _)| i.is_none())
            .map(|(_, l)| l)
            .collect(),
    }
}

/// Those of `measures` that say something, from what was `found` on each layout.
fn rows(measures: impl Iterator<Item = Measure>, found: &[Vec<Measured>]) -> Vec<FigureRow> {
    let row = |measure: Measure| {
        let values: Vec<Option<f64>> = found.iter().map(|found| value(found, measure)).collect();
        let better = best(&values, measure.better(), measure.quantity());
        FigureRow { measure, values, better, in_words: None }
    };
    measures.map(row).filter(FigureRow::says_something).collect()
}

/// Number of the best of `values`, if it stands out: by more than [`ALIKE`], and by what can be seen. None
/// where a layout has no value to judge.
fn best(values: &[Option<f64>], better: Better, quantity: Q) -> Option<usize> {
    let values: Vec<f64> = values.iter().copied().collect::<Option<_>>()?;
    let sign = match better {
        Better::Less => 1.0,
        Better::More => -1.0,
        Better::Neither => return None,
    };
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|a, b| (sign * values[*a]).total_cmp(&(sign * values[*b])));
    let (first, second) = (values[*order.first()?], values[*order.get(1)?]);
    differ(first, second, quantity).then_some(order[0])
}

/// Whether `a` and `b` differ by more than [`ALIKE`], and by what can be seen.
fn differ(a: f64, b: f64, quantity: Q) -> bool {
    let apart = (a - b).abs();
    let seen = !rounds_to_nothing(&show(apart, quantity, UnitSystem::Si));
    seen && apart > ALIKE * a.abs().max(b.abs())
}

/// Whether a figure, as shown, has no digit but 0.
fn rounds_to_nothing(shown: &str) -> bool {
    let number = shown.split(' ').next().unwrap_or(shown);
    number.bytes().all(|byte| !(b'1'..=b'9').contains(&byte))
}

impl FigureRow {
    fn says_something(&self) -> bool {
        self.values.iter().flatten().any(|value| *value != 0.0)
    }

    /// What the second layout has more of than the first, in words; empty where there are not two.
    fn difference(&self, units: UnitSystem) -> String {
        let ([Some(a), Some(b)], None) = (&self.values[..], &self.in_words) else {
            return String::new();
        };
        let text = show((b - a).abs(), self.measure.quantity(), units);
        if rounds_to_nothing(&text) {
            return "none".into();
        }
        format!("{}{text}", if b > a { "+" } else { "\u{2212}" })
    }

    /// What `layout` has of it, in words.
    pub(super) fn shown(&self, layout: usize, units: UnitSystem) -> String {
        match &self.in_words {
            Some(words) => words[layout].clone(),
            None => or_dash(self.values[layout], self.measure.quantity(), units),
        }
    }

    /// Whether every layout has the figure and no two differ.
    pub(super) fn are_alike(&self) -> bool {
        let values: Option<Vec<f64>> = self.values.iter().copied().collect();
        let Some(values) = values else { return false };
        let least = values.iter().copied().fold(f64::INFINITY, f64::min);
        let most = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        !differ(least, most, self.measure.quantity())
    }

    /// Numbers of the layouts that are best, where some is not: those that the best of all does not differ from.
    pub(super) fn best(&self) -> Vec<usize> {
        let values: Option<Vec<f64>> = self.values.iter().copied().collect();
        let (Some(values), false) = (values, self.are_alike()) else { return Vec::new() };
        let best = match self.measure.better() {
            Better::Less => values.iter().copied().reduce(f64::min),
            Better::More => values.iter().copied().reduce(f64::max),
            Better::Neither => None,
        };
        let Some(best) = best else { return Vec::new() };
        let is_best = |i: &usize| !differ(values[*i], best, self.measure.quantity());
        (0..values.len()).filter(is_best).collect()
    }

    fn verdict(&self, letters: &[char]) -> String {
        match self.better {
            Some(best) => letters[best].to_string(),
            None if self.measure.better() != Better::Neither && self.are_alike() => "alike".into(),
            None => String::new(),
        }
    }
}

impl FigureBlock {
    /// The block as a table of `page`.
    pub(super) fn table(&self, page: &mut Page, letters: &[char], units: UnitSystem) {
        let two = letters.len() == 2;
        let mut columns = Columns::new().words("", |row: &FigureRow| row.measure.words());
        for (layout, letter) in letters.iter().enumerate() {
            columns = columns.text(&letter.to_string(), move |row| row.shown(layout, units));
        }
        if two {
            columns = columns.text("B less A", |row| row.difference(units));
        }
        let columns = columns.text("better", |row| row.verdict(letters));
        page.table(columns.table(&self.title, &self.figures, units));
    }
}

#[cfg(test)]
mod tests {
    use super::{Better, Q, best};

    #[test]
    fn the_better_layout_stands_out_or_none_is_named() {
        let best = |values: &[Option<f64>], better| best(values, better, Q::Duration);
        assert_eq!(best(&[Some(2.0), Some(1.0)], Better::Less), Some(1));
        assert_eq!(best(&[Some(2.0), Some(1.0)], Better::More), Some(0));
        assert_eq!(best(&[Some(200.0), Some(199.5)], Better::Less), None);
        assert_eq!(best(&[Some(2.0), None], Better::Less), None);
        assert_eq!(best(&[Some(0.0), Some(1e-17)], Better::Less), None);
        assert_eq!(best(&[Some(0.0), Some(1.0)], Better::Less), Some(0));
        assert_eq!(best(&[Some(3.0), Some(1.0), Some(2.0)], Better::Neither), None);
    }
}
