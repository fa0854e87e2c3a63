//! `millstream run --uncertain`: how far the figures of a run may be off.

use super::deliver::deliver;
use super::given::read_from;
use super::long::Watch;
use super::run_files::files;
use crate::args::RunArgs;
use crate::failure::Failure;
use crate::files::read_again;
use crate::output::{Destination, OutputFile};
use crate::results::{Finished, UncertainRun};
use crate::summary::Summary;
use crate::uncertainty::{UncertaintyDocument, draws_csv, full, screen};
use crate::{Streams, plots};
use sim_core::scenario::{InputFault, Scenario, read_study};
use sim_core::study::{RunOutcome, Uncertain};
use std::path::Path;

/// Files beside those of a run, as they are named when all are written.
const WRITTEN: &str =
    "uncertainty.json, draws.csv, uncertainty.svg, report.html, summary.json, tables, plots";

/// Runs draws of `finished`, whose inputs are as uncertain as usual or as a study says.
pub(super) fn uncertain(
    args: &RunArgs,
    finished: &Finished,
    target: Option<Destination<'_>>,
    streams: &mut Streams<'_>,
) -> Result<(), Failure> {
    let study = args.study.as_deref();
    let kept = |text: &str| read_study(text).map(|study| (study, text.to_owned()));
    let read = study.map(|path| read_from(path, kept)).transpose()?;
    let (read, study_text) = read.unzip();
    let anywhere = args.trust.files_from_anywhere;
    let (scenario, loaded) = (finished.scenario(), &finished.loaded);
    let reread = |text: String| -> Result<Scenario, Vec<InputFault>> {
        match read_again(&loaded.path, text, anywhere) {
            Ok(loaded) => Ok(loaded.scenario),
            Err(Failure::Faults { faults, .. }) => Err(faults),
            Err(_) => Err(Vec::new()),
        }
    };
    let uncertain =
        Uncertain::new(scenario, &loaded.text, read.as_ref(), &reread).map_err(|faults| {
            let path = study.map(Path::to_path_buf).unwrap_or_default();
            Failure::Faults { path, text: study_text.unwrap_or_default(), faults }
        })?;
    let draws = args.draws.or(read.as_ref().and_then(|study| study.draws));
    let plan = uncertain.plan(draws, read.as_ref().map_or(1, |study| study.seed));
    let stated = RunOutcome::of(scenario, &finished.findings);
    let runs = plan.draws as usize + plan.moved as usize * plan.inputs;
    let watch = Watch::new(std::iter::repeat_n(scenario, runs), streams);
    let found = uncertain.study(plan, &stated, &|scenario| watch.run(scenario));
    drop(watch);
    let run = UncertainRun { run: finished, found };
    let document = UncertaintyDocument::of(&run);
    let mut written = Vec::new();
    if target.is_some() {
        let picture = plots::uncertainty(&run).map_err(Failure::Untrusted)?;
        written = files(finished, &Summary::of(finished), Some(picture))?;
        written.push(OutputFile::json("uncertainty.json", &document));
        written.push(OutputFile::text("draws.csv", draws_csv(&run)));
    }
    let text = |width| if args.full { full(&run, width) } else { screen(&run, width) };
    deliver((target, args.json), (&written, Some(WRITTEN)), &document, text, streams)
}
