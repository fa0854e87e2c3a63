//! Time steps of a network that holds air.

use super::flow::{Flow, Transition, largest_difference, largest_flow};
use crate::hydraulics::{AirFlowState, Fillings, SolveError};
use crate::plumbing::NodeId;
use crate::transport::Contents;

/// First time step after something came to an end, s.
const FIRST_S: f64 = 2e-3;
/// Shortest time step, s.
const LEAST_S: f64 = 3e-4;
/// Growth of the time step while little changes, and the change of flow that counts as little and as much.
const GROWTH: f64 = 1.5;
const LITTLE: f64 = 0.05;
const MUCH: f64 = 0.25;
/// Longest run of a front in one step, m.
const FRONT_RUNS_M: f64 = 0.25;
/// Times a step is shortened because its front ran too far, or the flow was not found.
const MOST_TRIES: usize = 8;
/// Tries after which a flow known to four digits will do: a step so short moves next to nothing, and what it moves is
/// accounted for to the last digit in any case.
const ROUGH_AFTER: usize = 4;
/// Flow below which its changes do not hold up the steps, m3/s: 10 mL in a second.
const HARDLY_M3_S: f64 = 1e-5;
/// Longest step while air takes part and anything moves, s: at twice that, what returns was off by some per cent.
pub(super) const LONGEST_S: f64 = 0.05;
/// Time by which a front may come too late, as a share of the step.
const LATE: f64 = 0.02;

/// How many more steps that are short because the flow was not found, shorter than any front asks for, than others are
/// taken until the run gives up: at that pace it would not come to its end.
const MOST_HOPELESS: u32 = 150;

/// State of the moves with air.
#[derive(Clone, Debug, Default)]
pub(super) struct AirSteps {
    dt_s: f64,
    hopeless: u32,
    fillings: Fillings,
}

impl AirSteps {
    /// Starts anew with short steps, none longer than `longest_s`.
    pub(super) fn restart(&mut self, longest_s: f64) {
        self.dt_s = FIRST_S.min(longest_s);
    }
}

impl Flow<'_> {
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
        let run = contents.front_step_s(&self.instant, FRONT_RUNS_M);
        let mut dt = steps.dt_s.min(longest_s).min(corner).min(front).min(run.max(LEAST_S));
        let (mut tries, mut failed) = (0, None);
        let next = loop {
            tries += 1;
            transition.settings_after(dt, self.settings());
            contents.describe(&self.instant, inlet, dt, &mut steps.fillings);
            let next = self.solve_air(&steps.fillings, dt, tries > ROUGH_AFTER);
            match next {
                Err(error) if tries >= MOST_TRIES => return Err(error),
                Err(error) => {
                    dt *= 0.25;
                    failed = Some(error);
                }
                Ok(next) if tries < MOST_TRIES && contents.gulp(&next.flow) => {
                    dt = dt.min(FIRST_S).min(steps.dt_s);
                }
                Ok(next) => {
                    let front = contents.until_front_s(&next.flow).max(LEAST_S);
                    if dt <= front * (1.0 + LATE) || tries >= MOST_TRIES {
                        break next;
                    }
                    dt = front;
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
        // What hardly moves may change as it likes.
        let moves = largest_flow(&next.flow) / HARDLY_M3_S;
        let change = moves.min(1.0) * largest_difference(&next.flow, &self.instant);
        self.instant.clone_from(&next.flow);
        if change < LITTLE {
            steps.dt_s = (steps.dt_s * GROWTH).min(longest_s.max(LEAST_S));
        } else if change > MUCH {
            steps.dt_s = (0.5 * dt).max(LEAST_S);
        }
        Ok((next, dt))
    }
}
