//! Lines that liquid does not fill: a front with air ahead of it.

use super::law::Loss;
use super::line::LineLaw;
use crate::fluids::ATMOSPHERE_PA;

/// What a branch holds, as far as the flow of liquid is concerned.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Wet {
    /// Liquid from end to end.
    Full,
    /// No liquid.
    Dry,
    /// Liquid at one end, air ahead of it.
    Front(Front),
}

/// A front between liquid and air in a line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Front {
    /// Whether the liquid stands at the line's `from` end.
    pub at_from: bool,
    /// Share of the line's length that is liquid, 0 to 1.
    pub length_share: f64,
    /// Pressure of the air as the time step starts, Pa gauge.
    pub air_pa: f64,
    /// Volume of that air where it is closed in, m3: it then follows Boyle's law. `None`: it escapes.
    pub closed_m3: Option<f64>,
    /// Length of the time step, s.
    pub dt_s: f64,
}

/// Share of its volume by which closed air may shrink in a time step before its law goes on straight.
const STRAIGHT_FROM: f64 = 0.9;

/// Law of a line with a front: friction of its liquid, and the pressure of the air at the end of the time
/// step.
#[derive(Clone, Debug)]
pub(super) struct FrontLaw {
    line: LineLaw,
    front: Front,
}

impl FrontLaw {
    /// The law of a line whose liquid is `line`.
    pub(super) fn new(line: LineLaw, front: Front) -> Self {
        Self { line, front }
    }

    pub(super) fn inertance(&self) -> f64 {
        self.line.inertance()
    }

    pub(super) fn line(&self) -> &LineLaw {
        &self.line
    }

    /// Loss and slope at `flow_m3_s` from the line's `from` to its `to` end.
    pub(super) fn loss_at(&self, flow_m3_s: f64) -> Loss {
        let friction = self.line.loss_at(flow_m3_s);
        let inward = if self.front.at_from { flow_m3_s } else { -flow_m3_s };
        let air = self.air(inward);
        let pa = if self.front.at_from { air.pa } else { -air.pa };
        Loss { pa: friction.pa + pa, slope: friction.slope + air.slope }
    }

    /// Pressure of the air after `inward_m3_s` has flowed in for the time step (Boyle 1662: the product of
    /// absolute pressure and volume stays).
    fn air(&self, inward_m3_s: f64) -> Loss {
        let Some(volume) = self.front.closed_m3 else {
            return Loss { pa: self.front.air_pa, slope: 0.0 };
        };
        let absolute = self.front.air_pa + ATMOSPHERE_PA;
        let per_flow = self.front.dt_s / volume;
        let shrunk = inward_m3_s * per_flow;
        let at = |share: f64| (absolute / (1.0 - share), absolute / (1.0 - share).powi(2));
        let (pa, slope) = if shrunk <= STRAIGHT_FROM {
            at(shrunk)
        } else {
            let (pa, slope) = at(STRAIGHT_FROM);
            (pa + slope * (shrunk - STRAIGHT_FROM), slope)
        };
        Loss { pa: pa - ATMOSPHERE_PA, slope: slope * per_flow }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fluids::water;
    use crate::plumbing::Line;
    use approx::assert_relative_eq;

    fn law(at_from: bool) -> FrontLaw {
        let line = LineLaw::new(&Line::plain(0.02, 5.0), &water(20.0), 2.0);
        let front =
            Front { at_from, length_share: 0.4, air_pa: 0.0, closed_m3: Some(1e-3), dt_s: 0.1 };
        FrontLaw::new(line, front)
    }

    #[test]
    fn closed_air_at_half_its_volume_has_twice_its_absolute_pressure() {
        // 5e-3 m3/s for 0.1 s takes half of 1e-3 m3.
        assert_relative_eq!(law(true).air(5e-3).pa, ATMOSPHERE_PA, max_relative = 1e-12);
    }

    #[test]
    fn a_front_from_either_end_mirrors_the_other() {
        let (a, b) = (law(true).loss_at(1e-3), law(false).loss_at(-1e-3));
        assert_relative_eq!(a.pa, -b.pa, max_relative = 1e-12);
        assert_relative_eq!(a.slope, b.slope, max_relative = 1e-12);
    }

    #[test]
    fn slope_matches_central_difference() {
        for flow in [-2e-3, 1e-4, 3e-3, 9.5e-3] {
            let step = 1e-8;
            let up = law(true).loss_at(flow + step).pa;
            let down = law(true).loss_at(flow - step).pa;
            let difference = (up - down) / (2.0 * step);
            assert_relative_eq!(law(true).loss_at(flow).slope, difference, max_relative = 1e-5);
        }
    }
}
