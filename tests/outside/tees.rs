//! Tees.

use crate::support::{columns, number};
use crate::validation::sources::{CRANE, GARDEL};
use crate::validation::{By, Row, validated};
use sim_core::hydraulics::tee_drops;

/// Losses from the whole flow into the arms when dividing, or from the arms into the whole flow when
/// combining, as coefficients on the velocity head of the whole flow: run and side arm.
pub(crate) fn coefficients(q: f64, dividing: bool) -> (f64, f64) {
    if dividing {
        let [whole, run, side] = tee_drops([1.0, q - 1.0, -q], 1.0);
        (run - whole, side - whole)
    } else {
        let [run, whole, side] = tee_drops([1.0 - q, -1.0, q], 1.0);
        (whole - run, whole - side)
    }
}

/// Source: A. Gardel (1957), equal legs, 90 degrees, sharp corners; formulas from memory, tabulated
/// independently (`tee_losses_equal_legs_90deg.csv`).
fn tee_losses_match_the_gardel_table() -> Vec<Row> {
    let at = "side arm 0 to 100 % of the flow, equal legs, 90 deg";
    let of = |quantity: &'static str| {
        Row::new(quantity, at, &[GARDEL]).remembered().because("the same formula, tabulated apart")
    };
    let mut dividing_side = of("Tee, dividing: loss into the side arm");
    let mut dividing_run = of("Tee, dividing: loss along the run");
    let mut combining_side = of("Tee, combining: loss from the side arm");
    let mut combining_run = of("Tee, combining: loss along the run");
    for row in columns("tee_losses_equal_legs_90deg.csv") {
        let q = number(&row, "branch_flow_fraction");
        let (run, side) = coefficients(q, true);
        dividing_side.near(side, number(&row, "gardel_dividing_branch"), By(1e-5));
        dividing_run.near(run, number(&row, "gardel_dividing_run"), By(1e-5));
        let (run, side) = coefficients(q, false);
        combining_side.near(side, number(&row, "gardel_combining_branch"), By(1e-5));
        combining_run.near(run, number(&row, "gardel_combining_run"), By(1e-5));
    }
    vec![dividing_side, dividing_run, combining_side, combining_run]
}

/// Source: Crane TP-410 example 7.35 (published): a 4 in equal tee, 300 and 100 gal/min combining: side
/// arm -0.0403, run 0.326. Gardel gives -0.26 and 0.24: two methods differ by 0.2 of a velocity head.
fn a_second_published_method_differs_by_no_more_than_a_quarter_velocity_head() -> Vec<Row> {
    let (run, side) = coefficients(0.25, false);
    let of = |quantity: &'static str| {
        Row::new(quantity, "example 7.35: 4 in equal tee, 300 and 100 gal/min", &[CRANE])
            .differs_because("two published methods; ours is Gardel's")
    };
    let side = of("Tee, combining: loss from the side arm").with(side, -0.0403, By(0.25));
    vec![side, of("Tee, combining: loss along the run").with(run, 0.326, By(0.25))]
}

/// Source: Crane TP-410 (2009), formulas over the whole range of flow ratios (`tee_losses_equal_legs_90deg.csv`). For
/// dividing tees its side arm multiplies out to 1.69 at full flow, where Gardel has 1.30.
fn a_second_published_method_lies_within_half_a_velocity_head() -> Vec<Row> {
    let of = |quantity: &'static str| {
        let at = "side arm 0 to 100 % of the flow, equal legs, 90 deg";
        let row = Row::new(quantity, at, &[CRANE]).computed();
        row.differs_because("two published methods; ours is Gardel's")
    };
    let mut dividing_side = of("Tee, dividing: loss into the side arm");
    let mut dividing_run = of("Tee, dividing: loss along the run");
    let mut combining_side = of("Tee, combining: loss from the side arm");
    let mut combining_run = of("Tee, combining: loss along the run");
    for row in columns("tee_losses_equal_legs_90deg.csv") {
        let q = number(&row, "branch_flow_fraction");
        let (run, side) = coefficients(q, true);
        dividing_side.near(side, number(&row, "crane_dividing_branch"), By(0.45));
        dividing_run.near(run, number(&row, "crane_dividing_run"), By(0.1));
        let (run, side) = coefficients(q, false);
        combining_side.near(side, number(&row, "crane_combining_branch"), By(0.25));
        combining_run.near(run, number(&row, "crane_combining_run"), By(0.12));
    }
    vec![dividing_side, dividing_run, combining_side, combining_run]
}

validated! {
    Tees:
        tee_losses_match_the_gardel_table,
        a_second_published_method_lies_within_half_a_velocity_head,
        a_second_published_method_differs_by_no_more_than_a_quarter_velocity_head;
}
