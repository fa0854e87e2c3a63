//! Figures of a whole run, whatever its steps are called.

use crate::report::figures::{Figure, figure};
use crate::results::Finished;
use sim_core::findings::Priming;
use sim_core::plumbing::Side;

/// Every figure of a whole run.
pub(super) static WHOLE: [Figure<Finished>; 8] = [
    figure!("first_full_s", "full strength at every tip, from the start", Duration, Less, |run| {
        let primed = first_priming(run)?;
        Some(run.record.steps[primed.step].start_s + primed.priming.all_full_s?)
    }),
    figure!("weak_m3", "sprayed below full strength in all", Volume, Less, |run| {
        first_priming(run)?;
        Some(primings(run).map(|priming| priming.under_dosed_m3).sum())
    }),
    figure!("weak_product_m3", "product in it (as full-strength mix)", Volume, Less, |run| {
        first_priming(run)?;
        Some(primings(run).map(|priming| priming.under_dosed_product_m3).sum())
    }),
    figure!("sprayed_m3", "sprayed in all", Volume, Neither, |run| {
        let moved = run.record.steps.iter().filter_map(|step| step.moved.as_ref());
        moved.map(|moved| moved.sprayed.liquid_m3).reduce(|a, b| a + b)
    }),
    figure!("lines_m3", "lines hold", Volume, Less, |run| {
        Some(run.loaded.scenario.machine.plumbing.volume_by_side().iter().map(|(_, m3)| m3).sum())
    }),
    figure!("dead_leg_volume_m3", "of it in dead legs", Volume, Less, |run| {
        dead_legs(run).map(|legs| legs.volume_m3)
    }),
    figure!("limits_missed_share", "limits not met", Share, Less, |run| {
        let verdicts = || run.findings.iter().flat_map(|found| &found.verdicts);
        let missed = verdicts().filter(|verdict| !verdict.met).count();
        (verdicts().count() > 0).then(|| missed as f64 / verdicts().count() as f64)
    }),
    figure!("lasted_s", "the run lasts", Duration, Neither, |run| {
        run.record.steps.last().map(|step| step.end_s).filter(|end| *end > 0.0)
    }),
];

/// Stretches of tube beside the stream.
pub(super) struct DeadLegs {
    pub(super) count: usize,
    pub(super) volume_m3: f64,
}

/// Flow below which nothing passes a stretch of tube, m3/s.
const STILL_BELOW_M3_S: f64 = 1e-9;

/// Stretches of tube that nothing flows through while the most tips spray; `None` for a run that never sprays.
pub(super) fn dead_legs(run: &Finished) -> Option<DeadLegs> {
    let flow = |step: &usize| run.findings[*step].boom.as_ref().map_or(0.0, |b| b.flow_m3_s);
    let step = (0..run.findings.len()).max_by(|a, b| flow(a).total_cmp(&flow(b)).then(b.cmp(a)))?;
    run.findings[step].boom.as_ref()?;
    let branches = run.loaded.scenario.machine.plumbing.branches.iter();
    let still = branches
        .zip(&run.record.steps[step].end.flow_m3_s)
        .filter(|(branch, flow)| branch.side == Side::Boom && flow.abs() < STILL_BELOW_M3_S);
    let volumes: Vec<f64> =
        still.filter_map(|(branch, _)| Some(branch.part.line()?.volume_m3())).collect();
    Some(DeadLegs { count: volumes.len(), volume_m3: volumes.iter().sum() })
}

/// The step that brings new liquid to the tips.
#[derive(Clone, Copy)]
pub(super) struct Primed<'a> {
    /// Its number.
    pub(super) step: usize,
    pub(super) lasted_s: f64,
    pub(super) priming: &'a Priming,
}

/// The first step that brings new liquid to the tips, and what it brought.
pub(super) fn first_priming(run: &Finished) -> Option<Primed<'_>> {
    let steps = run.findings.iter().enumerate();
    let mut primed = steps.filter_map(|(step, found)| {
        let lasted_s = found.outcome.as_ref()?.lasted_s;
        Some(Primed { step, lasted_s, priming: found.priming.as_ref()? })
    });
    primed.find(|primed| primed.priming.new_liquid)
}

fn primings(run: &Finished) -> impl Iterator<Item = &Priming> {
    run.findings.iter().filter_map(|found| found.priming.as_ref())
}
