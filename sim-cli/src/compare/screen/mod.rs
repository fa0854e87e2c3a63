//! A comparison on one screen: the figures that differ with the best marked, why, and what to watch out for.

mod cautions;
mod rows;

use super::letters::LETTERS;
use super::{Comparison, reasons};
use crate::columns::broken;
use crate::results::Finished;
use crate::tables::Page;
use crate::words::CAUTION;

/// Lines of a screen: what a terminal shows at once, or somewhat more.
const MOST_LINES: usize = 45;
/// Sentences of reasons.
const MOST_REASONS: usize = 5;
const REST: &str = "The rest: --full\n";

impl Comparison {
    /// What the comparison of `runs` comes to, in lines of `width` columns; `payback` is what prices have to say.
    pub(crate) fn screen(&self, runs: &[Finished], payback: Option<&Page>, width: usize) -> String {
        let mut head = String::new();
        for (layout, run) in self.layouts.iter().zip(runs) {
            let title = &run.scenario().title;
            head.push_str(&broken(
                &format!("{}: {title} ({})", layout.letter, layout.source.file),
                "   ",
                width,
            ));
        }
        let why: String = why(runs).iter().map(|text| broken(text, "", width)).collect();
        let payback = payback.map(|page| page.to_text(width)).unwrap_or_default();
        let mut foot = String::new();
        foot.push_str(&broken(&format!("- {CAUTION}"), "  ", width));
        let fixed = head.lines().count() + why.lines().count() + foot.lines().count() + 6;
        let table = rows::table(self, runs, MOST_LINES.saturating_sub(fixed), width);
        let left = MOST_LINES.saturating_sub(fixed + table.lines().count());
        let cautions = cautions::list(runs, left, width);
        format!("{head}\n{table}\n{why}{payback}\nWatch out\n{cautions}{foot}\n{REST}")
    }
}

/// The most telling reasons, for several layouts some of each.
fn why(runs: &[Finished]) -> Vec<String> {
    let others = runs.len() - 1;
    let most = (MOST_REASONS / others).max(1);
    let of = |(at, run): (usize, &Finished)| {
        let reasons = reasons::in_short(('A', &runs[0]), (LETTERS[at], run));
        let reasons = reasons.into_iter().take(most).collect::<Vec<_>>().join(" ");
        if others > 1 { format!("A and {}: {reasons}", LETTERS[at]) } else { reasons }
    };
    runs.iter().enumerate().skip(1).take(MOST_REASONS).map(of).collect()
}
