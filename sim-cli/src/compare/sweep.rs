//! One scenario over the values of a setting: each finding against it.

use crate::columns::Columns;
use crate::output::OutputFile;
use crate::plots::{Picture, SettingAxis, SettingCurve, against_setting, render};
use crate::report::{self, PageData, fill};
use crate::results::{Finished, Loaded, PROGRAM, Source};
use crate::tables::Page;
use crate::words::{limits_missed, or_dash};
use serde::Serialize;
use sim_core::findings::{Measured, of_whole_run, value};
use sim_core::measures::Measure;
use sim_core::settings::Setting;
use sim_core::units::{UnitSystem, display_unit, show};

/// Values beside each other in a table that a terminal is wide enough for.
const MOST_COLUMNS: usize = 6;

/// What one value of the setting came to.
#[derive(Debug, PartialEq)]
pub(crate) struct SweepPoint(
    /// Measures of the whole run, then of each step by name; or why there is no result to trust.
    Result<Vec<Group>, String>,
    /// How many limits are not met, of how many.
    String,
);

/// A step's name, none for the whole run, and what was found.
type Group = (Option<String>, Vec<Measured>);

impl SweepPoint {
    /// The measures of `run`; its record is no longer needed then.
    pub(crate) fn of(run: &Finished) -> Self {
        let whole = (None, of_whole_run(run.plumbing(), &run.findings));
        let steps = run.reported_steps();
        let steps = steps.map(|of| (Some(of.step.name.clone()), of.findings.measured()));
        Self(Ok(std::iter::once(whole).chain(steps).collect()), limits_missed(&run.findings))
    }

    /// A value without a result to trust.
    pub(crate) fn untrusted(why: String) -> Self {
        Self(Err(why), "-".into())
    }

    /// What was found in `step`, or in the whole run; nothing where it has none.
    fn found(&self, step: &Option<String>) -> &[Measured] {
        let mut groups = self.0.iter().flatten();
        groups.find(|(of, _)| of == step).map_or(&[], |(_, found)| found)
    }
}

/// One figure of one step, or of the whole run, over the values.
#[derive(Debug, Serialize)]
struct SweepRow {
    #[serde(skip_serializing_if = "Option::is_none")]
    step: Option<String>,
    #[serde(rename = "key")]
    measure: Measure,
    /// SI, one a value of the setting; null where there is none.
    values: Vec<Option<f64>>,
    /// The values in words, where these say more than a number and its unit.
    #[serde(skip)]
    in_words: Option<Vec<String>>,
}

impl SweepRow {
    fn shown(&self, at: usize, units: UnitSystem) -> String {
        match &self.in_words {
            Some(words) => words[at].clone(),
            None => or_dash(self.values[at], self.measure.quantity(), units),
        }
    }
}

/// The findings over the values of a setting.
#[derive(Debug, Serialize)]
pub(crate) struct Sweep {
    schema: &'static str,
    program: &'static str,
    scenario: Source,
    setting: String,
    values: Vec<String>,
    findings: Vec<SweepRow>,
    /// Values without a result to trust, and why.
    untrusted: Vec<(String, String)>,
    /// Whether every value gives the same figures, to the last digit.
    no_effect: bool,
    #[serde(skip)]
    title: String,
    #[serde(skip)]
    text: String,
}

impl Sweep {
    /// The `points` of a scenario over `setting`, one a value.
    pub(crate) fn of(loaded: &Loaded, setting: &Setting, points: &[SweepPoint]) -> Self {
        let troubles = setting.values.iter().zip(points);
        let troubles = troubles.filter_map(|(v, point)| Some((v.clone(), point.0.clone().err()?)));
        Self {
            schema: "2",
            program: PROGRAM,
            scenario: Source::of(loaded),
            setting: setting.path.name(),
            values: setting.values.clone(),
            no_effect: points.len() > 1 && points.windows(2).all(|pair| pair[0] == pair[1]),
            findings: rows(points),
            untrusted: troubles.collect(),
            title: loaded.scenario.title.clone(),
            text: loaded.text.clone(),
        }
    }

    /// What the sweep has to say.
    pub(crate) fn page(&self, units: UnitSystem) -> Page {
        let mut page = Page::default();
        page.paragraph(format!(
            "{}: {} over {}.",
            self.title,
            self.setting,
            self.values.join(", ")
        ));
        if self.no_effect {
            page.paragraph(format!(
                "{} changes nothing: every value gives the same figures. Something else in the scenario outweighs it, or no \
                 step depends on it.",
                self.setting
            ));
        }
        for (value, why) in &self.untrusted {
            page.paragraph(format!("No result at {value}: {why}"));
        }
        for group in self.findings.chunk_by(|a, b| a.step == b.step) {
            let title = group[0].step.as_ref().map(|step| format!("Step {step}"));
            let title = title.unwrap_or_else(|| "Whole run".into());
            let values: Vec<(usize, &String)> = self.values.iter().enumerate().collect();
            for values in values.chunks(MOST_COLUMNS) {
                let columns =
                    Columns::new().words(&self.setting, |row: &SweepRow| row.measure.words());
                let columns = values.iter().fold(columns, |columns, (at, value)| {
                    columns.text(value, |row: &SweepRow| row.shown(*at, units))
                });
                page.table(columns.table(&title, group, units));
            }
        }
        if self.findings.iter().any(|row| row.measure == Measure::PurgeResidual) {
            page.paragraph(crate::words::AIR_CAUTION);
        }
        page.paragraph(crate::words::CAUTION);
        page
    }

    /// A picture for each figure that the setting moves, and the page that holds them.
    pub(crate) fn files(&self, units: UnitSystem) -> Result<Vec<OutputFile>, String> {
        let mut measures: Vec<Measure> = Vec::new();
        let moves = |row: &&SweepRow| {
            let shown = row
                .values
                .iter()
                .flatten()
                .map(|v| show(*v, row.measure.quantity(), UnitSystem::Si));
            let mut shown: Vec<String> = shown.collect();
            shown.dedup();
            shown.len() > 1
        };
        for row in self.findings.iter().filter(moves) {
            if !measures.contains(&row.measure) {
                measures.push(row.measure);
            }
        }
        let mut files = Vec::new();
        for measure in measures {
            let name = file_name(measure);
            files.extend(render(&name, &self.plot(measure, units))?);
        }
        files.push(OutputFile::text("compare.html", self.html(&files, units)));
        files.push(OutputFile::json("compare.json", self));
        Ok(files)
    }

    /// The picture of `measure`.
    fn plot(&self, measure: Measure, units: UnitSystem) -> Picture {
        let (places, axis) = places(&self.setting, &self.values);
        let rows: Vec<&SweepRow> =
            self.findings.iter().filter(|row| row.measure == measure).collect();
        let unit = display_unit(measure.quantity(), units);
        let curves = rows.iter().map(|row| -> SettingCurve {
            let points = places.iter().zip(&row.values);
            let points = points.filter_map(|(x, y)| Some((*x, unit.from_si((*y)?))));
            (row.step.clone().unwrap_or_else(|| "whole run".into()), points.collect())
        });
        let name = measure.words();
        against_setting(format!("{}: {name}", self.title), axis, (name, &unit), curves.collect())
    }

    fn html(&self, plots: &[OutputFile], units: UnitSystem) -> String {
        let heading = format!("{}: {}", self.title, self.setting);
        let pictures = plots.iter().filter_map(|file| {
            let name = file.name.strip_suffix(".svg")?;
            let row = self.findings.iter().find(|row| file_name(row.measure) == name)?;
            Some(report::figure(file, &format!("{} over {}", row.measure.words(), self.setting)))
        });
        let body = fill(
            include_str!("../report/page/sweep.html"),
            &[
                ("title", &report::escaped(&self.title)),
                ("setting", &report::escaped(&self.setting)),
                ("values", &report::escaped(&self.values.join(", "))),
                ("plots", &pictures.collect::<String>()),
                ("findings", &report::findings::findings(&self.page(units))),
                ("caution", &report::escaped(crate::words::CAUTION)),
                ("model", &report::escaped(crate::words::LIMITS_OF_THE_MODEL)),
                ("inputs", &report::escaped(&self.text)),
                ("program", PROGRAM),
                ("file", &report::escaped(&self.scenario.file)),
                ("sha256", &self.scenario.sha256),
            ],
        );
        report::shell(&heading, &body, &report::embedded(&PageData::new(Vec::new(), units)))
    }
}

/// Name of the picture of `measure`.
fn file_name(measure: Measure) -> String {
    format!("{}-over-setting", measure.stem().replace('_', "-"))
}

/// Every figure that some point has.
fn rows(points: &[SweepPoint]) -> Vec<SweepRow> {
    let Some(groups) = points.iter().find_map(|point| point.0.as_ref().ok()) else {
        return Vec::new();
    };
    let mut rows = Vec::new();
    for (step, _) in groups {
        let found: Vec<&[Measured]> = points.iter().map(|point| point.found(step)).collect();
        let measures: Vec<Measure> = match step {
            None => Measure::of_runs().collect(),
            Some(_) => Measure::of_steps().collect(),
        };
        for measure in measures {
            let values: Vec<Option<f64>> =
                found.iter().map(|found| value(found, measure)).collect();
            if values.iter().flatten().any(|value| *value != 0.0) {
                let counts = || points.iter().map(|point| point.1.clone()).collect();
                let in_words = (measure == Measure::LimitsMissed).then(counts);
                rows.push(SweepRow { step: step.clone(), measure, values, in_words });
            }
        }
    }
    rows
}

/// Places of the values on an axis, and what the axis says: their numbers where all have the same unit, else
/// their order and their names.
fn places(setting: &str, values: &[String]) -> (Vec<f64>, SettingAxis) {
    let number = |value: &String| {
        let (number, unit) = value.split_once(' ').unwrap_or((value, ""));
        Some((number.parse::<f64>().ok().filter(|n| n.is_finite())?, unit.to_owned()))
    };
    let numbers: Option<Vec<(f64, String)>> = values.iter().map(number).collect();
    match numbers {
        Some(numbers) if numbers.iter().all(|(_, unit)| *unit == numbers[0].1) => {
            let unit = &numbers[0].1;
            let title =
                if unit.is_empty() { setting.to_owned() } else { format!("{setting}, {unit}") };
            let places = numbers.iter().map(|(number, _)| *number).collect();
            (places, SettingAxis { title, names: Vec::new() })
        }
        _ => {
            let places: Vec<f64> = (1..=values.len()).map(|i| i as f64).collect();
            let names = places.iter().copied().zip(values.iter().cloned()).collect();
            (places, SettingAxis { title: setting.to_owned(), names })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::places;
    use crate::plots::SettingAxis;

    #[test]
    fn values_stand_at_their_numbers_where_they_share_a_unit() {
        let of = |values: [&str; 2]| places("x", &values.map(str::to_owned));
        let axis = |title: &str, names| SettingAxis { title: title.into(), names };
        assert_eq!(of(["19 mm", "25 mm"]), (vec![19.0, 25.0], axis("x, mm", vec![])));
        assert_eq!(of(["4", "6"]), (vec![4.0, 6.0], axis("x", vec![])));
        let names = vec![(1.0, "1 in".into()), (2.0, "25 mm".into())];
        assert_eq!(of(["1 in", "25 mm"]), (vec![1.0, 2.0], axis("x", names)));
    }
}
