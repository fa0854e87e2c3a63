//! Lines blown empty by air.

use crate::purge_rig::{SingleLine, endless, front};
use approx::assert_relative_eq;
use sim_core::plumbing::Line;

/// Time to break through of a line `length` long, `bore` wide, friction `f` and losses `k`, blown by `pa`.
fn emptied(length: f64, bore: f64, pa: f64, f: f64, k: f64, ratio: f64) -> (f64, f64) {
    let line = Line { fixed_friction: Some(f), losses: k, ..Line::plain(bore, length) };
    let ratio = (ratio > 1.0).then_some(ratio);
    let rig = SingleLine {
        line,
        density: 1000.0,
        supply: endless(pa),
        model: front(ratio, 2e-3),
        seconds: 10.0,
    };
    let moved = rig.run();
    let air = moved.air.unwrap();
    let volume = std::f64::consts::PI * bore * bore / 4.0 * length;
    (air.broken_through_s[0].unwrap(), air.left[0].liquid_m3() / volume)
}

/// Closed forms of a rigid column emptied at constant pressure (the reference's derivation, computed).
#[expect(clippy::approx_constant, reason = "figures of the table")]
#[test]
fn a_column_blown_at_constant_pressure_leaves_when_the_closed_form_says() {
    let cases = [
        (10.0, 0.005, 1e5, 0.0, 0.0, 1.0, 1.2533),
        (10.0, 0.005, 1e5, 0.0, 1.0, 1.0, 1.4141),
        (10.0, 0.005, 1e5, 0.0, 2.0, 1.0, 1.5707),
        (10.0, 0.025, 1e5, 0.02, 0.0, 1.0, 1.8067),
        (10.0, 0.025, 1e5, 0.02, 2.0, 1.0, 2.0678),
        (10.0, 0.025, 1e5, 0.02, 2.0, 1.2, 1.7806),
        (12.0, 0.025, 0.5e5, 0.025, 2.0, 1.0, 3.8637),
        (12.0, 0.025, 0.5e5, 0.025, 2.0, 1.2, 3.3077),
        (18.0, 0.0208, 2e5, 0.025, 5.0, 1.0, 3.8050),
        (10.0, 0.005, 1e5, 0.0, 0.0, 1.2, 1.1441),
    ];
    for (length, bore, pa, f, k, ratio, expected) in cases {
        let (time, left) = emptied(length, bore, pa, f, k, ratio);
        println!("{length} {bore} {pa} {f} {k} {ratio}: {time} vs {expected}, left {left}");
        assert_relative_eq!(time, expected, max_relative = 5e-2);
    }
}
