//! Single lines and manifolds to be blown empty.

use crate::support::liquid;
use sim_core::fluids::Liquid;
use sim_core::plumbing::{
    AirSupply, BranchId, Line, Machine, NodeId, Opening, Part, Side, Sketch, Valve,
};
use sim_core::procedure::{Course, ModelOptions, Step};
use sim_core::simulation::{MovedRecord, run};
use std::f64::consts::PI;

/// An air supply at `pa` gauge behind a valve of `conductance` and critical ratio 0.3, limited to `free_air`.
pub fn supply(pa: f64, conductance: f64, free_air: f64) -> AirSupply {
    AirSupply { free_air_m3_s: free_air, ..AirSupply::regulated(pa, conductance) }
}

/// So much air at `pa` gauge that nothing draws it down.
pub fn endless(pa: f64) -> AirSupply {
    supply(pa, 3e-5, 1e4)
}

/// What moved in the only step of `course` on `machine`.
pub fn only(machine: &Machine, course: &Course) -> MovedRecord {
    run(machine, course).unwrap().steps.remove(0).moved.unwrap()
}

/// A sharp front (or one `ratio` times as fast as the liquid) moved in steps of at most `longest_move_s`.
pub fn front(ratio: Option<f64>, longest_move_s: f64) -> ModelOptions {
    ModelOptions {
        velocity_head: false,
        longest_move_s,
        holdup: ratio.is_some(),
        fixed_front: ratio,
        ..ModelOptions::default()
    }
}

/// The published laws of front and layer, moved in steps of at most `longest_move_s`.
pub fn published(longest_move_s: f64) -> ModelOptions {
    ModelOptions { velocity_head: false, longest_move_s, ..ModelOptions::default() }
}

/// What liquid meets at the end of a line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Outlet {
    /// It runs out freely.
    Free,
    /// It runs out freely, this much higher than it came in, m.
    Rising(f64),
    /// It runs out under so much liquid, m.
    Under(f64),
}

/// Lines full of a liquid that start at one place, where air enters.
#[derive(Clone, Debug)]
pub struct Manifold {
    pub lines: Vec<(Line, Outlet)>,
    /// Room for air where they start, m3.
    pub dead_m3: f64,
    pub liquid: Liquid,
    pub supply: AirSupply,
    pub model: ModelOptions,
    /// Whether the losses of each line are at its outlet, where all of its liquid meets them, instead of along it.
    pub fitted_at_outlets: bool,
}

impl Manifold {
    /// A manifold of 1 L whose lines are full of water, its surface tension left out as by those who computed apart.
    pub fn of_a_litre(lines: Vec<(Line, Outlet)>, supply: AirSupply, model: ModelOptions) -> Self {
        let liquid = Liquid { surface_tension_n_m: 1e-9, ..liquid(998.2, 1e-3) };
        Self { lines, dead_m3: 1e-3, liquid, supply, model, fitted_at_outlets: true }
    }

    /// What moves in `seconds` with every line open.
    pub fn run(&self, seconds: f64) -> MovedRecord {
        let (machine, inlet, own) = self.machine(false);
        let steps = vec![Step::purge(&machine, inlet).lasts(seconds)];
        only(&machine, &self.course(steps, own))
    }

    /// What moves in steps with one line open each, the others shut off by valves at their start.
    pub fn run_in_turn(&self, lines_and_seconds: &[(usize, f64)]) -> Vec<MovedRecord> {
        let (machine, inlet, own) = self.machine(true);
        let lines = self.lines.len();
        let steps = lines_and_seconds.iter().map(|(open, seconds)| {
            let step = Step::purge(&machine, inlet).named(format!("line {open}")).lasts(*seconds);
            let closed = (0..lines).filter(|k| k != open).map(|k| BranchId::at(lines + k));
            closed.fold(step, |step, valve| step.valve(valve, 0.0))
        });
        let record = run(&machine, &self.course(steps.collect(), own)).unwrap();
        record.steps.into_iter().map(|step| step.moved.unwrap()).collect()
    }

    fn course(&self, steps: Vec<Step>, own: Vec<BranchId>) -> Course {
        let mut course = Course::new(self.liquid.clone(), steps);
        course.model = self.model;
        course.start.own = own.into_iter().map(|line| (line, None)).collect();
        course
    }

    /// The machine, where air enters, and what starts empty. The lines are its first branches; if there are
    /// valves, theirs follow.
    fn machine(&self, with_valves: bool) -> (Machine, NodeId, Vec<BranchId>) {
        let mut sketch = Sketch::default();
        let tank = sketch.tank("tank", -10.0);
        let inlet = sketch.node("in", 0.0);
        let (mut starts, mut fitted) = (Vec::new(), Vec::new());
        for (k, (line, outlet)) in self.lines.iter().enumerate() {
            let (name, height_m) =
                (format!("out {k}"), if let Outlet::Rising(m) = outlet { *m } else { 0.0 });
            let into = match outlet {
                Outlet::Under(head_m) => sketch.tank(&format!("deep {k}"), *head_m),
                _ => tank,
            };
            let mouth = sketch.tank_node(&name, into, height_m);
            let (mut to, mut bare) = (mouth, line.clone());
            if self.fitted_at_outlets && line.losses > 0.0 {
                bare.losses = 0.0;
                to = sketch.node(&format!("fitted {k}"), height_m);
                fitted.push((to, mouth, fittings(line)));
            }
            let from = if with_valves { sketch.node(&format!("start {k}"), 0.0) } else { inlet };
            let line = sketch.line(&format!("line {k}"), from, to, bare);
            sketch.place(line, Side::Return, None);
            starts.push(from);
        }
        for (k, start) in starts.iter().enumerate().filter(|_| with_valves) {
            let valve = Valve { kv_si: 10.0, opening: 1.0, characteristic: Opening::Linear };
            sketch.branch(&format!("valve {k}"), inlet, *start, Part::Valve(valve));
        }
        for (k, (from, to, fittings)) in fitted.into_iter().enumerate() {
            let fittings = sketch.branch(&format!("fittings {k}"), from, to, fittings);
            sketch.place(fittings, Side::Return, None);
        }
        let mut own = Vec::new();
        if self.dead_m3 > 0.0 {
            let bore_m = (self.dead_m3 / 0.2 * 4.0 / PI).sqrt();
            let end = sketch.node("end", 0.0);
            let room = Line { fixed_friction: Some(0.0), ..Line::plain(bore_m, 0.2) };
            own.push(sketch.line("room", end, inlet, room));
        }
        sketch.plumbing_mut().air = Some(self.supply.clone());
        (sketch.finish().into(), inlet, own)
    }
}

/// The losses of `line` in one place, where all that leaves it meets them, however short its column.
pub fn fittings(line: &Line) -> Part {
    let kv_si = line.area_m2() * (2.0 / (1000.0 * line.losses)).sqrt();
    Part::Valve(Valve { kv_si, opening: 1.0, characteristic: Opening::Linear })
}

/// Time at which line `k` broke through, s.
pub fn through(moved: &MovedRecord, k: usize) -> Option<f64> {
    moved.air.as_ref().unwrap().broken_through_s[k]
}
