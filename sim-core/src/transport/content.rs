//! What one branch holds.

use super::air::AirLine;
use super::leg::Leg;
use super::line::TubedLine;
use super::tanks::Amount;

/// What a branch holds.
#[derive(Clone, Debug)]
pub(super) enum Content {
    /// Nothing of its own: what enters a part that is no line has left it at once.
    Nothing,
    /// Liquid from end to end of a line that flow can pass, in stream tubes.
    Tubes(TubedLine),
    /// Liquid of a line that is capped at one end.
    Leg(Leg),
    /// Liquid and air, or liquid that air may push in the step under way.
    Air(Box<AirLine>),
}

impl Content {
    /// Liquid, and the product in it.
    pub(super) fn amount(&self) -> Amount {
        let (liquid_m3, product_m3) = match self {
            Self::Nothing => (0.0, 0.0),
            Self::Tubes(line) => (line.volume_m3(), line.product_m3()),
            Self::Leg(leg) => (leg.volume_m3(), leg.product_m3()),
            Self::Air(line) => (line.liquid_m3(), line.product_m3),
        };
        Amount { liquid_m3, product_m3 }
    }

    /// Mean concentration of its liquid; `None` where it holds none.
    pub(super) fn concentration(&self) -> Option<f64> {
        match self {
            Self::Nothing => None,
            Self::Tubes(line) => Some(line.mean_concentration()),
            Self::Leg(leg) => Some(leg.product_m3() / leg.volume_m3()),
            Self::Air(line) => (line.liquid_m3() > 0.0).then(|| line.concentration()),
        }
    }

    /// The line that holds air, if it is one.
    pub(super) fn air(&self) -> Option<&AirLine> {
        match self {
            Self::Air(line) => Some(line),
            _ => None,
        }
    }

    /// The same, to change it.
    pub(super) fn air_mut(&mut self) -> Option<&mut AirLine> {
        match self {
            Self::Air(line) => Some(line),
            _ => None,
        }
    }
}
