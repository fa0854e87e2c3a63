//! Lines blown empty from one place, as rigid columns behind sharp fronts, by an independent integrator.
//!
//! Source: the crate `ode_solvers`, Dormand & Prince's method of order 8 with error control, on the equations of a
//! rigid column that shortens (Wylie & Streeter), air at one temperature, valves by ISO 6358 and long gas lines by
//! the textbook law, all written out here and in `by_hand`; nothing of them is the product's.

use crate::by_hand::{self, RT, RoundLine};
use ode_solvers::{DVector, Dop853, System};
use sim_core::fluids::Liquid;
use sim_core::plumbing::{AirSupply, Line};
use std::f64::consts::PI;

const ATMOSPHERE: f64 = 101_325.0;
const AIR_VISCOSITY: f64 = 1.82e-5;
const G: f64 = 9.80665;
/// Length of the stretches between two looks for a front at an outlet, s.
const STRETCH_S: f64 = 5e-3;
/// How far liquid must have run back beyond a line's start for it to count as filled again, m.
const REFILLED_M: f64 = 0.2;

/// One line and what its liquid meets: a rise from end to end and a head over its outlet, m.
#[derive(Clone, Debug)]
pub struct Piston {
    pub line: Line,
    pub rise_m: f64,
    pub head_m: f64,
}

/// Lines that start at one place.
#[derive(Clone, Debug)]
pub struct SharpFronts {
    pub pistons: Vec<Piston>,
    pub liquid: Liquid,
    pub supply: AirSupply,
    pub dead_m3: f64,
    /// Velocity of the front over that of the liquid.
    pub ratio: f64,
}

/// Where the integration stands.
#[derive(Clone, Debug)]
pub struct State {
    pub time_s: f64,
    /// Air, air in the receiver (kg), then velocity (m/s), column (m) and outflow (m3) of each line.
    y: DVector<f64>,
    /// When each line broke through, s.
    pub through_s: Vec<Option<f64>>,
    /// Highest absolute pressure so far, Pa.
    pub highest_pa: f64,
}

impl SharpFronts {
    fn start(&self) -> State {
        let lines = self.pistons.len();
        let mut y = DVector::zeros(2 + 3 * lines);
        y[0] = self.dead_m3.max(1e-6) * ATMOSPHERE / RT;
        y[1] = self.supply.receiver_m3 * (self.supply.charged_to_pa + ATMOSPHERE) / RT;
        for (k, piston) in self.pistons.iter().enumerate() {
            y[3 + 3 * k] = piston.line.length_m;
        }
        State { time_s: 0.0, y, through_s: vec![None; lines], highest_pa: ATMOSPHERE }
    }

    /// State after `seconds`, or when every line has broken through or filled up again.
    pub fn run(&self, seconds: f64) -> State {
        let mut state = self.start();
        while state.time_s < seconds && self.goes_on(&state) {
            let dt = STRETCH_S.min(seconds - state.time_s);
            self.stretch(&mut state, dt);
        }
        state
    }

    fn goes_on(&self, state: &State) -> bool {
        let mut lines = self.pistons.iter().enumerate();
        lines.any(|(k, piston)| {
            state.through_s[k].is_none() && state.y[3 + 3 * k] < piston.line.length_m + REFILLED_M
        })
    }

    /// Goes on by `dt`, or up to where a front is at its outlet.
    fn stretch(&self, state: &mut State, dt: f64) {
        let ends = |y: &DVector<f64>, k: usize| state.through_s[k].is_none() && y[3 + 3 * k] <= 0.0;
        let any_ends = |y: &DVector<f64>| (0..self.pistons.len()).any(|k| ends(y, k));
        let mut after = self.integrate(state, dt);
        let mut taken = dt;
        if any_ends(&after) {
            let (mut low, mut high) = (0.0, dt);
            while high - low > 1e-9 {
                let middle = 0.5 * (low + high);
                if any_ends(&self.integrate(state, middle)) { high = middle } else { low = middle }
            }
            (after, taken) = (self.integrate(state, high), high);
        }
        let ended: Vec<usize> = (0..self.pistons.len()).filter(|k| ends(&after, *k)).collect();
        state.time_s += taken;
        state.y = after;
        state.highest_pa = state.highest_pa.max(self.pressure(state));
        for k in ended {
            // Half the air of an open line counts as standing at the pressure of its outlet.
            let leaves = 0.5 * volume_m3(&self.pistons[k].line) * self.pressure(state) / RT;
            state.y[0] -= leaves;
            state.through_s[k] = Some(state.time_s);
        }
    }

    fn integrate(&self, state: &State, dt: f64) -> DVector<f64> {
        let open = state.through_s.iter().map(Option::is_some).collect();
        let system = Moving { fronts: self, open };
        let mut stepper = Dop853::new(system, 0.0, dt, 1e-2 * dt, state.y.clone(), 1e-9, 1e-13);
        stepper.integrate().unwrap();
        stepper.y_out().last().unwrap().clone()
    }

    /// Absolute pressure of the air, Pa.
    pub fn pressure(&self, state: &State) -> f64 {
        let open: Vec<bool> = state.through_s.iter().map(Option::is_some).collect();
        state.y[0] * RT / self.room(&state.y, &open)
    }

    /// Absolute pressure in the receiver, Pa.
    pub fn receiver(&self, state: &State) -> f64 {
        state.y[1] * RT / self.supply.receiver_m3
    }

    /// What has run out of line `k`, m3.
    pub fn outflow(&self, state: &State, k: usize) -> f64 {
        state.y[4 + 3 * k]
    }

    fn room(&self, y: &DVector<f64>, open: &[bool]) -> f64 {
        let of_line = |(k, piston): (usize, &Piston)| {
            // Air has the room that liquid has left.
            if open[k] { 0.5 * volume_m3(&piston.line) } else { y[4 + 3 * k] }
        };
        self.dead_m3.max(1e-6) + self.pistons.iter().enumerate().map(of_line).sum::<f64>()
    }

    /// `length_m` of `line`, full of the liquid.
    fn round(&self, line: &Line, length_m: f64) -> RoundLine {
        RoundLine {
            bore_m: line.bore_m,
            length_m,
            roughness_m: line.roughness_m,
            losses: line.losses,
            fixed: line.fixed_friction,
            density: self.liquid.density_kg_m3,
            viscosity: self.liquid.viscosity_pa_s,
        }
    }

    /// Air from the supply into `pa`, kg/s, by ISO 6358.
    fn supplied(&self, receiver_kg: f64, pa: f64) -> f64 {
        let supply = &self.supply;
        let regulated = supply.regulated_pa + ATMOSPHERE;
        let has_receiver = supply.receiver_m3 > 0.0;
        let ahead = if has_receiver {
            regulated.min(receiver_kg * RT / supply.receiver_m3)
        } else {
            regulated
        };
        let (conductance, b) = (supply.conductance_m3_s_pa, supply.critical_ratio);
        let flow = by_hand::iso_6358(conductance, b, ahead, pa);
        let most = supply.free_air_m3_s * ATMOSPHERE / RT;
        if has_receiver { flow } else { flow.min(most) }
    }
}

fn area_m2(line: &Line) -> f64 {
    PI / 4.0 * line.bore_m * line.bore_m
}

fn volume_m3(line: &Line) -> f64 {
    area_m2(line) * line.length_m
}

struct Moving<'a> {
    fronts: &'a SharpFronts,
    open: Vec<bool>,
}

impl System<f64, DVector<f64>> for Moving<'_> {
    fn system(&self, _: f64, y: &DVector<f64>, dy: &mut DVector<f64>) {
        let fronts = self.fronts;
        let pa = y[0] * RT / fronts.room(y, &self.open);
        let supplied = fronts.supplied(y[1], pa);
        dy.fill(0.0);
        (dy[0], dy[1]) = (supplied, -supplied);
        for (k, piston) in fronts.pistons.iter().enumerate() {
            let (line, at) = (&piston.line, 2 + 3 * k);
            if self.open[k] {
                dy[0] -= open_line(line, pa) * area_m2(line);
                continue;
            }
            let (v, column) = (y[at], y[at + 1]);
            let density = fronts.liquid.density_kg_m3;
            let length = column.max(line.bore_m);
            let lift = piston.head_m + piston.rise_m * column / line.length_m;
            let loss = by_hand::line_loss(&fronts.round(line, length), v * area_m2(line));
            dy[at] = (pa - ATMOSPHERE - density * G * lift - loss) / (density * length);
            dy[at + 1] = if v > 0.0 { -fronts.ratio * v } else { -v };
            dy[at + 2] = v * area_m2(line);
        }
    }
}

/// Air through an open line into the atmosphere over its cross-section, kg/(s m2): the law of long gas lines at
/// one temperature. A lower pressure than the atmosphere draws it back.
pub fn open_line(line: &Line, pa: f64) -> f64 {
    let (high, low) = (pa.max(ATMOSPHERE), pa.min(ATMOSPHERE));
    let driven = (high * high - low * low) / RT;
    let at_ends = line.losses + 2.0 * (high / low).ln();
    let (mut least, mut most) = (0.0, 1e3);
    for _ in 0..45 {
        let flux: f64 = 0.5 * (least + most);
        let factor = line.fixed_friction.unwrap_or_else(|| friction(flux, line));
        let used = flux * flux * (factor * line.length_m / line.bore_m + at_ends);
        if used < driven { least = flux } else { most = flux }
    }
    least.copysign(pa - ATMOSPHERE)
}

/// Darcy's factor of air by Haaland (1983), 64/Re below 2000 and a straight line to Re 4000.
fn friction(flux: f64, line: &Line) -> f64 {
    let haaland = |reynolds: f64| {
        let rough = (line.roughness_m / line.bore_m / 3.7).powf(1.11);
        (-1.8 * (rough + 6.9 / reynolds).log10()).powi(-2)
    };
    let reynolds = (flux * line.bore_m / AIR_VISCOSITY).max(1e-3);
    let turbulent = ((reynolds - 2000.0) / 2000.0).clamp(0.0, 1.0);
    (1.0 - turbulent) * 64.0 / reynolds.min(2000.0) + turbulent * haaland(reynolds.max(4000.0))
}

/// Loss of an open line that passes `kg_s` of air, Pa.
pub fn open_line_loss(line: &Line, kg_s: f64) -> f64 {
    let flux = kg_s / (PI * line.bore_m * line.bore_m / 4.0);
    let (mut low, mut high) = (0.0, 1e5);
    while high - low > 1e-3 {
        let middle = 0.5 * (low + high);
        if open_line(line, ATMOSPHERE + middle) < flux { low = middle } else { high = middle }
    }
    low
}
