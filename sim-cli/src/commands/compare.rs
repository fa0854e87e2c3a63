//! `millstream compare`: layouts side by side, or one over the values of a setting.

use super::caution::caution;
use super::deliver::{deliver, target};
use super::given::read_from;
use super::long::Watch;
use super::units::units;
use crate::Streams;
use crate::args::CompareArgs;
use crate::columns::{printable, printable_path};
use crate::compare::{
    self, Comparison, MOST_LAYOUTS, Payback, PricedComparison, Sweep, SweepPoint,
};
use crate::failure::Failure;
use crate::files::{load, read_again};
use crate::output::OutputFile;
use crate::results::{Finished, Loaded};
use rayon::prelude::*;
use sim_core::scenario::{Prices, read_prices};
use sim_core::settings::{Setting, SettingError};
use sim_core::units::UnitSystem;
use std::path::PathBuf;

pub(crate) fn compare(args: &CompareArgs, streams: &mut Streams<'_>) -> Result<(), Failure> {
    match &args.vary {
        Some(setting) => vary(args, setting, streams),
        None if args.quiet => layouts(args, &mut streams.muted(&mut std::io::sink())),
        None => layouts(args, streams),
    }
}

/// The files that are named when all are written.
const WRITTEN: &str = "compare.html, compare.json";
const ALWAYS: [&str; 2] = ["compare.html", "compare.json"];

fn layouts(args: &CompareArgs, streams: &mut Streams<'_>) -> Result<(), Failure> {
    if !(2..=MOST_LAYOUTS).contains(&args.files.len()) {
        return Err(Failure::Input(format!(
            "a comparison takes 2 to {MOST_LAYOUTS} scenarios, or one with --vary, not {}",
            args.files.len()
        )));
    }
    let anywhere = args.trust.files_from_anywhere;
    let loaded = args.files.iter().map(|file| load(file, anywhere));
    let loaded: Vec<Loaded> = loaded.collect::<Result<_, _>>()?;
    // Layouts beside each other are in one family of units: that of the first.
    let units = units(args.units, &loaded[0].scenario);
    loaded.iter().try_for_each(|one| caution(one, streams))?;
    let prices = args.prices.as_deref().map(|path| read_from(path, read_prices)).transpose()?;
    prices.iter().try_for_each(|prices| unasked(prices, args, streams))?;
    let target = target(args.out.as_deref(), args.replace.overwrite, &ALWAYS)?;
    let watch = Watch::new(loaded.iter().map(|one| &one.scenario), streams);
    // Results keep the order of the files whatever the number of threads.
    let runs: Vec<Result<Finished, Failure>> =
        loaded.into_par_iter().map(|one| finished(one, &watch, units)).collect();
    drop(watch);
    let runs: Vec<Finished> = runs.into_iter().collect::<Result<_, _>>()?;
    let payback = prices.map(|prices| payback(&prices, &runs, args)).transpose()?;
    let comparison = Comparison::of(&runs);
    let of_prices = payback.as_ref().map(Payback::page);
    let document = PricedComparison { comparison: &comparison, payback: payback.as_ref() };
    let files = match &target {
        Some(_) => vec![
            OutputFile::text("compare.html", compare::html(&comparison, &runs, of_prices)),
            OutputFile::json("compare.json", &document),
        ],
        None => Vec::new(),
    };
    let text = |width| match (args.quiet, args.full) {
        (true, _) => comparison.not_met(&runs, width),
        (_, true) => comparison.page(&runs, of_prices).to_text(width),
        _ => comparison.screen(&runs, of_prices, width),
    };
    let named = (!args.quiet).then_some(WRITTEN);
    deliver((target, args.json), (&files, named), &document, text, streams)
}

/// Names of the files that are compared, without folder and ending.
fn names(args: &CompareArgs) -> Vec<String> {
    let name = |file: &PathBuf| file.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    args.files.iter().map(name).collect()
}

/// Where a layout has no cost in `prices`, notes the costs there that are of no layout here: names that may be slips.
fn unasked(prices: &Prices, args: &CompareArgs, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let names = names(args);
    let has_cost = |name: &String| prices.retrofits.iter().any(|one| one.layout == *name);
    if names[1..].iter().all(has_cost) {
        return Ok(());
    }
    for retrofit in prices.retrofits.iter().filter(|one| !names[1..].contains(&one.layout)) {
        let layout = printable(&retrofit.layout);
        let why = "no layout after the first is called so";
        writeln!(streams.err, "note: the cost of {layout} is not asked for: {why}")?;
    }
    Ok(())
}

/// What `prices` say of `runs`.
fn payback(prices: &Prices, runs: &[Finished], args: &CompareArgs) -> Result<Payback, Failure> {
    let path = args.prices.as_deref().map(printable_path).unwrap_or_default();
    compare::payback(prices, runs, &names(args))
        .map_err(|why| Failure::Input(format!("{path}: {why}")))
}

/// Runs what was loaded.
fn finished(loaded: Loaded, watch: &Watch<'_>, units: UnitSystem) -> Result<Finished, Failure> {
    let record = watch.run(&loaded.scenario);
    Finished::with(loaded, record, units)
}

/// A failure of the scenario at one value, which the file itself does not hold.
fn at_value(failure: Failure, setting: &Setting, value: &str) -> Failure {
    match failure {
        Failure::Faults { path, text, faults } => {
            let path = format!("{} with {} = {value}", path.display(), setting.path.name()).into();
            Failure::Faults { path, text, faults }
        }
        other => other,
    }
}

fn vary(args: &CompareArgs, setting: &str, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let [file] = &args.files[..] else {
        return Err(Failure::Input("--vary takes one scenario".into()));
    };
    let wrong = |why: SettingError| Failure::Input(format!("--vary: {why}"));
    let setting = Setting::parse(setting).map_err(wrong)?;
    let anywhere = args.trust.files_from_anywhere;
    let loaded = load(file, anywhere)?;
    let units = units(args.units, &loaded.scenario);
    let varied = setting.values.iter().map(|value| {
        let text = setting.path.applied(&loaded.text, value).map_err(wrong)?;
        read_again(&loaded.path, text, anywhere)
            .map_err(|failure| at_value(failure, &setting, value))
    });
    let varied: Vec<Loaded> = varied.collect::<Result<_, _>>()?;
    varied.first().map_or(Ok(()), |first| caution(first, streams))?;
    let target = target(args.out.as_deref(), args.replace.overwrite, &ALWAYS)?;
    let watch = Watch::new(varied.iter().map(|one| &one.scenario), streams);
    let points: Vec<Result<SweepPoint, Failure>> = varied
        .into_par_iter()
        .map(|one| match finished(one, &watch, units) {
            Ok(finished) => Ok(SweepPoint::of(&finished)),
            Err(Failure::Untrusted(why)) => Ok(SweepPoint::untrusted(why)),
            Err(other) => Err(other),
        })
        .collect();
    drop(watch);
    let points: Vec<SweepPoint> = points.into_iter().collect::<Result<_, _>>()?;
    let sweep = Sweep::of(&loaded, &setting, &points);
    let files = match &target {
        Some(_) => sweep.files(units).map_err(Failure::Untrusted)?,
        None => Vec::new(),
    };
    let text = |width| sweep.page(units).to_text(width);
    deliver((target, args.json), (&files, Some(WRITTEN)), &sweep, text, streams)
}
