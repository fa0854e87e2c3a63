//! What one line holds, tube by tube.

use super::profile::Profile;
use super::stream::{self, ALIKE, Stream, StreamPart};
use std::collections::VecDeque;

/// Liquid of one concentration, filling a tube for a volume.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Parcel {
    volume: f64,
    concentration: f64,
}

/// One tube's parcels, from the line's `from` end.
type Tube = VecDeque<Parcel>;

/// A line full of liquid, in stream tubes from its `from` end to its `to` end.
#[derive(Clone, Debug)]
pub struct TubedLine {
    volume_m3: f64,
    profile: Profile,
    /// The one concentration of a line without differences; tubes are then empty.
    uniform: Option<f64>,
    tubes: Vec<Tube>,
}

/// Parcels a tube keeps: a slow line that many small moves fill would hold ever more.
const MOST_PARCELS: usize = 3000;
/// Equal parts into which the outflow of several tubes is averaged in a step.
const PARTS: usize = 4;
/// Stretches along a line that are mixed across when its profile changes.
const STRETCHES: usize = 64;
/// Parcels that one of several tubes keeps apart: less than a hundredth of it is mixed with what follows. A tube stands
/// for stays that differ by more.
const KEPT_APART: f64 = 100.0;

impl TubedLine {
    /// A line of `volume_m3` full at one `strength`.
    pub fn new(volume_m3: f64, concentration: f64) -> Self {
        let profile = Profile::of(super::Dispersion::None);
        Self { volume_m3, profile, uniform: Some(concentration), tubes: Vec::new() }
    }

    /// Volume, m3.
    pub fn volume_m3(&self) -> f64 {
        self.volume_m3
    }

    /// Volume that may pass until the fastest stream tube has let out all it holds, m3.
    pub(super) fn soonest_m3(&self) -> f64 {
        self.volume_m3 * self.profile.stays().fold(f64::INFINITY, f64::min)
    }

    /// Leaves the share `left` of the product everywhere; returns what it took out, m3 of full strength.
    pub fn thin(&mut self, left: f64) -> f64 {
        let before = self.product_m3();
        if let Some(concentration) = &mut self.uniform {
            *concentration *= left;
        }
        self.tubes.iter_mut().flatten().for_each(|parcel| parcel.concentration *= left);
        before - self.product_m3()
    }

    /// Spreads `product_m3` evenly over the line.
    pub fn add_evenly(&mut self, product_m3: f64) {
        if product_m3 == 0.0 {
            return;
        }
        let more = product_m3 / self.volume_m3;
        if let Some(concentration) = &mut self.uniform {
            *concentration += more;
        }
        self.tubes.iter_mut().flatten().for_each(|parcel| parcel.concentration += more);
    }

    /// Product held, m3 of full strength.
    pub fn product_m3(&self) -> f64 {
        if let Some(concentration) = self.uniform {
            return concentration * self.volume_m3;
        }
        let parcels = self.tubes.iter().flatten();
        parcels.map(|parcel| parcel.volume * parcel.concentration).sum()
    }

    /// Mean concentration.
    pub fn mean_concentration(&self) -> f64 {
        if self.volume_m3 > 0.0 { self.product_m3() / self.volume_m3 } else { 0.0 }
    }

    /// Concentration at `share` of its length, 0 to 1, from the `from` end on: the mean over the bore.
    pub fn concentration_at(&self, share: f64) -> f64 {
        if let Some(concentration) = self.uniform {
            return concentration;
        }
        let mut mean = 0.0;
        for (tube, tube_share) in self.tubes.iter().zip(self.profile.volumes()) {
            let mut left = share * tube_share * self.volume_m3;
            let there = tube.iter().find(|parcel| {
                left -= parcel.volume;
                left <= 0.0
            });
            let there = there.or(tube.back()).map_or(0.0, |parcel| parcel.concentration);
            mean += tube_share * there;
        }
        mean
    }

    /// Changes the tubes; what the line holds is mixed across its bore where they differ.
    pub fn set_profile(&mut self, profile: &Profile) {
        if self.profile == *profile {
            return;
        }
        if self.uniform.is_none() {
            let along = self.across_means();
            self.tubes = profile
                .volumes()
                .iter()
                .map(|share| {
                    let volume = share * self.volume_m3 / STRETCHES as f64;
                    along.iter().map(|&concentration| Parcel { volume, concentration }).collect()
                })
                .collect();
        }
        self.profile = profile.clone();
    }

    /// Mean concentration over the bore in each of equal stretches along the line.
    fn across_means(&self) -> Vec<f64> {
        let mut means = vec![0.0; STRETCHES];
        for (tube, share) in self.tubes.iter().zip(self.profile.volumes()) {
            let whole = share * self.volume_m3;
            let mut at = 0.0;
            for parcel in tube {
                let (from, to) =
                    (at, (at + parcel.volume / whole * STRETCHES as f64).min(STRETCHES as f64));
                let mut cell = from.floor() as usize;
                while cell < STRETCHES && (cell as f64) < to {
                    let overlap = to.min(cell as f64 + 1.0) - from.max(cell as f64);
                    means[cell] += share * overlap.max(0.0) * parcel.concentration;
                    cell += 1;
                }
                at = to;
            }
        }
        means
    }

    /// Lets `volume_m3` of `inflow` in at the `from` end (at the `to` end where `backward`) and the same
    /// volume out at the other; writes what leaves into `outflow`.
    pub fn push(
        &mut self,
        volume_m3: f64,
        inflow: &[StreamPart],
        backward: bool,
        outflow: &mut Stream,
        scratch: &mut Stream,
    ) {
        outflow.clear();
        if let (Some(concentration), [only]) = (self.uniform, inflow)
            && (only.concentration - concentration).abs() <= ALIKE
        {
            // Mixed with what is held: the product stays to the last digit.
            let whole = self.volume_m3 + volume_m3;
            let mixed = (self.volume_m3 * concentration + volume_m3 * only.concentration) / whole;
            self.uniform = Some(mixed);
            outflow.push(stream::steady(mixed));
            return;
        }
        self.materialise();
        self.fill(volume_m3, inflow, backward);
        self.empty(volume_m3, backward, outflow, scratch);
        self.collapse();
    }

    /// Lets out what is nearest the outlet, `volume_m3` of it, ahead of an inflow that [`Self::let_in`]
    /// brings; the line must hold more than that in each of its tubes.
    pub(super) fn let_out(
        &mut self,
        volume_m3: f64,
        backward: bool,
        outflow: &mut Stream,
        scratch: &mut Stream,
    ) {
        outflow.clear();
        self.materialise();
        self.empty(volume_m3, backward, outflow, scratch);
    }

    /// Lets in what follows an outflow that [`Self::let_out`] took.
    pub(super) fn let_in(&mut self, volume_m3: f64, inflow: &[StreamPart], backward: bool) {
        self.fill(volume_m3, inflow, backward);
        self.collapse();
    }

    fn fill(&mut self, volume_m3: f64, inflow: &[StreamPart], backward: bool) {
        let finest_m3 = if self.tubes.len() > 1 { self.volume_m3 / KEPT_APART } else { 0.0 };
        let mean = [stream::steady(stream::mean(inflow))];
        let shares = self.profile.flows().iter().zip(self.profile.volumes());
        for (tube, (flow, room)) in self.tubes.iter_mut().zip(shares) {
            let (volume, finest_m3) = (flow * volume_m3, room * finest_m3);
            let parts = if volume <= finest_m3 { &mean } else { inflow };
            for part in parts {
                let parcel =
                    Parcel { volume: volume * part.share, concentration: part.concentration };
                push_end(tube, parcel, finest_m3, backward);
            }
            if tube.len() > MOST_PARCELS {
                shorten(tube);
            }
        }
    }

    fn empty(
        &mut self,
        volume_m3: f64,
        backward: bool,
        outflow: &mut Stream,
        scratch: &mut Stream,
    ) {
        if let [only] = self.tubes.as_mut_slice() {
            pop_end(only, volume_m3, backward, outflow);
        } else {
            let mut mixed = [0.0; PARTS];
            for (tube, flow) in self.tubes.iter_mut().zip(self.profile.flows()) {
                let volume = flow * volume_m3;
                if let Some(concentration) = pop_one(tube, volume, backward) {
                    mixed.iter_mut().for_each(|sum| *sum += flow * concentration);
                    continue;
                }
                scratch.clear();
                pop_end(tube, volume, backward, scratch);
                add_averaged(scratch, *flow, &mut mixed);
            }
            let share = 1.0 / PARTS as f64;
            let part = |concentration: f64| StreamPart { share, concentration };
            mixed.into_iter().for_each(|sum| stream::push(outflow, part(sum)));
        }
        stream::shorten(outflow);
    }

    fn materialise(&mut self) {
        if let Some(concentration) = self.uniform.take() {
            let volume = self.volume_m3;
            let full =
                |share: &f64| VecDeque::from([Parcel { volume: share * volume, concentration }]);
            self.tubes = self.profile.volumes().iter().map(full).collect();
        }
    }

    /// Forgets the tubes where they hold nothing but one concentration.
    fn collapse(&mut self) {
        let Some(first) = self.tubes.first().and_then(|tube| tube.front()) else { return };
        let concentration = first.concentration;
        let same =
            |tube: &Tube| tube.len() == 1 && (tube[0].concentration - concentration).abs() <= ALIKE;
        if self.tubes.iter().all(same) {
            self.uniform = Some(self.product_m3() / self.volume_m3);
            self.tubes.clear();
        }
    }
}

/// Puts `parcel` into the tube at its inlet, joined to its neighbour where they are alike or that is smaller than
/// `finest_m3`.
fn push_end(tube: &mut Tube, parcel: Parcel, finest_m3: f64, backward: bool) {
    let end = if backward { tube.back_mut() } else { tube.front_mut() };
    if let Some(end) = end
        && (end.volume < finest_m3 || (end.concentration - parcel.concentration).abs() <= ALIKE)
    {
        let volume = end.volume + parcel.volume;
        let product = end.volume * end.concentration + parcel.volume * parcel.concentration;
        *end = Parcel { volume, concentration: product / volume };
    } else if backward {
        tube.push_back(parcel);
    } else {
        tube.push_front(parcel);
    }
}

/// Joins neighbours that differ least, until half of what a tube may keep is left: fronts stay sharp.
fn shorten(tube: &mut Tube) {
    let mut alike = ALIKE;
    while tube.len() > MOST_PARCELS / 2 {
        let mut kept = Tube::with_capacity(MOST_PARCELS + 1);
        let mut joined = false;
        for parcel in tube.drain(..) {
            match kept.back_mut() {
                // Two at a time: a gentle slope must not end in one step.
                Some(last)
                    if !joined && (last.concentration - parcel.concentration).abs() <= alike =>
                {
                    let volume = last.volume + parcel.volume;
                    let product =
                        last.volume * last.concentration + parcel.volume * parcel.concentration;
                    *last = Parcel { volume, concentration: product / volume };
                    joined = true;
                }
                _ => {
                    kept.push_back(parcel);
                    joined = false;
                }
            }
        }
        *tube = kept;
        alike *= 2.0;
    }
}

/// Takes `volume` out of the tube at its outlet where one parcel holds more than that; returns its concentration.
fn pop_one(tube: &mut Tube, volume: f64, backward: bool) -> Option<f64> {
    let end = if backward { tube.front_mut() } else { tube.back_mut() };
    let end = end.filter(|end| end.volume > 1.000_001 * volume)?;
    end.volume -= volume;
    Some(end.concentration)
}

/// Takes `volume` out of the tube at its outlet into `out`, as shares of that volume.
fn pop_end(tube: &mut Tube, volume: f64, backward: bool, out: &mut Stream) {
    let mut left = volume;
    while left > 1e-12 * volume {
        let end = if backward { tube.front_mut() } else { tube.back_mut() };
        let Some(end) = end else { break };
        let taken = end.volume.min(left);
        stream::push(out, StreamPart { share: taken / volume, concentration: end.concentration });
        end.volume -= taken;
        left -= taken;
        if end.volume <= 1e-12 * volume {
            if backward {
                tube.pop_front();
            } else {
                tube.pop_back();
            }
        }
    }
}

/// Adds `weight` times the concentrations of `stream`, averaged over equal parts of the step, to `sums`.
fn add_averaged(stream: &[StreamPart], weight: f64, sums: &mut [f64; PARTS]) {
    let mut at = 0.0;
    for part in stream {
        let (from, to) = (at, (at + part.share * PARTS as f64).min(PARTS as f64));
        let last = (to.ceil() as usize).min(PARTS);
        for (k, sum) in sums.iter_mut().enumerate().take(last).skip(from as usize) {
            let overlap = to.min(k as f64 + 1.0) - from.max(k as f64);
            if overlap > 0.0 {
                *sum += weight * overlap * part.concentration;
            }
        }
        at = to;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slow_line_keeps_few_parcels_all_its_product_and_its_fronts() {
        let mut line = TubedLine::new(1.0, 0.0);
        let (mut out, mut scratch) = (Stream::new(), Stream::new());
        // A slope of many small moves, then a jump, then the slope again.
        let concentration =
            |k: i32| 0.1 * f64::from(k) / 40_000.0 + if k > 20_000 { 0.5 } else { 0.0 };
        let mut came = 0.0;
        for k in 0..40_000 {
            let inflow = [stream::steady(concentration(k))];
            line.push(2e-5, &inflow, false, &mut out, &mut scratch);
            came += 2e-5 * (concentration(k) - stream::mean(&out));
            assert!(line.tubes.iter().all(|tube| tube.len() <= MOST_PARCELS));
        }
        assert!((line.product_m3() - came).abs() < 1e-12, "{} {came}", line.product_m3());
        let tube = &line.tubes[0];
        let jumps = tube.iter().zip(tube.iter().skip(1));
        let jumps = jumps.filter(|(a, b)| (a.concentration - b.concentration).abs() > 0.01).count();
        assert_eq!(jumps, 1, "the front is no longer sharp");
    }
}
