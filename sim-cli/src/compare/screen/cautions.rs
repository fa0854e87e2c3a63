//! The warnings of each layout, each once.

use crate::columns::broken;
use crate::compare::letters::LETTERS;
use crate::results::Finished;
use crate::screen::each_once;
use crate::words::sentence;

/// The warnings within `most` lines of `width`; what has no place is counted.
pub(super) fn list(runs: &[Finished], most: usize, width: usize) -> String {
    let mut told: Vec<(Vec<String>, String)> = Vec::new();
    for (run, letter) in runs.iter().zip(LETTERS) {
        for warning in each_once(run) {
            let text = sentence(warning, run.units);
            match told.iter_mut().find(|(_, known)| *known == text) {
                Some((letters, _)) => letters.push(letter.to_string()),
                None => told.push((vec![letter.to_string()], text)),
            }
        }
    }
    let (mut out, mut left, mut count) = (String::new(), most.saturating_sub(1), 0);
    for (letters, text) in &told {
        let lines = broken(&format!("- {}: {text}", letters.join(", ")), "  ", width);
        let Some(rest) = left.checked_sub(lines.lines().count()) else { break };
        (left, count) = (rest, count + 1);
        out.push_str(&lines);
    }
    match told.len() - count {
        0 => {}
        1 => out.push_str("- and one more warning: --full\n"),
        more => out.push_str(&format!("- and {more} more warnings: --full\n")),
    }
    out
}
