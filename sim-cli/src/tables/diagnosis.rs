//! What a diagnosis prints: the answer first, then what it rests on.

use super::sheets::{Sheet, sheets};
use crate::columns::{WIDTH, grid, wrapped};
use crate::results::Diagnosed;
use crate::words::diagnosis::{CAUTIONS, answer};
use sim_core::diagnosis::Calibration;
use std::path::Path;

const CRITERION: &str = "Score: misfit (squared differences over accuracy) plus, for each size fitted, the logarithm of the \
    number of readings (Schwarz 1978), minus twice the logarithm of the chance given beforehand: 50 % no fault, 45 % \
    one, 5 % two, shared among kinds and then among places (Chen & Chen 2008). Probabilities hold among what was \
    considered and for a machine that is as the scenario says.";

/// Everything a diagnosis prints.
pub(crate) fn report(diagnosed: &Diagnosed) -> String {
    let mut out = format!("{}: {}\n", diagnosed.scenario.title, diagnosed.readings.title);
    let width = out.trim_end().chars().count().min(WIDTH);
    out.push_str(&format!("{}\n", "=".repeat(width)));
    for paragraph in answer(diagnosed) {
        out.push_str(&wrapped(&paragraph, ""));
    }
    for Sheet { title, header, rows, left } in sheets(diagnosed) {
        out.push_str(&grid(&title, &header, &rows, left));
    }
    out.push_str(&wrapped(CRITERION, ""));
    out.push_str(&wrapped(&format!("Caution: {}", CAUTIONS.join(" ")), ""));
    out
}

/// What a calibration prints.
pub(crate) fn calibration(calibration: &Calibration, target: &Path) -> String {
    let rows: Vec<Vec<String>> = calibration
        .factors
        .iter()
        .map(|factor| {
            vec![
                factor.name.to_owned(),
                format!("{:.3}", factor.value),
                format!("x/\u{f7} {:.2}", factor.within),
                if factor.told { "from the readings" } else { "hardly told by the readings" }
                    .to_owned(),
            ]
        })
        .collect();
    let header = ["factor on", "value", "within", ""].map(str::to_owned).to_vec();
    let mut out = wrapped(
        &format!(
            "{} readings taken as those of the healthy machine: misfit {:.1} before, {:.1} with the factors.",
            calibration.count, calibration.misfit_before, calibration.misfit
        ),
        "",
    );
    if calibration.chance_of_misfit < 1e-3 {
        out.push_str(&wrapped(
            "! The readings do not fit even so: the machine is not healthy, or the scenario is not this machine.",
            "  ",
        ));
    }
    out.push_str(&grid("Calibration", &header, &rows, 1));
    out.push_str(&format!(
        "Written into {}: give it to `millstream diagnose` with --overlay.\n",
        target.display()
    ));
    out
}
