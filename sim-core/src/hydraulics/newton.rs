//! Newton's method on the whole network.
//!
//! Every link's drop rises with its flow, so the flows that balance at every node minimise a convex
//! function of the flows, the pressures being its multipliers (Birkhoff & Diaz 1956; Collins et al.
//! 1978). Each iteration eliminates the flows and solves a symmetric positive definite system for
//! the pressures (Todini & Pilati 1988); the step in flow is cut back where the convex function has
//! already turned upward, which makes the iteration converge from any start. One-way parts (checks,
//! pumps, tips) resist reverse flow mildly at first and ever more stiffly once the rest has settled,
//! since a stiff kink met too early would stop every step short. Controls border the system by one
//! row each. Velocity-head terms at splits, which are small, lag by one iteration.

use super::circuit::Circuit;
use super::controls::Loop;
use super::convergence::{Convergence, Progress, TOLERANCE};
use super::expansion::{Expansion, Iterate};
use super::flow_state::{ROUNDING_M3_S, SolverStatistics};
use super::law::{Loss, REVERSE_SLOPE};
use super::splits::{Extra, Splits};
use crate::linear::{Singular, SparseSpd};
use crate::procedure::MOST_CONTROLS;

/// Slope below which a link counts as free of resistance in the linear system, Pa s/m3.
const LEAST_SLOPE: f64 = 1.0;
/// The same where part of the network holds air, whose links resist so much less.
const LEAST_SLOPE_AIR: f64 = 1e4;
/// The same for what nodes store: much air holds its pressure however much comes in.
const LEAST_SLOPE_STORE: f64 = 1e-3;
/// Slopes by which one-way parts resist reverse flow, one stage after the other, Pa s/m3.
const REVERSE_STAGES: [f64; 3] = [1e10, 1e13, REVERSE_SLOPE];
/// Error at which a stage that is not the last is left while something flows in reverse.
const STAGE_TOLERANCE: f64 = 1e-3;
/// Error up to which the expansion of air follows the pressures of each iteration.
const NEAR: f64 = 1e-2;

/// Everything an iteration needs, allocated once.
#[derive(Clone, Debug)]
pub(super) struct Newton {
    pub(super) matrix: SparseSpd,
    /// Total pressure of each unknown, Pa.
    pub(super) pressure: Vec<f64>,
    /// Flow of each link, m3/s.
    pub(super) flow: Vec<f64>,
    /// Loss of each link at its flow, without the lagging constant of splits, Pa.
    pub(super) drop: Vec<f64>,
    /// What splits add to each link's own loss.
    pub(super) extra: Vec<Extra>,
    fresh: Vec<Extra>,
    /// Largest part of that not brought up to date, Pa.
    pub(super) lag: f64,
    /// What the inertia of each link's liquid takes in this time step per change of flow, Pa s/m3; 0 in
    /// steady flow.
    pub(super) inertia: Vec<f64>,
    /// Flow of each link when the time step starts, m3/s.
    pub(super) before: Vec<f64>,
    pub(super) slope: Vec<f64>,
    /// Open links.
    pub(super) open: Vec<usize>,
    /// Flow per pressure of each link, m3/s per Pa.
    pub(super) conductance: Vec<f64>,
    pub(super) step: Vec<f64>,
    pub(super) trial: Vec<f64>,
    pub(super) change: Vec<f64>,
    pub(super) response: [Vec<f64>; MOST_CONTROLS],
    pub(super) by_value: [f64; MOST_CONTROLS],
    pub(super) reverse_slope: f64,
    /// Error before the last iteration.
    error_before: f64,
    /// How air expands on its way.
    pub(super) expansion: Expansion,
    /// Largest relative error that counts as solved.
    pub(super) tolerance: f64,
    pub(super) statistics: SolverStatistics,
}

/// What an iteration starts from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum StartFrom {
    /// Flows and pressures of a solution near by.
    Warm,
    /// Flows of the right order.
    Cold,
}

impl StartFrom {
    /// Iterations allowed.
    fn most_iterations(self) -> u32 {
        match self {
            Self::Warm => 40,
            Self::Cold => 200,
        }
    }
}

/// Why an iteration stopped without a solution.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum NoSolution {
    /// The linear system is singular; the link with the largest error.
    Singular { link: usize },
    /// The iteration did not settle; the link with the largest error.
    Unsettled { link: usize },
}

impl Newton {
    pub(super) fn new(circuit: &Circuit) -> Self {
        let pattern: Vec<_> = circuit.links.iter().map(|link| [link.from, link.to]).collect();
        let (unknowns, links) = (circuit.node.len(), circuit.links.len());
        let by_link = || vec![0.0; links];
        let by_unknown = || vec![0.0; unknowns];
        Self {
            matrix: SparseSpd::with_pattern(unknowns, &pattern),
            pressure: by_unknown(),
            flow: by_link(),
            drop: by_link(),
            extra: vec![Extra::default(); links],
            fresh: vec![Extra::default(); links],
            lag: 0.0,
            inertia: by_link(),
            before: by_link(),
            slope: by_link(),
            open: Vec::with_capacity(links),
            conductance: by_link(),
            step: by_link(),
            trial: by_link(),
            change: by_unknown(),
            response: std::array::from_fn(|_| by_unknown()),
            by_value: [0.0; MOST_CONTROLS],
            reverse_slope: REVERSE_SLOPE,
            error_before: f64::INFINITY,
            expansion: Expansion::new(unknowns, &pattern, circuit.pocket_from < links),
            tolerance: TOLERANCE,
            statistics: SolverStatistics::default(),
        }
    }

    /// Starts from flows of the right order, taken as straight resistances.
    pub(super) fn start_cold(&mut self, circuit: &Circuit) {
        for i in 0..self.flow.len() {
            self.flow[i] = circuit.first_guess(i);
        }
        for (unknown, cut_off) in circuit.cut_off.iter().enumerate() {
            if !cut_off {
                self.pressure[unknown] = 0.0;
            }
        }
        self.extra.fill(Extra::default());
    }

    /// Iterates to a solution.
    pub(super) fn run(
        &mut self,
        circuit: &mut Circuit,
        splits: &Splits,
        loops: &mut [Loop],
        start: StartFrom,
    ) -> Result<(), NoSolution> {
        loops.iter().for_each(|control| control.apply(circuit));
        self.take_up_openings(circuit, splits);
        // From one move with air to the next the same parts stay closed: the last stage is met at once.
        let met =
            if circuit.has_air && start == StartFrom::Warm { REVERSE_STAGES.len() - 1 } else { 0 };
        let mut stages = REVERSE_STAGES.into_iter().skip(met);
        self.reverse_slope = stages.next().unwrap_or(REVERSE_SLOPE);
        self.evaluate(circuit);
        self.error_before = f64::INFINITY;
        self.expansion.weigh(circuit, &self.pressure, &self.flow, 1.0);
        let mut convergence = Convergence::new(start.most_iterations(), self.tolerance);
        loop {
            let relaxation = convergence.relaxation();
            self.refresh_splits(circuit, splits, relaxation);
            if self.error_before <= NEAR {
                self.expansion.weigh(circuit, &self.pressure, &self.flow, relaxation);
            }
            let mut error = self.error(circuit, splits, loops);
            self.error_before = error.size;
            // One-way parts stiffen only when something still flows in reverse: most solves stay at the mild stage.
            if error.size <= STAGE_TOLERANCE
                && self.anything_reverse(circuit)
                && let Some(next) = stages.next()
            {
                self.reverse_slope = next;
                if !circuit.has_air {
                    convergence.begin_stage();
                }
                self.evaluate(circuit);
                error = self.error(circuit, splits, loops);
            }
            match convergence.judge(error.size) {
                Progress::Converged => return Ok(()),
                Progress::Stopped => return Err(NoSolution::Unsettled { link: error.link }),
                Progress::Continue => {}
            }
            self.statistics.iterations += 1;
            self.factor(circuit).map_err(|_| NoSolution::Singular { link: error.link })?;
            self.statistics.factorisations += 1;
            self.solve_pressures(circuit, splits, loops);
            self.take_step(circuit);
        }
    }

    /// Whether a one-way part leaks.
    fn anything_reverse(&self, circuit: &Circuit) -> bool {
        circuit.laws.iter().zip(&self.flow).any(|(law, flow)| *flow < 0.0 && law.one_way())
    }

    /// Takes up which links are open; nothing changes at the others.
    fn take_up_openings(&mut self, circuit: &Circuit, splits: &Splits) {
        self.open.clear();
        for (i, open) in circuit.open.iter().enumerate() {
            if *open {
                self.open.push(i);
                continue;
            }
            (self.flow[i], self.trial[i], self.step[i]) = (0.0, 0.0, 0.0);
            (self.drop[i], self.slope[i], self.conductance[i]) = (0.0, f64::INFINITY, 0.0);
        }
        if !splits.counted() {
            self.extra.fill(Extra::default());
            self.lag = 0.0;
        }
    }

    /// Losses and slopes of every open link at its flow.
    fn evaluate(&mut self, circuit: &Circuit) {
        for &i in &self.open {
            let loss = self.loss_of(circuit, i, self.flow[i]);
            (self.drop[i], self.slope[i]) = (loss.pa, loss.slope);
        }
    }

    /// Loss and slope of link `i` at `flow`, with the part of splits that follows its own flow.
    pub(super) fn loss_of(&self, circuit: &Circuit, i: usize, flow: f64) -> Loss {
        let own = circuit.laws[i].loss_at(flow, self.reverse_slope);
        let bend = self.extra[i].bend * flow.abs();
        let inertia = self.inertia[i];
        Loss {
            pa: own.pa + bend * flow + inertia * (flow - self.before[i]),
            slope: own.slope + 2.0 * bend + inertia,
        }
    }

    /// Brings the lagging terms of splits up to date with the flows, by the share `relaxation`.
    fn refresh_splits(&mut self, circuit: &Circuit, splits: &Splits, relaxation: f64) {
        if !splits.counted() {
            return;
        }
        splits.extra_losses(circuit, &self.flow, &mut self.fresh);
        self.lag = 0.0;
        for (i, (old, new)) in self.extra.iter_mut().zip(&self.fresh).enumerate() {
            let (constant, bend) = (new.constant - old.constant, new.bend - old.bend);
            if constant == 0.0 && bend == 0.0 {
                continue;
            }
            // Relaxed when iterations stop improving: the lagged terms can swing where two tees feed each other.
            old.constant += relaxation * constant;
            old.bend += relaxation * bend;
            let q = self.flow[i];
            self.drop[i] += relaxation * bend * q * q.abs();
            self.slope[i] += 2.0 * relaxation * bend * q.abs();
            self.lag = self.lag.max((1.0 - relaxation) * (constant + bend * q * q.abs()).abs());
        }
    }

    /// Factors the matrix of the iteration.
    fn factor(&mut self, circuit: &Circuit) -> Result<(), Singular> {
        let least = if circuit.has_air { LEAST_SLOPE_AIR } else { LEAST_SLOPE };
        for &i in &self.open {
            let least = if i < circuit.pocket_from { least } else { LEAST_SLOPE_STORE };
            self.conductance[i] = 1.0 / self.slope[i].max(least);
        }
        if circuit.has_air {
            let at = Iterate {
                pressure: &self.pressure,
                flow: &self.flow,
                open: &self.open,
                conductance: &self.conductance,
                near: self.error_before <= NEAR,
            };
            return self.expansion.factor(circuit, at);
        }
        self.matrix.clear();
        for &i in &self.open {
            let (link, conductance) = (&circuit.links[i], self.conductance[i]);
            for unknown in [link.from, link.to].into_iter().flatten() {
                self.matrix.add_diagonal(unknown, conductance);
            }
            self.matrix.add_pair(i, -conductance);
        }
        for (unknown, cut_off) in circuit.cut_off.iter().enumerate() {
            if *cut_off {
                self.matrix.add_diagonal(unknown, 1.0);
            }
        }
        self.matrix.factor()
    }

    /// Error of link `i`: the part of its driving pressure that its drop does not use, Pa.
    pub(super) fn unused(&self, circuit: &Circuit, i: usize) -> f64 {
        circuit.driving(i, &self.pressure) - self.drop[i] - self.extra[i].constant
    }

    /// Solves for the change of pressures, and for the response of pressures to each actuator;
    /// moves the actuators and adds their share. Leaves the step in flow in `step`.
    fn solve_pressures(&mut self, circuit: &mut Circuit, splits: &Splits, loops: &mut [Loop]) {
        self.change.fill(0.0);
        for k in 0..self.open.len() {
            let i = self.open[k];
            self.step[i] = self.conductance[i] * self.unused(circuit, i);
            let link = &circuit.links[i];
            let [from, to] = self.expansion.ends(i, self.flow[i], self.step[i]);
            if let Some(unknown) = link.from {
                self.change[unknown] -= from;
            }
            if let Some(unknown) = link.to {
                self.change[unknown] += to;
            }
        }
        // The balance of flows after the flow step, whose residual drives the pressures; see the Schur complement of the
        // saddle-point system in the module text.
        if circuit.has_air {
            self.expansion.solve_in_place(&mut self.change);
        } else {
            self.matrix.solve_in_place(&mut self.change);
        }
        self.move_actuators(circuit, splits, loops);
        for &i in &self.open {
            let link = &circuit.links[i];
            let at = |end: Option<usize>| end.map_or(0.0, |unknown| self.change[unknown]);
            self.step[i] += self.conductance[i] * (at(link.from) - at(link.to));
        }
        for (pressure, change) in self.pressure.iter_mut().zip(&self.change) {
            *pressure += change;
        }
    }

    /// Largest error of any link, node or control, relative to the size of its kind.
    fn error(&mut self, circuit: &Circuit, splits: &Splits, loops: &[Loop]) -> WorstError {
        let mut worst = WorstError { size: self.lag, link: 0 };
        // In still water the weight of columns is all there is, known to so many digits.
        let weight = self.pressure.iter().fold(0.0f64, |most, pa| most.max(pa.abs()));
        let (mut pressure_scale, mut flow_scale) = (f64::max(1.0, 1e-3 * weight), 1e-9f64);
        // `change` is free between steps: it gathers each node's balance.
        self.change.fill(0.0);
        for &i in &self.open {
            let link = &circuit.links[i];
            let driving = circuit.driving(i, &self.pressure);
            pressure_scale = pressure_scale.max(driving.abs());
            flow_scale = flow_scale.max(self.flow[i].abs());
            let unused = (driving - self.drop[i] - self.extra[i].constant).abs();
            if unused > worst.size {
                worst = WorstError { size: unused, link: i };
            }
            let [from, to] = self.expansion.ends(i, self.flow[i], 0.0);
            if let Some(unknown) = link.from {
                self.change[unknown] -= from;
            }
            if let Some(unknown) = link.to {
                self.change[unknown] += to;
            }
        }
        let unbalanced = self.change.iter().fold(0.0f64, |most, b| most.max(b.abs()));
        // In still water, what rounding of pressures drives through a wide line is all there is.
        let unbalanced = (unbalanced - ROUNDING_M3_S).max(0.0) / flow_scale;
        let loops_off = loops.iter().map(|control| self.off(circuit, splits, control));
        let off = loops_off.fold(0.0, f64::max);
        worst.size = (worst.size / pressure_scale).max(unbalanced).max(off);
        // The largest of several figures passes over one that is no number: the sum does not.
        let sum: f64 = self.flow.iter().chain(&self.pressure).sum();
        if !sum.is_finite() {
            worst.size = f64::NAN;
        }
        worst
    }

    /// Loss of link `i` by its own law and the splits, Pa.
    pub(super) fn drop_with_splits(&self, i: usize) -> f64 {
        self.drop[i] + self.extra[i].constant
    }
}

/// The largest error and where it is.
struct WorstError {
    size: f64,
    link: usize,
}
