//! Lines blown empty by air of constant pressure.

use crate::purge_rig::{Manifold, Outlet, endless, front, through};
use crate::support::liquid;
use crate::validation::sources::{FRONT_BALANCE, RIGID_COLUMN};
use crate::validation::{Row, Share, validated};
use sim_core::plumbing::Line;
use sim_core::simulation::MovedRecord;

/// A line `length` long, `bore` wide, of friction `f` and losses `k`, blown by `pa` with a front of `ratio`.
struct Case {
    length: f64,
    bore: f64,
    pa: f64,
    f: f64,
    k: f64,
    ratio: f64,
}

impl Case {
    fn line(&self) -> Line {
        Line { fixed_friction: Some(self.f), losses: self.k, ..Line::plain(self.bore, self.length) }
    }

    fn run(&self, longest_move_s: f64, seconds: f64) -> MovedRecord {
        let ratio = (self.ratio > 1.0).then_some(self.ratio);
        let rig = Manifold {
            dead_m3: 0.0,
            liquid: liquid(1000.0, 1e-3),
            ..Manifold::of_a_litre(
                vec![(self.line(), Outlet::Free)],
                endless(self.pa),
                front(ratio, longest_move_s),
            )
        };
        rig.run(seconds)
    }

    /// Velocity of the column when so much of it is left, from the moments of the record on either side.
    fn velocity_at(&self, moved: &MovedRecord, left: f64) -> f64 {
        let gone = (1.0 - left) / self.ratio;
        let at = |k: usize| {
            let sample = &moved.samples[k];
            let share = sample.air.as_ref().unwrap().air_share(0);
            (share, f64::from(sample.returned_m3_s) / self.line().area_m2())
        };
        let next = (0..moved.samples.len()).find(|k| at(*k).0 >= gone).unwrap();
        let ((x0, v0), (x1, v1)) = (at(next - 1), at(next));
        v0 + (v1 - v0) * (gone - x0) / (x1 - x0)
    }
}

const fn case(length: f64, bore: f64, pa: f64, f: f64, k: f64, ratio: f64) -> Case {
    Case { length, bore, pa, f, k, ratio }
}

/// Closed forms of a rigid column emptied at constant pressure (own derivation; computed): time to break through,
/// s; velocity when half and a tenth are left, m/s.
#[expect(clippy::approx_constant, reason = "figures of the table")]
fn a_column_blown_at_constant_pressure_moves_and_leaves_as_the_closed_form_says() -> Vec<Row> {
    let of = |quantity: &'static str| {
        let at = "10 to 18 m, 0.5 to 2 bar, with and without friction and layer";
        Row::new(quantity, at, &[RIGID_COLUMN]).computed().because("moves of 0.5 ms, first order")
    };
    let mut times = of("Time air takes through a full line").unit("s");
    let mut velocities = of("Velocity when a half and a tenth is left").unit("m/s");
    let cases = [
        (case(10.0, 0.005, 1e5, 0.0, 0.0, 1.0), 1.2533, 11.774, None),
        (case(10.0, 0.005, 1e5, 0.0, 1.0, 1.0), 1.4141, 10.000, None),
        (case(10.0, 0.005, 1e5, 0.0, 2.0, 1.0), 1.5707, 8.660, None),
        (case(10.0, 0.025, 1e5, 0.02, 0.0, 1.0), 1.8067, 6.3920, None),
        (case(10.0, 0.025, 1e5, 0.02, 2.0, 1.0), 2.0678, 5.4834, Some(8.0150)),
        (case(10.0, 0.025, 1e5, 0.02, 2.0, 1.2), 1.7806, 5.4234, Some(7.9315)),
        (case(12.0, 0.025, 0.5e5, 0.025, 2.0, 1.0), 3.8637, 3.3879, Some(5.2789)),
        (case(12.0, 0.025, 0.5e5, 0.025, 2.0, 1.2), 3.3077, 3.3607, Some(5.2224)),
        (case(18.0, 0.0208, 2e5, 0.025, 5.0, 1.0), 3.8050, 4.9258, None),
        (case(10.0, 0.005, 1e5, 0.0, 0.0, 1.2), 1.1441, 10.748, Some(19.590)),
    ];
    for (case, expected, at_half, at_tenth) in cases {
        let moved = case.run(5e-4, 1.01 * expected);
        times.near(through(&moved, 0).unwrap(), expected, Share(2e-3));
        for (left, velocity) in [(0.5, Some(at_half)), (0.1, at_tenth)] {
            let Some(velocity) = velocity else { continue };
            velocities.near(case.velocity_at(&moved, left), velocity, Share(2e-3));
        }
    }
    vec![times, velocities]
}

/// What a front faster than the liquid leaves: `1 - 1 / C0` of the bore behind it. A column below 0.2 % of its
/// line counts as gone, and what it holds then as left with the rest: so much more is left at breakthrough.
fn a_front_leaves_the_share_by_which_it_is_faster() -> Vec<Row> {
    let at = "fronts 1.1, 1.2, 1.25 times as fast as the liquid";
    let mut row = Row::new("Share remaining behind a front", at, &[FRONT_BALANCE])
        .computed()
        .because("a balance of volume");
    for ratio in [1.1, 1.2, 1.25] {
        let case = case(12.0, 0.025, 0.5e5, 0.025, 2.0, ratio);
        let (share, volume) = (1.0 - 1.0 / ratio, case.line().volume_m3());
        let time = through(&case.run(1e-3, 5.0), 0).unwrap();
        for part in [0.3, 0.9, 0.99] {
            let before = case.run(1e-3, part * time).air.unwrap().left[0];
            let behind = volume - before.column_m3 - before.stub_m3;
            row.near(before.layer_m3 / behind, share, Share(1e-3));
        }
        let at_end = case.run(1e-3, time).air.unwrap().left[0].liquid_m3() / volume;
        assert!((0.999 * share..share + 2e-3).contains(&at_end), "{at_end} {share}");
    }
    vec![row]
}

/// A line as long and wide as that of the large rig of Laanearu and others, *J. Hydraul. Eng.* 138(12), 1090 (2012)
/// (bore and length from memory), with fixed friction 0.012, constant pressure: closed form, computed.
fn a_large_line_with_fixed_friction_empties_when_the_closed_form_says() -> Vec<Row> {
    let at = "261 m of 236 mm, 1 and 2 bar, fixed friction";
    let mut row = Row::new("Time air takes through a full line", at, &[RIGID_COLUMN])
        .unit("s")
        .computed()
        .because("moves of 50 ms, first order");
    for (pa, k, ratio, expected) in [
        (1e5, 10.0, 1.0, 80.714),
        (1e5, 10.0, 1.2, 68.230),
        (2e5, 10.0, 1.0, 57.074),
        (2e5, 10.0, 1.2, 48.246),
        (2e5, 5.0, 1.2, 41.548),
    ] {
        let moved = case(261.0, 0.236, pa, 0.012, k, ratio).run(0.05, 1.01 * expected);
        row.near(through(&moved, 0).unwrap(), expected, Share(2e-3));
    }
    vec![row]
}

validated! {
    Purge:
        a_column_blown_at_constant_pressure_moves_and_leaves_as_the_closed_form_says,
        a_front_leaves_the_share_by_which_it_is_faster,
        a_large_line_with_fixed_friction_empties_when_the_closed_form_says;
}
