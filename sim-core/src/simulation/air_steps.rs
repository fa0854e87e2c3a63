//! Time steps of a network that holds air.

use super::flow::{Flow, Transition, largest_difference, largest_flow};
use crate::hydraulics::{AirFlowState, BranchFilling, Fillings, FlowState, SolveError};
use crate::plumbing::{NodeId, Plumbing};
use crate::transport::{Bracket, Contents};

/// Longest step while air takes part and anything moves, over the tolerance, s: at 1 %, what returns is off by up to 0.5 %.
const LONGEST_S: f64 = 3.0;
/// First step after something came to an end, over the tolerance, s: how liquid and air share the ways on is known once it
/// is over.
const FIRST_S: f64 = 0.2;
/// Time by which a front that runs through a sudden change of flow may be off, over the tolerance, s.
const LATE_S: f64 = 0.1;
/// Change of any flow over the largest flow that a step may bring, over the tolerance.
const TURNS: f64 = 15.0;
/// Flow below which its changes do not hold up the steps, m3/s: 10 mL in a second.
const HARDLY_M3_S: f64 = 1e-5;
/// Shortest time step, s.
const LEAST_S: f64 = 3e-4;
/// Share of the step that the estimated error would allow, and bounds for what the next one is over the last.
const CAREFUL: f64 = 0.9;
const SHRINKS: [f64; 2] = [0.2, 0.7];
const GROWS: f64 = 2.0;
/// Estimated error over what is allowed from which a step is taken anew.
const FAR_OFF: f64 = 2.0;
/// Times a step is shortened because its front ran too far, or the flow was not found.
const MOST_TRIES: usize = 8;
/// Times the liquid that parts pass beside air is brought up to date in a step.
const MOST_ROUNDS: u32 = 8;
/// Tries after which a flow known to four digits will do: a step so short moves next to nothing, and what it moves is
/// accounted for to the last digit in any case.
const ROUGH_AFTER: usize = 4;
/// Time by which a front may come too late, as a share of the step.
const LATE: f64 = 0.02;
/// How many more steps that are short because the flow was not found, shorter than any front asks for, than others are
/// taken until the run gives up: at that pace it would not come to its end.
const MOST_HOPELESS: u32 = 150;

/// Longest step while air takes part and anything moves, s, at a `tolerance` in (0, 1).
pub(super) fn longest_s(tolerance: f64) -> f64 {
    LONGEST_S * tolerance
}

/// State of the moves with air.
#[derive(Clone, Debug, Default)]
pub(super) struct AirSteps {
    /// Error that a move may bring, as a share.
    tolerance: f64,
    dt_s: f64,
    /// Length of the step to follow where something has just come to an end, s.
    first_s: Option<f64>,
    hopeless: u32,
    fillings: Fillings,
    brackets: Vec<Bracket>,
}

impl AirSteps {
    /// Steps within `tolerance`.
    pub(super) fn within(tolerance: f64) -> Self {
        Self { tolerance, ..Self::default() }
    }

    /// Starts anew with short steps, none longer than `longest_s`.
    pub(super) fn begin(&mut self, longest_s: f64) {
        (self.dt_s, self.first_s) = ((FIRST_S * self.tolerance).min(longest_s), None);
    }

    /// Goes on with one short step, no longer than `longest_s`.
    pub(super) fn restart(&mut self, longest_s: f64) {
        self.first_s = Some((FIRST_S * self.tolerance).min(longest_s));
    }

    /// What the error of a step of `dt_s` from the flows of `now` to those of `next` is of what is allowed.
    ///
    /// Liquid moves through the whole step with the flow of its end: where that flow changes, fronts are off by up to
    /// half of the change times the step. Each line counts by the liquid that it moves, so that cutting one into pieces
    /// changes nothing. Air, which weighs next to nothing, follows at once.
    fn off(&self, plumbing: &Plumbing, now: &FlowState, next: &FlowState, dt_s: f64) -> f64 {
        let (mut changed, mut moved) = (0.0, 0.0);
        for (i, filling) in self.fillings.branches.iter().enumerate() {
            let Some(line) = plumbing.branches[i].part.line() else { continue };
            let volume_m3 = match filling {
                BranchFilling::Liquid => line.volume_m3(),
                BranchFilling::Column { length_m, .. } => length_m * line.area_m2(),
                BranchFilling::Air { .. } | BranchFilling::Mixture { .. } => continue,
            };
            let (before, after) = (now.flow_m3_s[i], next.flow_m3_s[i]);
            changed += volume_m3 * (after - before).abs();
            moved += volume_m3 * before.abs().max(after.abs());
        }
        let late_s = if moved > 0.0 { 0.5 * changed / moved * dt_s } else { 0.0 };
        // What hardly moves yet may change as it likes; and flows that swing to and fro turn no less in shorter steps.
        let moves = (largest_flow(now) / HARDLY_M3_S).min(1.0);
        let counts = if dt_s > FIRST_S * self.tolerance { moves } else { 0.0 };
        let turned = counts * largest_difference(next, now) / (TURNS * self.tolerance);
        turned.powi(2).max(late_s / (self.tolerance * (dt_s + LATE_S)))
    }
}

impl Flow {
    /// Flows after a step of at most `longest_s` with air in the plumbing; returns them with its length, s.
    pub(super) fn go_on_air(
        &mut self,
        transition: &mut Transition,
        contents: &mut Contents<'_>,
        steps: &mut AirSteps,
        inlet: Option<NodeId>,
        longest_s: f64,
    ) -> Result<(AirFlowState, f64), SolveError> {
        let corner = transition.next_corner_s();
        let front = contents.until_front_s(&self.instant).max(LEAST_S);
        let wanted = steps.first_s.take().unwrap_or(steps.dt_s);
        let mut dt = wanted.min(longest_s).min(corner).min(front);
        let (mut tries, mut failed) = (0, None);
        let (next, off) = loop {
            tries += 1;
            transition.settings_after(dt, self.settings());
            contents.describe(&self.instant, inlet, dt, &mut steps.fillings);
            let found = self.solve_mixed(contents, steps, dt, tries > ROUGH_AFTER);
            let last = tries >= MOST_TRIES;
            match found {
                Err(error) if last => return Err(error),
                Err(error) => {
                    dt *= 0.25;
                    failed = Some(error);
                }
                Ok((next, _)) if !last && contents.gulp(&next.flow) => {
                    dt = dt.min(FIRST_S * steps.tolerance);
                }
                Ok((_, false)) if !last && dt > LEAST_S => dt = (0.5 * dt).max(LEAST_S),
                Ok((next, _)) => {
                    let front = contents.until_front_s(&next.flow).max(LEAST_S);
                    let off = steps.off(&contents.plumbing, &self.instant, &next.flow, dt);
                    if last || (dt <= front * (1.0 + LATE) && (off <= FAR_OFF || dt <= LEAST_S)) {
                        break (next, off);
                    }
                    let [least, most] = SHRINKS;
                    let shorter = dt * (CAREFUL / off.sqrt()).clamp(least, most);
                    dt = if dt > front { front } else { shorter.max(LEAST_S) };
                    steps.dt_s = steps.dt_s.min(dt.max(FIRST_S * steps.tolerance));
                }
            }
        };
        steps.hopeless = match failed {
            Some(error) if dt < LEAST_S && steps.hopeless >= MOST_HOPELESS => return Err(error),
            Some(_) if dt < LEAST_S => steps.hopeless + 1,
            _ => steps.hopeless.saturating_sub(1),
        };
        transition.time_s += dt;
        transition.rate = None;
        self.instant.clone_from(&next.flow);
        // A step that something else has cut short is no measure for the next.
        let grows = (CAREFUL / off.sqrt()).min(GROWS);
        steps.dt_s = if grows < 1.0 { dt * grows } else { steps.dt_s.max(dt * grows) };
        steps.dt_s = steps.dt_s.clamp(LEAST_S, longest_s.max(LEAST_S));
        Ok((next, dt))
    }

    /// Flows after a step of `dt` in which parts pass as much liquid beside air as their resistance counts, and whether they
    /// do.
    fn solve_mixed(
        &mut self,
        contents: &Contents<'_>,
        steps: &mut AirSteps,
        dt: f64,
        rough: bool,
    ) -> Result<(AirFlowState, bool), SolveError> {
        steps.brackets.clear();
        for round in 0.. {
            let next = self.solve_air(&steps.fillings, dt, rough)?;
            let off =
                contents.bring_nearer(&next.flow, dt, &mut steps.fillings, &mut steps.brackets);
            if !off || round == MOST_ROUNDS {
                return Ok((next, !off));
            }
        }
        unreachable!("a round is the last")
    }
}
