//! Entry point to the network solve.

use super::circuit::Circuit;
use super::controls::Loop;
use super::convergence::TOLERANCE;
use super::filling::Fillings;
use super::flow_state::{Actuated, FlowState, Reached, SolverStatistics};
use super::newton::{Newton, NoSolution, StartFrom};
use super::splits::Splits;
use super::validity::{check_fillings, check_liquid, check_step};
use super::{idle_pumps, notices, search};
use crate::fluids::Liquid;
use crate::plumbing::{Invalid, NodeId, Plumbing, Shared};
use crate::procedure::{Control, MOST_CONTROLS, ModelOptions, Settings};

/// Solves one network again and again; keeps its arrays and its last solution.
#[derive(Clone, Debug)]
pub struct Solver<'a> {
    pub(super) plumbing: Shared<'a, Plumbing>,
    pub(super) liquid: Shared<'a, Liquid>,
    pub(super) circuit: Circuit,
    pub(super) splits: Splits,
    pub(super) newton: Newton,
    pub(super) warm: bool,
    /// Why nothing can be solved, if plumbing or liquid are not valid.
    invalid: Option<Invalid>,
    last_actuators: Vec<f64>,
    /// Flow into what each unknown stores, and of compressed air, in the last step with air, m3/s.
    last_stored: Vec<f64>,
}

/// Pressures and flows of a network that partly holds air.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct AirFlowState {
    /// Pressures and flows.
    pub(crate) flow: FlowState,
    /// Compressed air that comes in, if any is let in.
    pub(crate) inflow: Option<AirInflow>,
}

/// Compressed air that comes in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct AirInflow {
    /// Where.
    pub(crate) node: NodeId,
    /// How much, m3/s of free air of 1.185 kg/m3 (ISO 6358).
    pub(crate) free_m3_s: f64,
}

/// Largest relative error of a solved network that partly holds air.
const AIR_TOLERANCE: f64 = 1e-7;
/// Largest relative error of a network that is solved from the solution of one like it.
const NEAR_TOLERANCE: f64 = 1e-6;
/// The same where a rough solution will do.
const ROUGH_TOLERANCE: f64 = 1e-4;

/// Why there is no solution to trust.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum SolveError {
    /// Plumbing, liquid, settings or controls cannot be computed.
    #[error(transparent)]
    Invalid(#[from] Invalid),
    /// More controls than the solver takes.
    #[error("{0} controls at once; at most {MOST_CONTROLS} can be solved together")]
    TooManyControls(usize),
    /// The system of equations is singular near a part.
    #[error(
        "the flows cannot be determined: some part of the network is hardly tied to any tank or open tip; \
         the largest error is at {place}"
    )]
    Singular {
        /// The part or tip with the largest error.
        place: String,
    },
    /// The iteration did not settle.
    #[error(
        "pressures and flows did not settle within {iterations} iterations; \
         the largest error is at {place}"
    )]
    Unsettled {
        /// The part or tip with the largest error.
        place: String,
        /// Iterations made.
        iterations: u32,
    },
}

impl<'a> Solver<'a> {
    /// A solver for `plumbing` filled with `liquid`. Where either is not valid ([`Plumbing::check`]), solving says so.
    pub fn new(plumbing: &'a Plumbing, liquid: &'a Liquid, options: ModelOptions) -> Self {
        Self::of(plumbing.into(), liquid.into(), options, false)
    }

    /// The same of what may be kept; where `with_air`, for a network that may also hold air ([`Solver::advance_air`]).
    pub(crate) fn of(
        plumbing: Shared<'a, Plumbing>,
        liquid: Shared<'a, Liquid>,
        options: ModelOptions,
        with_air: bool,
    ) -> Self {
        let invalid = plumbing.check().and_then(|()| check_liquid(&liquid)).err();
        let nothing = Plumbing::default();
        let computed = if invalid.is_some() { &nothing } else { &*plumbing };
        let mut circuit = Circuit::new(computed, &liquid);
        if with_air {
            circuit.add_air_links();
        }
        let newton = Newton::new(&circuit);
        let last_stored = vec![0.0; circuit.links.len() - circuit.pocket_from];
        let splits = Splits::new(computed, options.velocity_head);
        Self {
            plumbing,
            liquid,
            circuit,
            splits,
            newton,
            warm: false,
            invalid,
            last_actuators: Vec::new(),
            last_stored,
        }
    }

    /// A solver for `plumbing`, whose nodes, branches and tips are joined as this one's are, that starts from this one's last
    /// solution. Its solutions are good to six digits.
    pub(crate) fn near<'b>(&self, plumbing: &'b Plumbing, liquid: &'b Liquid) -> Solver<'b> {
        let mut newton = self.newton.clone();
        newton.tolerance = NEAR_TOLERANCE;
        Solver {
            plumbing: plumbing.into(),
            liquid: liquid.into(),
            circuit: Circuit::new(plumbing, liquid),
            splits: self.splits.clone(),
            newton,
            warm: self.warm,
            invalid: plumbing.check().and_then(|()| check_liquid(liquid)).err(),
            last_actuators: self.last_actuators.clone(),
            last_stored: self.last_stored.clone(),
        }
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
    ) -> Result<FlowState, SolveError> {
        if controls.len() > MOST_CONTROLS {
            return Err(SolveError::TooManyControls(controls.len()));
        }
        self.check(settings)?;
        controls.iter().try_for_each(|control| control.check(&self.plumbing))?;
        let fresh = |control: &Control| Loop::new(control, &self.plumbing, &self.liquid, settings);
        let mut loops: Vec<Loop> = controls.iter().map(fresh).collect();
        let moves = |link: usize| loops.iter().any(|control| control.link == link);
        self.circuit.set(&self.plumbing, &self.liquid, settings, moves);
        self.newton.statistics = SolverStatistics::default();
        self.iterate(&mut loops).map_err(|failure| self.describe(failure))?;
        search::raise_idle(&mut self.newton, &mut self.circuit, &self.splits, &mut loops)
            .map_err(|failure| self.describe(failure))?;
        self.warm = true;
        self.last_actuators = loops.iter().map(|control| control.value).collect();
        Ok(self.instant(&loops, settings))
    }

    /// Pressures and flows `dt_s` after `before` where part of the network holds air, as `fillings` say: columns
    /// of liquid accelerate, pockets of air are squeezed, air flows with its own density. Flow of a branch
    /// that holds air is its volume at the density `fillings` give it; flow of a tip at a node that holds air is
    /// free air, and so is the flow of compressed air that comes in ([`AirInflow::free_m3_s`]).
    ///
    /// Velocity head at tips and tees is left out. A `rough` solution is good to four digits. The solver must be one
    /// with air ([`Solver::of`]), with a list for each branch and node in `fillings`.
    ///
    /// # Errors
    /// A [`SolveError`] where no solution can be trusted.
    pub(crate) fn advance_air(
        &mut self,
        settings: &Settings,
        fillings: &Fillings,
        before: &FlowState,
        dt_s: f64,
        rough: bool,
    ) -> Result<AirFlowState, SolveError> {
        self.check(settings)?;
        check_step(&self.plumbing, before, dt_s)?;
        check_fillings(&self.plumbing, &self.circuit, fillings)?;
        self.circuit.set_openings(&self.plumbing, &self.liquid, settings, |_| false);
        self.circuit.fill(&self.plumbing, &self.liquid, fillings);
        let counted = self.splits.count(false);
        self.newton.tolerance = if rough { ROUGH_TOLERANCE } else { AIR_TOLERANCE };
        let result = self.step(before, dt_s);
        self.newton.tolerance = TOLERANCE;
        let entering = self.newton.flow.last().map_or(0.0, |flow| flow.max(0.0));
        let instant = result.map(|()| self.instant(&[], settings));
        self.splits.count(counted);
        self.newton.expansion.forget();
        let inflow = fillings.inlet.map(|(node, _)| AirInflow { node, free_m3_s: entering });
        if instant.is_ok() {
            self.last_stored.copy_from_slice(&self.newton.flow[self.circuit.pocket_from..]);
        }
        instant.map(|flow| AirFlowState { flow, inflow })
    }

    /// Whether plumbing, liquid and `settings` can be computed.
    pub(super) fn check(&self, settings: &Settings) -> Result<(), Invalid> {
        match &self.invalid {
            Some(invalid) => Err(invalid.clone()),
            None => settings.check(&self.plumbing),
        }
    }

    /// Takes the flows and pressures of `instant` for the last solution.
    pub(super) fn start_from(&mut self, instant: &FlowState) {
        let branches = self.plumbing.branches.len();
        self.newton.flow[..branches].copy_from_slice(&instant.flow_m3_s);
        let tips = branches..branches + instant.tip_flow_m3_s.len();
        self.newton.flow[tips].copy_from_slice(&instant.tip_flow_m3_s);
        // Air goes on as in the last move.
        self.newton.flow[self.circuit.pocket_from..].copy_from_slice(&self.last_stored);
        self.newton.before.copy_from_slice(&self.newton.flow);
        for (unknown, node) in self.circuit.node.iter().enumerate() {
            self.newton.pressure[unknown] = instant.total_pressure_pa[*node];
        }
    }

    pub(super) fn iterate(&mut self, loops: &mut [Loop]) -> Result<(), NoSolution> {
        let starts: Vec<f64> = loops.iter().map(|control| control.value).collect();
        if self.warm {
            if self.last_actuators.len() == loops.len() {
                for (control, last) in loops.iter_mut().zip(&self.last_actuators) {
                    control.value = last.clamp(control.least, control.most);
                }
            }
            let result = self.newton.run(&mut self.circuit, &self.splits, loops, StartFrom::Warm);
            if result.is_ok() {
                return result;
            }
        }
        for (control, start) in loops.iter_mut().zip(starts) {
            control.value = start;
        }
        self.newton.start_cold(&self.circuit);
        let result = self.newton.run(&mut self.circuit, &self.splits, loops, StartFrom::Cold);
        match (result, loops) {
            (Err(NoSolution::Unsettled { .. }), [control]) => {
                let (circuit, splits) = (&mut self.circuit, &self.splits);
                search::actuator(&mut self.newton, circuit, splits, control)
            }
            (Err(singular @ NoSolution::Singular { .. }), loops) if !self.circuit.has_air => {
                self.split_islands_off(loops, singular)
            }
            (result, _) => result,
        }
    }

    pub(super) fn describe(&self, failure: NoSolution) -> SolveError {
        match failure {
            NoSolution::Singular { link } => SolveError::Singular { place: self.name(link) },
            NoSolution::Unsettled { link } => SolveError::Unsettled {
                place: self.name(link),
                iterations: self.newton.statistics.iterations,
            },
        }
    }

    /// Link number `link` in words.
    fn name(&self, link: usize) -> String {
        let branches = &self.plumbing.branches;
        if let Some(branch) = branches.get(link) {
            return format!("{} {}", branch.part.kind(), branch.name);
        }
        if let Some(tip) = self.plumbing.tips.get(link - branches.len()) {
            return format!("tip {}", tip.name);
        }
        let node = link.checked_sub(self.circuit.pocket_from);
        match node.and_then(|unknown| self.circuit.node.get(unknown)) {
            Some(node) => format!("the air at {}", self.plumbing.nodes[*node].name),
            None => "the compressed air".into(),
        }
    }

    pub(super) fn instant(&self, loops: &[Loop], settings: &Settings) -> FlowState {
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
        let mut instant = FlowState {
            flow_m3_s: newton.flow[..branches].to_vec(),
            tip_flow_m3_s: newton.flow[branches..branches + self.plumbing.tips.len()].to_vec(),
            loss_pa: (0..branches).map(loss).collect(),
            tip_pressure_pa: self.plumbing.tips.iter().map(tip_pressure).collect(),
            actuator: loops.iter().map(|control| self.actuated(control)).collect(),
            notices: Vec::new(),
            statistics: newton.statistics,
            total_pressure_pa,
            static_pressure_pa,
        };
        let held: Vec<f64> =
            loops.iter().map(|c| newton.held(circuit, &self.splits, c).1).collect();
        instant.notices =
            notices::of(&self.plumbing, &self.liquid, settings, circuit, &instant, &held);
        if !circuit.has_air {
            idle_pumps::settle(&self.plumbing, circuit, &mut instant);
        }
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
