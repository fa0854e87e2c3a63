//! Numbers by lot that are the same wherever and whenever they are drawn.

/// A series of numbers by lot: SplitMix64 (Steele, Lea and Flood 2014, doi 10.1145/2714064.2660195, from memory).
#[derive(Clone, Debug)]
pub(super) struct Random(u64);

impl Random {
    pub(super) fn new(seed: u64) -> Self {
        Self(seed)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A number from 0 to below 1.
    pub(super) fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// A whole number below `most`, which is at least 1.
    pub(super) fn below(&mut self, most: usize) -> usize {
        ((self.share() * most as f64) as usize).min(most - 1)
    }
}
