//! Where are the ticks of an axis, and what do they read?

/// Ticks at the powers of ten from one end of an axis of logarithms to the other.
pub(super) fn powers_of_ten((from, to): (f64, f64)) -> Vec<(f64, String)> {
    let powers = from.ceil() as i32..=to.floor() as i32;
    let label = |power: i32| match power {
        ..0 => format!("{:.*}", power.unsigned_abs() as usize, 10f64.powi(power)),
        0..4 => 10i32.pow(power.unsigned_abs()).to_string(),
        4..7 => format!("{} 000", 10i32.pow(power.unsigned_abs() - 3)),
        _ => format!("1e{power}"),
    };
    powers.map(|power| (f64::from(power), label(power))).collect()
}

/// Ticks of an axis from one end to the other, about `count` of them.
pub(super) fn ticks((from, to): (f64, f64), count: f64) -> Vec<(f64, String)> {
    let step = tick_step(to - from, count);
    let digits = decimals(step);
    let first = (from / step - 1e-9).ceil() as i64;
    let last = (to / step + 1e-9).floor() as i64;
    let label = |k: i64| {
        let value = k as f64 * step;
        (value, format!("{value:.digits$}").replace('-', "\u{2212}"))
    };
    (first..=last).map(label).collect()
}

/// A round step for about `count` ticks over `span`.
fn tick_step(span: f64, count: f64) -> f64 {
    let raw = span / count;
    let power = 10f64.powf(raw.log10().floor());
    let step = [1.0, 2.0, 2.5, 5.0, 10.0].into_iter().find(|m| m * power >= raw);
    step.unwrap_or(10.0) * power
}

/// Decimals that show a tick of `step`.
fn decimals(step: f64) -> usize {
    let mut digits = 0;
    while digits < 6 {
        let scaled = step * 10f64.powi(digits);
        if (scaled - scaled.round()).abs() < 1e-6 * scaled {
            break;
        }
        digits += 1;
    }
    digits as usize
}

#[cfg(test)]
mod tests {
    use super::ticks;
    use crate::plots::axes::{Axis, least_span};
    use sim_core::units::{Quantity, UnitSystem, display_unit};

    #[test]
    fn an_axis_of_one_value_spans_ten_of_its_last_digits_and_no_two_ticks_read_the_same() {
        for units in [UnitSystem::Si, UnitSystem::Us] {
            for quantity in [Quantity::Pressure, Quantity::Flow, Quantity::Volume, Quantity::Share]
            {
                let least = least_span(&display_unit(quantity, units));
                for value in [0.0, 1e-9, 0.0882, 2.95, 41_234.5] {
                    let axis = Axis::around(String::new(), [value].into_iter(), (0.0, least));
                    assert!((axis.to - axis.from) / least > 0.999, "{quantity:?} {value}");
                    let mut words: Vec<String> = ticks((axis.from, axis.to), 6.0)
                        .into_iter()
                        .map(|(_, words)| words)
                        .collect();
                    let count = words.len();
                    words.sort();
                    words.dedup();
                    assert!(count == words.len() && count >= 3, "{quantity:?} {value}: {words:?}");
                }
            }
        }
    }
}
