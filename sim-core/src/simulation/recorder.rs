//! Watches a step: arrivals at tips, what was sprayed, samples over time.

use super::air_record::AirSample;
use super::probe_sample::read;
use super::record::{Arrival, MovedRecord, Sample};
use crate::hydraulics::{FlowState, STILL_M3_S};
use crate::plumbing::{BranchId, NodeId, Plumbing, TankId, TipId};
use crate::procedure::{Course, Step};
use crate::transport::{Contents, StreamPart};
use std::sync::Arc;

/// Share of the way from old to new concentration that counts as first arrival, and as nearly all.
const FIRST: f64 = 0.01;
const MOST: f64 = 0.95;
/// Difference of concentration up to which what comes is nothing new.
const NOTHING_NEW: f64 = 1e-3;

/// Watches one step.
#[derive(Clone)]
pub(super) struct Recorder {
    plumbing: Arc<Plumbing>,
    course: Arc<Course>,
    pub(super) record: MovedRecord,
    old: Vec<f64>,
    old_return: Option<f64>,
    last: Vec<f64>,
    runs: Vec<bool>,
    /// Tanks that feed the machine, each with its share, and the concentration they give now.
    feeds: Vec<(TankId, f64)>,
    fed_now: f64,
    /// Concentration below which spray counts as under-dosed, and the share of the tank's that it is.
    full: f64,
    full_from: f64,
    rinsed_to: Option<f64>,
    legs: Vec<BranchId>,
    /// Nodes at which no line ends: nothing says what is there until something passes.
    between_parts: Vec<bool>,
    returns: Vec<BranchId>,
    every: usize,
    moves: usize,
    most_samples: usize,
}

impl Recorder {
    /// Sets out to watch `step`, whose steady flow is `end`.
    pub(super) fn new(
        plumbing: &Arc<Plumbing>,
        course: &Arc<Course>,
        contents: &Contents<'_>,
        step: &Step,
        end: &FlowState,
        most_samples: usize,
    ) -> Self {
        let feeds = feeds(plumbing, end);
        let fed = concentration_of(&feeds, contents);
        let near = |tip: &crate::plumbing::Tip| contents.concentration_near(tip.node);
        let old: Vec<f64> = plumbing.tips.iter().map(near).collect();
        let returns: Vec<BranchId> = plumbing.returns().collect();
        let record = MovedRecord {
            arrivals: vec![Arrival::default(); plumbing.tips.len()],
            leg_full_s: vec![None; plumbing.branches.len()],
            fed_concentration: fed,
            tip_concentration: old.clone(),
            ..MovedRecord::default()
        };
        Self {
            plumbing: Arc::clone(plumbing),
            course: Arc::clone(course),
            record,
            old_return: returns.first().and_then(|i| contents.line_concentration(*i)),
            last: old.clone(),
            old,
            runs: runs(step, end),
            feeds,
            fed_now: fed,
            full: course.start.full_from * fed,
            full_from: course.start.full_from,
            rinsed_to: course.rinsed_to,
            legs: contents.dead_legs().collect(),
            between_parts: between_parts(plumbing),
            returns,
            every: 1,
            moves: 0,
            most_samples,
        }
    }

    /// Looks at what passed in the move of `dt` s that began at `time` of the step, at `now_s` of the run
    /// when it is over; `instant` is how it flows then, `moved` how it flowed on average. Returns whether it kept the moment.
    pub(super) fn look(
        &mut self,
        contents: &Contents<'_>,
        (instant, moved): (&FlowState, &FlowState),
        (time, dt): (f64, f64),
        now_s: f64,
        air: impl FnOnce() -> Option<AirSample>,
    ) -> bool {
        self.fed_now = concentration_of(&self.feeds, contents);
        let plumbing = Arc::clone(&self.plumbing);
        for (i, tip) in plumbing.tips.iter().enumerate() {
            let passing = contents.passing(tip.node);
            let sprayed = contents.sprayed_m3(TipId::at(i));
            let mut at = time;
            for part in passing {
                self.arrive(i, part.concentration, at);
                let volume = sprayed * part.share;
                self.record.sprayed.add(volume, part.concentration);
                if part.concentration < self.full {
                    self.record.arrivals[i].under_dosed.add(volume, part.concentration);
                }
                at += dt * part.share;
            }
            self.last[i] = match passing.last() {
                Some(StreamPart { concentration, .. }) => *concentration,
                None => contents.concentration_near(tip.node),
            };
        }
        self.record.tip_concentration.clone_from(&self.last);
        self.look_back(contents, moved, time, dt);
        self.moves += 1;
        (self.record.moves, self.record.kept_every) = (self.moves, self.every);
        let keeps = self.moves.is_multiple_of(self.every);
        if keeps {
            self.sample(contents, instant, now_s, air());
        }
        keeps
    }

    /// Looks at dead legs and at what comes back.
    fn look_back(&mut self, contents: &Contents<'_>, moved: &FlowState, time: f64, dt: f64) {
        for &leg in &self.legs {
            let full = &mut self.record.leg_full_s[leg.index()];
            let concentration = contents.line_concentration(leg).unwrap_or(0.0);
            if full.is_none() && concentration >= self.full {
                *full = Some(time + dt);
            }
        }
        for &id in &self.returns {
            let flow = moved.flow_m3_s[id.index()];
            if flow <= STILL_M3_S {
                continue;
            }
            let concentration = contents.leaving(id);
            self.record.returned.add(flow * dt, concentration);
            let (old, new) = (self.old_return.unwrap_or(0.0), self.record.fed_concentration);
            let half = (new - old).abs() > 1e-9 && (concentration - old) / (new - old) >= 0.5;
            if half && self.record.return_half_s.is_none() {
                self.record.return_half_s = Some(time + dt);
            }
        }
    }

    /// Takes note of `strength` at tip `i` from `time` on.
    fn arrive(&mut self, i: usize, concentration: f64, time: f64) {
        let (old, new) = (self.old[i], self.fed_now);
        let new_comes = (new - old).abs() > NOTHING_NEW;
        let way = if new_comes { (concentration - old) / (new - old) } else { 1.0 };
        let arrival = &mut self.record.arrivals[i];
        let full = (concentration - new).abs() <= (1.0 - self.full_from) * new.max(old) + 1e-12;
        for (moment, reached) in [
            (&mut arrival.first_s, way >= FIRST),
            (&mut arrival.half_s, way >= 0.5),
            (&mut arrival.most_s, way >= MOST),
        ] {
            if reached && moment.is_none() {
                *moment = Some(time);
            }
        }
        arrival.full_s = if full { arrival.full_s.or(Some(time)) } else { None };
        arrival.rinsed_s = match self.rinsed_to {
            Some(limit) if concentration <= limit => arrival.rinsed_s.or(Some(time)),
            _ => None,
        };
    }

    /// Everything as it is at `now_s` of the run.
    pub(super) fn moment(
        &self,
        contents: &Contents<'_>,
        instant: &FlowState,
        now_s: f64,
        air: Option<AirSample>,
    ) -> Sample {
        let branches = || self.plumbing.branches.iter().zip(&instant.flow_m3_s);
        let pumped = branches().filter(|(b, _)| b.part.pump().is_some()).map(|(_, q)| *q as f32);
        let tanks = (0..self.plumbing.tanks.len()).map(TankId::at);
        let line =
            |i: usize| contents.line_concentration(BranchId::at(i)).map_or(f32::NAN, |s| s as f32);
        let gauge = |g: &crate::plumbing::Gauge| instant.static_pressure_pa[g.node.index()] as f32;
        let leaving = |(i, branch): (usize, &crate::plumbing::Branch)| {
            let flows = branch.part.line().is_some() && instant.flow_m3_s[i].abs() > STILL_M3_S;
            if flows { contents.leaving(BranchId::at(i)) as f32 } else { f32::NAN }
        };
        Sample {
            leaving: self.plumbing.branches.iter().enumerate().map(leaving).collect(),
            nodes: self.at_nodes(contents),
            nodes_pa: single(&instant.static_pressure_pa),
            flows_m3_s: single(&instant.flow_m3_s),
            tip_flows_m3_s: single(&instant.tip_flow_m3_s),
            time_s: now_s,
            tips: self.last.iter().map(|concentration| *concentration as f32).collect(),
            lines: (0..self.plumbing.branches.len()).map(line).collect(),
            tanks: tanks.map(|tank| contents.tank_concentration(tank) as f32).collect(),
            gauges_pa: self.plumbing.gauges.iter().map(gauge).collect(),
            pumped_m3_s: pumped.sum(),
            sprayed_m3_s: instant.tip_flow_m3_s.iter().map(|q| q.max(0.0) as f32).sum(),
            returned_m3_s: self.returns.iter().map(|id| instant.flow_m3_s[id.index()] as f32).sum(),
            air,
            probes: read(&self.plumbing, &self.course, contents, instant),
        }
    }

    /// Keeps a sample; drops every other one when there are too many.
    pub(super) fn sample(
        &mut self,
        contents: &Contents<'_>,
        instant: &FlowState,
        now_s: f64,
        air: Option<AirSample>,
    ) {
        let sample = self.moment(contents, instant, now_s, air);
        self.record.samples.push(sample);
        if self.record.samples.len() > self.most_samples {
            let mut keep = 0;
            self.record.samples.retain(|_| {
                keep += 1;
                keep % 2 == 1
            });
            self.every *= 2;
            self.record.kept_every = self.every;
        }
    }

    /// Concentration at each node: a tank's where the node opens into one; not a number between parts that nothing
    /// has passed.
    fn at_nodes(&self, contents: &Contents<'_>) -> Vec<f32> {
        let concentration = |(i, node): (usize, &crate::plumbing::Node)| match node.tank {
            Some(connection) => contents.tank_concentration(connection.tank) as f32,
            None if self.between_parts[i] && contents.passing(NodeId::at(i)).is_empty() => f32::NAN,
            None => contents.concentration_near(NodeId::at(i)) as f32,
        };
        self.plumbing.nodes.iter().enumerate().map(concentration).collect()
    }

    /// Keeps the end of the step.
    pub(super) fn last_sample(
        &mut self,
        contents: &Contents<'_>,
        instant: &FlowState,
        now_s: f64,
        air: Option<AirSample>,
    ) {
        if self.record.samples.last().is_none_or(|sample| sample.time_s < now_s) {
            self.sample(contents, instant, now_s, air);
        }
    }

    /// Whether every tip has full strength: those that run, or all where none does.
    pub(super) fn all_full(&self) -> bool {
        self.all(|arrival| arrival.full_s.is_some())
    }

    /// Whether every tip is rinsed: those that run, or all where none does.
    pub(super) fn all_rinsed(&self) -> bool {
        self.all(|arrival| arrival.rinsed_s.is_some())
    }

    fn all(&self, fits: impl Fn(&Arrival) -> bool) -> bool {
        let any_runs = self.runs.iter().any(|runs| *runs);
        let mut counted = self.record.arrivals.iter().zip(&self.runs);
        counted.all(|(arrival, runs)| fits(arrival) || (any_runs && !runs))
    }
}

/// Whether each node of `plumbing` is one at which no line ends.
fn between_parts(plumbing: &Plumbing) -> Vec<bool> {
    let mut without = vec![true; plumbing.nodes.len()];
    for branch in plumbing.branches.iter().filter(|branch| branch.part.line().is_some()) {
        without[branch.from.index()] = false;
        without[branch.to.index()] = false;
    }
    without
}

/// `values` in single precision, which is enough to draw.
fn single(values: &[f64]) -> Vec<f32> {
    values.iter().map(|value| *value as f32).collect()
}

fn runs(step: &Step, end: &FlowState) -> Vec<bool> {
    let tips = step.settings.tip_opening.iter().zip(&end.tip_flow_m3_s);
    tips.map(|(opening, flow)| *opening > 0.0 && *flow > STILL_M3_S).collect()
}

/// Tanks that give liquid, each with its share of the flow; the pump's tank, or the first, where none does.
fn feeds(plumbing: &Plumbing, instant: &FlowState) -> Vec<(TankId, f64)> {
    let mut flows = vec![0.0; plumbing.tanks.len()];
    for (branch, q) in plumbing.branches.iter().zip(&instant.flow_m3_s) {
        let giver = if *q > 0.0 { branch.from } else { branch.to };
        if let Some(connection) = plumbing.node(giver).tank {
            flows[connection.tank.index()] += q.abs();
        }
    }
    let whole: f64 = flows.iter().sum();
    if whole <= STILL_M3_S {
        let of_pump = plumbing.suction_tanks().into_iter().flatten().next();
        let first = plumbing.tanks.first().map(|_| TankId::at(0));
        return of_pump.or(first).map(|tank| (tank, 1.0)).into_iter().collect();
    }
    let shares = flows.into_iter().enumerate().filter(|(_, flow)| *flow > 0.0);
    shares.map(|(tank, flow)| (TankId::at(tank), flow / whole)).collect()
}

fn concentration_of(feeds: &[(TankId, f64)], contents: &Contents<'_>) -> f64 {
    feeds.iter().map(|(tank, share)| share * contents.tank_concentration(*tank)).sum()
}
