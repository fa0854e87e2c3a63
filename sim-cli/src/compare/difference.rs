//! Figures of several layouts, how they differ, and which is better.

use super::pairs::Pair;
use super::whole::WHOLE;
use crate::columns::Columns;
use crate::report::figures::{Better, FIGURES, Meaning};
use crate::results::Finished;
use crate::tables::Page;
use serde::Serialize;
use sim_core::units::{Quantity as Q, UnitSystem, show};

/// Difference, as a share of the larger value, below which no layout is called better.
const ALIKE: f64 = 0.005;

/// Figures of steps that stand beside each other, or of the whole runs.
#[derive(Debug, Serialize)]
pub(crate) struct Block {
    title: String,
    figures: Vec<Row>,
}

/// One figure of every layout.
#[derive(Debug, Serialize)]
struct Row {
    #[serde(flatten)]
    meaning: &'static Meaning,
    /// SI; null where a layout has no such figure.
    values: Vec<Option<f64>>,
    /// Number of the layout that is better, from 0; null where none is.
    better: Option<usize>,
}

/// The whole runs beside each other.
pub(super) fn whole(runs: &[Finished]) -> Block {
    let rows = WHOLE.iter().map(|figure| {
        let values: Vec<Option<f64>> = runs.iter().map(figure.of).collect();
        row(&figure.meaning, values)
    });
    Block { title: "Whole run".into(), figures: rows.filter(Row::says_something).collect() }
}

/// One step of each layout beside the others'.
pub(super) fn of_step(runs: &[Finished], pair: &Pair) -> Block {
    let steps = || runs.iter().zip(&pair.steps);
    let mut names: Vec<&str> = Vec::new();
    for name in steps().filter_map(|(run, i)| Some(&run.loaded.scenario.course.steps[(*i)?].name)) {
        if !names.contains(&name.as_str()) {
            names.push(name);
        }
    }
    let rows = FIGURES.iter().map(|figure| {
        let values = steps().map(|(run, i)| (figure.of)(&run.findings[(*i)?])).collect();
        row(&figure.meaning, values)
    });
    Block {
        title: format!("Step {}", names.join(" / ")),
        figures: rows.filter(Row::says_something).collect(),
    }
}

fn row(meaning: &'static Meaning, values: Vec<Option<f64>>) -> Row {
    let better = best(&values, meaning.better, meaning.quantity);
    Row { meaning, values, better }
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

impl Row {
    fn says_something(&self) -> bool {
        self.values.iter().flatten().any(|value| *value != 0.0)
    }

    /// What the second layout has more of than the first, in words; empty where there are not two.
    fn difference(&self, units: UnitSystem) -> String {
        let [Some(a), Some(b)] = self.values[..] else { return String::new() };
        let text = show((b - a).abs(), self.meaning.quantity, units);
        if rounds_to_nothing(&text) {
            return "none".into();
        }
        format!("{}{text}", if b > a { "+" } else { "\u{2212}" })
    }

    /// Whether every layout has the figure and none stands out either way.
    fn are_alike(&self) -> bool {
        let worst = best(&self.values, Better::More, self.meaning.quantity).is_none();
        worst
            && best(&self.values, Better::Less, self.meaning.quantity).is_none()
            && self.values.iter().all(Option::is_some)
    }

    fn verdict(&self, letters: &[char]) -> String {
        match self.better {
            Some(best) => letters[best].to_string(),
            None if self.meaning.better != Better::Neither && self.are_alike() => "alike".into(),
            None => String::new(),
        }
    }
}

impl Block {
    /// The block as a table of `page`.
    pub(super) fn table(&self, page: &mut Page, letters: &[char], units: UnitSystem) {
        let two = letters.len() == 2;
        let mut columns = Columns::new().words("", |row: &Row| row.meaning.name);
        for (layout, letter) in letters.iter().enumerate() {
            let shown = move |row: &Row| row.meaning.shown(row.values[layout], units);
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
    use super::{Q, best};
    use crate::report::figures::Better;

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
