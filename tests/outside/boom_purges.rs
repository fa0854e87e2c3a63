//! Booms of any kind to be purged in any way.

use crate::purge_rig::supply;
use proptest::prelude::*;
use sim_core::fluids::water;
use sim_core::plumbing::boom::{
    AirDesign, BackDesign, BoomDesign, Feed, LineDesign, build, example,
};
use sim_core::plumbing::{
    AirSupply, CheckValve, Line, Machine, Opening, SectionId, ShutOff, Valve,
};
use sim_core::procedure::{Course, Pulse, Step};

/// A boom machine and what is done to it: shares from 0 to 1 pick from their range.
#[derive(Clone, Debug)]
pub struct Recipe {
    sections: usize,
    tips: usize,
    feed: usize,
    returns: bool,
    bores: [f64; 3],
    roll: f64,
    sags: [f64; 4],
    surface: f64,
    shut_off: usize,
    opens: f64,
    supply: [f64; 5],
    has_receiver: bool,
    /// Sections each step opens, as bits.
    orders: Vec<u32>,
    seconds: f64,
    pulse: Option<(f64, f64)>,
    back: bool,
    from_return: bool,
}

/// Any of them.
pub fn recipe() -> impl Strategy<Value = Recipe> {
    let share = || 0.0f64..1.0;
    let machine = (
        1usize..8,
        2usize..13,
        0usize..3,
        prop::bool::weighted(0.85),
        [share(), share(), share()],
        share(),
        [share(), share(), share(), share()],
        share(),
    );
    let air = (
        0usize..3,
        share(),
        [share(), share(), share(), share(), share()],
        any::<bool>(),
        prop::collection::vec(1u32..128, 1..7),
        share(),
        prop::option::weighted(0.3, (share(), share())),
        any::<bool>(),
        any::<bool>(),
    );
    (machine, air).prop_map(|(machine, air)| {
        let (sections, tips, feed, returns, bores, roll, sags, surface) = machine;
        let (shut_off, opens, supply, has_receiver, orders, seconds, pulse, back, from_return) =
            air;
        Recipe {
            sections,
            tips,
            feed,
            returns,
            bores,
            roll,
            sags,
            surface,
            shut_off,
            opens,
            supply,
            has_receiver,
            orders,
            seconds,
            pulse,
            back,
            from_return,
        }
    })
}

fn between(low: f64, high: f64, share: f64) -> f64 {
    low + (high - low) * share
}

/// From 0 for most shares up to `most`.
fn seldom(most: f64, share: f64) -> f64 {
    most * (2.0 * share - 1.0).max(0.0)
}

impl Recipe {
    fn design(&self) -> BoomDesign {
        let feed = [Feed::Centre, Feed::InnerEnd, Feed::OuterEnd][self.feed];
        let mut design = example(self.sections, self.tips, feed, self.returns);
        design.roll_rad = between(-0.06, 0.06, self.roll);
        design.tank.surface_above_boom_m = between(-0.5, 0.8, self.surface);
        design.main.line.sag_m = seldom(0.3, self.sags[0]);
        if let Some(path) = &mut design.return_path {
            path.main.line.sag_m = seldom(0.3, self.sags[1]);
        }
        for section in &mut design.sections {
            section.tube.line.bore_m = between(0.012, 0.03, self.bores[0]);
            section.hose.line.bore_m = between(0.015, 0.032, self.bores[1]);
            section.return_hose.line.bore_m = between(0.01, 0.025, self.bores[2]);
            section.hose.line.sag_m = seldom(0.4, self.sags[2]);
            section.return_hose.line.sag_m = seldom(0.4, self.sags[3]);
            section.tip.shut_off = self.shut_off();
        }
        let check = CheckValve { kv_si: kv(60.0), opens_at_pa: 5e3 };
        let back = self.back.then(|| BackDesign {
            line: line(0.025, 4.0),
            valve: Valve { kv_si: kv(9.0), opening: 0.0, characteristic: Opening::Linear },
        });
        design.air = Some(AirDesign { check, back });
        design
    }

    fn shut_off(&self) -> ShutOff {
        let opens_at_pa = between(0.3e5, 3e5, self.opens);
        match self.shut_off {
            0 => ShutOff::CheckValve {
                opens_at_pa,
                reseats_at_pa: 0.7 * opens_at_pa,
                open_loss_pa: 4e3,
            },
            _ => ShutOff::Each,
        }
    }

    fn supply(&self) -> AirSupply {
        let [pressure, conductance, free, volume, charge] = self.supply;
        let regulated = between(0.2e5, 4e5, pressure);
        let air = supply(regulated, 10f64.powf(between(-9.0, -6.3, conductance)), 0.0);
        if self.has_receiver {
            AirSupply {
                receiver_m3: between(5e-3, 0.1, volume),
                charged_to_pa: regulated + between(0.0, 6e5, charge),
                free_air_m3_s: seldom(5e-3, free),
                ..air
            }
        } else {
            AirSupply { free_air_m3_s: 10f64.powf(between(-4.0, -1.8, free)), ..air }
        }
    }

    /// The machine, and its purge: lines full of product, the tank of water.
    pub fn purge(&self) -> (Machine, Course) {
        let mut machine = build(&self.design());
        machine.plumbing.air = Some(self.supply());
        let mut course = Course::new(water(15.0), self.steps(&machine));
        course.start.lines_hold = 1.0;
        course.start.tanks_hold = 0.0;
        (machine, course)
    }

    fn steps(&self, machine: &Machine) -> Vec<Step> {
        let roles = &machine.roles;
        let back = roles.return_header.filter(|node| self.from_return && roles.goes_back(*node));
        let node = back.or(roles.air_inlet).unwrap();
        let one_step = |(k, bits): (usize, &u32)| {
            let sections = (0..machine.plumbing.sections.len()).map(SectionId::at);
            let open = sections.filter(|section| bits >> section.index() & 1 == 1);
            let step = Step::purge(machine, node).named(format!("part {k}")).only(machine, open);
            let step = step.lasts(between(2.0, 20.0, self.seconds));
            let Some((on, off)) = self.pulse else { return step };
            step.pulsed(Pulse { on_s: between(0.2, 4.0, on), off_s: between(0.2, 4.0, off) })
        };
        self.orders.iter().enumerate().map(one_step).collect()
    }
}

fn kv(m3_h: f64) -> f64 {
    m3_h / 3600.0 / 1e5f64.sqrt()
}

fn line(bore_m: f64, length_m: f64) -> LineDesign {
    let line = Line { roughness_m: 1e-5, losses: 3.0, ..Line::plain(bore_m, length_m) };
    LineDesign { line, from_geometry: false }
}
