//! `millstream run`: from a scenario to findings, tables and plots.

use crate::args::RunArgs;
use crate::failure::Failure;
use crate::files::{Loaded, load};
use crate::output::{self, OutputFile};
use crate::summary::Summary;
use crate::{Streams, csv_files, exit, plots, tables};
use sim_core::findings::{StepFindings, of_step};
use sim_core::simulation::{self, Record};
use sim_core::units::UnitSystem;

/// A finished run: what it was asked, what happened, what that means.
pub(crate) struct Finished {
    pub(crate) loaded: Loaded,
    pub(crate) record: Record,
    /// One entry a step.
    pub(crate) findings: Vec<StepFindings>,
}

pub(crate) fn run(args: &RunArgs, streams: &mut Streams<'_>) -> Result<u8, Failure> {
    let loaded = load(&args.file)?;
    let record = simulation::run(&loaded.scenario)
        .map_err(|error| Failure::Untrusted(format!("{}: {error}", args.file.display())))?;
    let steps = record.steps.iter().enumerate();
    let findings = steps.map(|(i, step)| of_step(&loaded.scenario, i, step)).collect();
    let finished = Finished { loaded, record, findings };
    let units = UnitSystem::from(args.units);
    let summary = Summary::of(&finished);
    if let Some(folder) = &args.out {
        let files = files(&finished, &summary, units)?;
        output::write_all(folder, &files).map_err(Failure::Input)?;
    }
    if args.json {
        writeln!(streams.out, "{}", summary.to_json())?;
    } else {
        streams.out.write_all(tables::report(&finished, units).as_bytes())?;
        if let Some(folder) = &args.out {
            writeln!(
                streams.out,
                "Written into {}: summary.json, tables, plots.",
                folder.display()
            )?;
        }
    }
    let met = finished.findings.iter().all(|step| step.verdicts.iter().all(|v| v.met));
    Ok(if args.enforce && !met { exit::LIMIT_NOT_MET } else { exit::DONE })
}

/// Every file of the run.
fn files(
    finished: &Finished,
    summary: &Summary,
    units: UnitSystem,
) -> Result<Vec<OutputFile>, Failure> {
    let mut files = vec![
        OutputFile::text("summary.json", format!("{}\n", summary.to_json())),
        OutputFile::text("tips.csv", csv_files::tips(finished, units)),
        OutputFile::text("lines.csv", csv_files::lines(finished, units)),
    ];
    files.extend(plots::all(finished, units).map_err(Failure::Untrusted)?);
    Ok(files)
}
