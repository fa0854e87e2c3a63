//! Single lines and manifolds to be blown empty.

use crate::support::liquid;
use sim_core::plumbing::{AirSupply, Line, NodeId, Plumbing, Sketch};
use sim_core::procedure::{Action, Change, Lasts, Purge, Settings, Step, Until};
use sim_core::scenario::{ModelOptions, Scenario};
use sim_core::simulation::{MovedRecord, run};

/// An air supply at `pa` gauge behind a valve of `conductance` and critical ratio 0.3, limited to `free_air`.
pub fn supply(pa: f64, conductance: f64, free_air: f64) -> AirSupply {
    AirSupply {
        regulated_pa: pa,
        receiver_m3: 0.0,
        charged_to_pa: pa,
        free_air_m3_s: free_air,
        conductance_m3_s_pa: conductance,
        critical_ratio: 0.3,
        relief_pa: None,
        entries: Vec::new(),
    }
}

/// So much air at `pa` gauge that nothing draws it down.
pub fn endless(pa: f64) -> AirSupply {
    supply(pa, 1e-5, 1e3)
}

/// A step of purging through `node` for `seconds`.
pub fn purge(plumbing: &Plumbing, node: NodeId, seconds: f64) -> Step {
    let mut settings = Settings::of(plumbing);
    settings.tip_opening.fill(0.0);
    Step {
        name: "purge".into(),
        action: Action::Purge,
        settings,
        controls: Vec::new(),
        lasts: Some(Lasts { most_s: seconds, until: Until::Time }),
        change: Change::default(),
        loads: Vec::new(),
        transfers: Vec::new(),
        pass: None,
        purge: Some(Purge { node, pulse: None }),
    }
}

/// A line full of a liquid of `density` from where air enters to an open end, level.
pub struct SingleLine {
    pub line: Line,
    pub density: f64,
    pub supply: AirSupply,
    pub model: ModelOptions,
    pub seconds: f64,
}

impl SingleLine {
    pub fn run(&self) -> MovedRecord {
        let mut sketch = Sketch::default();
        let tank = sketch.tank("tank", -1.0);
        let from = sketch.node("in", 0.0);
        let to = sketch.tank_node("out", tank, 0.0);
        sketch.line("line", from, to, self.line.clone());
        let mut plumbing = sketch.finish();
        plumbing.air = Some(self.supply.clone());
        let step = purge(&plumbing, from, self.seconds);
        let mut scenario = Scenario::plain(plumbing, liquid(self.density, 1e-3), vec![step]);
        scenario.model = self.model;
        only(&scenario)
    }
}

/// What moved in the only step of `scenario`.
pub fn only(scenario: &Scenario) -> MovedRecord {
    run(scenario).unwrap().steps.remove(0).moved.unwrap()
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
