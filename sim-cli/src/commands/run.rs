//! `millstream run`: from a scenario to findings, tables and plots.

use super::long::tell_if_long;
use crate::args::RunArgs;
use crate::failure::Failure;
use crate::files::load;
use crate::output::{self, OutputFile};
use crate::results::{Finished, Loaded};
use crate::summary::Summary;
use crate::{Streams, csv_files, exit, plots, report, tables};
use sim_core::simulation::{self, Record, RunError};
use sim_core::units::UnitSystem;

/// Steps from which a run tells how far it is.
const MANY_STEPS: usize = 10;

pub(crate) fn run(args: &RunArgs, streams: &mut Streams<'_>) -> Result<u8, Failure> {
    let loaded = load(&args.file)?;
    tell_if_long(std::iter::once(&loaded.scenario), streams);
    let record = run_watched(&loaded, streams);
    let finished = Finished::with(loaded, record)?;
    let units = UnitSystem::from(args.units);
    let summary = Summary::of(&finished);
    if let Some(folder) = &args.out {
        let files = files(&finished, &summary, units)?;
        output::write_set(folder, &files).map_err(Failure::Input)?;
    }
    if args.json {
        writeln!(streams.out, "{}", summary.to_json())?;
    } else {
        streams.out.write_all(tables::report(&finished, units).as_bytes())?;
        if let Some(folder) = &args.out {
            writeln!(
                streams.out,
                "Written into {}: report.html, summary.json, tables, plots.",
                folder.display()
            )?;
        }
    }
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
fn files(
    finished: &Finished,
    summary: &Summary<'_>,
    units: UnitSystem,
) -> Result<Vec<OutputFile>, Failure> {
    let mut files = vec![
        OutputFile::text("summary.json", format!("{}\n", summary.to_json())),
        OutputFile::text("tips.csv", csv_files::tips(finished, units)),
        OutputFile::text("lines.csv", csv_files::lines(finished, units)),
    ];
    files.extend(
        csv_files::series(finished, units).map(|text| OutputFile::text("series.csv", text)),
    );
    let plots = plots::all(finished, units).map_err(Failure::Untrusted)?;
    files.push(OutputFile::text("report.html", report::html(finished, units, &plots)));
    files.extend(plots);
    Ok(files)
}
