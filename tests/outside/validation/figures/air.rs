//! Pictures of air, alone and with liquid.

use super::{Figure, compared, curve, places, range};
use crate::validation::Subject;
use crate::{air_flow, by_hand, layer, nose, stratified};
use sim_cli::plots::PublishedPlot;
use sim_core::air::AirRestriction;
use sim_core::two_phase::{Layer, Stratified, aussillous_quere, butterworth_holdup, wallis_holdup};

pub(super) fn choking() -> Figure {
    let of = |part: AirRestriction| {
        curve(places(0.2, 1.0, 320, false), move |r| air_flow::share_of_choked(part, r))
    };
    let isentropic = air_flow::RATIOS.map(|ratio| (ratio, by_hand::isentropic_share(ratio)));
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
                compared("hole, isentropic", of(AirRestriction::ideal(1e-6)), isentropic.to_vec()),
                compared("valve, ISO 6358, b 0.3", of(air_flow::part(1.0, 0.3)), ellipse),
            ],
        },
    }
}

pub(super) fn layers() -> Figure {
    let table = |k: usize| stratified::HOLDUPS.map(|(x, values)| (x, values[k])).to_vec();
    let xs = || places(0.01, 100.0, 120, true);
    let turbulent = curve(xs(), |x| Stratified::turbulent(x).level());
    let laminar = curve(xs(), |x| stratified::laminar_liquid(x).level());
    Figure {
        subject: Subject::TwoPhase,
        name: "layer-and-holdup",
        caption: "Liquid under air in a level line over the Lockhart-Martinelli parameter. Dots: Taitel & Dukler's \
                  balance (computed), and two fits of measured holdup (Butterworth's from memory); lines: Millstream. At \
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
                compared("holdup, Wallis", curve(xs(), wallis_holdup), table(5)),
            ],
        },
    }
}

pub(super) fn films() -> Figure {
    let numbers = || places(1e-4, 0.1, 120, true);
    let bretherton = curve(places(1e-4, 0.01, 8, true), |ca| 0.643 * (3.0 * ca).powf(2.0 / 3.0));
    let first = curve(places(0.003, 0.014, 3, true), |ca: f64| 1.0 - (1.0 - ca.sqrt()).sqrt());
    Figure {
        subject: Subject::TwoPhase,
        name: "film",
        caption: "Film that air leaves on the wall of a narrow line. Dots: the first measurements as Fairbrother & \
                  Stubbs fitted them (from memory), and Bretherton's law for small capillary numbers, which must lie \
                  above the fit as the number grows; line: Millstream, by the fit of Aussillous & Quere.",
        plot: PublishedPlot {
            title: "Film on the wall of a narrow line".into(),
            below: "dots: Fairbrother & Stubbs (1935), Bretherton (1961); line: Millstream".into(),
            x: range("capillary number", 1e-4, 0.1),
            y: range("film over radius", 0.0, 0.2),
            by_decades: true,
            compared: vec![
                compared("Fairbrother & Stubbs 1935", curve(numbers(), aussillous_quere), first),
                compared("Bretherton 1961", vec![], bretherton),
            ],
        },
    }
}

pub(super) fn noses() -> Figure {
    let of = |bore: f64| {
        let speeds = || places(0.2, 3.0, 14, false);
        let published = curve(speeds(), |flux| nose::share_left_behind(flux, bore));
        let ours =
            curve(places(0.1, 3.2, 155, false), |flux| nose::nose(flux, bore, 0.0).left_behind);
        compared(&format!("{} mm", 1e3 * bore), ours, published)
    };
    let [a, _, b, _, c, d] = nose::BORES_M;
    Figure {
        subject: Subject::TwoPhase,
        name: "left-behind",
        caption: "Share of a level line's liquid that stays behind when air has pushed through. Dots: Bendiksen's law \
                  with Weber's drift (from memory), computed apart; lines: Millstream. Slow purges leave a third to a \
                  half; from about 2 m/s on a boom tube keeps a sixth.",
        plot: PublishedPlot {
            title: "Liquid remaining behind a nose of air".into(),
            below: "dots: Bendiksen (1984) and Weber (1981), computed; lines: Millstream".into(),
            x: range("velocity of the liquid, m/s", 0.0, 3.2),
            y: range("share remaining", 0.0, 0.7),
            by_decades: false,
            compared: [a, b, c, d].map(of).into(),
        },
    }
}

pub(super) fn drying() -> Figure {
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
