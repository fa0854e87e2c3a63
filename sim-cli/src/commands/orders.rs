//! `millstream orders`: which order of sections returns most.

use super::caution::caution;
use super::deliver::print;
use super::long::Watch;
use super::units::units;
use crate::Streams;
use crate::args::OrdersArgs;
use crate::columns::{Columns, broken, printable_path};
use crate::failure::Failure;
use crate::files::load;
use crate::words::AIR_CAUTION;
use rayon::prelude::*;
use serde::Serialize;
use sim_core::findings::{Purge, of_run};
use sim_core::scenario::Scenario;
use sim_core::sizing::{Trial, orders as trials};
use sim_core::units::{Quantity as Q, UnitSystem};

/// What one order comes to.
#[derive(Debug, Serialize)]
struct OrderOutcome {
    order: String,
    left_m3: f64,
    returned_m3: f64,
    lost_m3: f64,
    lasted_s: f64,
    nearly_home_s: Option<f64>,
    free_air_m3: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    receiver_lowest_pa: Option<f64>,
}

pub(crate) fn orders(args: &OrdersArgs, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let loaded = load(&args.file, args.trust.files_from_anywhere)?;
    caution(&loaded, streams)?;
    let untrusted =
        |text: String| Failure::Untrusted(format!("{}: {text}", printable_path(&args.file)));
    let scenario = &loaded.scenario;
    let units = units(args.units, scenario);
    let trials = trials(&scenario.machine, &scenario.course)
        .map_err(|error| Failure::Input(format!("{}: {error}", printable_path(&args.file))))?;
    let of_trial =
        |trial: Trial| (trial.name, Scenario { course: trial.course, ..scenario.clone() });
    let trials: Vec<(String, Scenario)> = trials.into_iter().map(of_trial).collect();
    let watch = Watch::new(trials.iter().map(|(_, scenario)| scenario), streams);
    let outcomes: Result<Vec<OrderOutcome>, String> =
        trials.par_iter().map(|trial| outcome(trial, &watch)).collect();
    drop(watch);
    let mut outcomes = outcomes.map_err(untrusted)?;
    let key = |o: &OrderOutcome| (o.left_m3 + o.lost_m3, o.lasted_s, o.free_air_m3);
    outcomes.sort_by(|a, b| {
        let ((a0, a1, a2), (b0, b1, b2)) = (key(a), key(b));
        a0.total_cmp(&b0).then(a1.total_cmp(&b1)).then(a2.total_cmp(&b2))
    });
    print(args.json, &outcomes, |width| table(&outcomes, units, width), streams)
}

fn outcome(
    (order, scenario): &(String, Scenario),
    watch: &Watch<'_>,
) -> Result<OrderOutcome, String> {
    let record = watch.run(scenario).map_err(|error| format!("{order}: {error}"))?;
    let findings = of_run(&scenario.machine, &scenario.course, &scenario.limits, &record);
    let purge: Option<&Purge> = findings.iter().find_map(|step| step.purge.as_ref());
    let purge = purge.ok_or_else(|| format!("{order}: nothing was purged"))?;
    Ok(OrderOutcome {
        order: order.clone(),
        left_m3: purge.residual.liquid_m3,
        returned_m3: purge.returned_m3,
        lost_m3: purge.lost_m3,
        lasted_s: purge.lasted_s,
        nearly_home_s: purge.nearly_returned_s,
        free_air_m3: purge.free_air_m3,
        receiver_lowest_pa: purge.receiver.map(|receiver| receiver.lowest_pa),
    })
}

fn table(outcomes: &[OrderOutcome], units: UnitSystem, width: usize) -> String {
    let table = Columns::new()
        .words("order", |o: &OrderOutcome| o.order.clone())
        .each("left", Q::Volume, |o| o.left_m3)
        .each("returned", Q::Volume, |o| o.returned_m3)
        .each("lost", Q::Volume, |o| o.lost_m3)
        .each("takes", Q::Duration, |o| o.lasted_s)
        .each("free air", Q::Volume, |o| o.free_air_m3)
        .table("Orders of the purge, best first", outcomes, units);
    let mut out = table.within(width);
    out.push_str(&broken(NOTE, "", width));
    out.push_str(&broken(AIR_CAUTION, "", width));
    out
}

const NOTE: &str = "Each order has the time and the air of the scenario's first purge, the receiver charged, and lines as \
    they are at the scenario's start. What stays after the first seconds is uncertain by a factor of two to three, \
    alike for all orders; small differences mean nothing.";
