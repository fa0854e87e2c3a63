//! `millstream tips`: which sizes give a rate over a range of speeds?

use super::deliver::print;
use crate::Streams;
use crate::args::TipsArgs;
use crate::failure::Failure;
use crate::starter::size;
use crate::tables;
use serde_json::json;
use sim_core::sizing::{TipDemand, TipWindow, body_table, tip_table};
use sim_core::units::{Quantity as Q, UnitSystem, parse, typed};

pub(crate) fn tips(args: &TipsArgs, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let demand = demand(args)?;
    let carried = args.carries.iter().map(|code| size(code)).collect::<Result<Vec<_>, _>>();
    let carried = carried.map_err(|why| Failure::Input(format!("--carries: {why}")))?;
    let table = if carried.is_empty() { tip_table(&demand) } else { body_table(&demand, &carried) };
    let rows: Vec<_> = table.iter().map(row).collect();
    let document = json!({ "schema": "1", "sizes": rows });
    let units = args.units.map_or_else(|| as_typed(args), Into::into);
    let text = |_| tables::tips::report(&demand, &table, units);
    print(args.json, &document, text, streams)
}

/// The units in which rate and speed were typed.
fn as_typed(args: &TipsArgs) -> UnitSystem {
    let is_us = |text: &str, quantity| typed(text, quantity).is_ok_and(|typed| typed.is_us);
    match is_us(&args.rate, Q::ApplicationRate) || is_us(&args.speed, Q::Speed) {
        true => UnitSystem::Us,
        false => UnitSystem::Si,
    }
}

fn demand(args: &TipsArgs) -> Result<TipDemand, Failure> {
    let slow = value("--speed", &args.speed, Q::Speed)?;
    let fast = args.to.as_deref().map_or(Ok(slow), |text| value("--to", text, Q::Speed))?;
    let pressures = match &args.pressure {
        Some(held) => [("--pressure", held); 2],
        None => [("--from-pressure", &args.from_pressure), ("--to-pressure", &args.to_pressure)],
    };
    let [low, high] = pressures.map(|(option, text)| value(option, text, Q::Pressure));
    let (low, high) = (low?, high?);
    let duty =
        args.least_duty.as_deref().map_or(Ok(1.0), |text| value("--least-duty", text, Q::Share))?;
    for (name, small, large) in [("--to", slow, fast), ("--to-pressure", low, high)] {
        if large < small {
            return Err(Failure::Input(format!("{name} must not be the smaller end of its range")));
        }
    }
    if duty > 1.0 {
        return Err(Failure::Input("--least-duty must be 100 % at most".into()));
    }
    Ok(TipDemand {
        rate_m: value("--rate", &args.rate, Q::ApplicationRate)?,
        speed_m_s: (slow, fast),
        spacing_m: value("--spacing", &args.spacing, Q::Length)?,
        pressure_pa: (low, high),
        least_duty: duty,
        density_kg_m3: value("--density", &args.density, Q::Density)?,
    })
}

/// A positive value of `option`.
fn value(option: &str, text: &str, quantity: Q) -> Result<f64, Failure> {
    let number = parse(text, quantity).map_err(|error| {
        Failure::Input(format!("{option}: {error}\nhelp: {}", error.help(UnitSystem::Si)))
    })?;
    if number > 0.0 {
        return Ok(number);
    }
    Err(Failure::Input(format!("{option} must be greater than 0")))
}

fn row(window: &TipWindow) -> serde_json::Value {
    json!({
        "size": window.code(),
        "flow_at_3_bar_m3_s": window.flow_m3_s(),
        "pressure_pa": window.pressure_pa,
        "speed_m_s": window.speed_m_s,
        "held_pa": window.held_pa,
        "duty_share": window.duty,
        "serves": window.serves,
    })
}
