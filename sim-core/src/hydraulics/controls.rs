//! Controls: what is held by moving a pump's speed or a valve's opening.

use super::circuit::{Circuit, Law};
use super::law::coefficient_of_kv;
use super::valve;
use crate::fluids::Liquid;
use crate::plumbing::{Part, Plumbing, Valve};
use crate::procedure::{Actuator, Control, Held, Settings};

/// Smallest opening a held valve is given: as good as closed.
const LEAST_OPENING: f64 = 1e-6;
/// Smallest speed a held pump is given, as a share of its top speed.
const LEAST_SPEED: f64 = 0.01;
/// Largest move in one iteration, as a share of the range.
const LARGEST_MOVE: f64 = 0.35;

/// One control as the solver sees it.
#[derive(Clone, Debug)]
pub(super) struct Loop {
    pub(super) held: Target,
    /// Link the actuator changes.
    pub(super) link: usize,
    valve: Option<Valve>,
    density_kg_m3: f64,
    /// Where the actuator stands.
    pub(super) value: f64,
    pub(super) least: f64,
    pub(super) most: f64,
    /// Whether it is at an end of its range and would go further.
    pub(super) pinned: bool,
}

/// What a control holds, by number.
#[derive(Clone, Copy, Debug)]
pub(super) enum Target {
    /// Static pressure of a node, Pa.
    Pressure { node: usize, pa: f64 },
    /// Flow of a link, m3/s.
    Flow { link: usize, m3_s: f64 },
}

impl Loop {
    /// The loop of `control`, its actuator standing where `settings` leave it.
    pub(super) fn new(
        control: &Control,
        plumbing: &Plumbing,
        liquid: &Liquid,
        settings: &Settings,
    ) -> Self {
        let held = match control.held {
            Held::Pressure { node, pa } => Target::Pressure { node: node.index(), pa },
            Held::Flow { branch, m3_s } => Target::Flow { link: branch.index(), m3_s },
        };
        let (link, valve, value, least, most) = match control.by {
            Actuator::PumpSpeed(id) => {
                let top = plumbing.branch(id).part.pump().map_or(1.0, |pump| pump.top_speed);
                (id.index(), None, settings.speed[id.index()], LEAST_SPEED * top, top)
            }
            Actuator::ValveOpening(id) => {
                let valve = match &plumbing.branch(id).part {
                    Part::Valve(valve) => Some(valve.clone()),
                    _ => None,
                };
                (id.index(), valve, settings.opening[id.index()], LEAST_OPENING, 1.0)
            }
        };
        let (value, density_kg_m3) = (value.clamp(least, most), liquid.density_kg_m3);
        Self { held, link, valve, density_kg_m3, value, least, most, pinned: false }
    }

    /// Puts the actuator's value into its link's law.
    pub(super) fn apply(&self, circuit: &mut Circuit) {
        match (&mut circuit.laws[self.link], &self.valve) {
            (Law::Pump(pump), _) => pump.set_speed(self.value),
            (Law::Quadratic(coefficient), Some(valve)) => {
                let kv = valve::kv_at(valve, self.value);
                *coefficient = coefficient_of_kv(kv, self.density_kg_m3);
            }
            _ => {}
        }
    }

    /// d(drop)/d(value) of the actuator's link at `flow`, where its own drop is `drop_pa`.
    pub(super) fn drop_by_value(&self, circuit: &Circuit, flow: f64, drop_pa: f64) -> f64 {
        match (&circuit.laws[self.link], &self.valve) {
            (Law::Pump(pump), _) => pump.drop_by_speed(flow),
            (_, Some(valve)) => -2.0 * drop_pa * valve::log_slope(valve, self.value),
            _ => 0.0,
        }
    }

    /// Moves the actuator by `wish`, as far as allowed; returns the move made.
    pub(super) fn make_move(&mut self, wish: f64) -> f64 {
        let made = self.allowed(wish);
        self.value += made;
        self.pinned =
            (self.value <= self.least && wish <= 0.0) || (self.value >= self.most && wish >= 0.0);
        made
    }

    /// `step` cut back to the actuator's range and to the largest move of one iteration.
    pub(super) fn allowed(&self, step: f64) -> f64 {
        let largest = LARGEST_MOVE * (self.most - self.least);
        let step = step.clamp(-largest, largest);
        step.clamp(self.least - self.value, self.most - self.value)
    }
}
