//! `millstream papers`: build sheet and what else leaves the office with a machine.

use super::caution::caution;
use super::long::Watch;
use super::units::units;
use crate::Streams;
use crate::args::{Paper, PapersArgs};
use crate::columns::{broken, printable_lines, printable_path};
use crate::failure::Failure;
use crate::files::load;
use crate::output::Destination;
use crate::papers::{
    BuildInput, Catalogue, PaperSet, build_sheet, card, commissioning, reading_sheet,
};
use crate::regular;
use crate::results::Finished;
use sim_core::units::{Quantity as Q, UnitSystem, parse};
use std::path::Path;

pub(crate) fn papers(args: &PapersArgs, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let anywhere = args.trust.files_from_anywhere;
    let loaded = load(&args.file, anywhere)?;
    let against = args.against.as_deref().map(|file| load(file, anywhere)).transpose()?;
    let units = units(args.units, &loaded.scenario);
    let prices = args.catalogue.as_deref().map(|path| catalogue(path, units)).transpose()?;
    let catalogue = prices.unwrap_or_default();
    let usual = if units == UnitSystem::Us { "2 in" } else { "50 mm" };
    let trim = args.trim.as_deref().unwrap_or(usual);
    let trim_m = trimmed(trim, units)?;
    caution(&loaded, streams)?;
    let wanted = |paper: Paper| args.only.is_empty() || args.only.contains(&paper);
    let target = Destination { folder: &args.out, overwrite: args.replace.overwrite };
    let mut sets = Vec::new();
    if wanted(Paper::Build) {
        let (against, catalogue) = (against.as_ref(), &catalogue);
        let loaded = &loaded;
        let input = BuildInput { loaded, against, catalogue, trim_m, trim, units };
        sets.push(build_sheet(&input));
    }
    if wanted(Paper::Commissioning) {
        let unsolved =
            |error| Failure::Untrusted(format!("{}: {error}", printable_path(&args.file)));
        sets.push(commissioning(&loaded, units).map_err(unsolved)?);
    }
    if wanted(Paper::Readings) {
        sets.push(reading_sheet(&loaded, units));
    }
    if wanted(Paper::Card) {
        let record = Watch::new(std::iter::once(&loaded.scenario), streams).run(&loaded.scenario);
        sets.push(card(&Finished::with(loaded, record, units)?));
    }
    deliver(target, &sets, streams)
}

/// Writes the papers, each a set of its own, and says what each is.
fn deliver(
    target: Destination<'_>,
    sets: &[PaperSet],
    streams: &mut Streams<'_>,
) -> Result<(), Failure> {
    let names = || sets.iter().flat_map(|set| &set.files).map(|file| file.name.as_str());
    target.allows(&names().collect::<Vec<_>>()).map_err(Failure::Input)?;
    for set in sets {
        target.write_set(&set.files).map_err(Failure::Input)?;
        let text = broken(&format!("{}: {}", set.title, set.answer), "", streams.width);
        streams.out.write_all(printable_lines(&text).as_bytes())?;
    }
    let names: Vec<&str> = names().collect();
    writeln!(streams.out, "Written into {}: {}.", printable_path(target.folder), names.join(", "))?;
    Ok(())
}

fn trimmed(text: &str, units: UnitSystem) -> Result<f64, Failure> {
    let length_m = parse(text, Q::Bore)
        .map_err(|error| Failure::Input(format!("--trim: {error}\nhelp: {}", error.help(units))))?;
    if (0.0..=1.0).contains(&length_m) {
        return Ok(length_m);
    }
    Err(Failure::Input("--trim must be from 0 mm to 1 m".into()))
}

/// The catalogue in the file at `path`.
fn catalogue(path: &Path, units: UnitSystem) -> Result<Catalogue, Failure> {
    let cannot = |why| Failure::Input(format!("{} cannot be read: {why}", printable_path(path)));
    let text = regular::text(path).map_err(cannot)?;
    let faults = |faults| Failure::Faults { path: path.into(), text: text.clone(), faults };
    Catalogue::read(&text, units).map_err(faults)
}
