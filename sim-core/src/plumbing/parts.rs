//! The parts a branch can be, with what a user knows of each.

use super::{Fitting, Material};
use std::f64::consts::PI;

/// What a branch is.
#[derive(Clone, Debug, PartialEq)]
pub enum Part {
    /// A pipe, tube or hose.
    Line(Line),
    /// A valve that can be opened and closed.
    Valve(Valve),
    /// A strainer: a fixed flow coefficient.
    Strainer(Restriction),
    /// A flow meter: a fixed flow coefficient.
    Meter(Restriction),
    /// A sharp orifice or jet.
    Orifice(Orifice),
    /// A check or relief valve: passes forward flow above its opening pressure.
    CheckValve(CheckValve),
    /// A pump; positive flow is its delivery. It passes no reverse flow.
    Pump(Pump),
}

impl Part {
    /// The line, if it is one.
    pub fn line(&self) -> Option<&Line> {
        match self {
            Self::Line(line) => Some(line),
            _ => None,
        }
    }

    /// The pump, if it is one.
    pub fn pump(&self) -> Option<&Pump> {
        match self {
            Self::Pump(pump) => Some(pump),
            _ => None,
        }
    }

    /// The word for its kind, as scenario files and summaries write it.
    pub fn kind(&self) -> &'static str {
        match self {
            Self::Line(_) => "line",
            Self::Valve(_) => "valve",
            Self::Strainer(_) => "strainer",
            Self::Meter(_) => "meter",
            Self::Orifice(_) => "orifice",
            Self::CheckValve(_) => "check_valve",
            Self::Pump(_) => "pump",
        }
    }
}

/// A pipe, tube or hose.
#[derive(Clone, Debug, PartialEq)]
pub struct Line {
    /// Inside diameter, m, > 0.
    pub bore_m: f64,
    /// Length along the line, m, >= 0.
    pub length_m: f64,
    /// Wall roughness, m, >= 0, below a twentieth of the bore.
    pub roughness_m: f64,
    /// Sum of the loss coefficients of its fittings on its own velocity head, >= 0.
    pub losses: f64,
    /// The fittings whose coefficients make up `losses`, where they are known by name.
    pub fittings: Vec<&'static Fitting>,
    /// Darcy friction factor that replaces the calculated one, if the user fixed it.
    pub fixed_friction: Option<f64>,
    /// Pressure rating of its weakest piece, Pa gauge, if known.
    pub rating_pa: Option<f64>,
    /// What it is made of, if known.
    pub material: Option<&'static Material>,
    /// Depth of its lowest point, half way along, below the straight line between its ends, m, >= 0.
    pub sag_m: f64,
    /// What whoever builds or mends it should know, such as its order number.
    pub note: Option<String>,
}

impl Line {
    /// A smooth line without fittings: `bore_m` wide, `length_m` long, roughness 1.5 um (drawn tubing,
    /// Moody 1944).
    pub fn plain(bore_m: f64, length_m: f64) -> Self {
        Self {
            bore_m,
            length_m,
            roughness_m: 1.5e-6,
            losses: 0.0,
            fittings: Vec::new(),
            fixed_friction: None,
            rating_pa: None,
            material: None,
            sag_m: 0.0,
            note: None,
        }
    }

    /// Cross-section of the bore, m2.
    pub fn area_m2(&self) -> f64 {
        PI * self.bore_m * self.bore_m / 4.0
    }

    /// Volume held when full, m3.
    pub fn volume_m3(&self) -> f64 {
        self.area_m2() * self.length_m
    }
}

/// How a valve's flow coefficient follows its opening.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Opening {
    /// Coefficient in proportion to opening.
    Linear,
    /// Equal percentage: `kv * R^(opening - 1)`, R the rangeability (> 1); closed at opening 0.
    EqualPercentage {
        /// Ratio of the largest to the smallest controllable flow coefficient.
        rangeability: f64,
    },
}

/// A valve that can be opened and closed.
#[derive(Clone, Debug, PartialEq)]
pub struct Valve {
    /// Flow coefficient fully open, m3/s per sqrt(Pa) of water of 1000 kg/m3, > 0.
    pub kv_si: f64,
    /// Opening at the start, 0 (closed) to 1.
    pub opening: f64,
    /// How the coefficient follows the opening.
    pub characteristic: Opening,
}

impl Valve {
    /// A linear valve of flow coefficient `kv_si`, m3/s per sqrt(Pa), > 0, wide open.
    pub fn plain(kv_si: f64) -> Self {
        Self { kv_si, opening: 1.0, characteristic: Opening::Linear }
    }
}

/// A part with a fixed flow coefficient (strainer, meter).
#[derive(Clone, Debug, PartialEq)]
pub struct Restriction {
    /// Flow coefficient, m3/s per sqrt(Pa) of water of 1000 kg/m3, > 0.
    pub kv_si: f64,
}

/// A sharp orifice.
#[derive(Clone, Debug, PartialEq)]
pub struct Orifice {
    /// Diameter of the hole, m, > 0.
    pub bore_m: f64,
    /// Discharge coefficient on the hole's area, 0 to 1.
    pub discharge_coefficient: f64,
}

/// A check or relief valve.
#[derive(Clone, Debug, PartialEq)]
pub struct CheckValve {
    /// Flow coefficient fully open, m3/s per sqrt(Pa) of water of 1000 kg/m3, > 0.
    pub kv_si: f64,
    /// Pressure difference at which it opens, Pa, >= 0.
    pub opens_at_pa: f64,
}

/// A pump's head against flow at full speed.
#[derive(Clone, Debug, PartialEq)]
pub struct PumpCurve {
    /// Flows, m3/s, rising from 0.
    pub flow_m3_s: Vec<f64>,
    /// Heads, m of the pumped liquid, falling.
    pub head_m: Vec<f64>,
}

/// What a pump displaces, and what slips back: its flow is what it sweeps less what slips through its gaps.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Displacement {
    /// Volume swept in a turn, m3, > 0.
    pub swept_m3: f64,
    /// Turns in a second at speed 1, > 0.
    pub turns_s: f64,
    /// Share of the flow swept at speed 1 that slips back at `slip_at_pa`, above 0 to 1.
    pub slip: f64,
    /// Rise of pressure at which it does, Pa, > 0; in proportion to it.
    pub slip_at_pa: f64,
}

impl Displacement {
    /// Head against flow at speed 1 with a liquid that weighs `weight_pa_m`, density times gravity, > 0: straight from where
    /// all slips back to no pressure.
    pub fn curve(&self, weight_pa_m: f64) -> PumpCurve {
        let head_m = self.slip_at_pa / self.slip / weight_pa_m;
        PumpCurve { flow_m3_s: vec![0.0, self.swept_m3 * self.turns_s], head_m: vec![head_m, 0.0] }
    }
}

/// A pump.
#[derive(Clone, Debug, PartialEq)]
pub struct Pump {
    /// Head against flow at speed 1.
    pub curve: PumpCurve,
    /// Speed at the start as a share of the curve's speed, >= 0.
    pub speed: f64,
    /// Highest speed the drive reaches, as a share of the curve's speed, > 0.
    pub top_speed: f64,
    /// Points of efficiency (flow m3/s, share 0 to 1) at speed 1, if given.
    pub efficiency: Vec<(f64, f64)>,
    /// Points of net positive suction head required (flow m3/s, head m) at speed 1, if given.
    pub npsh_required: Vec<(f64, f64)>,
    /// What it displaces, if it is of that kind: its curve then is straight and moves with speed by what it sweeps; without
    /// it, by the affinity laws.
    pub displacement: Option<Displacement>,
}

impl Pump {
    /// A pump at full speed, of which no more is known than points of its curve: flow, m3/s, rising from 0, and head, m of
    /// the pumped liquid, falling.
    pub fn plain(points: &[(f64, f64)]) -> Self {
        let (flow_m3_s, head_m) = points.iter().copied().unzip();
        Self {
            curve: PumpCurve { flow_m3_s, head_m },
            speed: 1.0,
            top_speed: 1.0,
            efficiency: Vec::new(),
            npsh_required: Vec::new(),
            displacement: None,
        }
    }

    /// Efficiency at `flow_m3_s` and `speed`, linear between the given points and carried from
    /// speed to speed by the affinity laws; `None` without points.
    pub fn efficiency_at(&self, flow_m3_s: f64, speed: f64) -> Option<f64> {
        between(&self.efficiency, flow_m3_s / speed)
    }

    /// Net positive suction head required at `flow_m3_s` and `speed`, m, by the same rules.
    pub fn npsh_required_at(&self, flow_m3_s: f64, speed: f64) -> Option<f64> {
        between(&self.npsh_required, flow_m3_s / speed).map(|npsh| npsh * speed * speed)
    }
}

/// Linear interpolation in `points`, whose abscissas rise; constant beyond the ends.
fn between(points: &[(f64, f64)], at: f64) -> Option<f64> {
    let (first, last) = (points.first()?, points.last()?);
    if at <= first.0 {
        return Some(first.1);
    }
    if at >= last.0 {
        return Some(last.1);
    }
    // Figures that are none find no place of their own.
    let i = points.partition_point(|point| point.0 <= at).min(points.len() - 1);
    if i == 0 {
        return Some(first.1);
    }
    let ((x0, y0), (x1, y1)) = (points[i - 1], points[i]);
    Some(y0 + (y1 - y0) * (at - x0) / (x1 - x0))
}
