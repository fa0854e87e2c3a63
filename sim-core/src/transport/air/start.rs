//! How air comes into the contents, and when it no longer counts.

use super::super::content::Content;
use super::super::state::Contents;
use super::line::AirLine;
use super::{AirAccount, Caught, LEAST, NODE_AIR_M3, solved_pressure};
use crate::air::{AirRestriction, Supply, density};
use crate::fluids::{AbsolutePressure, GRAVITY_M_S2, GaugePressure};
use crate::hydraulics::{FlowState, STILL_M3_S};
use crate::plumbing::{BranchId, Node, NodeId, Plumbing};

impl Contents<'_> {
    /// Makes room for air, if there is none yet; pressures are those of `instant`.
    pub(crate) fn begin_air(&mut self, instant: &FlowState) {
        if self.air.takes_part {
            return;
        }
        let plumbing = &*self.plumbing;
        let open_mouth = |node: &Node| {
            node.tank.is_some_and(|c| node.elevation_m > plumbing.tank(c.tank).surface_m)
        };
        for (i, node) in plumbing.nodes.iter().enumerate() {
            self.air.at[i] = open_mouth(node);
            self.air.pressure[i] = solved_pressure(instant, i);
        }
        self.air.liquid_share.fill(0.0);
        self.air.takes_part = true;
        self.signs.clear();
    }

    /// Empties the lines for which `dry` holds; those between a tank and a pump's inlet must not be among them.
    /// The air of lines in `air_pa` is at that pressure, Pa gauge, all other at that of the surroundings.
    pub(crate) fn empty_lines(
        &mut self,
        dry: &dyn Fn(BranchId) -> bool,
        air_pa: &[(BranchId, f64)],
    ) {
        let plumbing = &*self.plumbing;
        let wet = wet_nodes(plumbing, dry);
        for (i, branch) in plumbing.branches.iter().enumerate() {
            let line = branch.part.line().filter(|_| dry(BranchId::at(i)));
            let Some(line) = line else { continue };
            let mut line = AirLine::dry(line, self.rise_m(i), &self.liquid, self.options.slip);
            for (end, node) in [branch.from, branch.to].into_iter().enumerate() {
                if wet[node.index()] && line.layered {
                    line.flood(end);
                }
            }
            self.held[i] = Content::Air(Box::new(line));
        }
        for node in (0..plumbing.nodes.len()).filter(|node| !wet[*node]) {
            let is_at = |(line, _): &&(BranchId, f64)| {
                let branch = plumbing.branch(*line);
                branch.from.index() == node || branch.to.index() == node
            };
            let given = air_pa.iter().find(is_at).filter(|_| plumbing.nodes[node].tank.is_none());
            let pressure = given.map_or(AbsolutePressure::ATMOSPHERE, |(_, pa)| {
                GaugePressure { pa: *pa }.absolute()
            });
            self.air.at[node] = true;
            self.air.pressure[node] = pressure;
            if plumbing.nodes[node].tank.is_none() {
                self.air.mass_kg[node] = self.node_air_m3(node) * density(pressure);
            }
        }
    }

    /// Sets up the supply of compressed air of the plumbing, its receiver charged.
    pub(crate) fn charge(&mut self) {
        let absolute = |pa: f64| GaugePressure { pa }.absolute();
        self.air.supply = self.plumbing.air.as_ref().map(|air| Supply {
            receiver_m3: air.receiver_m3,
            receiver: absolute(air.charged_to_pa),
            free_air_delivery_m3_s: air.free_air_m3_s,
            cut_out: absolute(air.charged_to_pa),
            regulated: absolute(air.regulated_pa),
            valve: AirRestriction {
                sonic_conductance_m3_s_pa: air.conductance_m3_s_pa,
                critical_ratio: air.critical_ratio,
            },
        });
    }

    /// Ends the account of air where none is left, or where all of it is caught in dead legs and at rest: it is
    /// compressed there and stays.
    pub(crate) fn end_air(&mut self, instant: &FlowState) {
        if !self.air.takes_part || !self.all_air_is_caught(instant) {
            return;
        }
        for i in 0..self.held.len() {
            let (Content::Air(line), Some(mouth)) = (&self.held[i], self.mouth[i]) else {
                continue;
            };
            let (liquid_m3, concentration) = (line.liquid_m3(), line.concentration());
            let branch = &self.plumbing.branches[i];
            let cap = if mouth == branch.from.index() { branch.to } else { branch.from };
            let pressure = self.air.pressure[cap.index()];
            let air_m3 = line.volume_m3 - liquid_m3;
            self.air.caught.push(Caught { branch: BranchId::at(i), air_m3, pressure });
            self.fill_partly(i, liquid_m3, concentration);
        }
        self.air.account.carried_kg += self.air.held_kg();
        self.air.at.fill(false);
        self.air.mass_kg.fill(0.0);
        self.air.broken_through.clear();
        (self.air.takes_part, self.air.happened) = (false, false);
        self.signs.clear();
    }

    /// Whether no node but caps holds air, and every line that does is a dead leg at rest.
    fn all_air_is_caught(&self, instant: &FlowState) -> bool {
        let is_cap = |node: usize| {
            let [only] = self.arms[node][..] else { return false };
            self.mouth[only].is_some_and(|mouth| mouth != node)
        };
        let elsewhere =
            |(node, at): (usize, &Node)| self.air.at[node] && at.tank.is_none() && !is_cap(node);
        if self.plumbing.nodes.iter().enumerate().any(elsewhere) {
            return false;
        }
        // A column that swings stands still for a moment at either end of its way: it must be balanced, too.
        let balanced = |i: usize, line: &AirLine| {
            let branch = &self.plumbing.branches[i];
            let [from, to] = [branch.from, branch.to].map(|n| instant.total_pressure_pa[n.index()]);
            let weight = self.liquid.density_kg_m3 * GRAVITY_M_S2 * line.column().1;
            (from - to - weight).abs() < BALANCED_PA
        };
        let caught = |(i, line): (usize, &AirLine)| {
            self.mouth[i].is_some_and(|mouth| !self.air.at[mouth])
                && instant.flow_m3_s[i].abs() < AT_REST_M3_S
                && !line.layered
                && balanced(i, line)
        };
        let lines = self.held.iter().enumerate();
        lines.filter_map(|(i, held)| Some((i, held.air()?))).all(caught)
    }

    /// Air of node `node`'s lines and fittings, m3.
    pub(super) fn node_air_m3(&self, node: usize) -> f64 {
        let of_line = |&i: &usize| {
            let branch = &self.plumbing.branches[i];
            let Some(line) = self.held[i].air() else { return 0.0 };
            let at = |end, id: NodeId| if id.index() == node { line.free_m3(end) } else { 0.0 };
            at(0, branch.from) + at(1, branch.to)
        };
        let waiting = self.air.waiting[node].liquid_m3;
        let room = self.arms[node].iter().map(of_line).sum::<f64>() - waiting;
        NODE_AIR_M3 + room.max(0.0)
    }

    /// Mean of the pressures at the ends of branch `i`.
    pub(super) fn mean_pressure(&self, i: usize) -> AbsolutePressure {
        let branch = &self.plumbing.branches[i];
        let [from, to] = [branch.from, branch.to].map(|node| self.air.pressure[node.index()]);
        AbsolutePressure { pa: 0.5 * (from.pa + to.pa) }
    }

    /// `pressure`, or that of the vapour where there is hardly any air: vapour fills the room then.
    pub(super) fn at_least_vapour(&self, pressure: AbsolutePressure) -> AbsolutePressure {
        pressure.max(self.liquid.vapour_pressure.max(LEAST))
    }

    pub(super) fn rise_m(&self, i: usize) -> f64 {
        let branch = &self.plumbing.branches[i];
        self.plumbing.node(branch.to).elevation_m - self.plumbing.node(branch.from).elevation_m
    }

    /// Whether any line or node, open mouths of tanks apart, holds air.
    pub(crate) fn holds_air(&self) -> bool {
        let nodes = self.plumbing.nodes.iter().zip(&self.air.at);
        self.held.iter().filter_map(Content::air).any(|line| !line.is_full())
            || nodes.into_iter().any(|(node, air)| *air && node.tank.is_none())
    }

    /// Whether `node` holds air.
    pub(crate) fn has_air_at(&self, node: NodeId) -> bool {
        self.air.at[node.index()]
    }

    /// The supply of compressed air as it is.
    pub(crate) fn supply(&self) -> Option<&Supply> {
        self.air.supply.as_ref()
    }

    /// Air that came and went so far.
    pub(crate) fn air_account(&self) -> AirAccount {
        self.air.account
    }

    /// Air held at nodes, kg.
    pub(crate) fn air_kg(&self) -> f64 {
        self.air.held_kg()
    }

    /// Air caught in dead legs.
    pub(crate) fn caught(&self) -> &[Caught] {
        &self.air.caught
    }

    /// Lines whose column was gone in the last move.
    pub(crate) fn broken_through(&self) -> &[BranchId] {
        &self.air.broken_through
    }

    /// Whether something came to an end in the last move, so that flows change suddenly.
    pub(crate) fn happened(&self) -> bool {
        self.air.happened
    }
}

/// Flow into a dead leg below which its air is at rest, m3/s.
const AT_REST_M3_S: f64 = 1e3 * STILL_M3_S;
/// What may drive the column of a dead leg whose air is at rest, Pa.
const BALANCED_PA: f64 = 50.0;

/// Nodes at which liquid stands while lines for which `dry` holds are empty: those under a tank's surface, and all
/// that full lines or parts other than pumps join to a pump's inlet or to each other's full lines.
fn wet_nodes(plumbing: &Plumbing, dry: &dyn Fn(BranchId) -> bool) -> Vec<bool> {
    let mut wet: Vec<bool> = plumbing
        .nodes
        .iter()
        .map(|node| node.tank.is_some_and(|c| node.elevation_m <= plumbing.tank(c.tank).surface_m))
        .collect();
    for (i, branch) in plumbing.branches.iter().enumerate() {
        if branch.part.line().is_some() && !dry(BranchId::at(i)) {
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
