//! `millstream run`: from a scenario to findings, tables and plots.

use super::deliver::deliver;
use super::long::tell_if_long;
use crate::args::RunArgs;
use crate::failure::Failure;
use crate::files::load;
use crate::output::OutputFile;
use crate::results::{Finished, Loaded};
use crate::summary::Summary;
use crate::{Streams, csv_files, exit, plots, report, tables};
use sim_core::simulation::{self, Record, RunError};

/// Steps from which a run tells how far it is.
const MANY_STEPS: usize = 10;

pub(crate) fn run(args: &RunArgs, streams: &mut Streams<'_>) -> Result<u8, Failure> {
    let loaded = load(&args.file)?;
    tell_if_long(std::iter::once(&loaded.scenario), streams);
    let record = run_watched(&loaded, streams);
    let finished = Finished::with(loaded, record, args.units.into())?;
    let summary = Summary::of(&finished);
    let files = match &args.out {
        Some(_) => files(&finished, &summary)?,
        None => Vec::new(),
    };
    let text = || tables::report(&finished);
    let written = (&files[..], "report.html, summary.json, tables, plots");
    deliver((&args.out, args.json), written, &summary, text, streams)?;
    let met = finished.findings.iter().all(|step| step.verdicts.iter().all(|v| v.met));
    Ok(if args.enforce && !met { exit::LIMIT_NOT_MET } else { exit::DONE })
}

/// Runs the scenario; on a terminal, tells how far a run of many steps is.
fn run_watched(loaded: &Loaded, streams: &mut Streams<'_>) -> Result<Record, RunError> {
    let (machine, course) = (&loaded.scenario.machine, &loaded.scenario.course);
    let steps = course.steps.len();
    if !streams.live || steps < MANY_STEPS {
        return simulation::run(machine, course);
    }
    // What cannot be told is not missed: the results are what counts.
    let mut tell = |step: usize| {
        let _ = write!(streams.err, "\rstep {} of {steps} ", step + 1);
        let _ = streams.err.flush();
    };
    let record = simulation::run_watched(machine, course, &mut tell);
    let _ = write!(streams.err, "\r{:30}\r", "");
    record
}

/// Every file of the run.
fn files(finished: &Finished, summary: &Summary<'_>) -> Result<Vec<OutputFile>, Failure> {
    let mut files = vec![
        OutputFile::json("summary.json", summary),
        OutputFile::text("tips.csv", csv_files::tips(finished)),
        OutputFile::text("lines.csv", csv_files::lines(finished)),
    ];
    files.extend(csv_files::series(finished).map(|text| OutputFile::text("series.csv", text)));
    let plots = plots::all(finished).map_err(Failure::Untrusted)?;
    files.push(OutputFile::text("report.html", report::html(finished, &plots)));
    files.extend(plots.into_iter().flat_map(|plot| plot.files));
    Ok(files)
}
