//! `millstream run`: from a scenario to findings, tables and plots.

use super::caution::caution;
use super::deliver::{deliver, target};
use super::long::Watch;
use super::run_files::files;
use super::uncertain;
use super::units::units;
use crate::args::RunArgs;
use crate::failure::Failure;
use crate::files::load;
use crate::results::Finished;
use crate::summary::Summary;
use crate::{Streams, exit, screen, tables};

/// Files that every run leaves, among others.
const ALWAYS: [&str; 4] = ["report.html", "summary.json", "tips.csv", "lines.csv"];

pub(crate) fn run(args: &RunArgs, streams: &mut Streams<'_>) -> Result<u8, Failure> {
    if !args.quiet {
        return run_and_tell(args, streams);
    }
    run_and_tell(args, &mut streams.muted(&mut std::io::sink()))
}

fn run_and_tell(args: &RunArgs, streams: &mut Streams<'_>) -> Result<u8, Failure> {
    let loaded = load(&args.file, args.trust.files_from_anywhere)?;
    let target = target(args.out.as_deref(), args.replace.overwrite, &ALWAYS)?;
    let record = Watch::new(std::iter::once(&loaded.scenario), streams).run(&loaded.scenario);
    let units = units(args.units, &loaded.scenario);
    let finished = Finished::with(loaded, record, units)?;
    caution(&finished.loaded, streams)?;
    if args.uncertain {
        uncertain::uncertain(args, &finished, target, streams)?;
        return Ok(exit::DONE);
    }
    let summary = Summary::of(&finished);
    let files = match &target {
        Some(_) => files(&finished, &summary, None)?,
        None => Vec::new(),
    };
    let text = |width| text(args, &finished, width);
    let named = (!args.quiet).then_some("report.html, summary.json, tables, plots");
    deliver((target, args.json), (&files, named), &summary, text, streams)?;
    let met = finished.findings.iter().all(|step| step.verdicts.iter().all(|v| v.met));
    Ok(if args.enforce && !met { exit::LIMIT_NOT_MET } else { exit::DONE })
}

/// What was asked for of what `finished` has to say.
fn text(args: &RunArgs, finished: &Finished, width: usize) -> String {
    if args.quiet {
        screen::not_met(finished, width)
    } else if args.full {
        tables::report(finished, width)
    } else if !args.show.is_empty() {
        tables::shown(finished, &args.show).to_text(width)
    } else {
        screen::screen(finished, width)
    }
}
