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
    page + FILES + SEARCH
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

const SEARCH: &str = "
## What `search` writes

Every layout that is put forward is a scenario, `layout-01.toml` and on, with the files it names beside it: run alone it has the same figures.
`front.csv` has a row for each of them, `designs.csv` for every layout that was judged, in that order, with how far it was followed:
first the states of flow of the scenario and of every corner, then the steps before the first purge, then all steps; what breaks a limit is
followed no further. `front.svg` and `front.png` draw the first aim against the second, `front-2` against the third. `search.json`, SI:

| key | meaning |
| --- | --- |
| `schema`, `program`, `base`, `study`, `study_sha256`, `seed` | layout of this file; version; title, file and SHA-256 of the base; title and SHA-256 of the study; which way was gone |
| `judged`, `possible`, `ended_early`, `keep_every_limit`, `front` | layouts judged; how many there are, where that can be counted; whether Ctrl-C ended it; how many keep every limit; how many of these no other beats |
| `layouts` | those put forward: `layout` (its number), `file`, `called`, `variables`, `aims` by key, `leans_on`, `at_an_end`: the variables that are at an end of what was offered |
| `leans_on`, `nearest` | a limit: `key`, `step`, `corner`, `value`, `reached`, `over_share`: by what share of the limit it is broken, below 0 how much is left |
| `chance` | with `--uncertain`, of layouts with names: `met_share` of `draws` that keep every limit of the scenario, between what that chance is with 95 % confidence (`met_share_from`, `met_share_to`), and of each of its `limits` (`step` by number); corners are not drawn |
| `obstacles` | where nothing keeps every limit: `broken` of so many (`of`) layouts break it, and the `nearest` to keeping it |

A part from the catalogue costs its price times the metres of the lines, or the number of the parts, that another part in its place would
change; nothing is added for offcuts, fittings and work. Where there are no more layouts than the budget, all are judged; else
generations follow one another (NSGA-II, limits before aims). The same seed gives the same bytes on any number of threads.
";
