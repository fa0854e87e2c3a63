//! Tees: what a split or a meeting of flows costs beside friction.
//!
//! Losses are of total pressure, on the velocity head of the arm that carries all the flow, by
//! published coefficients of the flow ratio:
//! - flow along the run, part of it leaving or joining by the side arm at 90 degrees: A. Gardel,
//!   *Bulletin technique de la Suisse romande* 83 (1957), equal bores, sharp corners;
//! - flow entering by the side arm and parting to both run arms, and the reverse: I. E. Idelchik,
//!   *Handbook of Hydraulic Resistance*, symmetric tees (from memory), brought over to Gardel's
//!   values as one run arm falls still, so that no loss jumps where a flow turns.

/// Drops of total pressure from the tee to its arms, Pa: first and second arm of the run, side arm.
type TeeDrops = [f64; 3];

/// Share of the flow in the lesser run arm from which the symmetric coefficients hold in full.
const SYMMETRIC_FROM: f64 = 0.2;

/// Drops at a tee whose arms carry `towards` it (m3/s, adding up to zero: first and second arm of
/// the run, side arm), with `head_per_flow2` Pa of velocity head in the run's bore for (1 m3/s)^2.
///
/// The node stands for the mean total pressure of the arriving flows.
pub fn drops(towards: [f64; 3], head_per_flow2: f64) -> TeeDrops {
    let whole = towards.iter().fold(0.0f64, |most, flow| most.max(flow.abs()));
    // Midway in an iteration the flows need not balance yet: all may leave.
    if towards.iter().all(|flow| *flow <= 0.0) {
        return [0.0; 3];
    }
    let share = towards.map(|flow| flow / whole);
    let raw = if share[0] * share[1] > 0.0 { symmetric(share) } else { along_run(share) };
    let arriving: f64 = share.iter().map(|s| s.max(0.0)).sum();
    let mean = share.iter().zip(raw).map(|(s, d)| s.max(0.0) * d).sum::<f64>() / arriving;
    raw.map(|drop| head_per_flow2 * whole * whole * (drop - mean))
}

/// Gardel: flow along the run or around the corner, the run arms flowing opposite ways.
fn along_run(share: [f64; 3]) -> [f64; 3] {
    let q = share[2].abs().min(1.0);
    let first_is_whole = share[0].abs() >= share[1].abs();
    let whole = if first_is_whole { share[0] } else { share[1] };
    let (run, side) = if whole > 0.0 { dividing(q) } else { combining(q) };
    if first_is_whole { [0.0, run, side] } else { [run, 0.0, side] }
}

/// Drops from the whole flow to the run and to the side arm taking `q` of it.
fn dividing(q: f64) -> (f64, f64) {
    let through = 1.0 - q;
    let run = 0.03 * through * through + 0.35 * q * q - 0.2 * q * through;
    let side = 0.95 * through * through + 1.3 * q * q + 0.8 * q * through;
    (run, side)
}

/// The losses of run and side arm (giving `q`) into the whole flow, as drops from the tee: negative
/// where the arm stands higher.
fn combining(q: f64) -> (f64, f64) {
    let through = 1.0 - q;
    let run = 0.03 * through * through + 0.62 * q * q + q * through;
    let side = -0.92 * through * through + 1.2 * q * q + q * through;
    (-run, -side)
}

/// Idelchik: both run arms flow the same way, the side arm carries the whole. Into the run
/// `1 + 0.3 q^2`, out of it `2 + 3 (q^2 - q)`, q the arm's share.
fn symmetric(share: [f64; 3]) -> [f64; 3] {
    let from_side = |q: f64| 1.0 + 0.3 * q * q;
    let into_side = |q: f64| -(2.0 + 3.0 * (q * q - q));
    let arm = |s: f64| if share[2] > 0.0 { from_side(s.abs()) } else { into_side(s.abs()) };
    let full = [arm(share[0]), arm(share[1]), 0.0];
    let lesser = share[0].abs().min(share[1].abs());
    let t = (lesser / SYMMETRIC_FROM).min(1.0);
    let weight = t * t * (3.0 - 2.0 * t);
    let still = one_arm_still(share);
    std::array::from_fn(|i| weight * full[i] + (1.0 - weight) * still[i])
}

/// Gardel's values with the whole flow around the corner and the lesser run arm still, counted from
/// the side arm.
fn one_arm_still(share: [f64; 3]) -> [f64; 3] {
    let (run, side) = if share[2] > 0.0 { combining(1.0) } else { dividing(1.0) };
    let (moving, still) = (-side, run - side);
    if share[0].abs() >= share[1].abs() { [moving, still, 0.0] } else { [still, moving, 0.0] }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    #[test]
    fn a_side_branch_taking_nothing_sees_nearly_the_static_pressure() {
        let [first, second, side] = drops([1.0, -1.0, 0.0], 1000.0);
        assert_eq!(first, 0.0);
        assert_relative_eq!(second, 30.0);
        assert_relative_eq!(side, 950.0);
    }

    #[test]
    fn arms_of_the_run_may_change_places() {
        let (one, other) = (drops([1.0, -0.7, -0.3], 500.0), drops([-0.7, 1.0, -0.3], 500.0));
        assert_eq!(one, [other[1], other[0], other[2]]);
    }

    /// A point on the circle of flow patterns, `angle` in radians.
    fn pattern(angle: f64) -> [f64; 3] {
        let (a, b) = (angle.cos(), angle.sin());
        [a, b, -a - b]
    }

    proptest! {
        #[test]
        fn no_tee_makes_energy(angle in 0.0f64..6.3) {
            let flows = pattern(angle);
            let drops = drops(flows, 1.0);
            let lost: f64 = -flows.iter().zip(drops).map(|(q, d)| q * d).sum::<f64>();
            prop_assert!(lost >= -1e-12, "{lost}");
        }

        #[test]
        fn drops_never_jump_as_the_flow_pattern_turns(angle in 0.0f64..6.3) {
            let (here, there) = (drops(pattern(angle), 1.0), drops(pattern(angle + 1e-6), 1.0));
            for (a, b) in here.iter().zip(there) {
                prop_assert!((a - b).abs() < 1e-4, "{here:?} {there:?}");
            }
        }
    }
}
