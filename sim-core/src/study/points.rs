//! Where in the space of uncertain inputs a machine is looked at: points that fill it evenly, whatever the number of threads.

use sobol_burley::sample;

/// Points that one seed gives before they come again.
const OF_ONE_SEED: u32 = 1 << 16;
/// Most inputs of which points are drawn: two of each are needed.
pub(super) const MOST_INPUTS: usize = 120;

/// Point number `index` in direction `dimension`, above 0 and below 1: a Sobol sequence whose digits are scrambled after Owen,
/// each seed in its own way (Burley 2020, doi 10.1111/cgf.14102 from memory).
pub(crate) fn sobol(index: u32, dimension: u32, seed: u32) -> f64 {
    // Beyond the last point of a seed another one goes on.
    let seed = seed.wrapping_add((index / OF_ONE_SEED).wrapping_mul(0x9e37_79b9));
    let drawn = sample(index % OF_ONE_SEED, dimension, seed);
    // Sequences give 24 binary digits: the middle of the cell is meant.
    f64::from(drawn) + 0.5 / f64::from(1u32 << 24)
}

/// Which points a study looks at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SamplePlan {
    /// How many inputs are uncertain, up to 120.
    pub inputs: usize,
    /// Points that show how far results spread, at least 1.
    pub draws: u32,
    /// The first so many of them are taken again with one input moved, to see what it does; at most `draws`.
    pub moved: u32,
    /// Which points of all that would do.
    pub seed: u32,
}

impl SamplePlan {
    /// Every point, a coordinate from 0 to 1 for each input: first the draws, then of each moved draw a point for each input in
    /// which only that one differs.
    pub fn points(&self) -> Vec<Vec<f64>> {
        let draw = |index: u32| -> Vec<f64> {
            (0..self.inputs as u32).map(|input| sobol(index, input, self.seed)).collect()
        };
        let moved = (0..self.moved).flat_map(|index| {
            (0..self.inputs).map(move |input| {
                let mut point = draw(index);
                point[input] = self.moved_to(index, input);
                point
            })
        });
        (0..self.draws).map(draw).chain(moved).collect()
    }

    /// Where `input` of draw `index` is moved to.
    fn moved_to(&self, index: u32, input: usize) -> f64 {
        sobol(index, (self.inputs + input) as u32, self.seed)
    }

    /// How far `input` of draw `index` is moved, as a share of its range.
    pub(super) fn step(&self, index: u32, input: usize) -> f64 {
        (self.moved_to(index, input) - sobol(index, input as u32, self.seed)).abs()
    }

    /// Which of the points is draw `index` with `input` moved.
    pub(super) fn place_of(&self, index: u32, input: usize) -> usize {
        self.draws as usize + index as usize * self.inputs + input
    }
}

#[cfg(test)]
mod tests {
    use super::SamplePlan;

    #[test]
    fn points_fill_every_direction_evenly_and_come_again_for_the_same_seed() {
        let plan = SamplePlan { inputs: 30, draws: 256, moved: 4, seed: 7 };
        let points = plan.points();
        assert_eq!(points.len(), 256 + 4 * 30);
        assert_eq!(points, plan.points());
        assert_ne!(points, SamplePlan { seed: 8, ..plan }.points());
        for input in 0..30 {
            // A point in each of 256 strips of equal width.
            let mut strips: Vec<usize> =
                points[..256].iter().map(|point| (point[input] * 256.0) as usize).collect();
            strips.sort_unstable();
            assert_eq!(strips, (0..256).collect::<Vec<_>>());
            let moved = &points[plan.place_of(3, input)];
            let differs = moved.iter().zip(&points[3]).filter(|(a, b)| a != b).count();
            assert_eq!(differs, 1);
            assert!((moved[input] - points[3][input]).abs() - plan.step(3, input) < 1e-12);
        }
    }
}
