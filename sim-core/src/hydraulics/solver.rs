//! The door to the network solve.

use super::circuit::Circuit;
use super::controls::Loop;
use super::instant::{Actuated, Instant, Reached, Work};
use super::newton::{Failure, Newton};
use super::splits::Splits;
use super::{notices, search};
use crate::fluids::Liquid;
use crate::plumbing::Plumbing;
use crate::procedure::MOST_CONTROLS;
use crate::procedure::{Control, Settings};
use crate::scenario::ModelOptions;

/// Iterations allowed from a warm start before starting cold.
const MOST_WARM: u32 = 40;
/// Iterations allowed from a cold start.
const MOST_COLD: u32 = 200;

/// Solves one network again and again; keeps its arrays and its last solution.
#[derive(Clone, Debug)]
pub struct Solver<'a> {
    plumbing: &'a Plumbing,
    liquid: &'a Liquid,
    circuit: Circuit,
    splits: Splits,
    newton: Newton,
    warm: bool,
    last_actuators: Vec<f64>,
}

/// Why there is no solution to trust.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SolveError {
    /// More controls than the solver takes.
    #[error("{0} controls at once; at most {MOST_CONTROLS} can be solved together")]
    TooManyControls(usize),
    /// The system of equations is singular near a part.
    #[error(
        "the flows cannot be determined: some part of the network is tied to no tank or open tip"
    )]
    Singular,
    /// The iteration did not settle.
    #[error(
        "pressures and flows did not settle within {iterations} iterations; \
         the largest error stands at {place}"
    )]
    Unsettled {
        /// The part or tip with the largest error.
        place: String,
        /// Iterations made.
        iterations: u32,
    },
}

impl<'a> Solver<'a> {
    /// A solver for `plumbing` filled with `liquid`.
    pub fn new(plumbing: &'a Plumbing, liquid: &'a Liquid, options: ModelOptions) -> Self {
        let circuit = Circuit::new(plumbing, liquid);
        let newton = Newton::new(&circuit);
        let splits = Splits::new(plumbing, options.velocity_head);
        Self { plumbing, liquid, circuit, splits, newton, warm: false, last_actuators: Vec::new() }
    }

    /// Entries of the triangular factor: what a factorisation costs.
    pub fn factor_entries(&self) -> usize {
        self.newton.factor_entries()
    }

    /// Forgets the last solution: the next solve starts from nothing.
    pub fn forget(&mut self) {
        self.warm = false;
    }

    /// Pressures and flows with everything full of liquid and set as `settings` say, `controls` at
    /// work. Starts from the last solution, if there is one.
    ///
    /// # Errors
    /// A [`SolveError`] where no solution can be trusted.
    pub fn solve(
        &mut self,
        settings: &Settings,
        controls: &[Control],
    ) -> Result<Instant, SolveError> {
        if controls.len() > MOST_CONTROLS {
            return Err(SolveError::TooManyControls(controls.len()));
        }
        let fresh = |control: &Control| Loop::new(control, self.plumbing, self.liquid, settings);
        let mut loops: Vec<Loop> = controls.iter().map(fresh).collect();
        let moves = |link: usize| loops.iter().any(|control| control.link == link);
        self.circuit.set(self.plumbing, self.liquid, settings, moves);
        self.newton.work = Work::default();
        self.iterate(&mut loops).map_err(|failure| self.describe(failure))?;
        self.warm = true;
        self.last_actuators = loops.iter().map(|control| control.value).collect();
        Ok(self.instant(&loops, settings))
    }

    /// Pressures and flows `dt_s` after `before`, everything set as `settings` say for the whole of that time:
    /// implicit Euler on rigid columns of liquid.
    ///
    /// # Errors
    /// A [`SolveError`] where no solution can be trusted.
    pub fn advance(
        &mut self,
        settings: &Settings,
        before: &Instant,
        dt_s: f64,
    ) -> Result<Instant, SolveError> {
        self.circuit.set(self.plumbing, self.liquid, settings, |_| false);
        self.newton.work = Work::default();
        self.start_from(before);
        for (inertia, law) in self.newton.inertia.iter_mut().zip(&self.circuit.laws) {
            *inertia = law.inertance() / dt_s;
        }
        self.warm = true;
        let result = self.iterate(&mut []).map_err(|failure| self.describe(failure));
        let instant = result.map(|()| self.instant(&[], settings));
        self.newton.inertia.fill(0.0);
        instant
    }

    /// Takes the flows and pressures of `instant` for the last solution.
    fn start_from(&mut self, instant: &Instant) {
        let branches = self.plumbing.branches.len();
        self.newton.flow[..branches].copy_from_slice(&instant.flow_m3_s);
        self.newton.flow[branches..].copy_from_slice(&instant.tip_flow_m3_s);
        self.newton.before.copy_from_slice(&self.newton.flow);
        for (unknown, node) in self.circuit.node.iter().enumerate() {
            self.newton.pressure[unknown] = instant.total_pressure_pa[*node];
        }
    }

    fn iterate(&mut self, loops: &mut [Loop]) -> Result<(), Failure> {
        let starts: Vec<f64> = loops.iter().map(|control| control.value).collect();
        if self.warm {
            if self.last_actuators.len() == loops.len() {
                for (control, last) in loops.iter_mut().zip(&self.last_actuators) {
                    control.value = last.clamp(control.least, control.most);
                }
            }
            let result = self.newton.run(&mut self.circuit, &self.splits, loops, MOST_WARM);
            if result.is_ok() {
                return result;
            }
        }
        for (control, start) in loops.iter_mut().zip(starts) {
            control.value = start;
        }
        self.newton.start_cold(&self.circuit);
        let result = self.newton.run(&mut self.circuit, &self.splits, loops, MOST_COLD);
        match (result, loops) {
            (Err(Failure::Unsettled { .. }), [control]) => {
                let (circuit, splits) = (&mut self.circuit, &self.splits);
                search::actuator(&mut self.newton, circuit, splits, control, MOST_COLD)
            }
            (result, _) => result,
        }
    }

    fn describe(&self, failure: Failure) -> SolveError {
        let branches = &self.plumbing.branches;
        match failure {
            Failure::Singular => SolveError::Singular,
            Failure::Unsettled { link } => SolveError::Unsettled {
                place: match branches.get(link) {
                    Some(branch) => format!("{} {}", branch.part.kind(), branch.name),
                    None => format!("tip {}", self.plumbing.tips[link - branches.len()].name),
                },
                iterations: self.newton.work.iterations,
            },
        }
    }

    fn instant(&self, loops: &[Loop], settings: &Settings) -> Instant {
        let (circuit, newton) = (&self.circuit, &self.newton);
        let branches = self.plumbing.branches.len();
        let total = |node: usize| {
            circuit.unknown[node].map_or(circuit.given_pa[node], |u| newton.pressure[u])
        };
        let total_pressure_pa: Vec<f64> = (0..self.plumbing.nodes.len()).map(total).collect();
        let static_at =
            |node: usize| total(node) - self.splits.velocity_head(node, circuit, &newton.flow);
        let static_pressure_pa: Vec<f64> = (0..total_pressure_pa.len()).map(static_at).collect();
        let loss = |i: usize| {
            if circuit.open[i] {
                newton.drop_with_splits(i)
            } else {
                circuit.driving(i, &newton.pressure)
            }
        };
        let tip_pressure = |tip: &crate::plumbing::Tip| static_pressure_pa[tip.node.index()];
        let mut instant = Instant {
            flow_m3_s: newton.flow[..branches].to_vec(),
            tip_flow_m3_s: newton.flow[branches..].to_vec(),
            loss_pa: (0..branches).map(loss).collect(),
            tip_pressure_pa: self.plumbing.tips.iter().map(tip_pressure).collect(),
            actuator: loops.iter().map(|control| self.actuated(control)).collect(),
            notices: Vec::new(),
            work: newton.work,
            total_pressure_pa,
            static_pressure_pa,
        };
        let held: Vec<f64> =
            loops.iter().map(|c| newton.held(circuit, &self.splits, c).1).collect();
        instant.notices =
            notices::of(self.plumbing, self.liquid, settings, circuit, &instant, &held);
        instant
    }

    fn actuated(&self, control: &Loop) -> Actuated {
        let (wanted, got) = self.newton.held(&self.circuit, &self.splits, control);
        let reached = if ((got - wanted) / wanted).abs() <= 1e-6 {
            Reached::Yes
        } else if control.value >= control.most {
            Reached::AtTop
        } else if control.value <= control.least {
            Reached::AtBottom
        } else {
            Reached::NoEffect
        };
        Actuated { value: control.value, reached }
    }
}
