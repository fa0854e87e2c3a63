//! What is uncertain without being asked, and what files hold, as a page for readers.

use crate::words::off_words;
use sim_core::study::default_inputs;
use sim_core::units::UnitSystem;
use std::fmt::Write as _;

/// The usual inputs and the files of `run --uncertain`, as Markdown.
pub(crate) fn reference() -> String {
    let mut page = String::from(INPUTS);
    for usual in default_inputs() {
        let (name, off) = (usual.input.name(), off_words(usual.off, UnitSystem::Si));
        // Writing to a String cannot fail.
        let _ = writeln!(page, "| `{name}` | {} | {off} | {} |", usual.words, usual.source);
    }
    page + FILES
}

const INPUTS: &str = "
## Inputs that are uncertain by default

About 95 of 100 machines are within each spread; each input is one draw for the whole machine, so that hoses of one kind or worn tips
are off together. Those that change nothing in a scenario are not drawn. The layer behind a front of air is counted on what
a run found: so many times its film stays, and so much less comes back.

| input | called | about 95 of 100 within | source |
| --- | --- | --- | --- |
";

const FILES: &str = "
## What `run --uncertain` writes

`draws.csv` has a row a draw: factors on inputs (kelvins on the temperature), then every measure of its run in SI; empty where a time
was not reached. `uncertainty.json`, all in SI:

| key | meaning |
| --- | --- |
| `schema`, `program`, `scenario` | layout of this file; version; title, file and SHA-256 of the scenario |
| `draws`, `moved_draws`, `seed`, `untrusted_runs` | draws; how many of them were run again with each input moved; which draws; runs without a result to trust |
| `inputs` | `input`, `spread`, `source` of each that was drawn |
| `bands` | of each measure `key`: `stated` as the scenario has it; `low`, `middle`, `high`: 5, 50 and 95 of 100 draws are below; `reached_share` of draws; `moved_by`, how far each input moves it over the whole range of the input (mean of elementary effects); `total_share`, each input's total index where enough draws were moved |
| `limits` | of each limit `step`, `key`, `at_most`, `at_least`, `source`: `met_share` of draws, and between what the chance is with 95 % confidence, `met_share_from` to `met_share_to` |

Points are a Sobol sequence scrambled after Owen; the same seed gives the same bytes on any number of threads. Chances carry Wilson's
interval, which holds for draws by lot and is wider than evenly spread points need. Total indices are Jansen's.
";
