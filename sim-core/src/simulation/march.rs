//! A step through time: flows hold still, contents move.

use super::record::{Arrival, MovedRecord, Series};
use crate::hydraulics::Instant;
use crate::plumbing::Plumbing;
use crate::procedure::Lasts;
use crate::transport::{Contents, Part};

/// Length of a move, s.
const MOVE_S: f64 = 0.1;
/// Samples kept of a step before every other is dropped.
const MOST_SAMPLES: usize = 1200;
/// Share of the way from old to new strength that counts as first arrival.
const FIRST: f64 = 0.01;

/// Moves the contents for as long as the step lasts; returns what moved and for how long, s.
pub(super) fn march(
    plumbing: &Plumbing,
    contents: &mut Contents<'_>,
    instant: &Instant,
    lasts: Lasts,
    full_from: f64,
) -> (MovedRecord, f64) {
    let mut watch = Watch::new(plumbing, contents, instant, full_from);
    let before = contents.product_m3();
    let longest = MOVE_S.min(contents.largest_step_s(instant));
    let (mut time, mut endless) = (0.0, 0.0);
    while time < lasts.most_s * (1.0 - 1e-12) {
        let dt = longest.min(lasts.most_s - time);
        let moved = contents.advance(instant, dt);
        watch.look(plumbing, contents, instant, time, dt);
        watch.record.product_sprayed_m3 += moved.product_sprayed_m3;
        endless += moved.product_from_endless_m3;
        time += dt;
        if moved.tank_dry.is_some() || (lasts.until_full && watch.all_full()) {
            break;
        }
    }
    let mut record = watch.record;
    let after = contents.product_m3();
    let error = after + record.product_sprayed_m3 - before - endless;
    let scale = before.max(after) + record.product_sprayed_m3 + endless.abs();
    record.product_error = if scale > 0.0 { (error / scale).abs() } else { 0.0 };
    let lines = 0..plumbing.branches.len();
    record.line_strength = lines.map(|branch| contents.line_strength(branch)).collect();
    let tanks = (0..plumbing.tanks.len()).map(crate::plumbing::TankId::at);
    record.tank_strength = tanks.map(|tank| contents.tank_strength(tank)).collect();
    (record, time)
}

/// Watches strengths at the tips.
struct Watch {
    record: MovedRecord,
    old: Vec<f64>,
    last: Vec<f64>,
    runs: Vec<bool>,
    full: f64,
    every: usize,
    moves: usize,
}

impl Watch {
    fn new(
        plumbing: &Plumbing,
        contents: &Contents<'_>,
        instant: &Instant,
        full_from: f64,
    ) -> Self {
        let fed = fed_strength(plumbing, contents, instant);
        let old: Vec<f64> =
            plumbing.tips.iter().map(|tip| contents.strength_near(tip.node.index())).collect();
        let record = MovedRecord {
            arrivals: vec![Arrival::default(); plumbing.tips.len()],
            fed_strength: fed,
            tip_strength: old.clone(),
            series: Series {
                time_s: vec![0.0],
                tips: vec![old.iter().map(|s| *s as f32).collect()],
            },
            ..MovedRecord::default()
        };
        let runs = instant.tip_flow_m3_s.iter().map(|flow| *flow > 1e-9).collect();
        Self { record, last: old.clone(), old, runs, full: full_from * fed, every: 1, moves: 0 }
    }

    /// Looks at what passed the tips in the move of `dt` s that began at `time`.
    fn look(
        &mut self,
        plumbing: &Plumbing,
        contents: &Contents<'_>,
        instant: &Instant,
        time: f64,
        dt: f64,
    ) {
        for (i, tip) in plumbing.tips.iter().enumerate() {
            let passing = contents.passing(tip.node.index());
            let sprayed = instant.tip_flow_m3_s[i].max(0.0) * dt;
            let mut at = time;
            for part in passing {
                self.arrive(i, part.strength, at);
                if self.runs[i] {
                    self.record.sprayed_m3 += sprayed * part.share;
                    if part.strength < self.full {
                        self.record.sprayed_weak_m3 += sprayed * part.share;
                        self.record.product_weak_m3 += sprayed * part.share * part.strength;
                    }
                }
                at += dt * part.share;
            }
            if let Some(Part { strength, .. }) = passing.last() {
                self.last[i] = *strength;
            }
        }
        self.record.tip_strength.clone_from(&self.last);
        self.sample(time + dt);
    }

    /// Takes note of `strength` at tip `i` from `time` on.
    fn arrive(&mut self, i: usize, strength: f64, time: f64) {
        let (old, new) = (self.old[i], self.record.fed_strength);
        let way = if (new - old).abs() > 1e-9 { (strength - old) / (new - old) } else { 1.0 };
        let arrival = &mut self.record.arrivals[i];
        let full = if new >= old { strength >= self.full - 1e-12 } else { way >= 0.95 };
        for (moment, reached) in [
            (&mut arrival.first_s, way >= FIRST),
            (&mut arrival.half_s, way >= 0.5),
            (&mut arrival.full_s, full),
        ] {
            if reached && moment.is_none() {
                *moment = Some(time);
            }
        }
    }

    fn sample(&mut self, time: f64) {
        self.moves += 1;
        if self.moves % self.every != 0 {
            return;
        }
        let series = &mut self.record.series;
        series.time_s.push(time);
        series.tips.push(self.last.iter().map(|strength| *strength as f32).collect());
        if series.time_s.len() > MOST_SAMPLES {
            let mut keep = 0;
            series.time_s.retain(|_| {
                keep += 1;
                keep % 2 == 1
            });
            keep = 0;
            series.tips.retain(|_| {
                keep += 1;
                keep % 2 == 1
            });
            self.every *= 2;
        }
    }

    /// Whether every tip has full strength: those that run, or all where none does.
    fn all_full(&self) -> bool {
        let any_runs = self.runs.iter().any(|runs| *runs);
        let mut counted = self.record.arrivals.iter().zip(&self.runs);
        counted.all(|(arrival, runs)| arrival.full_s.is_some() || (any_runs && !runs))
    }
}

/// Mean strength of the tanks that give liquid, by flow.
fn fed_strength(plumbing: &Plumbing, contents: &Contents<'_>, instant: &Instant) -> f64 {
    let (mut flow, mut product) = (0.0, 0.0);
    for (branch, q) in plumbing.branches.iter().zip(&instant.flow_m3_s) {
        let giver = if *q > 0.0 { branch.from } else { branch.to };
        if let Some(connection) = plumbing.node(giver).tank {
            flow += q.abs();
            product += q.abs() * contents.tank_strength(connection.tank);
        }
    }
    if flow > 0.0 { product / flow } else { 0.0 }
}
