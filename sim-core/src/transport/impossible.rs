//! What no line, tank or tip can hold.

use super::content::Content;
use super::state::Contents;
use crate::plumbing::{BranchId, TankId, Tip};

/// By how much a share may lie outside 0 to 1 by rounding.
const ROUNDING: f64 = 1e-6;

/// A state that nothing can be in.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Impossible {
    /// What is in it, by name.
    pub(crate) place: String,
    /// Liquid over its volume; 1 of a tip, and of a tank that is full or of no known volume.
    pub(crate) held: f64,
    /// Concentration.
    pub(crate) concentration: f64,
}

impl Contents<'_> {
    /// A tank that holds less than nothing, or a tank or tip with a concentration outside 0 to `most`.
    pub(crate) fn impossible_outside_lines(&self, most: f64) -> Option<Impossible> {
        let tank = |i: usize| {
            let (id, tank) = (TankId::at(i), &self.plumbing.tanks[i]);
            let full_m3 = tank.capacity_m3.or(tank.holds_m3).unwrap_or(1.0);
            let held = self.tank_volume_m3(id).map_or(1.0, |volume| (volume / full_m3).min(1.0));
            impossible(|| format!("tank {}", tank.name), held, (self.tank_concentration(id), most))
        };
        let tip = |tip: &Tip| {
            let passing = self.passing(tip.node).iter();
            let place = || format!("tip {}", tip.name);
            passing.copied().find_map(|part| impossible(place, 1.0, (part.concentration, most)))
        };
        let tanks = (0..self.plumbing.tanks.len()).find_map(tank);
        tanks.or_else(|| self.plumbing.tips.iter().find_map(tip))
    }

    /// A line that holds more liquid than its volume or a concentration above `most`.
    ///
    /// Stream tubes and dead legs are asked for product only where `thoroughly`: that walks through all that is in them.
    pub(crate) fn impossible_line(&self, most: f64, thoroughly: bool) -> Option<Impossible> {
        (0..self.held.len()).find_map(|i| {
            let branch = &self.plumbing.branches[i];
            let volume = branch.part.line()?.volume_m3();
            let mean = || {
                thoroughly
                    .then(|| self.line_concentration(BranchId::at(i)))
                    .flatten()
                    .unwrap_or(0.0)
            };
            let (liquid_m3, concentration) = match &self.held[i] {
                Content::Air(line) => (line.liquid_m3(), line.concentration()),
                Content::Tubes(line) => (line.volume_m3(), mean()),
                Content::Leg(leg) => (leg.volume_m3(), mean()),
                Content::Nothing => return None,
            };
            impossible(
                || format!("line {}", branch.name),
                liquid_m3 / volume,
                (concentration, most),
            )
        })
    }
}

fn impossible(
    place: impl Fn() -> String,
    held: f64,
    (concentration, most): (f64, f64),
) -> Option<Impossible> {
    let possible = -ROUNDING..=1.0 + ROUNDING;
    let fine = possible.contains(&held) && (-ROUNDING..=most + ROUNDING).contains(&concentration);
    (!fine).then(|| Impossible { place: place(), held, concentration })
}
