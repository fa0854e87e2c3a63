//! Pictures of how concentration moves through lines.

use super::{Figure, Points, compared, curve, places, range};
use crate::support::{columns, number};
use crate::validation::Subject;
use crate::{dispersion, transport};
use sim_cli::plots::PublishedPlot;
use sim_core::transport::Dispersion;

pub(super) fn arrivals() -> Figure {
    let numbered = |times: Vec<f64>| (1..).map(f64::from).zip(times).collect();
    let unit = std::f64::consts::PI * 1e-4 * 0.5;
    let sums = |returned: f64| {
        let mut time = 0.0;
        let arrive = |k: usize| {
            time += unit / ((12 - k) as f64 * 1.6e-3 / 60.0 + returned / 6e4);
            time
        };
        numbered((0..12).map(arrive).collect())
    };
    let of = |name: &str, returned: f64| {
        compared(name, numbered(transport::lateral_arrivals(returned)), sums(returned))
    };
    Figure {
        subject: Subject::Transport,
        name: "arrival-at-tips",
        caption: "When full strength reaches the tips of a section of twelve (1.6 L/min each, 20 mm, 0.5 m apart). \
                  Dots: sums in closed form; lines: Millstream without mixing along the line. A little flow returned \
                  from the far end halves the time of the last tip.",
        plot: PublishedPlot {
            title: "Priming a section of twelve tips".into(),
            below: "dots: closed form; lines: Millstream".into(),
            x: range("tip, counted from the inlet", 0.0, 12.5),
            y: range("full strength after, s", 0.0, 20.0),
            by_decades: false,
            compared: vec![
                of("dead-ended", 0.0),
                of("5 L/min returned", 5.0),
                of("20 L/min returned", 20.0),
            ],
        },
    }
}

pub(super) fn breakthrough() -> Figure {
    let rows = columns("ogata_banks_breakthrough.csv");
    let points = [
        ("theta_1pct", 0.01),
        ("theta_5pct", 0.05),
        ("theta_50pct", 0.5),
        ("theta_90pct", 0.9),
        ("theta_95pct", 0.95),
        ("theta_99pct", 0.99),
    ];
    let times: Vec<f64> = places(0.4, 2.4, 200, false).collect();
    let ours = |spread: Dispersion| -> Points {
        times.iter().copied().zip(dispersion::breakthrough(spread, &times)).collect()
    };
    let turbulent = |peclet: f64| {
        let row = rows.iter().find(|row| number(row, "peclet_ul_over_k") == peclet).unwrap();
        let published = points.map(|(column, concentration)| (number(row, column), concentration));
        compared(
            &format!("turbulent, Peclet {peclet}"),
            ours(Dispersion::Turbulent { peclet }),
            published.to_vec(),
        )
    };
    let convection = curve(places(0.5, 2.4, 19, false), |theta| 1.0 - 0.25 / (theta * theta));
    Figure {
        subject: Subject::Transport,
        name: "breakthrough",
        caption: "Concentration at the end of a line after a step at its inlet, over the time liquid takes through it. Dots: \
                  Ogata & Banks (1961) for turbulent flow, the convection curve 1 - 1/(4 t^2) for laminar flow; lines: \
                  Millstream, whose stream tubes make steps of 2 %, in a piece as short as that between two tips (Peclet \
                  number 100 and below) of 8 %, and bring nothing after the last step.",
        plot: PublishedPlot {
            title: "Concentration at the end of a line".into(),
            below: "dots: Ogata & Banks (1961), laminar convection; lines: Millstream".into(),
            x: range("time over mean stay", 0.4, 2.4),
            y: range("concentration", 0.0, 1.02),
            by_decades: false,
            compared: vec![
                turbulent(100.0),
                turbulent(1000.0),
                compared("laminar", ours(Dispersion::Laminar), convection),
            ],
        },
    }
}
