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
use super::controls::{Loop, MOST_CONTROLS, Target};
use super::convergence::{Convergence, Progress};
use super::instant::Work;
use super::law::REVERSE_SLOPE;
use super::splits::Splits;
use crate::linear::SparseSpd;
use nalgebra::{SMatrix, SVector};

/// Slope below which a link counts as free of resistance in the linear system, Pa s/m3.
const LEAST_SLOPE: f64 = 1.0;
/// A shortened step is searched this often at most.
const MOST_TRIALS: u32 = 12;
/// Part of the old downhill slope that may be left, uphill, after a step.
const UPHILL: f64 = 0.5;

/// Slopes by which one-way parts resist reverse flow, one stage after the other, Pa s/m3.
const REVERSE_STAGES: [f64; 3] = [1e10, 1e13, REVERSE_SLOPE];
/// Error at which a stage that is not the last is left while something flows in reverse.
const STAGE_TOLERANCE: f64 = 1e-3;

/// Everything an iteration needs, allocated once.
#[derive(Clone, Debug)]
pub(super) struct Newton {
    matrix: SparseSpd,
    /// Total pressure of each unknown, Pa.
    pub(super) pressure: Vec<f64>,
    /// Flow of each link, m3/s.
    pub(super) flow: Vec<f64>,
    /// Loss of each link at its flow, splits included, Pa.
    pub(super) drop: Vec<f64>,
    /// Loss that splits add to each link, Pa.
    extra: Vec<f64>,
    /// Largest part of that drop not brought up to date, Pa.
    lag: f64,
    slope: Vec<f64>,
    /// Flow per pressure of each link, m3/s per Pa.
    ease: Vec<f64>,
    step: Vec<f64>,
    trial: Vec<f64>,
    change: Vec<f64>,
    response: [Vec<f64>; MOST_CONTROLS],
    by_value: [f64; MOST_CONTROLS],
    reverse_slope: f64,
    pub(super) work: Work,
}

/// Why an iteration stopped without a solution.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Failure {
    /// The linear system is singular.
    Singular,
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
            extra: by_link(),
            lag: 0.0,
            slope: by_link(),
            ease: by_link(),
            step: by_link(),
            trial: by_link(),
            change: by_unknown(),
            response: std::array::from_fn(|_| by_unknown()),
            by_value: [0.0; MOST_CONTROLS],
            reverse_slope: REVERSE_SLOPE,
            work: Work::default(),
        }
    }

    /// Entries of the triangular factor.
    pub(super) fn factor_entries(&self) -> usize {
        self.matrix.factor_entries()
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
        self.extra.fill(0.0);
    }

    /// Iterates to a solution.
    pub(super) fn run(
        &mut self,
        circuit: &mut Circuit,
        splits: &Splits,
        loops: &mut [Loop],
        most_iterations: u32,
    ) -> Result<(), Failure> {
        loops.iter().for_each(|control| control.apply(circuit));
        for (flow, law) in self.flow.iter_mut().zip(&circuit.laws) {
            *flow = if law.passes() { *flow } else { 0.0 };
        }
        let mut stages = REVERSE_STAGES.into_iter();
        self.reverse_slope = stages.next().unwrap_or(REVERSE_SLOPE);
        self.evaluate(circuit);
        let mut convergence = Convergence::new(most_iterations);
        loop {
            self.refresh_splits(circuit, splits, convergence.caution());
            let mut error = self.error(circuit, splits, loops);
            if error.size <= STAGE_TOLERANCE
                && self.anything_reverse(circuit)
                && let Some(next) = stages.next()
            {
                self.reverse_slope = next;
                self.evaluate(circuit);
                error = self.error(circuit, splits, loops);
            }
            match convergence.judge(error.size) {
                Progress::Converged => return Ok(()),
                Progress::Stopped => return Err(Failure::Unsettled { link: error.link }),
                Progress::Continue => {}
            }
            self.work.iterations += 1;
            self.assemble(circuit);
            self.matrix.factor().map_err(|_| Failure::Singular)?;
            self.work.factorisations += 1;
            self.solve_pressures(circuit, splits, loops);
            self.take_step(circuit);
        }
    }

    /// Whether a one-way part leaks.
    fn anything_reverse(&self, circuit: &Circuit) -> bool {
        circuit.laws.iter().zip(&self.flow).any(|(law, flow)| *flow < 0.0 && law.one_way())
    }

    /// Drops and slopes of every link at its flow, own laws only.
    fn evaluate(&mut self, circuit: &Circuit) {
        for (i, law) in circuit.laws.iter().enumerate() {
            let drop = law.loss_at(self.flow[i], self.reverse_slope);
            self.drop[i] = drop.pa;
            self.slope[i] = drop.slope;
        }
    }

    /// Brings the lagging split terms up to date with the flows, by the share `caution`.
    fn refresh_splits(&mut self, circuit: &Circuit, splits: &Splits, caution: f64) {
        // `trial` is free between steps.
        self.trial.fill(0.0);
        splits.extra_drops(circuit, &self.flow, &mut self.trial);
        self.lag = 0.0;
        for (old, new) in self.extra.iter_mut().zip(&self.trial) {
            let change = new - *old;
            *old += caution * change;
            self.lag = self.lag.max((1.0 - caution) * change.abs());
        }
    }

    fn assemble(&mut self, circuit: &Circuit) {
        self.matrix.clear();
        for (i, link) in circuit.links.iter().enumerate() {
            let ease = 1.0 / self.slope[i].max(LEAST_SLOPE);
            self.ease[i] = ease;
            if ease == 0.0 {
                continue;
            }
            link.from.into_iter().chain(link.to).for_each(|u| self.matrix.add_diagonal(u, ease));
            self.matrix.add_pair(i, -ease);
        }
        for (unknown, cut_off) in circuit.cut_off.iter().enumerate() {
            if *cut_off {
                self.matrix.add_diagonal(unknown, 1.0);
            }
        }
    }

    /// Error of link `i`: the part of its driving pressure that its drop does not use, Pa.
    fn unused(&self, circuit: &Circuit, i: usize) -> f64 {
        circuit.driving(i, &self.pressure) - self.drop[i] - self.extra[i]
    }

    /// Solves for the change of pressures, and for the response of pressures to each actuator;
    /// moves the actuators and adds their share. Leaves the step in flow in `step`.
    fn solve_pressures(&mut self, circuit: &mut Circuit, splits: &Splits, loops: &mut [Loop]) {
        self.change.fill(0.0);
        for i in 0..circuit.links.len() {
            if self.ease[i] == 0.0 {
                self.step[i] = 0.0;
                continue;
            }
            self.step[i] = self.ease[i] * self.unused(circuit, i);
            let out = self.flow[i] + self.step[i];
            let link = &circuit.links[i];
            if let Some(from) = link.from {
                self.change[from] -= out;
            }
            if let Some(to) = link.to {
                self.change[to] += out;
            }
        }
        self.matrix.solve_in_place(&mut self.change);
        for (k, control) in loops.iter().enumerate() {
            let (i, link) = (control.link, &circuit.links[control.link]);
            self.by_value[k] = control.drop_by_value(circuit, self.flow[i], self.drop[i]);
            let pull = self.ease[i] * self.by_value[k];
            self.response[k].fill(0.0);
            if let Some(from) = link.from {
                self.response[k][from] = pull;
            }
            if let Some(to) = link.to {
                self.response[k][to] = -pull;
            }
            self.matrix.solve_in_place(&mut self.response[k]);
        }
        let wanted = self.actuator_moves(circuit, splits, loops);
        let mut moves = wanted;
        for (k, control) in loops.iter_mut().enumerate() {
            moves[k] = control.make_move(wanted[k]);
            control.apply(circuit);
            for (change, response) in self.change.iter_mut().zip(&self.response[k]) {
                *change += moves[k] * response;
            }
            self.step[control.link] -= self.ease[control.link] * self.by_value[k] * moves[k];
        }
        for (i, link) in circuit.links.iter().enumerate() {
            let at = |end: Option<usize>| end.map_or(0.0, |unknown| self.change[unknown]);
            self.step[i] += self.ease[i] * (at(link.from) - at(link.to));
        }
        for (pressure, change) in self.pressure.iter_mut().zip(&self.change) {
            *pressure += change;
        }
    }

    /// Moves of the actuators that bring what they hold to its value: those that would go too far
    /// are stopped and the others solved again.
    fn actuator_moves(
        &self,
        circuit: &Circuit,
        splits: &Splits,
        loops: &[Loop],
    ) -> SVector<f64, MOST_CONTROLS> {
        let mut moves = SVector::zeros();
        if loops.is_empty() {
            return moves;
        }
        // A stopped actuator's row says what it does instead of what it should hold.
        let mut stopped: [Option<f64>; MOST_CONTROLS] = [None; MOST_CONTROLS];
        for _ in 0..=loops.len() {
            let mut system = SMatrix::<f64, MOST_CONTROLS, MOST_CONTROLS>::identity();
            let mut right = SVector::<f64, MOST_CONTROLS>::zeros();
            for (row, control) in loops.iter().enumerate() {
                right[row] = stopped[row].unwrap_or_else(|| self.missing(circuit, splits, control));
                for k in (0..loops.len()).filter(|_| stopped[row].is_none()) {
                    system[(row, k)] = self.held_by_actuator(circuit, control, k);
                }
            }
            let Some(solution) = system.lu().solve(&right) else { return moves };
            moves = solution;
            let too_far =
                |k: &usize| stopped[*k].is_none() && loops[*k].allowed(moves[*k]) != moves[*k];
            let Some(k) = (0..loops.len()).find(too_far) else { break };
            stopped[k] = Some(loops[k].allowed(moves[k]));
        }
        moves
    }

    /// What `control` holds still misses after the step with its actuator at rest.
    fn missing(&self, circuit: &Circuit, splits: &Splits, control: &Loop) -> f64 {
        match control.held {
            Target::Pressure { node, pa } => {
                let head = splits.velocity_head(node, circuit, &self.flow);
                let total = circuit.unknown[node]
                    .map_or(circuit.given_pa[node], |u| self.pressure[u] + self.change[u]);
                pa + head - total
            }
            Target::Flow { link, m3_s } => {
                let ends = &circuit.links[link];
                let at = |end: Option<usize>| end.map_or(0.0, |unknown| self.change[unknown]);
                let driven = self.ease[link] * (at(ends.from) - at(ends.to));
                m3_s - (self.flow[link] + self.step[link] + driven)
            }
        }
    }

    /// Derivative of what `control` holds by actuator `k`.
    fn held_by_actuator(&self, circuit: &Circuit, control: &Loop, k: usize) -> f64 {
        match control.held {
            Target::Pressure { node, .. } => {
                circuit.unknown[node].map_or(0.0, |u| self.response[k][u])
            }
            Target::Flow { link, .. } => {
                let ends = &circuit.links[link];
                let at = |end: Option<usize>| end.map_or(0.0, |unknown| self.response[k][unknown]);
                self.ease[link] * (at(ends.from) - at(ends.to))
            }
        }
    }

    /// Takes the step in flow, shortened where the convex function has turned upward.
    fn take_step(&mut self, circuit: &Circuit) {
        let downhill: f64 = self
            .step
            .iter()
            .zip(&self.ease)
            .map(|(d, e)| if *e > 0.0 { d * d / e } else { 0.0 })
            .sum();
        let (mut low, mut high) = ((0.0, -downhill), (1.0, f64::INFINITY));
        let mut share = 1.0;
        for trial in 0..MOST_TRIALS {
            let rising = self.rise_at(circuit, share);
            let settled = rising.abs() <= UPHILL * downhill || (share == 1.0 && rising < 0.0);
            if settled || trial + 1 == MOST_TRIALS {
                break;
            }
            self.work.shortened += u32::from(trial == 0);
            if rising <= 0.0 {
                low = (share, rising);
            } else {
                high = (share, if rising.is_nan() { f64::INFINITY } else { rising });
            }
            let secant = low.0 - low.1 * (high.0 - low.0) / (high.1 - low.1);
            let (near, far) = (0.1 * high.0 + 0.9 * low.0, 0.9 * high.0 + 0.1 * low.0);
            share = secant.clamp(near, far);
        }
        std::mem::swap(&mut self.flow, &mut self.trial);
    }

    /// Derivative of the convex function along the step at `share` of it. Leaves flows in `trial`
    /// and drops and slopes there in `drop` and `slope`.
    fn rise_at(&mut self, circuit: &Circuit, share: f64) -> f64 {
        let mut rise = 0.0;
        for (i, law) in circuit.laws.iter().enumerate() {
            let flow = self.flow[i] + share * self.step[i];
            self.trial[i] = flow;
            let drop = law.loss_at(flow, self.reverse_slope);
            self.drop[i] = drop.pa;
            self.slope[i] = drop.slope;
            if self.step[i] != 0.0 {
                let unused = circuit.driving(i, &self.pressure) - drop.pa - self.extra[i];
                rise -= self.step[i] * unused;
            }
        }
        rise
    }

    /// Largest error of any link, node or control, relative to the size of its kind.
    fn error(&mut self, circuit: &Circuit, splits: &Splits, loops: &[Loop]) -> WorstError {
        let mut worst = WorstError { size: self.lag, link: 0 };
        let (mut pressure_scale, mut flow_scale) = (1.0f64, 1e-9f64);
        // `change` is free between steps: it gathers each node's balance.
        self.change.fill(0.0);
        for (i, link) in circuit.links.iter().enumerate() {
            if !circuit.laws[i].passes() {
                continue;
            }
            pressure_scale = pressure_scale.max(circuit.driving(i, &self.pressure).abs());
            flow_scale = flow_scale.max(self.flow[i].abs());
            let unused = self.unused(circuit, i).abs();
            if unused > worst.size {
                worst = WorstError { size: unused, link: i };
            }
            if let Some(from) = link.from {
                self.change[from] -= self.flow[i];
            }
            if let Some(to) = link.to {
                self.change[to] += self.flow[i];
            }
        }
        let unbalanced = self.change.iter().fold(0.0f64, |most, b| most.max(b.abs())) / flow_scale;
        let loops_off = loops.iter().map(|control| self.off(circuit, splits, control));
        let off = loops_off.fold(0.0, f64::max);
        worst.size = (worst.size / pressure_scale).max(unbalanced).max(off);
        worst
    }

    /// Relative error of what `control` holds; 0 where its actuator can do no more.
    fn off(&self, circuit: &Circuit, splits: &Splits, control: &Loop) -> f64 {
        let (wanted, got) = self.held(circuit, splits, control);
        if control.pinned { 0.0 } else { ((got - wanted) / wanted).abs() }
    }

    /// What `control` should hold and what it holds.
    pub(super) fn held(&self, circuit: &Circuit, splits: &Splits, control: &Loop) -> (f64, f64) {
        match control.held {
            Target::Pressure { node, pa } => {
                let total =
                    circuit.unknown[node].map_or(circuit.given_pa[node], |u| self.pressure[u]);
                (pa, total - splits.velocity_head(node, circuit, &self.flow))
            }
            Target::Flow { link, m3_s } => (m3_s, self.flow[link]),
        }
    }

    /// Loss of link `i` by its own law and the splits, Pa.
    pub(super) fn drop_with_splits(&self, i: usize) -> f64 {
        self.drop[i] + self.extra[i]
    }
}

/// The largest error and where it stands.
struct WorstError {
    size: f64,
    link: usize,
}
