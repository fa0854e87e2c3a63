//! How much liquid is where at every moment of a run with air?

use super::theme::{BLUE, GREEN, ORANGE, RGBColor, SKY, VERMILION};
use super::timeline::Run;
use sim_core::plumbing::{Branch, Plumbing, SectionId, Side};
use sim_core::simulation::Sample;
use std::ops::Range;

/// Volume below which a band is left out, m3.
const LEAST_M3: f64 = 1e-6;
/// Lines that air does not come to.
const OTHER: RGBColor = RGBColor(190, 190, 190);
/// Liquid that has come back to the tank.
const BACK: RGBColor = RGBColor(226, 222, 208);

/// One band's volumes at each moment, m3.
pub(super) struct Volumes {
    pub(super) name: &'static str,
    pub(super) colour: RGBColor,
    pub(super) m3: Vec<f64>,
}

/// A moment at which air takes part.
pub(super) struct AirMoment<'a> {
    pub(super) sample: &'a Sample,
    /// Liquid come back to tanks and passed tips since its stretch began, m3.
    pub(super) returned_m3: f64,
    pub(super) lost_m3: f64,
    /// Liquid in the lines when its stretch began, m3.
    pub(super) at_start_m3: f64,
}

/// The moments of the run that air takes part in, and which of them make a stretch without a step that it takes no
/// part in.
pub(super) fn moments<'a>(run: &Run<'a>) -> (Vec<AirMoment<'a>>, Vec<Range<usize>>) {
    let samples: Vec<(usize, &Sample)> = run.samples().collect();
    let (mut moments, mut stretches) = (Vec::new(), Vec::new());
    for stretch in samples.chunk_by(|a, b| a.1.air.is_some() == b.1.air.is_some()) {
        let airy = |step: usize| run.moved(step).and_then(|moved| moved.air.as_ref());
        let Some(first) = airy(stretch[0].0) else { continue };
        let (mut step, mut returned, mut lost) = (stretch[0].0, 0.0, 0.0);
        let from = moments.len();
        for (of, sample) in run.last_of_columns(stretch) {
            let Some(air) = &sample.air else { continue };
            if of != step {
                if let Some(done) = airy(step) {
                    returned += done.returned.liquid_m3;
                    lost += done.lost.liquid_m3;
                }
                step = of;
            }
            moments.push(AirMoment {
                sample,
                returned_m3: returned + f64::from(air.returned_m3),
                lost_m3: lost + f64::from(air.lost_m3),
                at_start_m3: first.at_start_m3,
            });
        }
        stretches.push(from..moments.len());
    }
    (moments, stretches)
}

/// Liquid in the lines that `counts`, m3.
pub(super) fn liquid_m3(
    plumbing: &Plumbing,
    sample: &Sample,
    counts: impl Fn(usize) -> bool,
) -> f64 {
    let share = |i: usize| 1.0 - sample.air.as_ref().map_or(0.0, |air| air.air_share(i));
    let line = |(i, branch): (usize, &Branch)| Some((i, branch.part.line()?.volume_m3()));
    let lines = plumbing.branches.iter().enumerate().filter_map(line);
    lines.filter(|(i, _)| counts(*i)).map(|(i, volume)| volume * share(i)).sum()
}

/// What each band holds, from the bottom up; bands that never hold anything are left out.
pub(super) fn volumes(run: &Run<'_>, moments: &[AirMoment<'_>]) -> Vec<Volumes> {
    let plumbing = &run.scenario.machine.plumbing;
    let dead = dead_legs(run);
    let band = |name, colour, of: &dyn Fn(&AirMoment<'_>) -> f64| Volumes {
        name,
        colour,
        m3: moments.iter().map(of).collect(),
    };
    let lines = |name, colour, counts: &dyn Fn(usize, &Branch) -> bool| {
        band(name, colour, &|moment| {
            liquid_m3(plumbing, moment.sample, |i| counts(i, &plumbing.branches[i]))
        })
    };
    let other = |side: Side| matches!(side, Side::Suction | Side::Tank | Side::Other);
    let mut all = vec![
        lines("suction and other lines", OTHER, &|i, b| !dead[i] && other(b.side)),
        lines("feed side", BLUE, &|i, b| !dead[i] && b.side == Side::Feed),
        lines("dead legs", ORANGE, &|i, _| dead[i]),
    ];
    let tubes = |i: usize, b: &Branch| !dead[i] && b.side == Side::Boom;
    let first = plumbing.sections.len();
    for of in 0..=first {
        let section = |b: &Branch| b.section.map_or(first, SectionId::index);
        all.push(lines("boom tubes", SKY, &|i, b| tubes(i, b) && section(b) == of));
    }
    all.extend([
        lines("return side", GREEN, &|i, b| !dead[i] && b.side == Side::Return),
        band("back in the tank", BACK, &|moment| moment.returned_m3.max(0.0)),
        band("passed the tips", VERMILION, &|moment| moment.lost_m3),
    ]);
    all.retain(|volumes| volumes.m3.iter().any(|m3| *m3 > LEAST_M3));
    all
}

/// Which branches are dead legs in any step.
fn dead_legs(run: &Run<'_>) -> Vec<bool> {
    let mut dead = vec![false; run.scenario.machine.plumbing.branches.len()];
    for step in run.shown() {
        let Some(air) = run.moved(step).and_then(|moved| moved.air.as_ref()) else { continue };
        for (dead, left) in dead.iter_mut().zip(&air.left) {
            *dead |= left.stub_m3 > 0.0;
        }
        air.caught.iter().for_each(|caught| dead[caught.branch.index()] = true);
    }
    dead
}
