//! Pictures of the page: the product's curves under published points.

use super::Subject;
use crate::support::{columns, number, text};
use crate::{air_flow, laterals, layer, nose, stratified, tees, transport, unsteady};
use sim_cli::plots::{Compared, PublishedPlot, Range};
use sim_core::air::Restriction;
use sim_core::fluids::viscosity;
use sim_core::hydraulics::Friction;
use sim_core::transport::Spread;
use sim_core::two_phase::{
    Layer, MOST_LEFT_BEHIND, Stratified, aussillous_quere, butterworth_holdup, turner_wallis_holdup,
};

/// A picture and what is said below it.
pub(super) struct Figure {
    pub(super) subject: Subject,
    pub(super) name: &'static str,
    pub(super) caption: &'static str,
    pub(super) plot: PublishedPlot,
}

type Points = Vec<(f64, f64)>;

/// Every picture, in the order of the page.
pub(super) fn all() -> Vec<Figure> {
    vec![
        water(),
        friction(),
        transition(),
        tee("tee-dividing", true),
        tee("tee-combining", false),
        christiansen(),
        from_rest(),
        arrivals(),
        breakthrough(),
        choking(),
        layers(),
        films(),
        noses(),
        drying(),
    ]
}

fn range(title: &str, from: f64, to: f64) -> Range {
    Range { title: title.into(), from, to }
}

fn compared(name: &str, ours: Points, published: Points) -> Compared {
    Compared { name: name.into(), ours, published }
}

/// `count` places from `from` to `to`, evenly apart, or in even ratios.
fn places(from: f64, to: f64, count: u32, by_ratio: bool) -> impl Iterator<Item = f64> {
    (0..=count).map(move |k| {
        let share = f64::from(k) / f64::from(count);
        if by_ratio { from * (to / from).powf(share) } else { from + share * (to - from) }
    })
}

fn curve(places: impl Iterator<Item = f64>, law: impl Fn(f64) -> f64) -> Points {
    places.map(|x| (x, law(x))).collect()
}

fn water() -> Figure {
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

fn friction() -> Figure {
    let rows = columns("friction_colebrook.csv");
    let of = |roughness: f64| {
        let here = |row: &&crate::support::Row| {
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

fn transition() -> Figure {
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
                  Churchill's curve (from memory) lies up to a quarter above the one used, which stays near laminar \
                  flow longer. The last pieces of a dead-ended section are in this range; their loss is small.",
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

fn tee(name: &'static str, dividing: bool) -> Figure {
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
            below: "dots: Gardel (1957) and Crane TP-410; lines: Millstream, which uses Gardel"
                .into(),
            x: range("share of the flow in the side arm", 0.0, 1.0),
            y: range("loss coefficient", if dividing { -0.2 } else { -1.0 }, 1.8),
            by_decades: false,
            compared: vec![
                compared("side arm, Gardel", side, of("gardel", "branch")),
                compared("run, Gardel", run, of("gardel", "run")),
                compared("side arm, Crane", vec![], of("crane", "branch")),
                compared("run, Crane", vec![], of("crane", "run")),
            ],
        },
    }
}

fn christiansen() -> Figure {
    let rows = columns("christiansen_f.csv");
    let published = |exponent: f64| -> Points {
        let of_exponent = rows.iter().filter(|row| number(row, "exponent_m") == exponent);
        let formula =
            |row: &crate::support::Row| number(row, "f_christiansen_formula_full_spacing");
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

fn from_rest() -> Figure {
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

fn arrivals() -> Figure {
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

fn breakthrough() -> Figure {
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
    let ours = |spread: Spread| -> Points {
        times.iter().copied().zip(transport::breakthrough(spread, &times)).collect()
    };
    let turbulent = |peclet: f64| {
        let row = rows.iter().find(|row| number(row, "peclet_ul_over_k") == peclet).unwrap();
        let published = points.map(|(column, strength)| (number(row, column), strength));
        compared(
            &format!("turbulent, Peclet {peclet}"),
            ours(Spread::Turbulent { peclet }),
            published.to_vec(),
        )
    };
    let convection = curve(places(0.5, 2.4, 19, false), |theta| 1.0 - 0.25 / (theta * theta));
    Figure {
        subject: Subject::Transport,
        name: "breakthrough",
        caption: "Strength at the end of a line after a step at its inlet, over the time liquid takes through it. Dots: \
                  Ogata & Banks (1961) for turbulent flow, the convection curve 1 - 1/(4 t^2) for laminar flow; lines: \
                  Millstream, whose stream tubes make steps of about 2 %.",
        plot: PublishedPlot {
            title: "Strength at the end of a line".into(),
            below: "dots: Ogata & Banks (1961), laminar convection; lines: Millstream".into(),
            x: range("time over mean stay", 0.4, 2.4),
            y: range("strength", 0.0, 1.02),
            by_decades: false,
            compared: vec![
                turbulent(200.0),
                turbulent(1000.0),
                compared("laminar", ours(Spread::Laminar), convection),
            ],
        },
    }
}

fn choking() -> Figure {
    let share = |part: Restriction, ratio: f64| {
        part.flow(1e5, ratio * 1e5).kg_s / part.flow(1e5, 0.1e5).kg_s
    };
    let of = |part: Restriction| curve(places(0.2, 1.0, 320, false), move |r| share(part, r));
    let isentropic = air_flow::CHOKED_SHARES.map(|(ratio, isentropic, _)| (ratio, isentropic));
    let ratios = || places(0.25, 0.95, 14, false);
    let ellipse = curve(ratios(), |r: f64| {
        let over = ((r - 0.3) / 0.7).max(0.0);
        (1.0 - over * over).sqrt()
    });
    Figure {
        subject: Subject::AirFlow,
        name: "choked-air",
        caption: "Air through a hole and through a valve of critical ratio 0.3, over its choked flow. Dots: isentropic \
                  flow and the ellipse of ISO 6358; lines: Millstream, which uses the ellipse for both.",
        plot: PublishedPlot {
            title: "Air through a hole and a valve".into(),
            below: "dots: isentropic flow, ISO 6358; lines: Millstream".into(),
            x: range("pressure behind over pressure ahead", 0.2, 1.0),
            y: range("share of choked flow", 0.0, 1.1),
            by_decades: false,
            compared: vec![
                compared("hole, isentropic", of(Restriction::ideal(1e-6)), isentropic.to_vec()),
                compared("valve, ISO 6358, b 0.3", of(air_flow::part(1.0, 0.3)), ellipse),
            ],
        },
    }
}

fn layers() -> Figure {
    let table = |k: usize| stratified::HOLDUPS.map(|(x, values)| (x, values[k])).to_vec();
    let xs = || places(0.01, 100.0, 120, true);
    let turbulent = curve(xs(), |x| Stratified::turbulent(x).level());
    let laminar = curve(xs(), |x| stratified::laminar_liquid(x).level());
    Figure {
        subject: Subject::TwoPhase,
        name: "layer-and-holdup",
        caption: "Liquid under air in a level line over the Lockhart-Martinelli parameter. Dots: Taitel & Dukler's \
                  balance (computed), and two fits of measured holdup (formulas from memory); lines: Millstream. At \
                  parameters near 1 the smooth layer holds nearly twice what was measured: waves thin it.",
        plot: PublishedPlot {
            title: "Liquid under air in a level line".into(),
            below: "dots: published laws, computed; lines: Millstream".into(),
            x: range("Lockhart-Martinelli parameter", 0.01, 100.0),
            y: range("depth over bore, holdup", 0.0, 1.0),
            by_decades: true,
            compared: vec![
                compared("depth, both turbulent", turbulent, table(0)),
                compared("depth, liquid laminar", laminar, table(2)),
                compared("holdup, Butterworth", curve(xs(), butterworth_holdup), table(4)),
                compared("holdup, Turner & Wallis", curve(xs(), turner_wallis_holdup), table(5)),
            ],
        },
    }
}

fn films() -> Figure {
    let numbers = || places(1e-4, 1.0, 120, true);
    let bretherton = curve(places(1e-4, 0.01, 8, true), |ca| 0.643 * (3.0 * ca).powf(2.0 / 3.0));
    Figure {
        subject: Subject::TwoPhase,
        name: "film",
        caption: "Film that air leaves on the wall of a narrow line. Dots: resolved simulations, and Bretherton's law \
                  for small capillary numbers, which must lie above the fit as the number grows; line: Millstream, by \
                  the fit of Aussillous & Quere.",
        plot: PublishedPlot {
            title: "Film on the wall of a narrow line".into(),
            below: "dots: resolved simulations, Bretherton (1961); line: Millstream".into(),
            x: range("capillary number", 1e-4, 1.0),
            y: range("film over radius", 0.0, 0.35),
            by_decades: true,
            compared: vec![
                compared(
                    "simulated",
                    curve(numbers(), aussillous_quere),
                    crate::films::SIMULATED.to_vec(),
                ),
                compared("Bretherton 1961", vec![], bretherton),
            ],
        },
    }
}

fn noses() -> Figure {
    let of = |(bore, shares): (f64, [f64; 5])| {
        let capped = shares.map(|share| share.min(MOST_LEFT_BEHIND));
        let published = nose::SPEEDS_M_S.into_iter().zip(capped).collect();
        let ours = curve(places(0.1, 3.2, 155, false), |flux| {
            sim_core::two_phase::nose(flux, bore, 0.0).left_behind
        });
        compared(&format!("{} mm", 1e3 * bore), ours, published)
    };
    let [a, _, b, _, c, d] = nose::LEFT_BEHIND;
    Figure {
        subject: Subject::TwoPhase,
        name: "left-behind",
        caption: "Share of a level line's liquid that stays behind when air has pushed through. Dots: Bendiksen's law \
                  (from memory), computed apart; lines: Millstream. Slow purges leave a third to a half; from about 2 \
                  m/s on a boom tube keeps a sixth.",
        plot: PublishedPlot {
            title: "Liquid left behind a nose of air".into(),
            below: "dots: Bendiksen (1984), computed; lines: Millstream".into(),
            x: range("velocity of the liquid, m/s", 0.0, 3.2),
            y: range("share left behind", 0.0, 0.7),
            by_decades: false,
            compared: [a, b, c, d].map(of).into(),
        },
    }
}

fn drying() -> Figure {
    let of = |speed: &str, gas_pa_m: f64| {
        let published = layer::DECAY.iter().filter(|row| row.0 == gas_pa_m);
        let published = published.map(|(_, time, _, inverted)| (*time, *inverted)).collect();
        let ours = curve(places(40.0, 320.0, 20, true), |time| {
            layer::left_after(Layer::InvertedHoldup, gas_pa_m, time, 200)
        });
        compared(&format!("air at {speed} m/s"), ours, published)
    };
    Figure {
        subject: Subject::TwoPhase,
        name: "drying",
        caption: "Share of a boom tube (12 m of 25 mm) still liquid while air goes on blowing. Dots: rarefaction in \
                  closed form, without the factor (1 - H); lines: Millstream. Both solve the same law; no measurement \
                  of it was found, and the laws in use differ by a factor of two to three.",
        plot: PublishedPlot {
            title: "A boom tube blown dry".into(),
            below: "dots: closed form; lines: Millstream".into(),
            x: range("time, s", 0.0, 320.0),
            y: range("share still liquid", 0.0, 0.08),
            by_decades: false,
            compared: vec![of("5", 19.56), of("10", 64.91), of("15", 131.9)],
        },
    }
}
