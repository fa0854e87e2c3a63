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

const CRITERION: &str = "Score: misfit (squared differences over accuracy) plus, for each size fitted, the logarithm of the \
    number of readings (Schwarz 1978), minus twice the logarithm of the chance given beforehand: 50 % no fault, 45 % \
    one, 5 % two, shared among kinds and then among places (Chen & Chen 2008). Probabilities hold among what was \
    considered and for a machine that is as the scenario says.";

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
    let source = |f: &CalibrationFactor| {
        if f.constrained { "from the readings" } else { "barely constrained by the readings" }
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

const NOT_HEALTHY: &str = "The readings do not fit even so: the machine is not healthy, or the scenario is not this machine.";
