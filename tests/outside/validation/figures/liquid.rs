//! Pictures of steady flow and of flow that changes.

use super::{Figure, Points, compared, curve, places, range};
use crate::support::{Row, columns, number, text};
use crate::validation::Subject;
use crate::{laterals, tees, unsteady};
use sim_cli::plots::PublishedPlot;
use sim_core::fluids::viscosity;
use sim_core::hydraulics::Friction;

pub(super) fn water() -> Figure {
    let published = columns("water_properties.csv")
        .into_iter()
        .step_by(5)
        .map(|row| (number(&row, "temperature_c"), 1e3 * number(&row, "dynamic_viscosity_pa_s")));
    let ours = curve(places(0.0, 50.0, 100, false), |t| 1e3 * viscosity(t));
    Figure {
        subject: Subject::Fluids,
        name: "water-viscosity",
        caption: "Viscosity of water. Dots: IAPWS R12-08, every 5 degrees; line: the formula used.",
        plot: PublishedPlot {
            title: "Viscosity of water".into(),
            below: "dots: IAPWS R12-08; line: Millstream".into(),
            x: range("temperature, degC", 0.0, 50.0),
            y: range("viscosity, mPa s", 0.4, 2.0),
            by_decades: false,
            compared: vec![compared("water", ours, published.collect())],
        },
    }
}

pub(super) fn friction() -> Figure {
    let rows = columns("friction_colebrook.csv");
    let of = |roughness: f64| {
        let here = |row: &&Row| {
            let reynolds = number(row, "reynolds");
            let laminar = text(row, "regime") == "laminar";
            number(row, "relative_roughness") == roughness && (laminar || reynolds >= 4000.0)
        };
        let published = rows.iter().filter(here);
        let published =
            published.map(|row| (number(row, "reynolds"), number(row, "darcy_friction_factor")));
        let law = Friction::new(roughness);
        let ours = curve(places(500.0, 1e8, 400, true), |re| law.factor(re).f);
        let published = published.filter(|point| point.0 >= 500.0).collect();
        compared(&format!("roughness {roughness}"), ours, published)
    };
    Figure {
        subject: Subject::Friction,
        name: "friction-factor",
        caption: "Darcy friction factor over Reynolds number for four walls (roughness over bore). Dots: Colebrook's \
                  equation by `fluids` 1.3.1; lines: Millstream, with its bridge between Re 2000 and 4000.",
        plot: PublishedPlot {
            title: "Friction factor of lines".into(),
            below: "dots: Colebrook (1939) by the library fluids 1.3.1; lines: Millstream".into(),
            x: range("Reynolds number", 500.0, 1e8),
            y: range("Darcy friction factor", 0.0, 0.1),
            by_decades: true,
            compared: [0.05, 0.01, 0.001, 0.0].map(of).into(),
        },
    }
}

pub(super) fn transition() -> Figure {
    let rows = columns("friction_transition.csv");
    let of = |column: &str| -> Points {
        let smooth = rows.iter().filter(|row| number(row, "relative_roughness") == 0.0);
        smooth.map(|row| (number(row, "reynolds"), number(row, column))).collect()
    };
    let law = Friction::new(0.0);
    let ours = curve(places(1500.0, 5000.0, 200, false), |re| law.factor(re).f);
    Figure {
        subject: Subject::Friction,
        name: "friction-transition",
        caption: "Between laminar and turbulent flow no curve is right: flow is one or the other by chance. \
                  Churchill's curve (1977) lies up to a quarter above the one used, which stays near laminar flow \
                  longer. The last pieces of a dead-ended section are in this range; their loss is small.",
        plot: PublishedPlot {
            title: "Friction factor between laminar and turbulent flow, smooth wall".into(),
            below: "dots: published curves; line: Millstream".into(),
            x: range("Reynolds number", 1500.0, 5000.0),
            y: range("Darcy friction factor", 0.02, 0.06),
            by_decades: false,
            compared: vec![
                compared("Millstream", ours, vec![]),
                compared("Churchill 1977", vec![], of("f_churchill_1977")),
                compared("64/Re", vec![], of("f_laminar_64_over_re")),
                compared("Colebrook", vec![], of("f_colebrook")),
            ],
        },
    }
}

pub(super) fn tee(name: &'static str, dividing: bool) -> Figure {
    let rows = columns("tee_losses_equal_legs_90deg.csv");
    let word = if dividing { "dividing" } else { "combining" };
    let of = |method: &str, arm: &str| -> Points {
        let column = format!("{method}_{word}_{arm}");
        rows.iter().map(|row| (number(row, "branch_flow_fraction"), number(row, &column))).collect()
    };
    let shares = || places(0.0, 1.0, 100, false);
    let side = curve(shares(), |q| tees::coefficients(q, dividing).1);
    let run = curve(shares(), |q| tees::coefficients(q, dividing).0);
    Figure {
        subject: Subject::Tees,
        name,
        caption: if dividing {
            "A tee with three equal legs that divides flow: losses over the velocity head of the whole flow. The two \
             published methods lie up to 0.4 of a velocity head apart; at the velocities of a boom (1 to 2 m/s) that \
             is 2 to 8 mbar."
        } else {
            "The same tee combining flow. A negative loss is real: the faster stream pulls the slower one along."
        },
        plot: PublishedPlot {
            title: format!("Losses of a {word} tee, equal legs, 90 degrees"),
            below: "dots: Gardel (1957) and TP-410; lines: Millstream, which uses Gardel".into(),
            x: range("share of the flow in the side arm", 0.0, 1.0),
            y: range("loss coefficient", if dividing { -0.2 } else { -1.0 }, 1.8),
            by_decades: false,
            compared: vec![
                compared("side arm, Gardel", side, of("gardel", "branch")),
                compared("run, Gardel", run, of("gardel", "run")),
                compared("side arm, TP-410", vec![], of("tp410", "branch")),
                compared("run, TP-410", vec![], of("tp410", "run")),
            ],
        },
    }
}

pub(super) fn christiansen() -> Figure {
    let rows = columns("christiansen_f.csv");
    let published = |exponent: f64| -> Points {
        let of_exponent = rows.iter().filter(|row| number(row, "exponent_m") == exponent);
        let formula = |row: &Row| number(row, "f_christiansen_formula_full_spacing");
        let points = of_exponent.map(|row| (number(row, "outlets"), formula(row)));
        points.filter(|point| (2.0..=30.0).contains(&point.0)).collect()
    };
    let outlets = || (2..=30).map(f64::from);
    let square = laterals::square_law_tube();
    let smooth = laterals::smooth_tube();
    let ours_square =
        curve(outlets(), |n| laterals::outlet_factor(n as usize, 1.6e-3 / 60.0, &square, &square));
    let ours_smooth =
        curve(outlets(), |n| laterals::outlet_factor(n as usize, 8e-3 / 60.0, &smooth, &smooth));
    Figure {
        subject: Subject::Laterals,
        name: "outlet-factor",
        caption: "Loss along a line of even outlets, over the loss of the whole flow to its end. Dots: Christiansen's \
                  formula; lines: networks solved by Millstream, a tube whose loss goes with the square of flow and a \
                  smooth tube with outlets of 8 L/min.",
        plot: PublishedPlot {
            title: "Loss of a line with even outlets".into(),
            below: "dots: Christiansen (1942); lines: Millstream".into(),
            x: range("outlets", 0.0, 31.0),
            y: range("share of the full-flow loss", 0.3, 0.7),
            by_decades: false,
            compared: vec![
                compared("square of flow", ours_square, published(2.0)),
                compared("smooth, exponent 1.75", ours_smooth, published(1.75)),
            ],
        },
    }
}

pub(super) fn from_rest() -> Figure {
    let times: Vec<f64> = places(0.25, 12.0, 47, false).collect();
    let found = unsteady::example_start(&times, 0.005);
    let mut ours: Points = vec![(0.0, 0.0)];
    ours.extend(times.into_iter().zip(found));
    Figure {
        subject: Subject::Unsteady,
        name: "flow-from-rest",
        caption: "Flow that starts from rest in 100 m of 50 mm under 10 m of head. Dots: the tanh solution of the \
                  example in Bittle; line: Millstream in steps of 5 ms.",
        plot: PublishedPlot {
            title: "Flow from rest".into(),
            below: "dots: tanh solution of a textbook example (Bittle); line: Millstream".into(),
            x: range("time, s", 0.0, 12.0),
            y: range("velocity, m/s", 0.0, 5.0),
            by_decades: false,
            compared: vec![compared("velocity", ours, unsteady::TANH[..4].to_vec())],
        },
    }
}

pub(super) fn density() -> Figure {
    let rows = columns("density_correction.csv");
    let published =
        rows.iter().map(|row| (number(row, "density_kg_m3"), number(row, "published_factor")));
    let ours = curve(places(750.0, 2000.0, 50, false), crate::rates::density_factor);
    Figure {
        subject: Subject::Tips,
        name: "density-factor",
        caption: "Factor by which a tip passes less of a heavy liquid than of water. Dots: extension tables, two \
                  decimals; line: Millstream, by the root of density. Neither knows viscosity: calibrate with thick \
                  liquids.",
        plot: PublishedPlot {
            title: "Flow of heavy liquids through a tip".into(),
            below: "dots: extension tables (Nebraska, Oklahoma State); line: Millstream".into(),
            x: range("density, kg/m3", 750.0, 2000.0),
            y: range("flow of water over flow of the liquid", 0.8, 1.5),
            by_decades: false,
            compared: vec![compared("factor", ours, published.collect())],
        },
    }
}
