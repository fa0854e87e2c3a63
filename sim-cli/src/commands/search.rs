//! `millstream search`: which layout should be built?

use super::deliver::{deliver, target};
use super::given::read_from;
use super::long::Pace;
use super::units::units;
use crate::args::SearchArgs;
use crate::digest::sha256;
use crate::failure::Failure;
use crate::files::{load, named_files, read_again};
use crate::output::{Destination, KeepsFound, OutputFile};
use crate::results::{Searched, Source};
use crate::search::{SearchDocument, designs_csv, front_csv, layout_files, screen};
use crate::{Streams, plots};
use sim_core::layouts::{Found, LayoutChance, Layouts, PutForward};
use sim_core::scenario::{CatalogueEntry, InputFault, Scenario, Study, read_catalogue, read_study};
use sim_core::simulation;
use sim_core::study::RunOne;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};

/// Files that every search leaves, among others.
const ALWAYS: [&str; 3] = ["search.json", "front.csv", "designs.csv"];
/// Draws where neither study nor command says.
const DRAWS: u32 = 64;
const WRITTEN: &str = "search.json, front.csv, designs.csv, front.svg, a scenario for each layout";

pub(crate) fn search(args: &SearchArgs, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let kept = |text: &str| read_study(text).map(|study| (study, text.to_owned()));
    let (study, text) = read_from(&args.study, kept)?;
    let folder = args.study.parent().unwrap_or(Path::new(""));
    let faults = |faults| Failure::Faults { path: args.study.clone(), text: text.clone(), faults };
    let base_path = match &study.base {
        Some(base) => folder.join(base),
        None => return Err(faults(vec![study.no_base()])),
    };
    let loaded = load(&base_path, args.trust.files_from_anywhere)?;
    let catalogue = catalogue(&study, folder)?;
    let target = target(args.out.as_deref(), args.replace.overwrite, &ALWAYS)?;
    let reread = |text: String| -> Result<Scenario, Vec<InputFault>> {
        match read_again(&loaded.path, text, args.trust.files_from_anywhere) {
            Ok(loaded) => Ok(loaded.scenario),
            Err(Failure::Faults { faults, .. }) => Err(faults),
            Err(_) => Err(Vec::new()),
        }
    };
    let layouts = Layouts::new(&study, &loaded.text, &catalogue, &reread).map_err(faults)?;
    let seed = args.seed.unwrap_or(study.seed);
    let all = layouts.count();
    let budget = study.goals.budget.min(all.unwrap_or(usize::MAX));
    let pace = Pace::new(budget, streams);
    let (keeps, kept) = (KeepsFound::begin(), AtomicUsize::new(0));
    let run = |scenario: &Scenario| simulation::run(&scenario.machine, &scenario.course);
    let judged = layouts.search(seed, &run, &|layout| {
        let keep = kept.fetch_add(usize::from(layout.violation <= 0.0), Ordering::Relaxed);
        pace.one_more(&format!("{} keep every limit", keep + usize::from(layout.violation <= 0.0)));
        !keeps.is_asked_to_end()
    });
    drop((pace, keeps));
    if judged.is_empty() {
        return Err(Failure::Untrusted("ended before a layout was judged".into()));
    }
    let base_design = layouts.base_design();
    let base_index = judged.iter().position(|(design, _)| Some(design) == base_design.as_ref());
    let ended = judged.len() < budget;
    let found = layouts.found(judged);
    let chances = if args.uncertain { chances(&layouts, &found, &run) } else { Vec::new() };
    let searched = Searched {
        chances,
        study: &study,
        study_sha256: sha256(text.as_bytes()),
        base: Source::of(&loaded),
        layouts: &layouts,
        ended,
        found,
        base_index,
        seed,
        all,
        named_files: named_files(&loaded, args.trust.files_from_anywhere),
        units: units(args.units, &loaded.scenario),
    };
    leave(&searched, (target, args.json), streams)
}

/// How likely each layout with a name keeps its limits.
fn chances(layouts: &Layouts<'_>, found: &Found, run: &RunOne<'_>) -> Vec<(usize, LayoutChance)> {
    let draws = layouts.study.draws.unwrap_or(DRAWS);
    let named = found.named.iter().enumerate().filter(|(_, one)| one.has_a_name());
    let chance = |(place, one): (usize, &PutForward)| {
        Some((place, layouts.chance(&found.judged[one.index].0, draws, run)?))
    };
    named.filter_map(chance).collect()
}

/// The catalogue that `study` names, from its `folder`.
fn catalogue(study: &Study, folder: &Path) -> Result<Vec<CatalogueEntry>, Failure> {
    let path: Option<PathBuf> = study.goals.catalogue.as_ref().map(|path| folder.join(path));
    Ok(path.map(|path| read_from(&path, read_catalogue)).transpose()?.unwrap_or_default())
}

/// Writes and prints what was found.
fn leave(
    searched: &Searched<'_>,
    (target, json): (Option<Destination<'_>>, bool),
    streams: &mut Streams<'_>,
) -> Result<(), Failure> {
    let document = SearchDocument::of(searched);
    let mut files = Vec::new();
    if target.is_some() {
        files = layout_files(searched);
        files.push(OutputFile::json("search.json", &document));
        files.push(OutputFile::text("front.csv", front_csv(searched)));
        files.push(OutputFile::text("designs.csv", designs_csv(searched)));
        files.extend(plots::search(searched).map_err(Failure::Untrusted)?.into_iter().flatten());
    }
    let text = |width| screen(searched, width);
    deliver((target, json), (&files, Some(WRITTEN)), &document, text, streams)
}
