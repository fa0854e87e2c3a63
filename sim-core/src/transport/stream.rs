//! What passes a point during one step: concentrations one after the other.

/// A share of the step's time (and so of its flow) at one concentration.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StreamPart {
    /// Share of the step, > 0.
    pub share: f64,
    /// Concentration of product over label strength, 0 to 1.
    pub concentration: f64,
}

/// Concentrations in order of time; shares add up to 1.
pub type Stream = Vec<StreamPart>;

/// Most parts a stream keeps.
const MOST_PARTS: usize = 16;
/// Concentrations this close count as one.
pub(super) const ALIKE: f64 = 1e-6;

/// One concentration all along.
pub(super) fn steady(concentration: f64) -> StreamPart {
    StreamPart { share: 1.0, concentration }
}

/// Mean concentration of `stream`.
pub(super) fn mean(stream: &[StreamPart]) -> f64 {
    stream.iter().map(|part| part.share * part.concentration).sum()
}

/// Appends `part`, joined to the last one where they are alike.
pub(super) fn push(stream: &mut Stream, part: StreamPart) {
    match stream.last_mut() {
        Some(last) if (last.concentration - part.concentration).abs() <= ALIKE => {
            let share = last.share + part.share;
            let product = last.concentration * last.share + part.concentration * part.share;
            *last = StreamPart { share, concentration: product / share };
        }
        _ => stream.push(part),
    }
}

/// Adds `weight` times `other` to the piecewise constant function whose breaks and values are held in
/// `sum`: both cover the whole step.
pub(super) fn add_weighted(
    sum: &mut Stream,
    other: &[StreamPart],
    weight: f64,
    scratch: &mut Stream,
) {
    if sum.is_empty() {
        sum.extend(
            other
                .iter()
                .map(|p| StreamPart { share: p.share, concentration: weight * p.concentration }),
        );
        return;
    }
    scratch.clear();
    let (mut i, mut j) = (0, 0);
    let (mut left, mut right) = (sum[0].share, other[0].share);
    loop {
        let share = left.min(right);
        let concentration = sum[i].concentration + weight * other[j].concentration;
        if share > 0.0 {
            scratch.push(StreamPart { share, concentration });
        }
        left -= share;
        right -= share;
        if left <= right {
            i += 1;
            if i == sum.len() {
                break;
            }
            left = sum[i].share;
        }
        if right <= 1e-15 {
            j += 1;
            if j == other.len() {
                break;
            }
            right = other[j].share;
        }
    }
    let covered: f64 = scratch.iter().map(|part| part.share).sum();
    scratch.iter_mut().for_each(|part| part.share /= covered);
    std::mem::swap(sum, scratch);
}

/// Joins neighbours that differ least until few enough are left.
pub(super) fn shorten(stream: &mut Stream) {
    while stream.len() > MOST_PARTS {
        let differs = |i: &usize| (stream[*i].concentration - stream[i + 1].concentration).abs();
        let closest = (0..stream.len() - 1).min_by(|a, b| differs(a).total_cmp(&differs(b)));
        let Some(i) = closest else { return };
        let (a, b) = (stream[i], stream[i + 1]);
        let share = a.share + b.share;
        let concentration = (a.share * a.concentration + b.share * b.concentration) / share;
        stream[i] = StreamPart { share, concentration };
        stream.remove(i + 1);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn stream() -> impl Strategy<Value = Stream> {
        prop::collection::vec((0.01f64..1.0, 0.0f64..1.0), 1..30).prop_map(|parts| {
            let whole: f64 = parts.iter().map(|(share, _)| share).sum();
            parts
                .into_iter()
                .map(|(s, concentration)| StreamPart { share: s / whole, concentration })
                .collect()
        })
    }

    proptest! {
        #[test]
        fn sums_and_shortening_keep_the_product(a in stream(), b in stream(), w in 0.1f64..2.0) {
            let mut sum = a.clone();
            add_weighted(&mut sum, &b, w, &mut Vec::new());
            let expected = mean(&a) + w * mean(&b);
            prop_assert!((mean(&sum) - expected).abs() < 1e-12);
            shorten(&mut sum);
            prop_assert!(sum.len() <= MOST_PARTS);
            prop_assert!((mean(&sum) - expected).abs() < 1e-12);
        }
    }
}
