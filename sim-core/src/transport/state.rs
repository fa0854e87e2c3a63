//! Contents of the whole plumbing, moved step by step.

use super::air::AirState;
use super::content::Content;
use super::leg::Leg;
use super::line::TubedLine;
use super::order::{Order, order};
use super::profile::{Dispersion, Profile, dispersion_of};
use super::stream::Stream;
use super::tanks::{Amount, Tanks};
use crate::fluids::{Liquid, Particles, still_suspended_in_bore};
use crate::hydraulics::{FlowState, Friction, STILL_M3_S};
use crate::plumbing::{BranchId, Plumbing, Shared, Topology};
use crate::procedure::{Load, ModelOptions};
use std::collections::BTreeMap;

/// What every line, dead leg and tank holds.
#[derive(Clone, Debug)]
pub struct Contents<'a> {
    pub(crate) plumbing: Shared<'a, Plumbing>,
    pub(super) liquid: Shared<'a, Liquid>,
    pub(super) options: ModelOptions,
    /// What each branch holds.
    pub(super) held: Vec<Content>,
    pub(super) tanks: Tanks,
    /// Product settled in each branch, m3 of full strength.
    pub(super) beds: Vec<f64>,
    profiles: BTreeMap<(i32, i32), Profile>,
    pub(super) order: Order,
    /// Which way each branch flowed when the order was found.
    pub(super) signs: Vec<i8>,
    /// Branches at each node.
    pub(super) arms: Vec<Vec<usize>>,
    /// What left each branch in the last move.
    pub(super) outflow: Vec<Stream>,
    /// Volume of liquid that passed each branch in the last move, m3, positive from its `from` to its `to` node.
    pub(super) passed_m3: Vec<f64>,
    /// Volume of liquid that each tip passed in the last move, m3.
    pub(super) sprayed_m3: Vec<f64>,
    pub(super) tips_at: Vec<Vec<usize>>,
    /// What passed each node last.
    pub(super) at_node: Vec<Stream>,
    pub(super) scratch: Stream,
    /// Mouth of each line that is capped at its other end.
    pub(super) mouth: Vec<Option<usize>>,
    pub(super) air: AirState,
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
    /// Everything full of `liquid`: lines at concentration `lines_hold`, tanks at `tanks_hold`.
    pub fn new(
        plumbing: &'a Plumbing,
        liquid: &'a Liquid,
        options: ModelOptions,
        lines_hold: f64,
        tanks_hold: f64,
    ) -> Self {
        Self::of(plumbing.into(), liquid.into(), options, [lines_hold, tanks_hold])
    }

    /// The same of what may be kept.
    pub(crate) fn of(
        plumbing: Shared<'a, Plumbing>,
        liquid: Shared<'a, Liquid>,
        options: ModelOptions,
        [lines_hold, tanks_hold]: [f64; 2],
    ) -> Self {
        let (nodes, branches) = (plumbing.nodes.len(), plumbing.branches.len());
        let Topology { branches_at: arms, tips_at, mouth } = Topology::of(&plumbing);
        let mut contents = Self {
            options,
            held: vec![Content::Nothing; branches],
            tanks: Tanks::new(&plumbing, tanks_hold),
            beds: vec![0.0; branches],
            profiles: BTreeMap::new(),
            order: Order::default(),
            signs: Vec::new(),
            arms,
            outflow: vec![Stream::new(); branches],
            passed_m3: vec![0.0; branches],
            sprayed_m3: vec![0.0; plumbing.tips.len()],
            tips_at,
            at_node: vec![Stream::new(); nodes],
            scratch: Stream::new(),
            mouth,
            air: AirState::new(&plumbing),
            plumbing,
            liquid,
        };
        (0..branches).for_each(|i| contents.fill(BranchId::at(i), lines_hold));
        contents
    }

    /// The line at `branch` holds `strength` from end to end; nothing changes where it is no line.
    pub(crate) fn fill(&mut self, branch: BranchId, concentration: f64) {
        if let Some(line) = self.plumbing.branch(branch).part.line() {
            self.held[branch.index()] = match self.mouth[branch.index()] {
                Some(_) => Content::Leg(Leg::new(line.bore_m, line.length_m, concentration)),
                None => Content::Tubes(TubedLine::new(line.volume_m3(), concentration)),
            };
        }
    }

    /// Takes up the flows of the next moves: the order in which they visit nodes, found anew only where one has turned,
    /// begun or ended.
    pub fn set_flows(&mut self, instant: &FlowState) {
        // What leaves a line that holds air is known before what enters it: nothing has to wait for it.
        let flow = |i: usize| match self.held[i] {
            Content::Air(_) => 0.0,
            _ => instant.flow_m3_s[i],
        };
        let count = self.plumbing.branches.len();
        let sign = |i: usize| i8::from(flow(i) > STILL_M3_S) - i8::from(flow(i) < -STILL_M3_S);
        let same = self.signs.len() == count && (0..count).all(|i| self.signs[i] == sign(i));
        if !same {
            let flows: Vec<f64> = (0..count).map(&flow).collect();
            self.signs = (0..count).map(sign).collect();
            self.order = order(&self.plumbing, &flows);
        }
    }

    /// Takes up how much each line spreads a front at the steady flows of `instant`, and lets those whose
    /// velocity picks them up carry what has settled.
    pub fn set_spread(&mut self, particles: Option<&Particles>, instant: &FlowState) {
        let liquid = &*self.liquid;
        for (i, branch) in self.plumbing.branches.iter().enumerate() {
            let (Some(line), Content::Tubes(held)) = (branch.part.line(), &mut self.held[i]) else {
                continue;
            };
            let flow = instant.flow_m3_s[i].abs();
            if flow <= STILL_M3_S {
                continue;
            }
            let velocity = flow / line.area_m2();
            let reynolds = liquid.density_kg_m3 * velocity * line.bore_m / liquid.viscosity_pa_s;
            let friction = Friction::new(line.roughness_m / line.bore_m);
            let factor = line.fixed_friction.unwrap_or_else(|| friction.factor(reynolds).f);
            let turbulent = friction.turbulent_share(reynolds);
            let spread = dispersion_of(line.bore_m, line.length_m, reynolds, factor, turbulent);
            let (key, spread) = bucket(spread, self.options);
            let pick_up = particles.map_or(0.0, |p| p.pick_up_velocity(liquid, line.bore_m));
            if velocity >= pick_up {
                held.add_evenly(std::mem::take(&mut self.beds[i]));
            }
            let profile = self.profiles.entry(key).or_insert_with(|| Profile::of(spread));
            held.set_profile(profile);
        }
    }

    /// Fills a tank anew; returns by how much what tanks hold has grown.
    pub fn load(&mut self, load: &Load) -> Amount {
        self.tanks.load(load)
    }

    /// Lets suspended product settle from `from_s` to `to_s` after everything has come to rest.
    pub(crate) fn settle(&mut self, particles: &Particles, from_s: f64, to_s: f64) {
        let velocity = particles.hindered_velocity(&self.liquid);
        for (i, branch) in self.plumbing.branches.iter().enumerate() {
            let (Some(line), Content::Tubes(held)) = (branch.part.line(), &mut self.held[i]) else {
                continue;
            };
            let left = |time_s| still_suspended_in_bore(velocity, time_s, line.bore_m);
            let before = left(from_s);
            if before > 0.0 {
                self.beds[i] += held.thin(left(to_s) / before);
            }
        }
        // What passed the nodes last no longer is there.
        self.at_node.iter_mut().for_each(Vec::clear);
    }
}

/// Steps in the logarithm of the Peclet number, and in the share of turbulent flow, to which spreads are rounded.
const PECLET_STEPS: f64 = 50.0;
const SHARE_STEPS: f64 = 40.0;

/// A spread rounded, so that lines of like flow share their tubes, and its key.
fn bucket(spread: Dispersion, options: ModelOptions) -> ((i32, i32), Dispersion) {
    let rounded = |peclet: f64| {
        let step = (peclet.ln() * PECLET_STEPS).round();
        (step as i32, (step / PECLET_STEPS).exp())
    };
    match spread {
        Dispersion::Laminar if options.laminar_tail => ((0, 0), Dispersion::Laminar),
        Dispersion::Between { turbulent, peclet } if options.dispersion => {
            let share = (turbulent * SHARE_STEPS).round().max(1.0) / SHARE_STEPS;
            let (step, peclet) = rounded(peclet);
            if share >= 1.0 || !options.laminar_tail {
                return ((2, step), Dispersion::Turbulent { peclet });
            }
            (
                ((3.0 + share * SHARE_STEPS) as i32, step),
                Dispersion::Between { turbulent: share, peclet },
            )
        }
        Dispersion::Turbulent { peclet } if options.dispersion => {
            let (step, peclet) = rounded(peclet);
            ((2, step), Dispersion::Turbulent { peclet })
        }
        _ => ((1, 0), Dispersion::None),
    }
}
