//! Bands, chances and draws as programs read them.

use crate::results::{PROGRAM, Source, UncertainRun};
use serde::Serialize;
use sim_core::measures::Measure;
use sim_core::study::{DrawnInput, LimitChance, MeasureBand};

/// `uncertainty.json`: SI values.
#[derive(Serialize)]
pub(crate) struct UncertaintyDocument<'a> {
    schema: &'static str,
    program: &'static str,
    scenario: Source,
    draws: u32,
    moved_draws: u32,
    seed: u32,
    untrusted_runs: usize,
    inputs: Vec<InputRow<'a>>,
    bands: Vec<BandRow>,
    limits: Vec<LimitRow<'a>>,
}

#[derive(Serialize)]
struct InputRow<'a> {
    input: &'a str,
    spread: &'a str,
    source: &'a str,
}

#[derive(Serialize)]
struct BandRow {
    key: Measure,
    #[serde(skip_serializing_if = "Option::is_none")]
    stated: Option<f64>,
    low: f64,
    middle: f64,
    high: f64,
    reached_share: f64,
    /// How far each input moves it over the whole range of the input, in the order of inputs.
    moved_by: Vec<f64>,
    /// Total index of each input; left out where too few draws tell.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    total_share: Vec<f64>,
}

#[derive(Serialize)]
struct LimitRow<'a> {
    step: &'a str,
    key: Measure,
    #[serde(skip_serializing_if = "Option::is_none")]
    at_most: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    at_least: Option<f64>,
    source: &'a str,
    met_share: f64,
    met_share_from: f64,
    met_share_to: f64,
}

impl<'a> UncertaintyDocument<'a> {
    pub(crate) fn of(of: &'a UncertainRun<'_>) -> Self {
        let found = &of.found;
        let input = |input: &'a DrawnInput| InputRow {
            input: &input.words,
            spread: &input.spread,
            source: &input.source,
        };
        let limit = |limit: &'a LimitChance| {
            let (met_share_from, met_share_to) = limit.chance.within();
            LimitRow {
                step: of.step(limit.step),
                key: limit.limit.measure,
                at_most: limit.limit.at_most,
                at_least: limit.limit.at_least,
                source: &limit.limit.source,
                met_share: limit.chance.share(),
                met_share_from,
                met_share_to,
            }
        };
        Self {
            schema: "1",
            program: PROGRAM,
            scenario: Source::of(&of.run.loaded),
            draws: found.plan.draws,
            moved_draws: found.plan.moved,
            seed: found.plan.seed,
            untrusted_runs: found.untrusted,
            inputs: found.inputs.iter().map(input).collect(),
            bands: found.bands.iter().map(BandRow::of).collect(),
            limits: found.limits.iter().map(limit).collect(),
        }
    }
}

impl BandRow {
    fn of(band: &MeasureBand) -> Self {
        Self {
            key: band.measure,
            stated: band.stated,
            low: band.low,
            middle: band.middle,
            high: band.high,
            reached_share: band.reached.share(),
            moved_by: band.effects.iter().map(|effect| effect.moves_by).collect(),
            total_share: band.effects.iter().filter_map(|effect| effect.total).collect(),
        }
    }
}

/// `draws.csv`: a row a draw with its inputs and every measure of its run, SI; empty where a time was not reached or the run gave no
/// result to trust.
pub(crate) fn draws_csv(of: &UncertainRun<'_>) -> String {
    let measures: Vec<Measure> = of.found.bands.iter().map(|band| band.measure).collect();
    let mut writer = csv::Writer::from_writer(Vec::new());
    let head = std::iter::once("draw".to_owned())
        .chain(of.found.inputs.iter().map(|input| input.words.clone()))
        .chain(measures.iter().map(|measure| measure.key().to_owned()));
    let mut rows = vec![head.collect::<Vec<String>>()];
    for (i, (inputs, outcome)) in of.found.draws.iter().zip(&of.found.outcomes).enumerate() {
        let measured = measures.iter().map(|measure| {
            let value = outcome.as_ref().and_then(|outcome| outcome.value(*measure));
            value.map(|value| value.to_string()).unwrap_or_default()
        });
        let inputs = inputs.iter().map(f64::to_string);
        rows.push(std::iter::once((i + 1).to_string()).chain(inputs).chain(measured).collect());
    }
    for row in rows {
        // Into memory: there is nothing that could fail.
        let _ = writer.write_record(&row);
    }
    String::from_utf8(writer.into_inner().unwrap_or_default()).unwrap_or_default()
}
