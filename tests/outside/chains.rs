//! Many pieces of line one after the other, as between the tips of a boom: how late high concentrations are at the end.

use crate::validation::sources::{DANCKWERTS, OGATA_BANKS};
use crate::validation::{Row, Share, validated};
use sim_core::transport::{Dispersion, Profile, Stream, StreamPart, TubedLine};

/// Pieces in a chain.
const PIECES: usize = 12;
/// Moves and grid cells in the mean stay of one piece.
const MOVES: usize = 40;
const CELLS: usize = 100;
/// Strengths looked for.
const STRENGTHS: [f64; 4] = [0.5, 0.95, 0.99, 0.995];

/// Mean stays of one piece until concentrations of `STRENGTHS` leave a chain of like pieces.
fn arrivals(spread: Dispersion) -> [f64; 4] {
    let mut line = TubedLine::new(1.0, 0.0);
    line.set_profile(&Profile::of(spread));
    let mut lines = vec![line; PIECES];
    let mut found = [f64::NAN; 4];
    let (mut out, mut scratch) = (Stream::new(), Stream::new());
    let mut time = 0.0;
    while found[3].is_nan() && time < 100.0 {
        let mut inflow = vec![StreamPart { share: 1.0, concentration: 1.0 }];
        for line in &mut lines {
            line.push(1.0 / MOVES as f64, &inflow, false, &mut out, &mut scratch);
            inflow.clone_from(&out);
        }
        let mut at = time;
        for part in &inflow {
            at += part.share / MOVES as f64;
            for (found, wanted) in found.iter_mut().zip(STRENGTHS) {
                if found.is_nan() && part.concentration >= wanted {
                    *found = at - 0.5 * part.share / MOVES as f64;
                }
            }
        }
        time += 1.0 / MOVES as f64;
    }
    found
}

/// `a` and `b` convolved, as far as both go.
fn convolved(a: &[f64], b: &[f64]) -> Vec<f64> {
    let sum = |n: usize| (0..=n).map(|k| a[k] * b[n - k]).sum();
    (0..a.len()).map(sum).collect()
}

/// Mean stays until `STRENGTHS` leave a chain of laminar pieces: the density of stays `1/(2 t^3)` from half a mean stay on,
/// in cells of equal time, convolved twelve times.
fn exact_laminar() -> [f64; 4] {
    let passed = |t: f64| if t > 0.5 { 1.0 - 0.25 / (t * t) } else { 0.0 };
    let cell = 1.0 / CELLS as f64;
    let share = |k: usize| passed((k as f64 + 0.5) * cell) - passed((k as f64 - 0.5) * cell);
    let one: Vec<f64> = (0..60 * CELLS).map(share).collect();
    let two = convolved(&one, &one);
    let four = convolved(&two, &two);
    let twelve = convolved(&convolved(&four, &four), &four);
    STRENGTHS.map(|wanted| {
        let mut sum = 0.0;
        for (k, share) in twelve.iter().enumerate() {
            if sum + share >= wanted {
                return (k as f64 - 0.5 + (wanted - sum) / share) * cell;
            }
            sum += share;
        }
        f64::NAN
    })
}

/// Source: density of stays of laminar convection, E = 1/(2 t^3) in mean stays from 1/2 on (Danckwerts 1953; Levenspiel,
/// *Chemical Reaction Engineering*, laminar flow reactor); twelve pieces mixed between each other by convolution, in cells
/// of a hundredth of a mean stay (half of that moves times by less than 1e-4).
fn concentration_behind_twelve_laminar_pieces_comes_when_convolution_says() -> Vec<Row> {
    let (ours, exact) = (arrivals(Dispersion::Laminar), exact_laminar());
    let mut row = Row::new(
        "Time until a concentration arrives behind twelve pieces",
        "laminar, mixed between pieces; 50, 95, 99, 99.5 %",
        &[DANCKWERTS],
    )
    .unit("mean stays of one")
    .computed()
    .because("96 stream tubes a piece, the last of 180 mean stays");
    for (ours, exact) in ours.into_iter().zip(exact) {
        row.near(ours, exact, Share(0.01));
    }
    vec![row]
}

/// Source: Ogata & Banks (1961): stays are distributed as an inverse Gaussian, which a chain of like pieces has, too, with
/// Peclet numbers added (its convolution; a long line cut into pieces is the same line). Times of 50, 95 and 99 % from
/// `ogata_banks_breakthrough.csv` for the Peclet number of the whole.
fn a_line_cut_into_pieces_delivers_what_it_did_whole() -> Vec<Row> {
    let mut row = Row::new(
        "Time until a concentration arrives behind twelve pieces",
        "turbulent, Peclet number 4.2 to 83 a piece; 50, 95, 99 %",
        &[OGATA_BANKS],
    )
    .unit("mean stays of one")
    .computed()
    .because("20 stream tubes a piece");
    for csv in crate::support::columns("ogata_banks_breakthrough.csv") {
        let whole = crate::support::number(&csv, "peclet_ul_over_k");
        if !(50.0..=1000.0).contains(&whole) {
            continue;
        }
        let ours = arrivals(Dispersion::Turbulent { peclet: whole / PIECES as f64 });
        for (ours, column) in ours.iter().zip(["theta_50pct", "theta_95pct", "theta_99pct"]) {
            row.near(*ours, PIECES as f64 * crate::support::number(&csv, column), Share(0.01));
        }
    }
    vec![row]
}

validated! {
    Transport:
        concentration_behind_twelve_laminar_pieces_comes_when_convolution_says,
        a_line_cut_into_pieces_delivers_what_it_did_whole;
}

/// A line's mean stay is its volume over its flow, whatever spreads fronts in it: what a step leaves behind adds up to the
/// volume (Danckwerts 1953).
#[test]
fn mean_stays_are_exact_whatever_spreads_a_front() {
    let spreads = [
        Dispersion::Laminar,
        Dispersion::Turbulent { peclet: 5.0 },
        Dispersion::Turbulent { peclet: 80.0 },
        Dispersion::Turbulent { peclet: 3000.0 },
        Dispersion::Between { turbulent: 0.4, peclet: 9.0 },
    ];
    for spread in spreads {
        let profile = Profile::of(spread);
        let (flow, volume): (f64, f64) =
            (profile.flows().iter().sum(), profile.volumes().iter().sum());
        assert!((flow - 1.0).abs() < 1e-14 && (volume - 1.0).abs() < 1e-14, "{spread:?}");
        let stays: Vec<f64> = profile.stays().collect();
        assert!(stays.is_sorted() && stays[0] > 0.0, "{spread:?} {stays:?}");
        let mut line = TubedLine::new(2.0, 0.0);
        line.set_profile(&profile);
        let (mut out, mut scratch) = (Stream::new(), Stream::new());
        let (mut gone, mut came) = (0.0, 0.0);
        for k in 0..4000 {
            let concentration = f64::from(u8::from(k % 700 < 350));
            let inflow = [StreamPart { share: 1.0, concentration }];
            line.push(0.01, &inflow, k > 3500, &mut out, &mut scratch);
            came += 0.01 * concentration;
            gone += 0.01 * out.iter().map(|part| part.share * part.concentration).sum::<f64>();
            let error = came - gone - line.product_m3();
            assert!(error.abs() < 1e-12, "{spread:?} after {k} moves: {error}");
        }
    }
}
