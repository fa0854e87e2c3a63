//! `millstream new`: a first scenario of a machine.

use super::deliver::place_of;
use crate::Streams;
use crate::args::NewArgs;
use crate::columns::{printable_path, wrapped};
use crate::failure::Failure;
use crate::files::read_again;
use crate::output::OutputFile;
use crate::starter::{Answers, Asking, Starter, list, scenario, shipped};
use std::path::Path;

pub(crate) fn new(args: &NewArgs, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let Some(path) = &args.file else {
        streams.out.write_all(list().as_bytes())?;
        return Ok(());
    };
    // Asked before any question, whose answers would be lost.
    place_of(path, args.replace.overwrite)?;
    match &args.from {
        Some(name) => copy(name, path, args, streams),
        None => write(path, args, streams),
    }
}

fn write(path: &Path, args: &NewArgs, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let mut asking = Asking::new(streams, args.defaults)?;
    let answers = Answers::of(&args.answers, path, &mut asking)?;
    let defaults = asking.defaults;
    let starter = Starter::new(&answers);
    // Nothing is written that could not be read again.
    let loaded = read_again(path, scenario(&starter), false)?;
    put(path, loaded.text, args.replace.overwrite)?;
    let file = printable_path(path);
    let mut out = format!("Written: {file}\n");
    out.push_str(&wrapped(&starter.in_words(), ""));
    if !defaults.is_empty() {
        out.push_str(&wrapped(&format!("Taken as defaults: {}.", defaults.join(", ")), ""));
    }
    out.push_str(&wrapped(
        "Pump, bores, lengths and valves are first guesses: lines that end in \"# measure\" are for your tape measure.",
        "",
    ));
    out.push_str(&format!("Next: millstream run {file} --out out\n"));
    Ok(streams.out.write_all(out.as_bytes())?)
}

/// Puts the shipped machine `name` at `path`, and what it names beside it.
fn copy(name: &str, path: &Path, args: &NewArgs, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let machine = shipped(name).map_err(Failure::Input)?;
    let folder = path.parent().unwrap_or(Path::new(""));
    let mut beside = Vec::new();
    for (file, text) in machine.beside() {
        let at = folder.join(file);
        if std::fs::read(&at).is_ok_and(|there| there == text.as_bytes()) {
            continue;
        }
        place_of(&at, args.replace.overwrite)?;
        beside.push((at, text));
    }
    for (at, text) in beside {
        put(&at, text.to_owned(), args.replace.overwrite)?;
        writeln!(streams.out, "Written: {}", printable_path(&at))?;
    }
    put(path, machine.scenario(), args.replace.overwrite)?;
    let file = printable_path(path);
    writeln!(streams.out, "Written: {file}")?;
    writeln!(streams.out, "{} as shipped: change it into yours.", machine.name)?;
    writeln!(streams.out, "Next: millstream run {file} --out out")?;
    Ok(())
}

fn put(path: &Path, text: String, overwrite: bool) -> Result<(), Failure> {
    let (target, name) = place_of(path, overwrite)?;
    target.write_one(&OutputFile::text(name, text)).map_err(Failure::Input)
}
