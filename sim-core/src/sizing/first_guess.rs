//! A machine from a tape measure: bores, valves, pump and tank that follow from a boom's width and its tips.
//!
//! It is a start to be replaced by what is measured, not a design: bores keep velocities within common practice
//! (suction and tubes 1.0 m/s, hoses 1.5 m/s, mains 2.5 m/s; no source) and friction within a small share of the pressure, so that the
//! boom of the guess sprays evenly and any unevenness that a measured figure brings is its own. The shares of the pressure that hoses and
//! tubes may take, what agitates and the tank's size by the metre are assumptions of ours.

use crate::fluids::{TIP_DENSITY_KG_M3, viscosity};
use crate::hydraulics::Friction;
use crate::plumbing::{NOMINAL_PRESSURE_PA, TipSize};
use std::f64::consts::PI;

/// Nominal bores of hose, m: metric (ISO 1307, from memory) and in inches.
pub const METRIC_BORES_M: [f64; 18] = [
    0.010, 0.0125, 0.016, 0.019, 0.025, 0.032, 0.038, 0.051, 0.063, 0.076, 0.090, 0.102, 0.127,
    0.152, 0.203, 0.254, 0.305, 0.406,
];
/// The same in inches.
pub const INCH_BORES_M: [f64; 18] = inches([
    0.375, 0.5, 0.625, 0.75, 1.0, 1.25, 1.5, 2.0, 2.5, 3.0, 3.5, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0,
    16.0,
]);

const fn inches<const N: usize>(mut bores: [f64; N]) -> [f64; N] {
    let mut i = 0;
    while i < N {
        bores[i] *= 0.0254;
        i += 1;
    }
    bores
}

/// Highest velocity in the suction line, m/s.
const SUCTION_M_S: f64 = 1.0;
/// Highest velocity in mains, m/s.
const MAIN_M_S: f64 = 2.5;
/// Highest velocity in hoses, m/s.
const HOSE_M_S: f64 = 1.5;
/// Highest velocity at the fed end of tubes, m/s.
const TUBE_M_S: f64 = 1.0;
/// Share of the pressure at the header that the longest hose may take.
const HOSE_SHARE: f64 = 0.04;
/// Share of it that may be lost along a tube.
const TUBE_SHARE: f64 = 0.03;
/// Friction along a tube whose tips take its flow evenly, as a share of that of the whole flow to its end (Christiansen 1942, many outlets).
const EVEN_OUTFLOW: f64 = 1.0 / 3.0;
/// Flow of the agitation jet as a share of the boom's.
const AGITATION_SHARE: f64 = 0.25;
/// Discharge coefficient of the jet.
const JET: f64 = 0.65;
/// Most that each valve and strainer takes, Pa, and as a share of the pressure held.
const PART_PA: f64 = 1e4;
const PART_SHARE: f64 = 0.03;
/// Volume of the tank for each metre of boom, m3/m.
const TANK_M3_M: f64 = 0.1;
/// Roughness of a hose's wall, m.
const ROUGHNESS_M: f64 = 1e-5;

/// Which sections are fed at one end and return to the tank.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Returning {
    /// None: each is fed in its middle, its ends are capped.
    None,
    /// All.
    All,
    /// The outer third on each side; the others are fed in their middle.
    Outer,
}

/// What is known before anything is measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Outline {
    /// Width of the boom, m, > 0.
    pub width_m: f64,
    /// Distance between tips, m, > 0.
    pub spacing_m: f64,
    /// Number of sections, from 1 to the number of tips.
    pub sections: usize,
    /// Size of the tips.
    pub tip: TipSize,
    /// Pressure held at the header, Pa, > 0.
    pub pressure_pa: f64,
    /// Which sections return.
    pub returning: Returning,
}

/// A first guess at a machine; flows of water, no value rounded but bores.
#[derive(Clone, Debug, PartialEq)]
pub struct FirstGuess {
    /// Number of tips of each section, left to right.
    pub tips: Vec<usize>,
    /// Whether each is fed at one end and returns.
    pub returned: Vec<bool>,
    /// What all tips spray at the pressure held, m3/s.
    pub boom_flow_m3_s: f64,
    /// Flow of the sections that return as they circulate, m3/s: what their tips would spray. 0 where none returns.
    pub circulating_m3_s: f64,
    /// Time in which that flow turns over what it moves through, s; 0 where nothing circulates.
    pub turnover_s: f64,
    /// Nominal volume of the tank, m3.
    pub tank_m3: f64,
    /// Bores, m.
    pub bores: Bores,
    /// Suction line, m.
    pub suction_m: f64,
    /// Pump to header, and return header to tank, m.
    pub main_m: f64,
    /// Flow coefficients, m3/s per sqrt(Pa).
    pub coefficients: Coefficients,
    /// Curve of a centrifugal pump at full speed: flow, m3/s, and pressure, Pa.
    pub pump: Vec<(f64, f64)>,
    /// Flow of a positive-displacement pump at full speed, m3/s.
    pub displaced_m3_s: f64,
}

/// Bores of a guess, m.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bores {
    /// Tank to pump.
    pub suction: f64,
    /// Pump to header.
    pub main: f64,
    /// Header to each section.
    pub hose: f64,
    /// The tubes that carry the tips.
    pub tube: f64,
    /// Each section to the return header.
    pub return_hose: f64,
    /// Return header to tank.
    pub return_main: f64,
    /// The hole of the agitation jet; no nominal bore.
    pub agitation: f64,
}

/// Flow coefficients of a guess, m3/s per sqrt(Pa).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Coefficients {
    /// Suction strainer.
    pub suction_strainer: f64,
    /// Pressure strainer.
    pub strainer: f64,
    /// Valve of a section.
    pub section_valve: f64,
    /// Recirculation valve.
    pub return_valve: f64,
    /// Valve from pump outlet to tank that takes all that a positive-displacement pump gives.
    pub bypass: f64,
    /// Non-return valve that keeps air from the pump.
    pub air_check: f64,
}

/// Number of tips of a boom `width_m` wide with tips `spacing_m` apart, both m, > 0; at least 1.
pub fn tip_count(width_m: f64, spacing_m: f64) -> usize {
    // A width in round figures may be short of a spacing by a hundredth.
    (width_m * 1.005 / spacing_m).floor().max(1.0) as usize
}

/// A first guess at the machine of `outline`, its lines of nominal `bores_m` in rising order (at least one).
///
/// Flow of a tip follows from its size and the pressure by the square-root law. Mains carry all of it, hoses that of
/// their section, tubes half of it where they are fed in the middle. A bore is the smallest that keeps to the velocity and
/// the friction allowed, or the widest there is.
pub fn first_guess(outline: &Outline, bores_m: &[f64]) -> FirstGuess {
    let tips = shared_out(tip_count(outline.width_m, outline.spacing_m), outline.sections);
    let returned = returned(outline.returning, tips.len());
    let tip_m3_s = outline.tip.flow_m3_s() * (outline.pressure_pa / NOMINAL_PRESSURE_PA).sqrt();
    let flow = |tips: usize| tips as f64 * tip_m3_s;
    let boom_flow_m3_s = flow(tips.iter().sum());
    let of_returned = tips.iter().zip(&returned).filter(|(_, returned)| **returned);
    let circulating_m3_s = flow(of_returned.clone().map(|(tips, _)| tips).sum());
    let widest = tips.iter().copied().max().unwrap_or(1);
    let section_m3_s = flow(widest);
    let tube_m3_s = if returned.contains(&true) { section_m3_s } else { 0.5 * section_m3_s };
    let main_m = 2.0 + outline.width_m / 12.0;
    let pumped_m3_s = (1.0 + AGITATION_SHARE) * boom_flow_m3_s;
    let displaced_m3_s = 1.4 * pumped_m3_s;
    let (half_m, tube_m) = (0.5 * outline.width_m, widest as f64 * outline.spacing_m);
    let bore = |wanted: Wanted| wanted.bore(bores_m, outline.pressure_pa);
    let of = |flow_m3_s, most_m_s, length_m, share| Wanted { flow_m3_s, most_m_s, length_m, share };
    let pump = centrifugal(pumped_m3_s, outline.pressure_pa);
    let bores = Bores {
        suction: bore(of(displaced_m3_s, SUCTION_M_S, 0.0, 1.0)),
        main: bore(of(boom_flow_m3_s, MAIN_M_S, main_m, HOSE_SHARE)),
        hose: bore(of(section_m3_s, HOSE_M_S, half_m, HOSE_SHARE)),
        tube: bore(of(tube_m3_s, TUBE_M_S, tube_m * EVEN_OUTFLOW, TUBE_SHARE)),
        return_hose: bore(of(section_m3_s, HOSE_M_S, 0.0, 1.0)),
        return_main: bore(of(circulating_m3_s, MAIN_M_S, 0.0, 1.0)),
        agitation: jet(AGITATION_SHARE * boom_flow_m3_s, outline.pressure_pa),
    };
    let holds = |bore_m: f64, length_m: f64| 0.25 * PI * bore_m * bore_m * length_m;
    let moving = of_returned.clone().count() as f64
        * (holds(bores.hose, half_m)
            + holds(bores.tube, tube_m)
            + holds(bores.return_hose, half_m))
        + holds(bores.main, main_m)
        + holds(bores.return_main, main_m);
    let turnover_s = if circulating_m3_s > 0.0 { moving / circulating_m3_s } else { 0.0 };
    let part_pa = PART_PA.min(PART_SHARE * outline.pressure_pa);
    let passes = |flow_m3_s: f64, pa: f64| flow_m3_s / pa.sqrt();
    FirstGuess {
        coefficients: Coefficients {
            suction_strainer: passes(displaced_m3_s, 0.2 * PART_PA),
            strainer: passes(pumped_m3_s, part_pa),
            section_valve: passes(section_m3_s, part_pa),
            return_valve: passes(circulating_m3_s.max(section_m3_s), PART_PA),
            bypass: passes(displaced_m3_s, 0.5 * outline.pressure_pa),
            air_check: passes(boom_flow_m3_s, 0.5 * part_pa),
        },
        tank_m3: TANK_M3_M * outline.width_m,
        suction_m: 1.5 + outline.width_m / 48.0,
        tips,
        returned,
        boom_flow_m3_s,
        circulating_m3_s,
        turnover_s,
        bores,
        main_m,
        pump,
        displaced_m3_s,
    }
}

/// `tips` over `sections`, the middle ones taking what does not divide.
fn shared_out(tips: usize, sections: usize) -> Vec<usize> {
    let (each, over) = (tips / sections, tips % sections);
    let first = (sections - over).div_ceil(2);
    (0..sections).map(|i| each + usize::from((first..first + over).contains(&i))).collect()
}

/// Which of `sections` return.
fn returned(returning: Returning, sections: usize) -> Vec<bool> {
    let outer = (sections / 3).max(1);
    let is_returned = |i: usize| match returning {
        Returning::None => false,
        Returning::All => true,
        // Of two, one.
        Returning::Outer if sections == 2 => i == 0,
        Returning::Outer => i < outer || i >= sections - outer,
    };
    (0..sections).map(is_returned).collect()
}

/// What a bore must do.
struct Wanted {
    flow_m3_s: f64,
    most_m_s: f64,
    /// Length whose friction counts.
    length_m: f64,
    /// Most of the pressure that it may take.
    share: f64,
}

impl Wanted {
    fn bore(&self, bores_m: &[f64], pressure_pa: f64) -> f64 {
        let viscosity_pa_s = viscosity(20.0);
        let fits = |bore_m: &&f64| {
            let velocity = self.flow_m3_s / (0.25 * PI * **bore_m * **bore_m);
            let reynolds = (TIP_DENSITY_KG_M3 * velocity * **bore_m / viscosity_pa_s).max(1.0);
            let factor = Friction::new(ROUGHNESS_M / **bore_m).factor(reynolds).f;
            let lost_pa =
                factor * self.length_m / **bore_m * 0.5 * TIP_DENSITY_KG_M3 * velocity * velocity;
            velocity <= self.most_m_s && lost_pa <= self.share * pressure_pa
        };
        bores_m.iter().find(fits).or(bores_m.last()).copied().unwrap_or(METRIC_BORES_M[0])
    }
}

/// A hole that passes `flow_m3_s` at `pressure_pa`, m.
fn jet(flow_m3_s: f64, pressure_pa: f64) -> f64 {
    let velocity = JET * (2.0 * pressure_pa / TIP_DENSITY_KG_M3).sqrt();
    (4.0 * flow_m3_s / (PI * velocity)).sqrt()
}

/// The curve of an invented centrifugal pump that carries `flow_m3_s` to a boom at `pressure_pa` with a fifth to spare.
fn centrifugal(flow_m3_s: f64, pressure_pa: f64) -> Vec<(f64, f64)> {
    let (duty_m3_s, duty_pa) = (1.2 * flow_m3_s, 1.2 * pressure_pa + 7e4);
    let pressure = |share: f64| duty_pa * (1.35 - 0.35 * share * share);
    [0.0, 0.4, 0.8, 1.2, 1.6, 1.9].map(|share| (share * duty_m3_s, pressure(share))).to_vec()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plumbing::tip_size;

    fn heron(returning: Returning) -> FirstGuess {
        // Widths, spacings and tips as a 36 m boom has them.
        let tip = *tip_size("04").unwrap();
        let (width_m, spacing_m, sections, pressure_pa) = (36.0, 0.5, 6, 3e5);
        let outline = Outline { width_m, spacing_m, sections, tip, pressure_pa, returning };
        first_guess(&outline, &METRIC_BORES_M)
    }

    #[test]
    fn tips_share_out_alike_on_both_sides() {
        assert_eq!(heron(Returning::None).tips, [12; 6]);
        assert_eq!(shared_out(48, 5), [9, 10, 10, 10, 9]);
        assert_eq!(shared_out(7, 7), [1; 7]);
        assert_eq!(
            (tip_count(27.43, 0.508), tip_count(24.0, 0.5), tip_count(0.1, 0.5)),
            (54, 48, 1)
        );
    }

    #[test]
    fn an_outer_third_returns_on_each_side_and_one_section_of_two() {
        let returned = |sections| returned(Returning::Outer, sections);
        assert_eq!(returned(6), [true, true, false, false, true, true]);
        assert_eq!(returned(3), [true, false, true]);
        assert_eq!(returned(2), [true, false]);
    }

    /// 72 tips of 1.6 L/min at 3 bar are 115.2 L/min; in 51 mm that is 0.94 m/s, in 38 mm 1.69, in 32 mm 2.39 (by hand).
    #[test]
    fn bores_are_the_smallest_that_keep_velocity_and_friction() {
        let guess = heron(Returning::All);
        approx::assert_relative_eq!(guess.boom_flow_m3_s, 115.2e-3 / 60.0, max_relative = 1e-3);
        assert!(guess.bores.main >= 0.032 && guess.bores.main <= 0.051, "{:?}", guess.bores);
        let velocity = |flow: f64, bore: f64| flow / (0.25 * PI * bore * bore);
        assert!(velocity(1.25 * guess.boom_flow_m3_s, guess.bores.suction) <= SUCTION_M_S);
        assert!(guess.bores.hose >= guess.bores.tube.min(0.016));
        assert_eq!(guess.circulating_m3_s, guess.boom_flow_m3_s);
        assert_eq!(heron(Returning::None).turnover_s, 0.0);
    }

    #[test]
    fn the_pump_gives_more_than_the_boom_asks_and_its_curve_falls() {
        let guess = heron(Returning::None);
        let asked = 1.25 * guess.boom_flow_m3_s;
        assert!(guess.pump.iter().any(|(flow, pa)| *flow > asked && *pa > 3.6e5));
        assert!(guess.pump.windows(2).all(|w| w[1].0 > w[0].0 && w[1].1 < w[0].1));
    }
}
