//! Figures of several layouts, how they differ, and which is better.

use super::pairs::Pair;
use crate::columns::Columns;
use crate::results::Finished;
use crate::tables::Page;
use crate::words::or_dash;
use serde::Serialize;
use sim_core::findings::{Measured, of_whole_run, value};
use sim_core::measures::{Better, Measure};
use sim_core::units::{Quantity as Q, UnitSystem, show};

/// Difference, as a share of the larger value, below which no layout is called better.
const ALIKE: f64 = 0.005;

/// Figures of steps that are side by side, or of the whole runs.
#[derive(Debug, Serialize)]
pub(crate) struct FigureBlock {
    title: String,
    figures: Vec<FigureRow>,
}

/// One figure of every layout.
#[derive(Debug, Serialize)]
struct FigureRow {
    #[serde(rename = "key")]
    measure: Measure,
    /// SI; null where a layout has no such figure.
    values: Vec<Option<f64>>,
    /// Number of the layout that is better, from 0; null where none is.
    better: Option<usize>,
}

/// The whole runs beside each other.
pub(super) fn whole(runs: &[Finished]) -> FigureBlock {
    let found = |run: &Finished| of_whole_run(run.plumbing(), &run.findings);
    let found: Vec<Vec<Measured>> = runs.iter().map(found).collect();
    FigureBlock { title: "Whole run".into(), figures: rows(Measure::of_runs(), &found) }
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
    }
}

/// Those of `measures` that say something, from what was `found` on each layout.
fn rows(measures: impl Iterator<Item = Measure>, found: &[Vec<Measured>]) -> Vec<FigureRow> {
    let row = |measure: Measure| {
        let values: Vec<Option<f64>> = found.iter().map(|found| value(found, measure)).collect();
        let better = best(&values, measure.better(), measure.quantity());
        FigureRow { measure, values, better }
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
    let scale = first.abs().max(second.abs());
    let apart = (first - second).abs();
    let seen = !rounds_to_nothing(&show(apart, quantity, UnitSystem::Si));
    (seen && apart > ALIKE * scale).then_some(order[0])
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
        let [Some(a), Some(b)] = self.values[..] else { return String::new() };
        let text = show((b - a).abs(), self.measure.quantity(), units);
        if rounds_to_nothing(&text) {
            return "none".into();
        }
        format!("{}{text}", if b > a { "+" } else { "\u{2212}" })
    }

    /// Whether every layout has the figure and none stands out either way.
    fn are_alike(&self) -> bool {
        let worst = best(&self.values, Better::More, self.measure.quantity()).is_none();
        worst
            && best(&self.values, Better::Less, self.measure.quantity()).is_none()
            && self.values.iter().all(Option::is_some)
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
            let shown =
                move |row: &FigureRow| or_dash(row.values[layout], row.measure.quantity(), units);
            columns = columns.text(&letter.to_string(), shown);
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
