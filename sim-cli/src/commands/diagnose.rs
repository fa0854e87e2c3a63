//! `millstream diagnose`: readings in, fault out.

use super::caution::caution;
use super::deliver::{deliver, place_of, print, target};
use super::given::read_from;
use super::units::units;
use crate::args::{DiagnoseArgs, Form};
use crate::columns::printable_path;
use crate::diagnosis::{json, page};
use crate::failure::Failure;
use crate::files::load;
use crate::output::OutputFile;
use crate::results::{Diagnosed, Loaded};
use crate::{Streams, plots, tables};
use sim_core::diagnosis::{
    calibrate, diagnose as hold_against, in_use, next, overlaid, template_csv, template_toml,
    tip_wear,
};
use sim_core::scenario::{Separator, read_overlay, read_readings};

pub(crate) fn diagnose(args: &DiagnoseArgs, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let loaded = load(&args.file, args.trust.files_from_anywhere)?;
    caution(&loaded, streams)?;
    let Loaded { mut scenario, .. } = loaded;
    let units = units(args.units, &scenario);
    if let Some(form) = args.template {
        let text = match form {
            Form::Toml => template_toml(&scenario, units),
            Form::Csv => template_csv(&scenario, units),
        };
        return Ok(streams.out.write_all(text.as_bytes())?);
    }
    let Some(path) = &args.readings else {
        return Err(Failure::Input("the file of readings is missing".into()));
    };
    if let Some(path) = &args.overlay {
        scenario = overlaid(&scenario, &read_from(path, read_overlay)?);
    }
    let is_csv = path.extension().is_some_and(|ending| {
        ["csv", "tsv", "tab"].iter().any(|table| ending.eq_ignore_ascii_case(table))
    });
    let mut separator = Separator::Comma;
    let readings = read_from(path, |text| {
        separator = if is_csv { Separator::of(text) } else { separator };
        read_readings(text, is_csv, &scenario)
    })?;
    if separator != Separator::Comma {
        let (path, between) = (printable_path(path), separator.words());
        writeln!(streams.err, "note: {path}: cells are taken to be separated by {between}")?;
    }
    let overwrite = args.replace.overwrite;
    let untrusted = |error| Failure::Untrusted(format!("{}: {error}", printable_path(path)));
    if let Some(path) = &args.calibrate {
        let (target, name) = place_of(path, overwrite)?;
        let calibration = calibrate(&scenario, &readings).map_err(untrusted)?;
        let file = json::overlay(&scenario.title, &calibration);
        target.write_one(&OutputFile::text(name, file)).map_err(Failure::Input)?;
        let (document, text) = (json::calibration(&calibration), |width| {
            tables::diagnosis::calibration(&calibration, path, width)
        });
        return print(args.json, &document, text, streams);
    }
    let target = target(args.out.as_deref(), overwrite, &["diagnosis.json", "report.html"])?;
    let diagnosis = hold_against(&scenario, &readings).map_err(untrusted)?;
    let next = next(&scenario, &readings, &diagnosis).map_err(untrusted)?;
    let wear = tip_wear(&scenario, &readings, &diagnosis);
    let in_use = in_use(&scenario, &readings, &diagnosis);
    let diagnosed = Diagnosed { scenario, readings, diagnosis, next, wear, in_use, units };
    let files = match &target {
        Some(_) => outputs(&diagnosed)?,
        None => Vec::new(),
    };
    let text = |width| tables::diagnosis::report(&diagnosed, width);
    let written = (&files[..], Some("diagnosis.json, picture, report.html"));
    deliver((target, args.json), written, &json::diagnosis(&diagnosed), text, streams)
}

fn outputs(diagnosed: &Diagnosed) -> Result<Vec<OutputFile>, Failure> {
    let picture = plots::diagnosis(diagnosed).map_err(Failure::Untrusted)?;
    let svg = String::from_utf8_lossy(&picture[0].bytes).into_owned();
    let mut files = vec![
        OutputFile::json("diagnosis.json", &json::diagnosis(diagnosed)),
        OutputFile::text("report.html", page::page(diagnosed, &svg)),
    ];
    files.extend(picture);
    Ok(files)
}
