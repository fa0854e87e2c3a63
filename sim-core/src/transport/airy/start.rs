//! How air comes into the contents, and when it no longer counts.

use super::super::state::{Contents, STILL_M3_S};
use super::super::tanks::Amount;
use super::part_line::PartLine;
use super::{AirAccount, Airy};
use crate::air::{Restriction, Supply, density};
use crate::fluids::{ATMOSPHERE_PA, GRAVITY_M_S2, Liquid};
use crate::hydraulics::Instant;
use crate::plumbing::{BranchId, Plumbing};

/// Air caught in a dead leg.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Caught {
    /// The leg.
    pub branch: BranchId,
    /// Volume of the air at the pressure it came to rest at, m3.
    pub air_m3: f64,
    /// That pressure, Pa absolute.
    pub absolute_pa: f64,
}

impl Contents<'_> {
    /// Makes room for air, if there is none yet; pressures are those of `instant`.
    pub fn begin_air(
        &mut self,
        liquid: &Liquid,
        holdup: bool,
        fixed_front: Option<f64>,
        instant: &Instant,
    ) {
        if self.airy.is_some() {
            return;
        }
        let mut airy = Airy::new(self.plumbing, liquid);
        (airy.use_holdup, airy.fixed_front) = (holdup, fixed_front);
        for (absolute, gauge) in airy.absolute_pa.iter_mut().zip(&instant.total_pressure_pa) {
            *absolute = (gauge + ATMOSPHERE_PA).max(1.0);
        }
        airy.supply = self.supply;
        airy.air = self.air_account;
        self.airy = Some(Box::new(airy));
        self.signs.clear();
    }

    /// Empties the lines for which `dry` holds; those between a tank and a pump's inlet must not be among them.
    pub fn empty_lines(&mut self, dry: &dyn Fn(usize) -> bool) {
        let Some(mut airy) = self.airy.take() else { return };
        let plumbing = self.plumbing;
        let wet = wet_nodes(plumbing, dry);
        for (i, branch) in plumbing.branches.iter().enumerate() {
            let Some(line) = branch.part.line().filter(|_| dry(i)) else { continue };
            (self.lines[i], self.legs[i]) = (None, None);
            let mut part = PartLine::dry(line, self.rise_m(i), &airy.liquid);
            for (end, node) in [branch.from, branch.to].into_iter().enumerate() {
                if wet[node.index()] && part.airy {
                    part.flood(end);
                }
            }
            airy.part[i] = Some(part);
        }
        for node in (0..plumbing.nodes.len()).filter(|node| !wet[*node]) {
            airy.airy[node] = true;
            airy.absolute_pa[node] = ATMOSPHERE_PA;
            if plumbing.nodes[node].tank.is_none() {
                let volume = airy.node_air_m3(node, &self.arms[node], plumbing);
                airy.mass_kg[node] = volume * density(ATMOSPHERE_PA);
            }
        }
        self.airy = Some(airy);
    }

    /// Line `i` holds `strength` at the start, whatever the others do.
    pub fn fill_from_the_start(&mut self, i: usize, strength: f64) {
        let volume = self.plumbing.branches[i].part.line().map_or(0.0, |line| line.volume_m3());
        self.fill_line(i, volume, strength);
    }

    /// Sets up the supply of compressed air of `plumbing`, its receiver charged.
    pub fn charge(&mut self) {
        self.supply = self.plumbing.air.as_ref().map(|air| Supply {
            receiver_m3: air.receiver_m3,
            receiver_pa: air.charged_to_pa + ATMOSPHERE_PA,
            free_air_delivery_m3_s: air.free_air_m3_s,
            cut_out_pa: air.charged_to_pa + ATMOSPHERE_PA,
            regulated_pa: air.regulated_pa + ATMOSPHERE_PA,
            valve: Restriction {
                sonic_conductance_m3_s_pa: air.conductance_m3_s_pa,
                critical_ratio: air.critical_ratio,
            },
        });
    }

    /// The supply of compressed air as it stands.
    pub fn supply(&self) -> Option<&Supply> {
        self.airy.as_ref().map_or(self.supply.as_ref(), |airy| airy.supply.as_ref())
    }

    /// Air that came and went so far.
    pub fn air_account(&self) -> AirAccount {
        self.airy.as_ref().map_or(self.air_account, |airy| airy.air)
    }

    /// Air held at nodes, kg.
    pub fn air_kg(&self) -> f64 {
        self.airy.as_ref().map_or(0.0, |airy| airy.held_kg())
    }

    /// Ends the account of air where none is left, or where all of it is caught in dead legs and at rest: it is
    /// compressed there and stays.
    pub fn end_air(&mut self, instant: &Instant) {
        let Some(airy) = &self.airy else { return };
        let at_rest = |i: usize| instant.flow_m3_s[i].abs() < AT_REST_M3_S;
        let open = airy.part.iter().enumerate().filter(|(_, part)| part.is_some());
        // A column that swings stands still for a moment at either end of its way.
        let balanced = |i: usize, part: &PartLine| {
            let branch = &self.plumbing.branches[i];
            let [from, to] = [branch.from, branch.to].map(|n| instant.total_pressure_pa[n.index()]);
            let weight = airy.liquid.density_kg_m3 * GRAVITY_M_S2 * part.column().1;
            (from - to - weight).abs() < BALANCED_PA
        };
        let caught = |i: usize| {
            self.cap_mouth[i].is_some_and(|mouth| {
                !airy.airy[mouth]
                    && at_rest(i)
                    && airy.part[i].as_ref().is_some_and(|part| !part.airy && balanced(i, part))
            })
        };
        let mut lines = open.map(|(i, _)| i);
        let cap = |node: usize| {
            let [only] = self.arms[node][..] else { return false };
            self.cap_mouth[only].is_some_and(|mouth| mouth != node)
        };
        let elsewhere = (0..self.plumbing.nodes.len())
            .any(|node| airy.airy[node] && self.plumbing.nodes[node].tank.is_none() && !cap(node));
        if elsewhere || !lines.all(caught) {
            return;
        }
        let Some(mut airy) = self.airy.take() else { return };
        for i in 0..airy.part.len() {
            let Some(part) = airy.part[i].take() else { continue };
            let (air_m3, strength) = (part.volume_m3 - part.liquid_m3(), part.strength());
            let branch = &self.plumbing.branches[i];
            let end = if self.cap_mouth[i] == Some(branch.from.index()) {
                branch.to
            } else {
                branch.from
            };
            let absolute_pa = airy.absolute_pa[end.index()];
            self.caught.push(Caught { branch: BranchId::at(i), air_m3, absolute_pa });
            self.fill_line(i, part.liquid_m3(), strength);
        }
        airy.air.carried_kg += airy.held_kg();
        (self.supply, self.air_account) = (airy.supply, airy.air);
        self.signs.clear();
    }

    /// Air caught in dead legs.
    pub fn caught(&self) -> &[Caught] {
        &self.caught
    }

    /// Lines whose column was gone in the last step.
    pub fn broken_through(&self) -> &[usize] {
        self.airy.as_ref().map_or(&[], |airy| &airy.broken_through)
    }

    /// Liquid that came into tanks through lines and parts in the last step, less what they gave.
    pub fn into_tanks(&self) -> Amount {
        self.tanks.came()
    }

    /// Share of line `i` that is air.
    pub fn air_share(&self, i: usize) -> f64 {
        let part = self.airy.as_ref().and_then(|airy| airy.part[i].as_ref());
        part.map_or(0.0, |part| (1.0 - part.liquid_m3() / part.volume_m3).clamp(0.0, 1.0))
    }

    /// Whether node `node` holds air.
    pub fn is_airy(&self, node: usize) -> bool {
        self.airy.as_ref().is_some_and(|airy| airy.airy[node])
    }

    /// Whether something came to an end in the last step, so that flows change suddenly.
    pub fn happened(&self) -> bool {
        self.airy.as_ref().is_some_and(|airy| airy.happened)
    }

    /// Liquid that passed each branch and tip in a step of `dt_s`, as flows, written into `flow`; pressures and
    /// all else stay.
    pub fn liquid_flows(&self, dt_s: f64, flow: &mut Instant) {
        for (flow, passed) in flow.flow_m3_s.iter_mut().zip(&self.passed_m3) {
            *flow = passed / dt_s;
        }
        for (flow, sprayed) in flow.tip_flow_m3_s.iter_mut().zip(&self.sprayed_m3) {
            *flow = sprayed / dt_s;
        }
    }

    pub(super) fn rise_m(&self, i: usize) -> f64 {
        let branch = &self.plumbing.branches[i];
        self.plumbing.node(branch.to).elevation_m - self.plumbing.node(branch.from).elevation_m
    }
}

/// Flow into a dead leg below which its air is at rest, m3/s.
const AT_REST_M3_S: f64 = 1e3 * STILL_M3_S;
/// What may drive the column of a dead leg whose air is at rest, Pa.
const BALANCED_PA: f64 = 50.0;

/// Nodes at which liquid stands while lines for which `dry` holds are empty: those under a tank's surface, and all
/// that full lines or parts other than pumps join to a pump's inlet or to each other's full lines.
fn wet_nodes(plumbing: &Plumbing, dry: &dyn Fn(usize) -> bool) -> Vec<bool> {
    let mut wet: Vec<bool> = plumbing
        .nodes
        .iter()
        .map(|node| node.tank.is_some_and(|c| node.elevation_m <= plumbing.tank(c.tank).surface_m))
        .collect();
    for (i, branch) in plumbing.branches.iter().enumerate() {
        if branch.part.line().is_some() && !dry(i) {
            for node in [branch.from, branch.to] {
                wet[node.index()] = true;
            }
        }
        if branch.part.pump().is_some() {
            wet[branch.from.index()] = true;
        }
    }
    wet
}

/// Lines on the way from a tank to a pump's inlet.
pub fn suction_lines(plumbing: &Plumbing) -> Vec<bool> {
    let mut reached = vec![false; plumbing.nodes.len()];
    let mut lines = vec![false; plumbing.branches.len()];
    for branch in plumbing.branches.iter().filter(|branch| branch.part.pump().is_some()) {
        reached[branch.from.index()] = true;
    }
    loop {
        let mut grew = false;
        for (i, branch) in plumbing.branches.iter().enumerate() {
            if lines[i] || branch.part.pump().is_some() {
                continue;
            }
            let touches = [branch.from, branch.to]
                .into_iter()
                .any(|node| reached[node.index()] && plumbing.node(node).tank.is_none());
            if touches {
                lines[i] = true;
                reached[branch.from.index()] = true;
                reached[branch.to.index()] = true;
                grew = true;
            }
        }
        if !grew {
            return lines;
        }
    }
}
