//! The operator's card: one page of steps to laminate.

use super::card_steps::{CardStep, DayWork, card_steps};
use super::paper_page::PaperPage;
use super::paper_set::PaperSet;
use crate::columns::escaped;
use crate::output::OutputFile;
use crate::results::Finished;
use crate::words::{AIR_CAUTION, CAUTION, count_of};

/// Steps that have room on the card.
const MOST_STEPS: usize = 8;
const STAY_SAFE: &str = "Stop the pump and let the pressure fall to nothing before a line, strainer or tip is opened. Wear what \
    the label asks for. Keep people away from the boom, and from tips and hose ends while air blows.";

/// The card of a run.
pub(crate) fn card(finished: &Finished) -> PaperSet {
    let steps = card_steps(finished);
    let absent: Vec<&str> = DayWork::ALL
        .into_iter()
        .filter(|work| steps.iter().all(|step| step.work != *work))
        .map(DayWork::word)
        .collect();
    let absent = absent_words(&absent);
    PaperSet {
        title: "Operator's card",
        answer: format!("{} on one page. {absent}", count_of(steps.len(), "step"))
            .trim_end()
            .into(),
        files: vec![OutputFile::text("card.html", page(finished, &steps, &absent))],
    }
}

/// Says plainly what the scenario does not contain.
fn absent_words(absent: &[&str]) -> String {
    match absent {
        [] => String::new(),
        [one] => format!("The scenario has no step to {one}: the card says nothing of it."),
        [others @ .., last] => format!(
            "The scenario has no step to {} or {last}: the card says nothing of them.",
            others.join(", ")
        ),
    }
}

fn page(finished: &Finished, steps: &[CardStep], absent: &str) -> String {
    let mut page = PaperPage::default();
    let air = finished.plumbing().air.is_some();
    page.element("<div class=\"card\">\n");
    for (i, step) in steps.iter().take(MOST_STEPS).enumerate() {
        page.element(&block(i + 1, step));
    }
    page.element("</div>\n");
    let more = steps.len().saturating_sub(MOST_STEPS);
    if more > 0 {
        page.paragraph(&format!("{} in the report of the run.", count_of(more, "more step")));
    }
    page.paragraph(absent);
    page.cautions([CAUTION, STAY_SAFE].into_iter().chain(air.then_some(AIR_CAUTION)));
    page.note(
        "Seconds, volumes and pressures are those of the run of this scenario, with its liquid and its tips; on the machine the \
         gauge and the catch test decide.",
    );
    page.page("Operator's card", &finished.loaded)
}

/// One step.
fn block(number: usize, step: &CardStep) -> String {
    let set: Vec<String> = step
        .set
        .iter()
        .map(|(what, how)| format!("<li>{}: <b>{}</b></li>", escaped(what), escaped(how)))
        .collect();
    let unmet: Vec<String> = step
        .unmet
        .iter()
        .map(|limit| format!("<p class=\"unmet\">NOT met: {}.</p>", escaped(limit)))
        .collect();
    format!(
        "<section class=\"step\"><h2>{number} {} <small>\u{201c}{}\u{201d}</small></h2>\n<ul>{}</ul>\n<p><b>How long</b> {}.</p>\n\
         <p>{}</p>{}</section>\n",
        escaped(&step.work.word().to_uppercase()),
        escaped(&step.name),
        set.join(""),
        escaped(step.until.trim_end_matches('.')),
        escaped(&step.gives),
        unmet.join("")
    )
}
