//! `millstream run`: from a scenario to findings, tables and plots.

use super::caution::caution;
use super::deliver::{deliver, target};
use super::long::Watch;
use super::units::units;
use crate::args::RunArgs;
use crate::failure::Failure;
use crate::files::load;
use crate::output::OutputFile;
use crate::results::Finished;
use crate::summary::Summary;
use crate::{Streams, exit, plots, report, screen, series, tables};

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
    let summary = Summary::of(&finished);
    let files = match &target {
        Some(_) => files(&finished, &summary)?,
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

/// Every file of the run.
fn files(finished: &Finished, summary: &Summary<'_>) -> Result<Vec<OutputFile>, Failure> {
    let mut files = vec![
        OutputFile::json("summary.json", summary),
        OutputFile::text("tips.csv", tables::lists::tips_csv(finished)),
        OutputFile::text("lines.csv", tables::lists::lines_csv(finished)),
    ];
    files.extend(series::series(finished).map(|text| OutputFile::text("series.csv", text)));
    let plots = plots::all(finished).map_err(Failure::Untrusted)?;
    files.push(OutputFile::text("report.html", report::html(finished, &plots)));
    files.extend(plots.into_iter().flat_map(|plot| plot.files));
    Ok(files)
}
