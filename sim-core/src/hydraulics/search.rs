//! Where a control and the network do not settle together: the actuator alone is searched.

use super::circuit::Circuit;
use super::controls::Loop;
use super::convergence::TOLERANCE;
use super::newton::{Newton, NoSolution};
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
    most_iterations: u32,
) -> Result<(), NoSolution> {
    let mut error_at = |value: f64, control: &mut Loop| {
        control.value = value;
        control.apply(circuit);
        newton.start_cold(circuit);
        newton.run(circuit, splits, &mut [], most_iterations)?;
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
