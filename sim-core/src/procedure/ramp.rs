//! From one step's settings to the next one's: nothing moves at once.

use super::{Actuator, Change, Control, Settings};

/// The way from where everything is to where a step wants it.
///
/// Valves, tips and pumps move steadily over the ramp, each after its delay. An actuator of a control comes
/// to its final place as `exp(-t/response)`, or with the ramp where its response is 0: the control is taken
/// to know its end and not to overshoot it.
#[derive(Clone, Debug)]
pub struct Ramp {
    from: Settings,
    to: Settings,
    ramp_s: f64,
    branch_delay_s: Vec<f64>,
    response_s: Vec<f64>,
    done_s: f64,
}

/// Responses after which an actuator counts as arrived: within 0.1 %.
const RESPONSES: f64 = 7.0;

impl Ramp {
    /// The way from `from` to `to`, where `controls` have put their actuators already.
    pub fn new(from: Settings, to: Settings, change: &Change, controls: &[Control]) -> Self {
        let mut branch_delay_s = vec![0.0; to.opening.len()];
        change.delays_s.iter().for_each(|(branch, s)| branch_delay_s[branch.index()] = *s);
        let mut response_s = vec![0.0; to.opening.len()];
        for control in controls {
            let (Actuator::PumpSpeed(id) | Actuator::ValveOpening(id)) = control.by;
            response_s[id.index()] = control.response_s;
        }
        let mut way =
            Self { from, to, ramp_s: change.ramp_s, branch_delay_s, response_s, done_s: 0.0 };
        way.done_s = way.length_s();
        way
    }

    fn length_s(&self) -> f64 {
        let branch = |i: usize| {
            let moves = self.from.opening[i] != self.to.opening[i]
                || self.from.speed[i] != self.to.speed[i];
            let takes = self.branch_delay_s[i] + self.ramp_s.max(RESPONSES * self.response_s[i]);
            if moves { takes } else { 0.0 }
        };
        let tips = if self.from.tip_opening == self.to.tip_opening { 0.0 } else { self.ramp_s };
        (0..self.to.opening.len()).map(branch).fold(tips, f64::max)
    }

    /// When everything has arrived, s.
    pub(crate) fn done_s(&self) -> f64 {
        self.done_s
    }

    /// Time over which parts move, s.
    pub fn ramp_s(&self) -> f64 {
        self.ramp_s
    }

    /// Where everything arrives.
    pub fn end(&self) -> &Settings {
        &self.to
    }

    /// The next moment after `time_s` at which something starts or stops to move, s after the step's start.
    pub(crate) fn next_corner_s(&self, time_s: f64) -> f64 {
        let delays = self.branch_delay_s.iter().flat_map(|delay| [*delay, delay + self.ramp_s]);
        let later = delays.filter(|corner| *corner > time_s + 1e-9);
        later.fold(f64::INFINITY, f64::min)
    }

    /// Writes where everything is at `time_s` after the start.
    pub fn at(&self, time_s: f64, settings: &mut Settings) {
        if time_s >= self.done_s {
            settings.clone_from(&self.to);
            return;
        }
        let linear = |since: f64| {
            if self.ramp_s > 0.0 {
                (since / self.ramp_s).clamp(0.0, 1.0)
            } else {
                f64::from(since >= 0.0)
            }
        };
        let between = |from: f64, to: f64, share: f64| from + share * (to - from);
        for i in 0..self.to.opening.len() {
            let since = time_s - self.branch_delay_s[i];
            let share = match self.response_s[i] {
                0.0 => linear(since),
                response => 1.0 - (-since.max(0.0) / response).exp(),
            };
            settings.opening[i] = between(self.from.opening[i], self.to.opening[i], share);
            settings.speed[i] = between(self.from.speed[i], self.to.speed[i], share);
        }
        let share = linear(time_s);
        for (i, tip) in settings.tip_opening.iter_mut().enumerate() {
            *tip = between(self.from.tip_opening[i], self.to.tip_opening[i], share);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plumbing::BranchId;
    use approx::assert_relative_eq;

    fn settings(opening: f64) -> Settings {
        Settings { opening: vec![opening; 2], speed: vec![0.0; 2], tip_opening: vec![opening] }
    }

    #[test]
    fn parts_move_steadily_each_after_its_delay() {
        let change = Change { ramp_s: 2.0, delays_s: vec![(BranchId::at(1), 3.0)] };
        let ramp = Ramp::new(settings(0.0), settings(1.0), &change, &[]);
        let mut now = settings(0.0);
        ramp.at(1.0, &mut now);
        assert_relative_eq!(now.opening[0], 0.5);
        assert_relative_eq!(now.tip_opening[0], 0.5);
        assert_relative_eq!(now.opening[1], 0.0);
        ramp.at(4.0, &mut now);
        assert_relative_eq!(now.opening[1], 0.5);
        assert_relative_eq!(ramp.done_s(), 5.0);
    }

    #[test]
    fn an_actuator_comes_to_its_place_with_its_time_constant() {
        let control = Control {
            held: crate::procedure::Held::Pressure {
                node: crate::plumbing::NodeId::at(0),
                pa: 1.0,
            },
            by: Actuator::ValveOpening(BranchId::at(0)),
            response_s: 2.0,
        };
        let ramp = Ramp::new(settings(0.0), settings(1.0), &Change::default(), &[control]);
        let mut now = settings(0.0);
        ramp.at(2.0, &mut now);
        assert_relative_eq!(now.opening[0], 1.0 - (-1.0f64).exp(), max_relative = 1e-12);
    }
}
