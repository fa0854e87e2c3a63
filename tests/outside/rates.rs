//! Tip sizes, densities and application rates.

use crate::support::{columns, number, text};
use crate::validation::sources::{
    CORNELL, DENSITY_FACTORS, ISO_5682, ISO_10625, OKLAHOMA_CALIBRATION, RATE_FORMULA,
};
use crate::validation::{By, Row, Share, validated};
use sim_core::fluids::{Liquid, TIP_DENSITY_KG_M3};
use sim_core::hydraulics::TipLaw;
use sim_core::plumbing::{Sketch, TIP_SIZES, Tip, tip_size};
use sim_core::sizing::{TipDemand, tip_table};
use sim_core::units::{Quantity as Q, parse};

fn tip(flow_m3_s: f64, at_pa: f64) -> Tip {
    let mut sketch = Sketch::default();
    let node = sketch.node("body", 0.0);
    sketch.tip("tip", node, flow_m3_s, at_pa);
    sketch.finish().tips.remove(0)
}

fn water_of(density: f64) -> Liquid {
    Liquid::from_known("liquid", 20.0, Some(density), Some(1e-3), None)
}

/// Source: the square-root law (ISO 5682) from the nominal flows of ISO 10625 at 3 bar, which name the sizes (01 to 08
/// read on published tables, the rest from memory), at 1 to 5 bar (`nozzle_sizes.csv`).
fn tip_sizes_give_their_table_flows_from_1_to_5_bar() -> Vec<Row> {
    let of = |at: &'static str| {
        let row = Row::new("Flow of a tip", at, &[ISO_10625, ISO_5682]).unit("L/min");
        row.within_source("half a unit of the fifth decimal; the square-root law")
    };
    let mut read = of("sizes 01 to 08 at 1, 2 and 5 bar").computed();
    let mut remembered = of("sizes 005 to 0075, 035, 10 to 20 at 1, 2 and 5 bar").remembered();
    let water = water_of(TIP_DENSITY_KG_M3);
    let rows = columns("nozzle_sizes.csv");
    assert_eq!(rows.len(), TIP_SIZES.len());
    for row in &rows {
        let size = tip_size(text(row, "size_code")).unwrap();
        let flows = match text(row, "colour_and_flow_status") {
            "seen on a page" => &mut read,
            _ => &mut remembered,
        };
        assert_eq!(size.litres_per_minute, number(row, "iso_nominal_l_min_at_3bar"));
        assert_eq!(size.colour.unwrap_or(""), text(row, "iso_colour"));
        let law = TipLaw::new(&tip(size.flow_m3_s(), 3e5), &water);
        for (column, bar) in
            [("flow_l_min_1bar", 1.0), ("flow_l_min_2bar", 2.0), ("flow_l_min_5bar", 5.0)]
        {
            flows.near(law.open_flow(bar * 1e5) * 6e4, number(row, column), By(5e-6));
        }
    }
    vec![read, remembered]
}

/// Source: density correction factors of University of Nebraska and Oklahoma State extension
/// (`density_correction.csv`), two decimals.
fn published_density_factors_are_the_square_root_of_density() -> Vec<Row> {
    let at = "liquids of 791 to 1917 kg/m3";
    let mut factors = Row::new("Factor from water to a heavier liquid", at, &[DENSITY_FACTORS])
        .within_source("half a unit of the second decimal");
    for row in columns("density_correction.csv") {
        let factor = density_factor(number(&row, "density_kg_m3"));
        factors.near(factor, number(&row, "published_factor"), By(0.005));
    }
    vec![factors]
}

/// Flow of water through a tip over that of a liquid of `density` kg/m3.
pub(crate) fn density_factor(density: f64) -> f64 {
    let tip = tip(1e-5, 3e5);
    let flow = |density: f64| TipLaw::new(&tip, &water_of(density)).open_flow(2e5);
    flow(TIP_DENSITY_KG_M3) / flow(density)
}

/// Flow asked of each tip, m3/s.
fn asked(rate: &str, speed: &str, spacing: &str) -> f64 {
    let value = |text, quantity| parse(text, quantity).unwrap();
    let speed = value(speed, Q::Speed);
    let demand = TipDemand {
        rate_m: value(rate, Q::ApplicationRate),
        speed_m_s: (speed, speed),
        spacing_m: value(spacing, Q::Length),
        pressure_pa: (1e5, 6e5),
        least_duty: 1.0,
        density_kg_m3: TIP_DENSITY_KG_M3,
    };
    let size = &tip_table(&demand)[9];
    size.flow_m3_s() * (size.pressure_pa.0 / 3e5).sqrt()
}

/// Source: gal/min = gal/ac * mph * in / 5940, with published examples: 20 gal/ac, 4 mph, 20 in: 0.27 (Cornell
/// guidelines 7.6, 2024); 0.79 gal/min, 3 mph, 18 in: 87 gal/ac (Oklahoma State, Sprayer calibration); and
/// L/min = L/ha * km/h * m / 600.
fn rate_speed_and_spacing_give_the_published_tip_flows() -> Vec<Row> {
    let mut us_formula =
        Row::new("Flow asked of a tip", "10 to 20 gal/ac, 4 to 15 mph, 15 to 20 in", &[CORNELL])
            .unit("gal/min")
            .computed()
            .because("gal/ac times mph times in over 5940");
    let gpm = parse("1 gal/min", Q::Flow).unwrap();
    let us = |gpa: f64, mph: f64, inches: f64| {
        asked(&format!("{gpa} gal/ac"), &format!("{mph} mph"), &format!("{inches} in")) / gpm
    };
    for (gpa, mph, inches) in
        [(20.0, 4.0, 20.0), (15.0, 6.0, 20.0), (10.0, 12.0, 20.0), (20.0, 15.0, 15.0)]
    {
        us_formula.near(us(gpa, mph, inches), gpa * mph * inches / 5940.0, Share(1e-6));
    }
    let example = |at: &'static str, source| {
        let row = Row::new("Flow asked of a tip", at, source).unit("gal/min");
        row.within_source("half a unit of the second decimal")
    };
    let cornell = example("20 gal/ac, 4 mph, 20 in", &[CORNELL]);
    let oklahoma = example("87 gal/ac, 3 mph, 18 in", &[OKLAHOMA_CALIBRATION]);
    let metric = asked("200 L/ha", "10 km/h", "0.5 m") * 6e4;
    let formula = Row::new("Flow asked of a tip", "200 L/ha, 10 km/h, 0.5 m", &[RATE_FORMULA])
        .unit("L/min")
        .computed()
        .because("units alone");
    vec![
        us_formula,
        cornell.with(us(20.0, 4.0, 20.0), 0.27, By(0.005)),
        oklahoma.with(us(87.0, 3.0, 18.0), 0.79, By(0.005)),
        formula.with(metric, 200.0 * 10.0 * 0.5 / 600.0, Share(1e-9)),
    ]
}

validated! {
    Tips:
        tip_sizes_give_their_table_flows_from_1_to_5_bar,
        published_density_factors_are_the_square_root_of_density,
        rate_speed_and_spacing_give_the_published_tip_flows;
}
