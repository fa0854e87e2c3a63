//! An invented machine for tests and benchmarks.

use super::design::{
    BoomDesign, Feed, LineDesign, ReturnDesign, SectionDesign, TankDesign, TipDesign,
};
use crate::plumbing::{Line, NOMINAL_PRESSURE_PA, Opening, Pump, PumpCurve, ShutOff, Valve};

/// An invented machine of `sections` sections with `tips` tips of size 04 each, 0.5 m apart; bores of
/// main and pump grow with the number of tips.
pub fn example(sections: usize, tips: usize, feed: Feed, returns: bool) -> BoomDesign {
    let scale = (sections * tips) as f64 / 72.0;
    let line = |bore_m: f64, length_m: Option<f64>, losses: f64| {
        let plain = Line::plain(bore_m, length_m.unwrap_or(0.0));
        let line = Line { roughness_m: 1e-5, losses, ..plain };
        LineDesign { line, from_geometry: length_m.is_none() }
    };
    let wide = |bore_m: f64, length_m: f64| line(bore_m * scale.sqrt(), Some(length_m), 5.0);
    let path = ReturnDesign { main: wide(0.032, 5.0), valve: valve(12.0 * scale) };
    let section = |i: usize| SectionDesign {
        name: (i + 1).to_string(),
        tips,
        spacing_m: 0.5,
        feed,
        returns,
        tube: LineDesign { line: Line::plain(0.022, 0.0), from_geometry: true },
        body_losses: 0.0,
        lead_m: 0.25,
        stub_m: 0.06,
        hose: line(0.025, None, 3.0),
        valve: valve(9.0),
        return_hose: line(0.019, None, 3.0),
        tip: tip(),
        beside: Vec::new(),
    };
    BoomDesign {
        width_m: 0.5 * (sections * tips) as f64,
        roll_rad: 0.0,
        tank: TankDesign {
            capacity_m3: Some(4.0),
            holds_m3: Some(2.5),
            heel_m3: 0.0,
            concentration: None,
            surface_above_boom_m: 0.6,
            inlet_above_boom_m: 0.3,
        },
        pump: pump(scale),
        pump_above_boom_m: -0.2,
        suction_strainer_kv_si: None,
        suction: wide(0.051, 2.2),
        agitation: None,
        bypass: None,
        relief: None,
        strainer_kv_si: None,
        meter_kv_si: None,
        main: wide(0.038, 6.0),
        return_path: returns.then_some(path),
        air: None,
        hose_extra_m: 0.5,
        sections: (0..sections).map(section).collect(),
    }
}

/// A linear valve of `kv` m3/h, open.
fn valve(kv: f64) -> Valve {
    let kv_si = kv / 3600.0 / 1e5f64.sqrt();
    Valve { kv_si, opening: 1.0, characteristic: Opening::Linear }
}

fn pump(scale: f64) -> Pump {
    let flow = [0.0, 150.0, 300.0, 450.0, 600.0];
    Pump {
        curve: PumpCurve {
            flow_m3_s: flow.map(|l_min| l_min * scale / 6e4).to_vec(),
            head_m: vec![67.0, 64.0, 57.0, 45.0, 28.0],
        },
        speed: 1.0,
        top_speed: 1.0,
        efficiency: Vec::new(),
        npsh_required: Vec::new(),
        displacement: None,
    }
}

fn tip() -> TipDesign {
    TipDesign {
        size: Some("04".into()),
        rated_flow_m3_s: 1.6e-3 / 60.0,
        rated_at_pa: NOMINAL_PRESSURE_PA,
        body_kv_si: None,
        shut_off: ShutOff::Each,
        duty: 1.0,
        wear: 0.0,
        window_pa: None,
        position: None,
        in_use: true,
    }
}
