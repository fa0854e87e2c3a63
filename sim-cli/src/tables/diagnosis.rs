//! What a diagnosis prints: the answer first, then what it rests on.

use super::page::{Block, Page, underlined};
use super::sheets::sheets;
use crate::columns::{Columns, printable_path};
use crate::results::Diagnosed;
use crate::words::count_of;
use crate::words::diagnosis::{CAUTIONS, answer};
use sim_core::diagnosis::{Calibration, CalibrationFactor};
use sim_core::units::UnitSystem;
use std::path::Path;

const CRITERION: &str = "Probability: of each explanation beforehand (no fault, one, two, something else, shared among kinds and then \
    among places) times that of the readings over all its severities as they are known beforehand; the readings file may state \
    both under [prior]. Score: minus twice its logarithm. Faults too small for these readings to show count as none. \
    Explanations of one number cannot be told apart. For a machine that is as the scenario says.";

/// Everything a diagnosis prints.
pub(crate) fn report(diagnosed: &Diagnosed, width: usize) -> String {
    let mut page = Page::default();
    answer(diagnosed).into_iter().for_each(|paragraph| page.paragraph(paragraph));
    sheets(diagnosed).into_iter().for_each(|sheet| page.table(sheet));
    page.paragraph(CRITERION);
    page.paragraph(format!("Caution: {}", CAUTIONS.join(" ")));
    let title = format!("{}: {}", diagnosed.scenario.title, diagnosed.readings.title);
    underlined(&title, "=") + &page.to_text(width)
}

/// What a calibration prints.
pub(crate) fn calibration(calibration: &Calibration, target: &Path, width: usize) -> String {
    let mut page = Page::default();
    page.paragraph(format!(
        "{} taken as those of the healthy machine: misfit {:.1} before, {:.1} with the factors.",
        count_of(calibration.count, "reading"),
        calibration.misfit_before,
        calibration.misfit
    ));
    if calibration.chance_of_misfit < 1e-3 {
        page.blocks.push(Block::Warning(NOT_HEALTHY.into()));
    }
    if calibration.factors.iter().any(|factor| factor.suspected) {
        page.blocks.push(Block::Warning(SUSPECTED.into()));
    }
    let source = |f: &CalibrationFactor| match f {
        f if f.suspected => "at the edge of what it can be: a fault? not written",
        f if f.constrained => "from the readings",
        _ => "barely constrained by the readings",
    };
    let table = Columns::new()
        .words("factor on", |f: &CalibrationFactor| f.name)
        .plain("value", 3, |f| f.value)
        .text("within", |f| format!("x/\u{f7} {:.2}", f.within))
        .text("", source)
        .table("Calibration", &calibration.factors, UnitSystem::Si);
    page.table(table);
    let target = printable_path(target);
    page.to_text(width)
        + &format!("Written into {target}: give it to `millstream diagnose` with --overlay.\n")
}

const SUSPECTED: &str = "A factor is at the edge of what such a figure can be: a fault is more likely than a figure so far off. It is \
    not written into the overlay. Find out what is wrong there (millstream diagnose SCENARIO READINGS), mend it, and calibrate again.";

const NOT_HEALTHY: &str = "The readings do not fit even so: the machine is not healthy, or the scenario is not this machine.";
