//! Where a control and the network do not settle together: the actuator alone is searched, or has nothing to search for.

use super::STILL_M3_S;
use super::circuit::Circuit;
use super::controls::{Loop, Target};
use super::convergence::TOLERANCE;
use super::newton::{Newton, NoSolution, StartFrom};
use super::splits::Splits;

/// Rounds of bracketing allowed.
const MOST_ROUNDS: u32 = 80;

/// Solves the network with `control`'s actuator at fixed places, halving the range between one where
/// it holds too little and one where it holds too much. Where both ends of the range err to the same
/// side, the actuator is left at the end that errs less.
pub(super) fn actuator(
    newton: &mut Newton,
    circuit: &mut Circuit,
    splits: &Splits,
    control: &mut Loop,
) -> Result<(), NoSolution> {
    let mut error_at = |value: f64, control: &mut Loop| {
        control.value = value;
        control.apply(circuit);
        newton.start_cold(circuit);
        newton.run(circuit, splits, &mut [], StartFrom::Cold)?;
        let (wanted, got) = newton.held(circuit, splits, control);
        Ok((got - wanted) / wanted)
    };
    let (mut low, mut high) = (control.least, control.most);
    let (at_low, at_high) = (error_at(low, control)?, error_at(high, control)?);
    if at_low * at_high > 0.0 {
        let nearer = if at_low.abs() < at_high.abs() { low } else { high };
        error_at(nearer, control)?;
        control.pinned = true;
        return Ok(());
    }
    for _ in 0..MOST_ROUNDS {
        let middle = 0.5 * (low + high);
        let error = error_at(middle, control)?;
        if error.abs() <= TOLERANCE || high - low <= TOLERANCE * control.most {
            return Ok(());
        }
        if error * at_low > 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    Ok(())
}

/// Drives the actuators of flows that are wanted where none can pass to their upper ends, and solves again: no
/// iteration tells where to leave them, a controller that gets less than it wants does.
pub(super) fn raise_idle(
    newton: &mut Newton,
    circuit: &mut Circuit,
    splits: &Splits,
    loops: &mut [Loop],
) -> Result<(), NoSolution> {
    let idle = |control: &Loop, newton: &Newton| match control.held {
        Target::Flow { link, m3_s } => {
            m3_s > STILL_M3_S
                && newton.flow[link].abs() <= STILL_M3_S
                && control.value < control.most
        }
        Target::Pressure { .. } => false,
    };
    let (mut raised, mut active) = (Vec::new(), Vec::new());
    for (k, control) in loops.iter().enumerate() {
        if idle(control, newton) { raised.push(k) } else { active.push(k) }
    }
    if raised.is_empty() {
        return Ok(());
    }
    for &k in &raised {
        (loops[k].value, loops[k].pinned) = (loops[k].most, true);
        loops[k].apply(circuit);
    }
    let mut others: Vec<Loop> = active.iter().map(|k| loops[*k].clone()).collect();
    let solved = newton.run(circuit, splits, &mut others, StartFrom::Cold);
    for (k, control) in active.into_iter().zip(others) {
        loops[k] = control;
    }
    solved
}
