//! Time steps of a network that holds air.

use super::flow::{Flow, Transition, largest_flow};
use crate::hydraulics::{AirFlowState, Fillings, FlowState, SolveError};
use crate::plumbing::NodeId;
use crate::transport::Contents;

/// First time step after something came to an end, s.
static FIRST_S: std::sync::LazyLock<f64> = std::sync::LazyLock::new(|| std::env::var("K_FIRST_S").ok().and_then(|v| v.parse().ok()).unwrap_or(2e-3));
/// Shortest time step, s.
const LEAST_S: f64 = 3e-4;
/// Growth of the time step while little changes, and the change of flow that counts as little and as much.
const GROWTH: f64 = 1.5;
static LITTLE: std::sync::LazyLock<f64> = std::sync::LazyLock::new(|| std::env::var("K_LITTLE").ok().and_then(|v| v.parse().ok()).unwrap_or(0.05));
static MUCH: std::sync::LazyLock<f64> = std::sync::LazyLock::new(|| std::env::var("K_MUCH").ok().and_then(|v| v.parse().ok()).unwrap_or(0.25));
/// Longest run of a front in one step, m.
static FRONT_RUNS_M: std::sync::LazyLock<f64> = std::sync::LazyLock::new(|| std::env::var("K_FRONT_RUNS_M").ok().and_then(|v| v.parse().ok()).unwrap_or(0.25));
/// Times a step is shortened because its front ran too far, or the flow was not found.
const MOST_TRIES: usize = 8;
/// Tries after which a flow known to four digits will do: a step so short moves next to nothing, and what it moves is
/// accounted for to the last digit in any case.
const ROUGH_AFTER: usize = 4;
/// Flow below which its changes do not hold up the steps, m3/s: 10 mL in a second.
const HARDLY_M3_S: f64 = 1e-5;
/// Longest step while air takes part and anything moves, s: at twice that, what returns was off by some per cent.
pub(super) static LONGEST_S: std::sync::LazyLock<f64> = std::sync::LazyLock::new(|| std::env::var("K_LONGEST_S").ok().and_then(|v| v.parse().ok()).unwrap_or(0.05));
/// Time by which a front may come too late, as a share of the step.
const LATE: f64 = 0.02;

/// How many more steps that are short because the flow was not found, shorter than any front asks for, than others are
/// taken until the run gives up: at that pace it would not come to its end.
const MOST_HOPELESS: u32 = 150;

/// State of the moves with air.
#[derive(Clone, Debug, Default)]
pub(super) struct AirSteps {
    dt_s: f64,
    first: bool,
    past: Option<(FlowState, f64)>,
    hopeless: u32,
    fillings: Fillings,
}

impl AirSteps {
    /// Starts anew with short steps, none longer than `longest_s`.
    pub(super) fn restart(&mut self, longest_s: f64) {
        self.past = None;
        self.first = true;
        self.dt_s = self.dt_s.max(*FIRST_S).min(longest_s);
    }
}

static EPS: std::sync::LazyLock<f64> = std::sync::LazyLock::new(|| std::env::var("K_EPS").ok().and_then(|v| v.parse().ok()).unwrap_or(0.01));
static PHI: std::sync::LazyLock<f64> = std::sync::LazyLock::new(|| std::env::var("K_PHI").ok().and_then(|v| v.parse().ok()).unwrap_or(0.1));
static PRED: std::sync::LazyLock<f64> = std::sync::LazyLock::new(|| std::env::var("K_PRED").ok().and_then(|v| v.parse().ok()).unwrap_or(0.0));
static TAU: std::sync::LazyLock<f64> = std::sync::LazyLock::new(|| std::env::var("K_TAU").ok().and_then(|v| v.parse().ok()).unwrap_or(1e-3));
impl AirSteps {
    /// By how much the move of `dt_s` may be late, s, and allowed.
    fn late(&self, next: &FlowState, now: &FlowState, dt_s: f64, plumbing: &crate::plumbing::Plumbing) -> (f64, f64) {
        let scale = largest_flow(next).max(largest_flow(now));
        let (mut off, mut whole) = (0.0, 0.0);
        let all = |f: &FlowState| f.flow_m3_s.clone();
        let (n, o) = (all(next), all(now));
        for (i, filling) in self.fillings.branches.iter().enumerate() {
            let Some(line) = plumbing.branches[i].part.line() else { continue };
            let volume = match filling {
                crate::hydraulics::BranchFilling::Liquid => line.volume_m3(),
                crate::hydraulics::BranchFilling::Column { length_m, .. } => length_m * line.area_m2(),
                _ => continue,
            };
            let err = match &self.past {
                Some((last, last_s)) if *PRED > 0.0 => {
                    let l = &last.flow_m3_s;
                    let r = dt_s / last_s;
                    (n[i] - o[i] - r * (o[i] - l[i])).abs() * dt_s / (dt_s + last_s)
                }
                _ => 0.5 * (n[i] - o[i]).abs(),
            };
            off += volume * err;
            whole += volume * (n[i].abs().max(o[i].abs())).max(*PHI * scale);
        }
        if whole == 0.0 { return (0.0, *EPS * dt_s + *TAU); }
        let err = off / whole;
        (err * dt_s, *EPS * dt_s + *TAU)
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
        let run = contents.front_step_s(&self.instant, *FRONT_RUNS_M);
        let first = std::mem::take(&mut steps.first);
        let mut dt = (if first { *FIRST_S } else { steps.dt_s }).min(longest_s).min(corner).min(front).min(run.max(LEAST_S));
        let (mut tries, mut failed, mut grow) = (0, None, 1.0);
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
                    dt = dt.min(*FIRST_S).min(steps.dt_s);
                }
                Ok(next) => {
                    let front = contents.until_front_s(&next.flow).max(LEAST_S);
                    if dt <= front * (1.0 + LATE) || tries >= MOST_TRIES {
                        let (late, allowed) = steps.late(&next.flow, &self.instant, dt, contents.the_plumbing());
                        grow = 0.9 * (allowed / late.max(1e-12)).sqrt();
                        if late <= 2.0 * allowed || dt <= LEAST_S || tries >= MOST_TRIES {
                            break next;
                        }
                        dt = (dt * grow.clamp(0.2, 0.7)).max(LEAST_S);
                        steps.dt_s = dt;
                        continue;
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
        #[allow(clippy::print_stderr)]
        if std::env::var("AIRDBG").is_ok() {
            eprintln!("AIR {:.5} dt {:.6} tries {tries} it {} short {} why {}", transition.time_s, dt, next.flow.statistics.iterations, next.flow.statistics.shortened,
             if dt==steps.dt_s {"dt"} else if dt==longest_s {"longest"} else if dt==front {"front"} else if dt==run {"run"} else if dt==corner {"corner"} else {"other"});
        }
        #[allow(clippy::print_stderr)]
        if let Ok(w) = std::env::var("WATCH") {
            let (a, b) = w.split_once(',').unwrap();
            let (a, b): (f64, f64) = (a.parse().unwrap(), b.parse().unwrap());
            if transition.time_s >= a && transition.time_s <= b {
                let mut o = String::new();
                for (i, f) in steps.fillings.branches.iter().enumerate() {
                    let q = next.flow.flow_m3_s[i] * 1e6;
                    let name = &contents.the_plumbing().branches[i].name;
                    match f {
                        crate::hydraulics::BranchFilling::Column { length_m, .. } => o += &format!(" {name}:C{length_m:.2}:{q:.1}"),
                        crate::hydraulics::BranchFilling::Liquid if q.abs() > 0.1 => o += &format!(" {name}:L:{q:.1}"),
                        crate::hydraulics::BranchFilling::Mixture { liquid_m3_s, .. } if q.abs() > 0.1 => o += &format!(" {name}:M{:.1}:{q:.1}", liquid_m3_s * 1e6),
                        _ => {}
                    }
                }
                eprintln!("W {:.4} {dt:.4}{o}", transition.time_s);
            }
        }
        transition.time_s += dt;
        transition.rate = None;

        let last = std::mem::replace(&mut self.instant, next.flow.clone());
        steps.past = Some((last, dt));
        steps.dt_s = (steps.dt_s.max(dt) * grow.min(2.0)).min(longest_s.max(LEAST_S));
        Ok((next, dt))
    }
}
