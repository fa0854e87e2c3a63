//! Pipe friction.

use crate::support::{FOOT, GPM, columns, liquid, number, text};
use crate::validation::sources::{
    CENGEL, CHURCHILL, COLEBROOK, FLUIDS, HAALAND, MAURER, POISEUILLE, SWAMEE_JAIN, TP_410,
};
use crate::validation::{By, Either, Row, Share, validated};
use proptest::prelude::*;
use sim_core::hydraulics::{Friction, LineLaw};
use sim_core::plumbing::Line;
use std::f64::consts::PI;

/// Source: Colebrook (1939) evaluated with the open library `fluids` 1.3.1 and an independent root
/// search, which agree to 1.6e-14 (`friction_colebrook.csv`).
fn colebrook_factors_match_an_independent_library() -> Vec<Row> {
    let mut turbulent = Row::new(
        "Darcy friction factor, turbulent",
        "Re 4000 to 1e8, roughness 0 to 0.05 of the bore",
        &[COLEBROOK, FLUIDS],
    )
    .computed()
    .because("the same equation, solved by two programs");
    let mut laminar =
        Row::new("Darcy friction factor, laminar", "Re 1 to 2000", &[POISEUILLE, FLUIDS])
            .computed()
            .because("the same equation");
    for row in columns("friction_colebrook.csv") {
        let law = Friction::new(number(&row, "relative_roughness"));
        let reynolds = number(&row, "reynolds");
        // Between 2000 and 4000 the product bridges; the table holds pure Colebrook there.
        if text(&row, "regime") != "laminar" && reynolds < 4000.0 {
            continue;
        }
        let expected = number(&row, "darcy_friction_factor");
        let of_regime =
            if text(&row, "regime") == "laminar" { &mut laminar } else { &mut turbulent };
        of_regime.near(law.factor(reynolds).f, expected, Share(1e-9));
    }
    vec![laminar, turbulent]
}

/// Source: a cubic in Re with value and slope of both neighbours, computed independently
/// (`friction_transition.csv`). Both ends are published laws; the cubic between them is this product's convention.
fn bridge_between_laminar_and_turbulent_matches_its_table() -> Vec<Row> {
    let at = "Re 1500 to 5000, smooth to rough";
    let mut bridge = Row::new("Darcy friction factor, bridge", at, &[POISEUILLE, COLEBROOK])
        .computed()
        .because("our own convention, tabulated apart: a cubic from 64/Re to Colebrook");
    for row in columns("friction_transition.csv") {
        let law = Friction::new(number(&row, "relative_roughness"));
        let got = law.factor(number(&row, "reynolds")).f;
        bridge.near(got, number(&row, "f_cubic_hermite_2000_4000"), Either(1e-8, 1e-10));
    }
    vec![bridge]
}

/// Source: S. W. Churchill, Chem. Eng. 84(24):91 (1977), one expression for every Reynolds number, by the open library
/// `fluids` (`friction_transition.csv`). Between 2000 and 4000 flow may be laminar or turbulent, and every curve there is a
/// convention: his climbs sooner, ours stays near laminar flow up to 2500.
fn bridge_between_laminar_and_turbulent_lies_beside_churchills() -> Vec<Row> {
    let of = |at: &'static str| {
        Row::new("Darcy friction factor, other law", at, &[CHURCHILL, FLUIDS]).computed()
    };
    let mut below = of("Re 1500 to 2000").because("his one expression leaves 64/Re a little early");
    let mut between = of("Re 2000 to 4000, smooth to rough")
        .differs_because("flow there is laminar or turbulent by chance: two conventions");
    let mut above = of("Re 4000 to 5000, smooth to rough")
        .differs_because("his one expression is near Colebrook's, not the same");
    for row in columns("friction_transition.csv") {
        let reynolds = number(&row, "reynolds");
        let got = Friction::new(number(&row, "relative_roughness")).factor(reynolds).f;
        let (range, share) = match reynolds {
            ..2000.0 => (&mut below, 0.0015),
            2000.0..4000.0 => (&mut between, 0.25),
            _ => (&mut above, 0.031),
        };
        range.near(got, number(&row, "f_churchill_1977"), Share(share));
    }
    vec![below, between, above]
}

fn line(bore_m: f64, length_m: f64, roughness_m: f64) -> Line {
    Line { roughness_m, ..Line::plain(bore_m, length_m) }
}

/// Source: TP-410 example 7.1 (published): water at 30 degC, 200 L/min in a 52.5 mm smooth
/// plastic line: Re 100 600, f 0.0179.
fn handbook_example_of_smooth_plastic_line_is_met() -> Vec<Row> {
    let at = "example 7.1: 200 L/min of water, smooth plastic, Re 100 600";
    let row = Row::new("Darcy friction factor", at, &[TP_410])
        .because("off a chart; Colebrook rounds to 0.0180");
    vec![row.with(Friction::new(0.0).factor(100_600.0).f, 0.0179, Share(0.004))]
}

/// Source: TP-410 example 7.13 (published): oil of 0.815 and 2.7 mm2/s, 2 gal/s in 100 ft of
/// 52.50 mm, roughness 0.0018 in: f 0.0230 read off a chart, 66 500 Pa. Colebrook gives 1.3 % less.
fn handbook_example_of_an_oil_line_is_met() -> Vec<Row> {
    let oil = liquid(815.0 * 0.99902, 2.7e-6 * 815.0 * 0.99902);
    let law = LineLaw::new(&line(0.0525, 100.0 * FOOT, 0.0018 * 0.0254), &oil, 100.0 * FOOT);
    let at = "example 7.13: 2 gal/s of oil, 100 ft of 52.5 mm steel";
    let row = Row::new("Loss of an oil line", at, &[TP_410])
        .unit("Pa")
        .differs_because("the source reads its factor, 0.0230, off a chart; Colebrook has 0.0227");
    vec![row.with(law.loss_at(120.0 * GPM).pa, 66_500.0, Share(0.014))]
}

/// Source: E. Maurer, *Hydraulics and Water Resources: Examples Using R* (2022), chapter 4, the three
/// types of problem on one pipe: 100 m of 0.5 m, roughness 0.046 mm, nu 1.023e-6. Type 1: f 0.0133 at
/// 0.416 m3/s; type 2: 0.413 m3/s at 0.6 m of head.
fn textbook_pipe_of_three_problem_types_is_met() -> Vec<Row> {
    let (flow, bore) = (0.416, 0.5);
    let reynolds = 4.0 * flow / (PI * bore * 1.023e-6);
    let factor = Friction::new(0.046e-3 / bore).factor(reynolds).f;
    let at = "0.416 m3/s, 100 m of 0.5 m, roughness 0.046 mm";
    let friction = Row::new("Darcy friction factor", at, &[MAURER])
        .within_source("half a unit of the third figure")
        .with(factor, 0.0133, By(5e-5));
    let water = liquid(1000.0, 1.023e-3);
    let law = LineLaw::new(&line(bore, 100.0, 0.046e-3), &water, 100.0);
    let head = law.loss_at(0.413).pa / (1000.0 * 9.81);
    let at = "0.413 m3/s through the same pipe";
    let loss = Row::new("Head lost", at, &[MAURER])
        .unit("m")
        .within_source("half a unit of the flow's third figure is 0.24 % of the head")
        .with(head, 0.6, Share(0.0024));
    vec![friction, loss]
}

/// Source: Y. Cengel & J. Cimbala, *Fluid Mechanics*, examples 8-2 (published): water of 1000 kg/m3 and 1.519 mPa s at
/// 0.9 m/s through 9 m of 3 mm: 43.7 kPa; and 8-3: 999 kg/m3, 1.138 mPa s, 6 L/s through 60 m of 50 mm, roughness
/// 2 um: f 0.0172, 96.5 kPa.
fn textbook_lines_of_small_bore_are_met() -> Vec<Row> {
    let of = |quantity: &'static str, at: &'static str| Row::new(quantity, at, &[CENGEL]);
    let narrow = LineLaw::new(&line(0.003, 9.0, 0.0), &liquid(1000.0, 1.519e-3), 9.0);
    let laminar = narrow.loss_at(0.9 * PI * 0.003f64.powi(2) / 4.0).pa / 1e3;
    let (bore, flow, roughness) = (0.05, 6e-3, 2e-6);
    let law = LineLaw::new(&line(bore, 60.0, roughness), &liquid(999.0, 1.138e-3), 60.0);
    let reynolds = 4.0 * flow * 999.0 / (PI * bore * 1.138e-3);
    let factor = Friction::new(roughness / bore).factor(reynolds).f;
    let at = "example 8-3: 6 L/s, 60 m of 50 mm, roughness 2 um";
    vec![
        of("Loss of a line, laminar", "example 8-2: 0.9 m/s, 9 m of 3 mm, Re 1777")
            .unit("kPa")
            .within_source("half a unit of the third figure")
            .with(laminar, 43.7, By(0.05)),
        of("Darcy friction factor", at).within_source("half a unit of the third figure").with(
            factor,
            0.0172,
            By(5e-5),
        ),
        of("Loss of a line, turbulent", at)
            .unit("kPa")
            .because("the source rounds its factor to three figures, 0.3 %")
            .with(law.loss_at(flow).pa / 1e3, 96.5, Share(0.0035)),
    ]
}

/// Source: Hagen & Poiseuille: dp/L = 128 mu Q / (pi D^4): 40.80886 Pa/m for 10 mL/s of water of 1.0016 mPa s in
/// 10 mm (computed; Re 1269).
fn a_laminar_line_loses_what_poiseuille_says() -> Vec<Row> {
    let law = LineLaw::new(&line(0.01, 1.0, 0.0), &liquid(998.207, 1.0016e-3), 1.0);
    let at = "10 mL/s of water in 10 mm, Re 1269";
    let row = Row::new("Loss of a metre of line, laminar", at, &[POISEUILLE]).unit("Pa").computed();
    let row = row.because("the same equation");
    vec![row.with(law.loss_at(1e-5).pa, 40.808_86, Share(1e-6))]
}

/// Source: S. E. Haaland, J. Fluids Eng. 105:89 (1983), promises 1.5 %; P. K. Swamee & A. K. Jain,
/// J. Hydraul. Div. ASCE 102:657 (1976), within 3 % for Re from 5000. Their formulas on a grid of walls and flows.
fn factors_lie_within_the_errors_that_explicit_formulas_state() -> Vec<Row> {
    let at = "Re 5000 to 1e8, roughness 1e-6 to 0.05 of the bore";
    let mut haaland = Row::new("Darcy friction factor", at, &[HAALAND])
        .computed()
        .within_source("the explicit formula states an error of 1.5 %");
    let mut swamee = Row::new("Darcy friction factor", at, &[SWAMEE_JAIN])
        .computed()
        .differs_because("the explicit formula is good to 3 %; ours solves Colebrook's equation");
    for step in 0..=43 {
        let re = 10f64.powf(3.7 + 0.1 * f64::from(step));
        for roughness in [1e-6f64, 1e-5, 1e-4, 1e-3, 0.01, 0.03, 0.05] {
            let ours = Friction::new(roughness).factor(re).f;
            let by_haaland = (-1.8 * ((roughness / 3.7).powf(1.11) + 6.9 / re).log10()).powi(-2);
            let by_swamee = 0.25 / (roughness / 3.7 + 5.74 / re.powf(0.9)).log10().powi(2);
            haaland.near(ours, by_haaland, Share(0.015));
            swamee.near(ours, by_swamee, Share(0.03));
        }
    }
    vec![haaland, swamee]
}

validated! {
    Friction:
        a_laminar_line_loses_what_poiseuille_says,
        colebrook_factors_match_an_independent_library,
        factors_lie_within_the_errors_that_explicit_formulas_state,
        bridge_between_laminar_and_turbulent_matches_its_table,
        bridge_between_laminar_and_turbulent_lies_beside_churchills,
        handbook_example_of_smooth_plastic_line_is_met,
        handbook_example_of_an_oil_line_is_met,
        textbook_pipe_of_three_problem_types_is_met,
        textbook_lines_of_small_bore_are_met;
}

proptest! {
    /// Source: S. E. Haaland, J. Fluids Eng. 105:89 (1983), promises 1.5 %; P. K. Swamee & A. K. Jain,
    /// J. Hydraul. Div. ASCE 102:657 (1976), within 3 % for Re from 5000.
    #[test]
    fn published_explicit_formulas_stay_within_their_stated_errors(
        log_re in 3.7f64..8.0, roughness in 1e-6f64..0.05,
    ) {
        let re = 10f64.powf(log_re);
        let exact = Friction::new(roughness).factor(re).f;
        let haaland = (-1.8 * ((roughness / 3.7).powf(1.11) + 6.9 / re).log10()).powi(-2);
        let swamee = 0.25 / (roughness / 3.7 + 5.74 / re.powf(0.9)).log10().powi(2);
        prop_assert!((haaland / exact - 1.0).abs() < 0.015);
        prop_assert!((swamee / exact - 1.0).abs() < 0.03);
    }
}
