//! `series.csv`: everything over time, a row for each moment that the record keeps.

use crate::columns::Columns;
use crate::results::Finished;
use sim_core::procedure::{Action, Step};
use sim_core::simulation::{AirSample, ProbeSample, Sample, StepRecord};
use sim_core::units::Quantity as Q;

/// A moment: its step, what was kept of it, and what had come back and been lost in earlier steps of the same purge.
struct SeriesRow<'a> {
    step: &'a Step,
    record: &'a StepRecord,
    sample: &'a Sample,
    before: EarlierParts,
}

/// Liquid that came back and that tips passed, m3.
#[derive(Clone, Copy, Default)]
struct EarlierParts {
    returned_m3: f64,
    lost_m3: f64,
}

/// A row for each moment of each step that lasts; `None` where none does. Its columns are described in `docs/report.md`.
pub(crate) fn series(finished: &Finished) -> Option<String> {
    let moments = moments(finished);
    let mut columns = always(finished);
    if moments.iter().any(|moment| moment.sample.air.is_some()) {
        columns = with_air(columns);
    }
    columns = with_lines(columns, finished);
    columns = with_probes(columns, finished);
    (!moments.is_empty()).then(|| columns.csv(moments, finished.units))
}

/// Every moment that was kept. Parts of a purge that follow one another are one purge.
fn moments(finished: &Finished) -> Vec<SeriesRow<'_>> {
    let (mut moments, mut before) = (Vec::new(), EarlierParts::default());
    for of in finished.all_steps() {
        if of.step.action != Action::Purge {
            before = EarlierParts::default();
        }
        let Some(moved) = &of.record.moved else { continue };
        let (step, record) = (of.step, of.record);
        moments.extend(moved.samples.iter().map(|sample| SeriesRow {
            step,
            record,
            sample,
            before,
        }));
        if let Some(air) = moved.air.as_ref().filter(|_| step.action == Action::Purge) {
            before.returned_m3 += air.returned.liquid_m3;
            before.lost_m3 += air.lost.liquid_m3;
        }
    }
    moments
}

fn always(finished: &Finished) -> Columns<'_, SeriesRow<'_>> {
    let plumbing = finished.plumbing();
    let mut columns = Columns::new()
        .words("step", |moment: &SeriesRow<'_>| moment.step.name.clone())
        .plain("time of run s", 3, |moment| moment.sample.time_s)
        .plain("time of step s", 3, |moment| moment.sample.time_s - moment.record.start_s)
        .under("pumped", Q::Flow, |moment| f64::from(moment.sample.pumped_m3_s))
        .under("sprayed", Q::Flow, |moment| f64::from(moment.sample.sprayed_m3_s))
        .under("returned", Q::Flow, |moment| f64::from(moment.sample.returned_m3_s));
    for (i, gauge) in plumbing.gauges.iter().enumerate() {
        let head = format!("gauge {}", gauge.name);
        let gauge = move |m: &SeriesRow<'_>| f64::from(m.sample.gauges_pa[i]);
        columns = columns.under(&head, Q::Pressure, gauge);
    }
    for (i, tank) in plumbing.tanks.iter().enumerate() {
        let head = format!("tank {} concentration", tank.name);
        columns = columns.plain(&head, 3, move |m| f64::from(m.sample.tanks[i]));
    }
    for (i, tip) in plumbing.tips.iter().enumerate() {
        let head = format!("tip {} concentration", tip.name);
        columns = columns.plain(&head, 3, move |m| f64::from(m.sample.tips[i]));
    }
    columns
}

/// What air does at a moment: volumes since the start of the purge, or of a step that is none, and gauge pressures; nothing
/// where there is none.
fn with_air<'a>(columns: Columns<'a, SeriesRow<'a>>) -> Columns<'a, SeriesRow<'a>> {
    fn of(moment: &SeriesRow<'_>, value: impl Fn(&AirSample) -> Option<f64>) -> Option<f64> {
        moment.sample.air.as_ref().and_then(value)
    }
    columns
        .under("returned in all", Q::Volume, |m| {
            of(m, |air| Some(m.before.returned_m3 + f64::from(air.returned_m3)))
        })
        .under("lost in all", Q::Volume, |m| {
            of(m, |air| Some(m.before.lost_m3 + f64::from(air.lost_m3)))
        })
        .under("receiver", Q::Pressure, |m| of(m, |air| Some(air.receiver()?.gauge().pa)))
        .under("air inlet", Q::Pressure, |m| of(m, |air| Some(air.inlet()?.pa)))
}

/// Flow of each line or part that [record] names, and of lines the liquid and the air in them.
fn with_lines<'a>(
    columns: Columns<'a, SeriesRow<'a>>,
    finished: &'a Finished,
) -> Columns<'a, SeriesRow<'a>> {
    let plumbing = finished.plumbing();
    let chosen = finished.scenario().course.record.lines.iter();
    chosen.fold(columns, |columns, id| {
        let (i, branch) = (id.index(), plumbing.branch(*id));
        let head = |what: &str| format!("{} {what}", branch.name);
        let flow = move |m: &SeriesRow<'_>| f64::from(m.sample.flows_m3_s[i]);
        let columns = columns.under(&head("flow"), Q::Flow, flow);
        let Some(line) = branch.part.line() else { return columns };
        let volume_m3 = line.volume_m3();
        let air = move |m: &SeriesRow<'_>| {
            m.sample.air.as_ref().map_or(0.0, |air| air.air_share(i)) * volume_m3
        };
        columns.under(&head("liquid"), Q::Volume, move |m| volume_m3 - air(m)).under(
            &head("air"),
            Q::Volume,
            air,
        )
    })
}

/// What each probe reads.
fn with_probes<'a>(
    columns: Columns<'a, SeriesRow<'a>>,
    finished: &'a Finished,
) -> Columns<'a, SeriesRow<'a>> {
    let probes = finished.scenario().course.record.probes.iter().enumerate();
    probes.fold(columns, |columns, (i, probe)| {
        let head = |what: &str| format!("probe {} {what}", probe.name);
        let read = move |m: &SeriesRow<'_>, value: fn(&ProbeSample) -> f32| {
            Some(f64::from(value(&m.sample.probes[i]))).filter(|value| value.is_finite())
        };
        columns
            .under(&head("pressure"), Q::Pressure, move |m| read(m, |probe| probe.pressure_pa))
            .under(&head("flow"), Q::Flow, move |m| read(m, |probe| probe.flow_m3_s))
            .plain(&head("concentration"), 4, move |m| read(m, |probe| probe.concentration))
            .plain(&head("liquid share"), 4, move |m| read(m, |probe| probe.liquid_share))
    })
}
