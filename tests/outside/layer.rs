//! The layer remaining after breakthrough.

use crate::by_hand;
use crate::support::{G, liquid};
use crate::validation::sources::{
    BLASIUS, BUTTERWORTH, HAALAND, JEFFREYS, LUBRICATION, RAREFACTION, TAITEL_DUKLER,
};
use crate::validation::{Row, Share, validated};
use approx::assert_relative_eq;
use proptest::prelude::*;
use sim_core::fluids::Liquid;
use sim_core::two_phase::{Layer, LayerLaw};
use std::f64::consts::PI;

const BOTH: [Layer; 2] = [Layer::EvenFilm, Layer::InvertedHoldup];

fn water() -> Liquid {
    liquid(998.2, 1e-3)
}

/// A line cut into equal cells, of which liquid runs out at the end and none comes in.
struct Wave {
    law: LayerLaw,
    gas_pa_m: f64,
    cell_m: f64,
    holdup: Vec<f64>,
    /// Liquid run out over cross-section, m.
    out_m: f64,
}

impl Wave {
    fn new(law: LayerLaw, gas_pa_m: f64, length_m: f64, cells: usize, holdup: f64) -> Self {
        let cell_m = length_m / cells as f64;
        Self { law, gas_pa_m, cell_m, holdup: vec![holdup; cells], out_m: 0.0 }
    }

    /// Upwind steps of first order for `time_s`.
    fn run(&mut self, time_s: f64) {
        let mut left = time_s;
        let before = self.liquid_m();
        let out_before = self.out_m;
        while left > 0.0 {
            let flows: Vec<_> =
                self.holdup.iter().map(|h| self.law.flux(*h, self.gas_pa_m)).collect();
            let fastest = flows.iter().fold(1e-12, |most: f64, flow| most.max(flow.fastest_m_s));
            let dt = left.min(0.5 * self.cell_m / fastest);
            let mut inflow = 0.0;
            for (holdup, flow) in self.holdup.iter_mut().zip(&flows) {
                *holdup += (inflow - flow.flux_m_s) * dt / self.cell_m;
                inflow = flow.flux_m_s;
            }
            self.out_m += inflow * dt;
            left -= dt;
            assert!(self.holdup.iter().all(|h| *h >= 0.0));
        }
        let balance = self.liquid_m() + self.out_m - out_before;
        assert_relative_eq!(balance, before, max_relative = 1e-9);
    }

    fn mean(&self) -> f64 {
        self.holdup.iter().sum::<f64>() / self.holdup.len() as f64
    }

    fn liquid_m(&self) -> f64 {
        self.holdup.iter().sum::<f64>() * self.cell_m
    }
}

/// The flux of the laminar layer by its published expressions: drag alone, 25 mm of water.
fn laminar_flux(layer: Layer, gas_pa_m: f64, holdup: f64) -> f64 {
    let x = match layer {
        Layer::EvenFilm => holdup,
        Layer::InvertedHoldup => by_hand::butterworth_parameter(holdup),
    };
    x * x * gas_pa_m * 0.025 * 0.025 / (32.0 * 1e-3)
}

/// Mean holdup in the rarefaction of [`laminar_flux`] over 12 m after `time_s`. The holdup at the end travels
/// at `L / t`; over the line it averages `H - t q(H) / L` by parts.
fn rarefaction(layer: Layer, gas_pa_m: f64, time_s: f64) -> f64 {
    let speed = |h: f64| {
        let d = 1e-5 * h;
        let flux = |h| laminar_flux(layer, gas_pa_m, h);
        (flux(h + d) - flux(h - d)) / (2.0 * d)
    };
    let (mut low, mut high) = (1e-6, 0.5);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if speed(middle) < 12.0 / time_s { low = middle } else { high = middle }
    }
    low - time_s * laminar_flux(layer, gas_pa_m, low) / 12.0
}

/// Gradient of the air alone, Pa/m, time, s, and mean holdup by closures (a) and (b), for 5, 10 and 15 m/s.
pub(crate) const DECAY: [(f64, f64, f64, f64); 7] = [
    (19.56, 120.0, 0.0655, 0.0242),
    (19.56, 300.0, 0.0262, 0.0146),
    (64.91, 60.0, 0.0394, 0.0183),
    (64.91, 120.0, 0.0197, 0.0125),
    (64.91, 300.0, 0.0079, 0.0076),
    (131.9, 60.0, 0.0194, 0.0124),
    (131.9, 120.0, 0.0097, 0.0085),
];

pub(crate) fn left_after(layer: Layer, gas_pa_m: f64, time_s: f64, cells: usize) -> f64 {
    let law = LayerLaw::new(layer, 0.025, 0.0, &water());
    let mut wave = Wave::new(law, gas_pa_m, 12.0, cells, 0.167);
    wave.run(time_s);
    wave.mean()
}

/// Source: rarefaction of the kinematic wave with flux c H^p in closed form, computed for 12 m of 25 mm, water
/// under air of 1.2 kg/m3: mean ((p-1)/p) (L/(p c t))^(1/(p-1)); p = 2 for the even film (the first), 2.817
/// for the inverted curve, with its factor (1 - H) left out. That omission counts for 4 % in the wettest case
/// of the second; the others are met within 3 %.
fn the_layer_thins_as_the_closed_rarefaction() -> Vec<Row> {
    let at = "12 m of 25 mm, air at 5 to 15 m/s, 60 to 300 s";
    let mut even_film = Row::new("Share left by a layer blown out, even film", at, &[RAREFACTION])
        .computed()
        .differs_because("200 cells of first order; the closed form has none");
    let mut other = Row::new("Share left by a layer blown out", at, &[RAREFACTION, BUTTERWORTH])
        .remembered()
        .differs_because("the closed form leaves out a factor (1 - H): 4 % in the wettest case");
    for (gas_pa_m, time, even, inverted) in DECAY {
        let got = left_after(Layer::EvenFilm, gas_pa_m, time, 200);
        even_film.near(got, even, Share(0.03));
        let got = left_after(Layer::InvertedHoldup, gas_pa_m, time, 200);
        let wettest = gas_pa_m < 20.0 && time < 200.0;
        other.near(got, inverted, Share(if wettest { 0.045 } else { 0.03 }));
    }
    vec![even_film, other]
}

/// Source: the same rarefaction with the factor (1 - H) kept, solved here from the published expressions.
fn the_layer_thins_as_the_whole_rarefaction() -> Vec<Row> {
    let at = "the same, without leaving anything out";
    let of = |quantity: &'static str, sources| {
        Row::new(quantity, at, sources)
            .computed()
            .differs_because("200 cells of first order; more cells come nearer")
    };
    let mut rows = [
        of("Share left by a layer blown out, even film", &[RAREFACTION, LUBRICATION]),
        of("Share left by a layer blown out", &[RAREFACTION, BUTTERWORTH]).remembered(),
    ];
    for (layer, row) in BOTH.into_iter().zip(&mut rows) {
        for (gas_pa_m, time, ..) in DECAY {
            let expected = rarefaction(layer, gas_pa_m, time);
            let coarse = left_after(layer, gas_pa_m, time, 200);
            row.near(coarse, expected, Share(0.03));
            let fine = left_after(layer, gas_pa_m, time, 400);
            assert!((fine - expected).abs() < 0.7 * (coarse - expected).abs());
        }
    }
    rows.into()
}

/// Source: numerical solution on 60 cells, computed for 15 m/s of air of 1.4 kg/m3 with friction by S. E.
/// Haaland (1983) in the air and in the turbulent layer, where this product has H. Blasius (1913).
fn a_boom_tube_dries_as_computed_with_another_friction_law() -> Vec<Row> {
    let of = |quantity: &'static str, at: &'static str, sources| {
        let row = Row::new(quantity, at, sources).computed();
        row.differs_because("another friction law in air and turbulent layer")
    };
    let at = "12 m of 25 mm, air at 15 m/s, 2 to 300 s";
    let mut dried = of("Share left by a layer blown out", at, &[HAALAND, BUTTERWORTH]).remembered();
    let reynolds: f64 = 1.4 * 15.0 * 0.025 / 1.82e-5;
    let f = (-1.8 * (6.9 / reynolds).log10()).powi(-2);
    let gas_pa_m = f * 1.4 * 15.0 * 15.0 / (2.0 * 0.025);
    let history = [
        (2.0, 0.119),
        (5.0, 0.0565),
        (10.0, 0.0299),
        (30.0, 0.0169),
        (60.0, 0.0117),
        (300.0, 0.0049),
    ];
    let mut last = 0.167;
    for (time, mean) in history {
        let got = left_after(Layer::InvertedHoldup, gas_pa_m, time, 60);
        dried.near(got, mean, Share(0.025));
        assert!(got < last);
        last = got;
    }
    let even = left_after(Layer::EvenFilm, gas_pa_m, 60.0, 60);
    let row = of("Share left by a layer blown out, even film", "the same, 60 s", &[HAALAND]);
    vec![dried, row.with(even, 0.0184, Share(0.01))]
}

/// Source: H. Jeffreys, Proc. Camb. Phil. Soc. 26:204 (1930), from memory: a film draining down a wall averages
/// 2/3 sqrt(mu L / (rho g t)) (computed with 9.81 m/s2: 19.45 um over 0.5 m after 60 s).
fn an_upright_line_drains_as_jeffreys_film() -> Vec<Row> {
    let mut row = Row::new("Mean film on an upright wall", "0.5 m drained for 60 s", &[JEFFREYS])
        .unit("um")
        .remembered()
        .because("400 cells; gravity 9.81 m/s2 there");
    for layer in BOTH {
        let law = LayerLaw::new(layer, 0.025, -1.0, &water());
        let mut wave = Wave::new(law, 0.0, 0.5, 400, 0.05);
        wave.run(60.0);
        row.near(wave.mean() * 0.025 / 4.0 * 1e6, 19.45, Share(0.01));
    }
    vec![row]
}

/// Source: the published expressions of the laminar layer: G D^2 H^2 / (32 mu) dragged; draining down a steep line the film
/// on the whole wall, rho g sin D^2 H^3 / (48 mu).
fn a_laminar_layer_flows_by_drag_less_weight() -> Vec<Row> {
    let at = "25 mm, holdup 0.02 and 0.05, level, straight up and down";
    let mut row = Row::new("Flow of a thin layer under air", at, &[LUBRICATION])
        .unit("m/s")
        .computed()
        .because("the same formula");
    for (holdup, slope) in [(0.02, 0.0), (0.05, 0.0), (0.02, 1.0), (0.02, -1.0), (0.02, -0.9)] {
        for layer in BOTH {
            let got = LayerLaw::new(layer, 0.025, slope, &water()).flux(holdup, 30.0).flux_m_s;
            let weight = 998.2 * G * slope * 0.025f64.powi(2) * holdup.powi(3) / 48e-3;
            let expected = laminar_flux(layer, 30.0, holdup) - weight;
            row.near(got, expected, Share(1e-9));
            assert!(got.abs() * 998.2 * 0.025 / 1e-3 < 1187.0);
        }
    }
    vec![row]
}

/// Flow of a layer on the floor of a line of water falling by `fall`, derived apart: the angle that the surface subtends by
/// bisection of the area of its segment, the hydraulic bore from the arc, and friction laminar (32 mu u/d^2) or by Blasius,
/// whichever lets less flow; m/s over the whole cross-section.
fn floor_flux(bore: f64, fall: f64, holdup: f64) -> f64 {
    let (mut low, mut high) = (0.0, 2.0 * PI);
    for _ in 0..60 {
        let middle: f64 = 0.5 * (low + high);
        if (middle - middle.sin()) / (2.0 * PI) < holdup { low = middle } else { high = middle }
    }
    let hydraulic = bore * (low - low.sin()) / low;
    let weight = 998.2 * G * fall;
    let laminar = weight * hydraulic * hydraulic / (32.0 * 1e-3);
    let turbulent: f64 =
        weight * 2.0 * hydraulic / (0.3164 * 998.2) * (998.2 * hydraulic / 1e-3).powf(0.25);
    holdup * laminar.min(turbulent.powf(4.0 / 7.0))
}

/// Source: momentum of a layer under a flat surface as Y. Taitel & A. E. Dukler, AIChE J. 22:47 (1976), take it, written
/// out above; and two figures each by an independent reader, who has another passage from laminar to turbulent.
fn a_layer_on_the_floor_runs_down_as_a_flat_surface_lets_it() -> Vec<Row> {
    let at = "12 to 50 mm, falls of 0.3 to 30 %, holdup 0.01 to 0.9, no air";
    let mut row = Row::new("Flow of a layer down a line", at, &[TAITEL_DUKLER, BLASIUS])
        .unit("m/s")
        .computed()
        .because("a table of the geometry");
    for bore in [0.012, 0.022, 0.050] {
        for fall in [0.003, 0.01, 0.03, 0.3] {
            let law = LayerLaw::new(Layer::InvertedHoldup, bore, -fall, &water());
            for holdup in [0.01, 0.05, 0.1, 0.2, 0.4, 0.9] {
                let got = law.flux(holdup, 0.0).flux_m_s;
                row.near(got, floor_flux(bore, fall, holdup), Share(0.005));
            }
        }
    }
    let law = LayerLaw::new(Layer::InvertedHoldup, 0.022, -0.01, &water());
    let mut read =
        Row::new("Flow of a layer down a line", "22 mm falling by 1 %", &[TAITEL_DUKLER])
            .unit("m/s")
            .computed()
            .differs_because("two figures, and another passage from laminar to turbulent");
    for (holdup, expected) in [(0.05, 0.0045), (0.1, 0.020), (0.2, 0.053), (0.4, 0.14)] {
        read.near(law.flux(holdup, 0.0).flux_m_s, expected, Share(0.1));
    }
    vec![row, read]
}

/// Source: the rarefaction of [`floor_flux`] by the method of characteristics: the holdup at the end runs at L/t, the mean is
/// that less t q / L.
fn a_sloping_line_drains_as_the_rarefaction_of_a_flat_layer() -> Vec<Row> {
    let at = "10 m of 22 mm falling by 1 and 3 %, no air, 60 and 300 s";
    let mut row = Row::new("Share left by a layer that drains", at, &[TAITEL_DUKLER, RAREFACTION])
        .computed()
        .differs_because("400 cells of first order");
    for (fall, time) in [(0.01, 60.0), (0.01, 300.0), (0.03, 60.0), (0.03, 300.0)] {
        let flux = |h: f64| floor_flux(0.022, fall, h);
        let speed = |h: f64| (flux(1.00001 * h) - flux(0.99999 * h)) / (2e-5 * h);
        let (mut low, mut high) = (1e-6, 0.3);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if speed(middle) < 10.0 / time { low = middle } else { high = middle }
        }
        let expected = low - time * flux(low) / 10.0;
        let law = LayerLaw::new(Layer::InvertedHoldup, 0.022, -fall, &water());
        let mut wave = Wave::new(law, 0.0, 10.0, 400, 0.2);
        wave.run(time);
        row.near(wave.mean(), expected, Share(0.03));
    }
    vec![row]
}

/// Source: H. Blasius (1913), f = 0.3164 Re^-0.25, and D. Butterworth's curve (from memory), written out in `by_hand`: the
/// layer takes the flow whose friction, alone in the line, is the parameter squared times the gradient of the air.
fn a_turbulent_layer_pays_the_friction_of_its_flux() -> Vec<Row> {
    let at = "25 mm, holdup 0.2 to 0.5, air of 100 Pa/m";
    let mut row = Row::new("Flow of a turbulent layer under air", at, &[BLASIUS, BUTTERWORTH])
        .unit("m/s")
        .remembered()
        .because("the same formulas, solved apart");
    let law = LayerLaw::new(Layer::InvertedHoldup, 0.025, 0.0, &water());
    for holdup in [0.2, 0.3, 0.5] {
        let drag = by_hand::butterworth_parameter(holdup).powi(2) * 100.0;
        let friction = |flux: f64| {
            let reynolds = 998.2 * flux * 0.025 / 1e-3;
            0.3164 * reynolds.powf(-0.25) * 998.2 * flux * flux / (2.0 * 0.025)
        };
        let (mut low, mut high) = (0.0, 10.0);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if friction(middle) < drag { low = middle } else { high = middle }
        }
        assert!(998.2 * low * 0.025 / 1e-3 > 2000.0);
        row.near(law.flux(holdup, 100.0).flux_m_s, low, Share(1e-9));
    }
    vec![row]
}

validated! {
    TwoPhase:
        a_laminar_layer_flows_by_drag_less_weight,
        a_layer_on_the_floor_runs_down_as_a_flat_surface_lets_it,
        a_sloping_line_drains_as_the_rarefaction_of_a_flat_layer,
        a_turbulent_layer_pays_the_friction_of_its_flux,
        the_layer_thins_as_the_closed_rarefaction,
        the_layer_thins_as_the_whole_rarefaction,
        a_boom_tube_dries_as_computed_with_another_friction_law,
        an_upright_line_drains_as_jeffreys_film;
}

#[test]
fn air_blowing_the_other_way_drags_the_other_way() {
    for layer in BOTH {
        let law = |slope: f64| LayerLaw::new(layer, 0.025, slope, &water());
        let forth = law(0.1).flux(0.1, 50.0);
        let back = law(-0.1).flux(0.1, -50.0);
        assert_eq!(forth.flux_m_s, -back.flux_m_s);
    }
}

fn any_layer() -> impl Strategy<Value = Layer> {
    prop_oneof![Just(Layer::EvenFilm), Just(Layer::InvertedHoldup)]
}

proptest! {
    #[test]
    fn flux_is_finite_continuous_and_rises_with_the_pull_of_air(
        layer in any_layer(), holdup in 0.0f64..=1.0, gas in -500.0f64..500.0, slope in -1.0f64..=1.0,
        bore in 0.005f64..0.1,
    ) {
        let law = LayerLaw::new(layer, bore, slope, &water());
        let here = law.flux(holdup, gas);
        prop_assert!(here.flux_m_s.is_finite() && here.slope_m_s.is_finite());
        prop_assert!(law.flux(holdup, gas + 1.0).flux_m_s >= here.flux_m_s);
        let near = law.flux(holdup + 1e-9, gas).flux_m_s;
        prop_assert!((near - here.flux_m_s).abs() <= 1e-9 * (2.0 * here.fastest_m_s + 1.0) + 1e-12);
        prop_assert_eq!(law.flux(0.0, gas).flux_m_s, 0.0);
    }

    #[test]
    fn slope_matches_central_difference(
        layer in any_layer(), holdup in 0.001f64..0.9, gas in -500.0f64..500.0, slope in -1.0f64..=1.0,
    ) {
        let law = LayerLaw::new(layer, 0.025, slope, &water());
        let d = 1e-6 * holdup;
        let (low, high) = (law.flux(holdup - d, gas), law.flux(holdup + d, gas));
        let difference = (high.flux_m_s - low.flux_m_s) / (2.0 * d);
        let here = law.flux(holdup, gas);
        // At a kink the difference lies between both slopes.
        let (least, most) = (
            low.slope_m_s.min(high.slope_m_s), low.slope_m_s.max(high.slope_m_s),
        );
        let slack = 1e-4 * here.fastest_m_s + 1e-9;
        prop_assert!((least - slack..=most + slack).contains(&difference));
        prop_assert!(here.slope_m_s.abs() <= here.fastest_m_s * (1.0 + 1e-12));
    }

    #[test]
    fn in_a_level_line_the_bound_holds_at_every_lower_holdup(
        layer in any_layer(), holdup in 0.001f64..0.94, share in 0.0f64..1.0, gas in 0.1f64..500.0,
    ) {
        let law = LayerLaw::new(layer, 0.025, 0.0, &water());
        let lower = law.flux(holdup * share, gas).slope_m_s;
        prop_assert!(lower <= law.flux(holdup, gas).fastest_m_s * (1.0 + 1e-12));
    }

    #[test]
    fn a_layer_only_thins_and_loses_nothing(
        layer in any_layer(), gas in 1.0f64..300.0, slope in -0.2f64..=0.0, start in 0.01f64..0.58,
    ) {
        let law = LayerLaw::new(layer, 0.02, slope, &water());
        let mut wave = Wave::new(law, gas, 5.0, 20, start);
        let mut last = start;
        for _ in 0..5 {
            wave.run(2.0);
            prop_assert!(wave.mean() < last && wave.mean() > 0.0);
            last = wave.mean();
        }
    }
}
