//! How a line spreads a front: stream tubes that share its flow and its volume and differ in how long they take.

use std::f64::consts::PI;

/// What spreads a front in a line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Dispersion {
    /// Nothing: the front stays sharp.
    None,
    /// The parabolic profile of laminar flow, too short for sideways diffusion to even it out.
    Laminar,
    /// Turbulent dispersion with this Peclet number `U L / K`, > 0.
    Turbulent {
        /// Velocity times length over the coefficient of dispersion.
        peclet: f64,
    },
    /// By turns laminar and turbulent.
    Between {
        /// Share of turbulent flow, 0 to 1.
        turbulent: f64,
        /// Peclet number while it is turbulent, > 0.
        peclet: f64,
    },
}

/// Stream tubes of a line, shortest stay first: shares of its flow and of its volume.
#[derive(Clone, Debug, PartialEq)]
pub struct Profile {
    flows: Vec<f64>,
    volumes: Vec<f64>,
}

/// How the flow is cut into tubes: of `count`, the first m leave `(1 - (m / (count + merged))^early)^late` of the flow to
/// later ones, and the last takes all that is left.
///
/// The larger `early` and `late`, the finer the tubes that arrive first and last. Late ones have to be fine: the time of a
/// high concentration at the end of many pieces hangs on the few streamlines that stay longest.
struct Cut {
    count: usize,
    merged: usize,
    early: f64,
    late: f64,
}

/// Tubes of a laminar line. The last takes 180 mean stays and 3e-5 of the flow.
const LAMINAR: Cut = Cut { count: 96, merged: 2, early: 1.0, late: 3.0 };
/// Tubes of a long turbulent line, and of a short one that is one among many.
const LONG: Cut = Cut { count: 40, merged: 0, early: 1.5, late: 2.5 };
const SHORT: Cut = Cut { count: 20, merged: 0, early: 1.5, late: 3.25 };
/// Tubes of a line that is laminar by turns.
const BETWEEN: Cut = Cut { count: 64, merged: 1, early: 1.3, late: 3.0 };
/// Peclet number from which a line counts as long.
const LONG_FROM_PECLET: f64 = 200.0;

impl Profile {
    /// The tubes that give `spread`: each carries the flow of a range of stays, and holds what that flow fills. So mean
    /// stays are exact, whatever their number.
    pub fn of(spread: Dispersion) -> Self {
        let Some(cut) = Cut::of(spread) else {
            return Self { flows: vec![1.0], volumes: vec![1.0] };
        };
        let (mut flows, mut volumes) =
            (Vec::with_capacity(cut.count), Vec::with_capacity(cut.count));
        let mut before = Passed { flow: 0.0, volume: 0.0 };
        for m in 1..=cut.count {
            let passed = if m == cut.count {
                Passed { flow: 1.0, volume: 1.0 }
            } else {
                spread.passed(spread.stay_of(1.0 - cut.later(m)))
            };
            flows.push(passed.flow - before.flow);
            volumes.push(passed.volume - before.volume);
            before = passed;
        }
        Self { flows, volumes }
    }

    /// Flow of each tube as a share of the line's.
    pub fn flows(&self) -> &[f64] {
        &self.flows
    }

    /// Volume of each tube as a share of the line's.
    pub fn volumes(&self) -> &[f64] {
        &self.volumes
    }

    /// Stay in each tube over the line's mean stay.
    pub fn stays(&self) -> impl Iterator<Item = f64> + '_ {
        self.flows.iter().zip(&self.volumes).map(|(flow, volume)| volume / flow)
    }
}

impl Cut {
    fn of(spread: Dispersion) -> Option<Self> {
        match spread {
            Dispersion::None => None,
            Dispersion::Laminar => Some(LAMINAR),
            Dispersion::Turbulent { peclet } if peclet >= LONG_FROM_PECLET => Some(LONG),
            Dispersion::Turbulent { .. } => Some(SHORT),
            Dispersion::Between { .. } => Some(BETWEEN),
        }
    }

    /// Share of the flow that stays longer than the first `m` tubes.
    fn later(&self, m: usize) -> f64 {
        let place = m as f64 / (self.count + self.merged) as f64;
        (1.0 - place.powf(self.early)).powf(self.late)
    }
}

/// What has stayed no longer than some time: shares of the flow, and of the volume that this flow fills.
struct Passed {
    flow: f64,
    volume: f64,
}

impl Dispersion {
    /// What has stayed no longer than `theta` mean stays.
    ///
    /// The share of the flow is the arrival of a step at the outlet. Laminar: `1 - 1/(4 theta^2)` from half a mean stay
    /// on (Danckwerts 1953; Levenspiel, *Chemical Reaction Engineering*). Turbulent: Ogata & Banks (1961),
    /// `1/2 [erfc((1 - theta)/w) + exp(Pe) erfc((1 + theta)/w)]`, `w = 2 sqrt(theta/Pe)`, the inverse Gaussian
    /// distribution. The volume is the integral of theta over that share: `1 - 1/(2 theta)`, and half the difference of the
    /// same two terms.
    fn passed(self, theta: f64) -> Passed {
        match self {
            Self::None => Passed { flow: 1.0, volume: 1.0 },
            Self::Laminar => {
                let late = 0.5 / theta.max(0.5);
                Passed { flow: 1.0 - late * late, volume: 1.0 - late }
            }
            Self::Turbulent { peclet } => {
                let width = 2.0 * (theta / peclet).sqrt();
                let (early, late) = ((1.0 - theta) / width, (1.0 + theta) / width);
                // The second term as exp(-z^2) erfcx, which does not overflow.
                let first = libm::erfc(early);
                let second = (-early * early).exp() * erfcx(late);
                Passed { flow: 0.5 * (first + second), volume: 0.5 * (first - second) }
            }
            Self::Between { turbulent, peclet } => {
                let (slow, fast) =
                    (Self::Laminar.passed(theta), Self::Turbulent { peclet }.passed(theta));
                let blend = |slow: f64, fast: f64| slow + turbulent * (fast - slow);
                Passed {
                    flow: blend(slow.flow, fast.flow),
                    volume: blend(slow.volume, fast.volume),
                }
            }
        }
    }

    /// Time, in mean stays, by which the share `share` of a step has arrived, found by halving.
    fn stay_of(self, share: f64) -> f64 {
        let (mut low, mut high) = (1e-3, 2.0);
        while self.passed(high).flow < share {
            high *= 2.0;
        }
        for _ in 0..30 {
            let middle = 0.5 * (low + high);
            if self.passed(middle).flow < share {
                low = middle;
            } else {
                high = middle;
            }
        }
        0.5 * (low + high)
    }
}

/// `exp(z^2) erfc(z)` for z > 0.
fn erfcx(z: f64) -> f64 {
    if z < 5.0 {
        return (z * z).exp() * libm::erfc(z);
    }
    let s = 1.0 / (2.0 * z * z);
    (1.0 - s * (1.0 - 3.0 * s * (1.0 - 5.0 * s))) / (z * PI.sqrt())
}

/// What spreads a front in a line of `bore_m` and `length_m` with Reynolds number `reynolds`, Darcy factor `friction` and
/// the share `turbulent` of turbulent flow ([`Friction::turbulent_share`](crate::hydraulics::Friction::turbulent_share)).
///
/// Laminar up to Re 2000, turbulent from 4000 on, between them both by their shares: measured curves leave the laminar one
/// near Re 3000 (J. R. Hart et al., J. Hydraul. Eng. 142(9), 2016, abstract). Turbulent: the larger of two. Measured,
/// `K/(U D) = 3.0e7/Re^2.1 + 1.35/Re^0.125` (C. Y. Wen & L. T. Fan, *Models for Flow Systems and Chemical Reactors*, 1975),
/// a fit to empty smooth pipes from Re 2000 up, good to a factor of 1.5 below 5000 and to a quarter above 10 000. G. I.
/// Taylor (1954), `5.05 sqrt(f/8)`, which is larger on rough walls only. Where a line is taken as free of friction nothing
/// spreads.
pub fn dispersion_of(
    bore_m: f64,
    length_m: f64,
    reynolds: f64,
    friction: f64,
    turbulent: f64,
) -> Dispersion {
    if reynolds <= crate::fluids::LAMINAR_UP_TO {
        return Dispersion::Laminar;
    }
    if friction <= 0.0 {
        return Dispersion::None;
    }
    let measured = 3.0e7 / reynolds.powf(2.1) + 1.35 / reynolds.powf(0.125);
    let taylor = 5.05 * (friction / 8.0).sqrt();
    let peclet = length_m / (bore_m * measured.max(taylor));
    if turbulent >= 1.0 {
        return Dispersion::Turbulent { peclet };
    }
    Dispersion::Between { turbulent, peclet }
}
