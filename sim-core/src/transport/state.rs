//! Contents of the whole plumbing, moved step by step.

use super::airy::{AirAccount, Airy, Caught};
use super::leg::Leg;
use super::line::TubedLine;
use super::order::{Order, order};
use super::profile::{Profile, Spread, spread_of};
use super::stream::{self, Part, Stream};
use super::tanks::{Amount, Tanks};
use crate::air::Supply;
use crate::fluids::{Liquid, Particles, still_suspended_in_bore};
use crate::hydraulics::{Friction, Instant};
use crate::plumbing::{BranchId, Plumbing, TankId};
use crate::procedure::{Load, Transfer};
use std::collections::BTreeMap;

/// Flow below which nothing counts as moving, m3/s.
pub(super) const STILL_M3_S: f64 = 1e-10;

/// What of the spreading of fronts is counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TransportOptions {
    /// Turbulent dispersion.
    pub dispersion: bool,
    /// The parabolic profile of laminar lines.
    pub laminar_tail: bool,
}

/// What every line, dead leg and tank holds.
#[derive(Clone, Debug)]
pub struct Contents<'a> {
    pub(super) plumbing: &'a Plumbing,
    pub(super) options: TransportOptions,
    pub(super) lines: Vec<Option<TubedLine>>,
    pub(super) legs: Vec<Option<(usize, Leg)>>,
    pub(super) tanks: Tanks,
    /// Product settled in each branch, m3 of full strength.
    pub(super) beds: Vec<f64>,
    pub(super) profiles: BTreeMap<i32, Profile>,
    pub(super) order: Order,
    pub(super) signs: Vec<i8>,
    pub(super) arms: Vec<Vec<usize>>,
    pub(super) outflow: Vec<Stream>,
    /// Volume that passed each branch in the last move, m3, positive from its `from` to its `to` node.
    pub(super) passed_m3: Vec<f64>,
    /// Volume that each tip passed in the last move, m3.
    pub(super) sprayed_m3: Vec<f64>,
    pub(super) tips_at: Vec<Vec<usize>>,
    pub(super) at_node: Vec<Stream>,
    pub(super) scratch: Stream,
    /// Air, where there is any.
    pub(super) airy: Option<Box<Airy>>,
    /// Mouth of each line that is capped at its other end.
    pub(super) cap_mouth: Vec<Option<usize>>,
    pub(super) caught: Vec<Caught>,
    pub(super) supply: Option<Supply>,
    pub(super) air_account: AirAccount,
}

/// What left the plumbing in a step.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Moved {
    /// Out of tips.
    pub sprayed: Amount,
    /// Out of tanks less into them, for tanks of unlimited volume.
    pub from_endless: Amount,
}

impl<'a> Contents<'a> {
    /// Everything full of liquid: lines at `lines_hold`, tanks at `tanks_hold`.
    pub fn new(
        plumbing: &'a Plumbing,
        lines_hold: f64,
        tanks_hold: f64,
        options: TransportOptions,
    ) -> Self {
        let mut arms = vec![Vec::new(); plumbing.nodes.len()];
        for (i, branch) in plumbing.branches.iter().enumerate() {
            arms[branch.from.index()].push(i);
            arms[branch.to.index()].push(i);
        }
        let mut tips_at = vec![Vec::new(); plumbing.nodes.len()];
        for (i, tip) in plumbing.tips.iter().enumerate() {
            tips_at[tip.node.index()].push(i);
        }
        let is_cap = |node: usize| {
            let ends = arms[node].len() == 1 && tips_at[node].is_empty();
            ends && plumbing.nodes[node].tank.is_none()
        };
        let (mut lines, mut legs) = (Vec::new(), Vec::new());
        let mut cap_mouth = Vec::new();
        for branch in &plumbing.branches {
            let line = branch.part.line();
            let (from, to) = (branch.from.index(), branch.to.index());
            let mouth = if is_cap(to) {
                Some(from)
            } else if is_cap(from) {
                Some(to)
            } else {
                None
            };
            cap_mouth.push(mouth.filter(|_| line.is_some()));
            legs.push(
                line.zip(mouth)
                    .map(|(line, mouth)| (mouth, Leg::new(line.bore_m, line.length_m, lines_hold))),
            );
            let flowing = line.filter(|_| mouth.is_none());
            lines.push(flowing.map(|line| TubedLine::new(line.volume_m3(), lines_hold)));
        }
        Self {
            plumbing,
            options,
            lines,
            legs,
            tanks: Tanks::new(plumbing, tanks_hold),
            beds: vec![0.0; plumbing.branches.len()],
            profiles: BTreeMap::new(),
            order: Order::default(),
            signs: Vec::new(),
            arms,
            outflow: vec![Stream::new(); plumbing.branches.len()],
            passed_m3: vec![0.0; plumbing.branches.len()],
            sprayed_m3: vec![0.0; plumbing.tips.len()],
            tips_at,
            at_node: vec![Stream::new(); plumbing.nodes.len()],
            scratch: Stream::new(),
            airy: None,
            cap_mouth,
            caught: Vec::new(),
            supply: None,
            air_account: AirAccount::default(),
        }
    }

    /// Takes up the flows of the next moves: the order in which they visit nodes.
    pub fn set_flows(&mut self, instant: &Instant) {
        self.take_order(|i| instant.flow_m3_s[i]);
    }

    /// Takes up the order in which flows visit nodes, found anew only where one has turned, begun or ended; `flow` is that
    /// of a branch, m3/s.
    pub(super) fn take_order(&mut self, flow: impl Fn(usize) -> f64) {
        let count = self.plumbing.branches.len();
        let sign = |i: usize| i8::from(flow(i) > STILL_M3_S) - i8::from(flow(i) < -STILL_M3_S);
        let same = self.signs.len() == count && (0..count).all(|i| self.signs[i] == sign(i));
        if !same {
            let flows: Vec<f64> = (0..count).map(&flow).collect();
            self.order = order(self.plumbing, &flows);
            self.signs = (0..count).map(sign).collect();
        }
    }

    /// Takes up how much each line spreads a front at the steady flows of `instant`, and lets those whose
    /// velocity picks them up carry what has settled.
    pub fn set_spread(
        &mut self,
        liquid: &Liquid,
        particles: Option<&Particles>,
        instant: &Instant,
    ) {
        for (i, branch) in self.plumbing.branches.iter().enumerate() {
            let (Some(line), Some(held)) = (branch.part.line(), &mut self.lines[i]) else {
                continue;
            };
            let flow = instant.flow_m3_s[i].abs();
            if flow <= STILL_M3_S {
                continue;
            }
            let velocity = flow / line.area_m2();
            let reynolds = liquid.density_kg_m3 * velocity * line.bore_m / liquid.viscosity_pa_s;
            let factor = line.fixed_friction.unwrap_or_else(|| {
                Friction::new(line.roughness_m / line.bore_m).factor(reynolds).f
            });
            let spread = spread_of(line.bore_m, line.length_m, reynolds, factor);
            let (key, spread) = bucket(spread, self.options);
            let pick_up = particles.map_or(0.0, |p| p.pick_up_velocity(liquid, line.bore_m));
            if velocity >= pick_up {
                held.add_evenly(std::mem::take(&mut self.beds[i]));
            }
            let profile = self.profiles.entry(key).or_insert_with(|| Profile::of(spread));
            held.set_profile(profile);
        }
    }

    /// Largest step for which loops of flow without a tank stay sound, s.
    pub fn largest_step_s(&self, instant: &Instant) -> f64 {
        let limit = |i: &usize| {
            let volume =
                self.plumbing.branches[*i].part.line().map_or(0.0, |line| line.volume_m3());
            // The fastest stream tube holds no less than this share of what passes it in a mean stay.
            0.2 * volume / instant.flow_m3_s[*i].abs()
        };
        let limits = self.order.ahead.iter().map(limit).filter(|limit| *limit > 0.0);
        limits.fold(f64::INFINITY, f64::min)
    }

    /// A part that closes a loop of flow in which no line holds any liquid: what goes round there has no strength of
    /// its own, and its moves no length.
    pub fn loop_without_line(&self) -> Option<BranchId> {
        let part = |i: &&usize| self.plumbing.branches[**i].part.line().is_none();
        self.order.ahead.iter().find(part).map(|i| BranchId::at(*i))
    }

    /// Mean strength of what left branch `branch` in the last step.
    pub fn leaving(&self, branch: usize) -> f64 {
        stream::mean(&self.outflow[branch])
    }

    /// Strengths passing node `node` in the last step.
    pub fn passing(&self, node: usize) -> &[Part] {
        &self.at_node[node]
    }

    /// Strength that stands at node `node`, 0 to 1: what passed it last, or what the lines there hold.
    pub fn strength_near(&self, node: usize) -> f64 {
        if let Some(part) = self.at_node[node].last() {
            return part.strength;
        }
        let lines = self.arms[node].iter().filter_map(|i| self.line_strength(*i));
        let (count, sum) = lines.fold((0.0, 0.0), |(n, sum), strength| (n + 1.0, sum + strength));
        if count > 0.0 { sum / count } else { 0.0 }
    }

    /// Strength of tank `tank`, 0 to 1.
    pub fn tank_strength(&self, tank: TankId) -> f64 {
        self.tanks.strength(tank.index())
    }

    /// Volume of tank `tank`, m3, if known.
    pub fn tank_volume_m3(&self, tank: TankId) -> Option<f64> {
        self.tanks.volume_m3(tank.index())
    }

    /// Fills a tank anew; returns by how much what tanks hold has grown.
    pub fn load(&mut self, load: &Load) -> Amount {
        self.tanks.load(load)
    }

    /// How long until a tank that flow or a transfer draws on is down to its heel, s, and which it is.
    pub fn until_empty_s(
        &self,
        instant: &Instant,
        transfers: &[Transfer],
    ) -> Option<(f64, TankId)> {
        self.tanks.until_empty_s(instant, transfers)
    }

    /// Lets suspended product settle from `from_s` to `to_s` after everything has come to rest.
    pub fn settle(&mut self, liquid: &Liquid, particles: &Particles, from_s: f64, to_s: f64) {
        let velocity = particles.hindered_velocity(liquid);
        for (i, branch) in self.plumbing.branches.iter().enumerate() {
            let (Some(line), Some(held)) = (branch.part.line(), &mut self.lines[i]) else {
                continue;
            };
            let left = |time_s| still_suspended_in_bore(velocity, time_s, line.bore_m);
            let before = left(from_s);
            if before > 0.0 {
                self.beds[i] += held.thin(left(to_s) / before);
            }
        }
        // What passed the nodes last no longer stands there.
        self.at_node.iter_mut().for_each(Vec::clear);
    }

    /// Product that lies settled in lines, m3 of full strength.
    pub fn settled_m3(&self) -> f64 {
        self.beds.iter().sum()
    }

    /// Liquid in lines, dead legs and tanks of known volume, and the product in it.
    pub fn amount(&self) -> Amount {
        let mut amount = self.tanks.amount();
        for line in self.lines.iter().flatten() {
            amount.liquid_m3 += line.volume_m3();
            amount.product_m3 += line.product_m3();
        }
        for (_, leg) in self.legs.iter().flatten() {
            amount.liquid_m3 += leg.volume_m3();
            amount.product_m3 += leg.product_m3();
        }
        if let Some(airy) = &self.airy {
            for part in airy.part.iter().flatten() {
                amount.liquid_m3 += part.liquid_m3();
                amount.product_m3 += part.product_m3;
            }
            airy.waiting.iter().for_each(|waiting| amount += *waiting);
        }
        amount.product_m3 += self.settled_m3();
        amount
    }

    /// Branches that are dead legs.
    pub fn dead_legs(&self) -> impl Iterator<Item = usize> + '_ {
        self.legs.iter().enumerate().filter_map(|(i, leg)| leg.as_ref().map(|_| i))
    }

    /// Mean strength of each branch that is a line.
    pub fn line_strength(&self, branch: usize) -> Option<f64> {
        let of_leg = self.legs[branch].as_ref().map(|(_, leg)| leg.product_m3() / leg.volume_m3());
        let part = self.airy.as_ref().and_then(|airy| airy.part[branch].as_ref());
        let of_part = part.filter(|part| part.liquid_m3() > 0.0).map(|part| part.strength());
        self.lines[branch].as_ref().map(TubedLine::mean_strength).or(of_leg).or(of_part)
    }

    /// Moves everything with the flows of `instant` for `dt_s`.
    pub fn advance(&mut self, instant: &Instant, transfers: &[Transfer], dt_s: f64) -> Moved {
        if let Some(supply) = &mut self.supply {
            // No air is asked for, and the compressor runs.
            supply.draw(0.0, dt_s);
        }
        self.passed_m3.fill(0.0);
        self.sprayed_m3.fill(0.0);
        self.let_out_ahead(&instant.flow_m3_s, dt_s);
        let mut moved = Moved::default();
        let nodes = std::mem::take(&mut self.order.nodes);
        for &node in &nodes {
            let arrived = self.mix(node, instant, dt_s);
            self.let_out(node, arrived, instant, dt_s);
        }
        self.order.nodes = nodes;
        let volumes = (&self.passed_m3[..], &self.sprayed_m3[..]);
        moved.from_endless = self.tanks.exchange(volumes, &self.outflow, transfers, dt_s);
        for (tip, volume) in self.plumbing.tips.iter().zip(&self.sprayed_m3) {
            if *volume > 0.0 {
                moved.sprayed.add(*volume, stream::mean(&self.at_node[tip.node.index()]));
            }
        }
        moved
    }

    /// Takes the outflow of lines that close a loop of flow, ahead of everything else.
    pub(super) fn let_out_ahead(&mut self, flow_m3_s: &[f64], dt_s: f64) {
        for k in 0..self.order.ahead.len() {
            let i = self.order.ahead[k];
            let volume = flow_m3_s[i] * dt_s;
            if let Some(line) = &mut self.lines[i] {
                self.passed_m3[i] = volume;
                let (outflow, scratch) = (&mut self.outflow[i], &mut self.scratch);
                line.let_out(volume.abs(), volume < 0.0, outflow, scratch);
            }
        }
    }

    /// Volume that tip number `tip` passed in the last move, m3.
    pub fn sprayed_m3(&self, tip: usize) -> f64 {
        self.sprayed_m3[tip]
    }
}

/// A spread rounded to steps of a tenth, so that lines of like flow share their tubes, and its key.
fn bucket(spread: Spread, options: TransportOptions) -> (i32, Spread) {
    match spread {
        Spread::Laminar if options.laminar_tail => (1, Spread::Laminar),
        Spread::Turbulent { peclet } if options.dispersion => {
            let step = (peclet.ln() * 10.0).round();
            (10 + step as i32, Spread::Turbulent { peclet: (step / 10.0).exp() })
        }
        _ => (0, Spread::None),
    }
}
