//! `search.json`: what a search found, as programs read it.

use super::called;
use crate::results::{PROGRAM, Searched, Source};
use serde::Serialize;
use sim_core::scenario::Aim;
use std::collections::BTreeMap;

/// All of it, SI values.
#[derive(Serialize)]
pub(crate) struct SearchDocument {
    schema: &'static str,
    program: &'static str,
    base: Source,
    study: String,
    study_sha256: String,
    seed: u32,
    judged: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    possible: Option<usize>,
    ended_early: bool,
    keep_every_limit: usize,
    front: usize,
    layouts: Vec<LayoutRow>,
    obstacles: Vec<ObstacleRow>,
}

#[derive(Serialize)]
struct LayoutRow {
    layout: usize,
    file: String,
    called: String,
    variables: BTreeMap<String, String>,
    aims: BTreeMap<String, f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    leans_on: Option<LeaningRow>,
    at_an_end: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    chance: Option<ChanceRow>,
}

#[derive(Serialize)]
struct ChanceRow {
    met_share: f64,
    met_share_from: f64,
    met_share_to: f64,
    draws: usize,
    limits: Vec<LimitChanceRow>,
}

#[derive(Serialize)]
struct LimitChanceRow {
    key: sim_core::measures::Measure,
    step: usize,
    met_share: f64,
}

impl ChanceRow {
    fn of(chance: &sim_core::layouts::LayoutChance) -> Self {
        let (met_share_from, met_share_to) = chance.all.within();
        let limit = |limit: &sim_core::study::LimitChance| LimitChanceRow {
            key: limit.limit.measure,
            step: limit.step + 1,
            met_share: limit.chance.share(),
        };
        Self {
            met_share: chance.all.share(),
            met_share_from,
            met_share_to,
            draws: chance.all.of,
            limits: chance.limits.iter().map(limit).collect(),
        }
    }
}

#[derive(Serialize)]
struct LeaningRow {
    key: sim_core::measures::Measure,
    step: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    corner: Option<String>,
    value: f64,
    reached: bool,
    over_share: f64,
}

#[derive(Serialize)]
struct ObstacleRow {
    broken: usize,
    of: usize,
    nearest: LeaningRow,
}

impl SearchDocument {
    pub(crate) fn of(of: &Searched<'_>) -> Self {
        let found = &of.found;
        let leaning = |leaning: &sim_core::layouts::Leaning| LeaningRow {
            key: leaning.judged.limit.measure,
            step: leaning.step.clone(),
            corner: leaning.corner.map(|at| of.study.goals.corners[at].name.clone()),
            value: leaning.judged.value,
            reached: leaning.judged.reached,
            over_share: leaning.over,
        };
        let layout = |(place, named): (usize, &sim_core::layouts::PutForward)| {
            let (design, judged) = &found.judged[named.index];
            let variables = &of.study.goals.variables;
            let aim = |aim: &Aim| {
                let key = match aim {
                    Aim::Cost => "cost",
                    Aim::Measure(measure) => measure.key(),
                };
                Some((key.to_owned(), judged.aim(*aim)?))
            };
            LayoutRow {
                layout: place + 1,
                file: of.file_name(place),
                called: called(named),
                variables: variables
                    .iter()
                    .enumerate()
                    .map(|(at, variable)| (variable.name.clone(), of.layouts.words(design, at)))
                    .collect(),
                aims: of.study.goals.aims.iter().filter_map(aim).collect(),
                leans_on: named.leans_on.as_ref().map(leaning),
                chance: of.chance_of(named).map(ChanceRow::of),
                at_an_end: named
                    .cautions
                    .iter()
                    .map(|c| variables[c.variable].name.clone())
                    .collect(),
            }
        };
        Self {
            schema: "1",
            program: PROGRAM,
            base: of.base.clone(),
            study: of.study.title.clone(),
            study_sha256: of.study_sha256.clone(),
            seed: of.seed,
            judged: found.judged.len(),
            possible: of.all,
            ended_early: of.ended,
            keep_every_limit: found
                .judged
                .iter()
                .filter(|(_, layout)| layout.violation <= 0.0)
                .count(),
            front: found.front.len(),
            layouts: found.named.iter().enumerate().map(layout).collect(),
            obstacles: found
                .obstacles
                .iter()
                .map(|one| ObstacleRow {
                    broken: one.broken,
                    of: one.of,
                    nearest: leaning(&one.nearest),
                })
                .collect(),
        }
    }
}
