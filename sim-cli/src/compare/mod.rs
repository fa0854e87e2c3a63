//! Layouts side by side: the same steps on each, the findings with their differences, and why they differ.

mod difference;
mod letters;
mod page;
mod pairs;
mod payback;
mod reasons;
mod screen;
mod sweep;

pub(crate) use letters::MOST_LAYOUTS;
pub(crate) use page::html;
pub(crate) use payback::{Payback, payback};
pub(crate) use sweep::{Sweep, SweepPoint};

use crate::results::{Finished, PROGRAM, Source};
use crate::tables::Page;
use difference::FigureBlock;
use letters::LETTERS;
use pairs::{Pair, pairs};
use serde::Serialize;

/// What a comparison of runs found.
#[derive(Debug, Serialize)]
pub(crate) struct Comparison {
    schema: &'static str,
    program: &'static str,
    layouts: Vec<Layout>,
    /// The whole run first, then step by step.
    findings: Vec<FigureBlock>,
    /// Steps that are beside no other, with their layouts.
    alone: Vec<Alone>,
    /// The difference in words: one paragraph for each layout after the first.
    explained: Vec<String>,
}

/// A comparison with what prices have to say of it, as programs read it.
#[derive(Serialize)]
pub(crate) struct PricedComparison<'a> {
    #[serde(flatten)]
    pub(crate) comparison: &'a Comparison,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(crate) payback: Option<&'a Payback>,
}

/// A step that only one layout has.
#[derive(Debug, Serialize)]
struct Alone {
    letter: char,
    step: String,
}

#[derive(Debug, Serialize)]
struct Layout {
    letter: char,
    #[serde(flatten)]
    source: Source,
}

impl Comparison {
    /// Compares `runs`, of which there are at least two and at most [`MOST_LAYOUTS`].
    pub(crate) fn of(runs: &[Finished]) -> Self {
        let layouts = runs.iter().zip(LETTERS);
        let whole = difference::whole(runs);
        let steps = pairs(runs);
        let shared = |pair: &&Pair| pair.steps.iter().flatten().count() > 1;
        let of_steps = steps.iter().filter(shared).map(|pair| difference::of_step(runs, pair));
        Self {
            schema: "2",
            program: PROGRAM,
            layouts: layouts
                .clone()
                .map(|(run, letter)| Layout { letter, source: Source::of(&run.loaded) })
                .collect(),
            findings: std::iter::once(whole).chain(of_steps).collect(),
            alone: steps
                .iter()
                .filter(|pair| !shared(pair))
                .filter_map(|pair| alone(runs, pair))
                .collect(),
            explained: layouts
                .skip(1)
                .map(|(run, letter)| {
                    let reasons = reasons::explained(('A', &runs[0]), (letter, run));
                    // Of several layouts each paragraph says which two it is of.
                    if runs.len() > 2 { format!("A and {letter}: {reasons}") } else { reasons }
                })
                .collect(),
        }
    }

    /// All that the comparison of `runs` has to say; `payback` is what prices do.
    pub(crate) fn page(&self, runs: &[Finished], payback: Option<&Page>) -> Page {
        let mut page = Page::default();
        for (layout, run) in self.layouts.iter().zip(runs) {
            page.paragraph(format!(
                "{}: {} ({})",
                layout.letter,
                run.scenario().title,
                layout.source.file
            ));
        }
        self.explained.iter().for_each(|text| page.paragraph(text.clone()));
        page.blocks.extend(payback.iter().flat_map(|payback| payback.blocks.clone()));
        let letters = &LETTERS[..runs.len()];
        self.findings.iter().for_each(|block| block.table(&mut page, letters, runs[0].units));
        page.paragraph(self.alone_in_words());
        if runs.iter().flat_map(|run| &run.findings).any(|found| found.purge.is_some()) {
            page.paragraph(crate::words::AIR_CAUTION);
        }
        page.paragraph(crate::words::CAUTION);
        page
    }

    /// The limits that layouts of `runs` do not meet, under their letters.
    pub(crate) fn not_met(&self, runs: &[Finished], width: usize) -> String {
        let of = |(layout, run): (&Layout, &Finished)| {
            let unmet = crate::screen::not_met(run, width);
            let head = format!("{}: {}\n", layout.letter, run.scenario().title);
            if unmet.is_empty() { unmet } else { head + &unmet }
        };
        self.layouts.iter().zip(runs).map(of).collect()
    }

    /// Steps that only one layout has; empty where there are none.
    fn alone_in_words(&self) -> String {
        let named: Vec<String> =
            self.alone.iter().map(|alone| format!("{} ({})", alone.step, alone.letter)).collect();
        if named.is_empty() {
            String::new()
        } else {
            format!("Beside no other step: {}.", named.join(", "))
        }
    }
}

fn alone(runs: &[Finished], pair: &Pair) -> Option<Alone> {
    let (layout, step) = pair.steps.iter().enumerate().find_map(|(i, step)| Some((i, (*step)?)))?;
    let step = runs[layout].scenario().course.steps[step].name.clone();
    Some(Alone { letter: LETTERS[layout], step })
}
