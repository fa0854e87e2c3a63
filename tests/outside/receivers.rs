//! Receivers that empty, how large they must be, and what they store.

use crate::by_hand;
use crate::support::{FOOT, absolute};
use crate::validation::sources::{
    ESPOSITO, EXPANSION, FARRELL, FLUIDS, ISENTROPIC, SCIPY, STANDARD_ATMOSPHERE,
};
use crate::validation::{By, Row, Share, validated};
use approx::assert_relative_eq;
use sim_core::air::{
    AirRestriction, BlowDown, Supply, atmosphere_at_height, receiver_volume,
    stored_energy_per_volume, time_constant,
};
use sim_core::fluids::AbsolutePressure;
use std::f64::consts::PI;

/// A vessel that empties through a hole.
#[derive(Clone, Copy)]
struct Vessel {
    volume_m3: f64,
    start_pa: f64,
    outside_pa: f64,
    /// Area of the hole times its coefficient, m2.
    area_m2: f64,
}

impl Vessel {
    fn new(volume_m3: f64, start_pa: f64, outside_pa: f64, hole_m: f64, discharge: f64) -> Self {
        let area_m2 = discharge * PI / 4.0 * hole_m * hole_m;
        Self { volume_m3, start_pa, outside_pa, area_m2 }
    }

    fn hole(&self) -> AirRestriction {
        AirRestriction::ideal(self.area_m2)
    }

    /// Time until 0.1 % of the outside pressure is left over it, at one temperature, in steps of 1 ms.
    fn empty_s(&self) -> f64 {
        let mut supply = Supply {
            receiver_m3: self.volume_m3,
            receiver: absolute(self.start_pa),
            free_air_delivery_m3_s: 0.0,
            cut_out: absolute(self.start_pa),
            regulated: absolute(self.start_pa),
            valve: self.hole(),
        };
        let (mut steps, step_s) = (0, 1e-3);
        while supply.receiver.pa > 1.001 * self.outside_pa {
            supply.deliver(absolute(self.outside_pa), step_s);
            steps += 1;
        }
        f64::from(steps) * step_s
    }
}

/// Source: A. E. Farrell, vessel blow-down of ideal gases (2025), closed forms of choked flow, evaluated:
/// pressure at constant temperature, pressure and temperature without heat, over time constants.
fn choked_blow_down_matches_the_table_of_closed_forms() -> Vec<Row> {
    let of = |quantity: &'static str| {
        let row = Row::new(quantity, "0.5 to 3 time constants, choked", &[FARRELL]).computed();
        row.because("computed to five decimals")
    };
    let mut rows = vec![
        of("Pressure left in a vessel, one temperature"),
        of("Pressure left in a vessel, no heat"),
        of("Temperature left in a vessel, no heat"),
    ];
    let table = [
        (0.5, 0.60653, 0.51316, 0.82645),
        (1.0, 0.36788, 0.27908, 0.69444),
        (2.0, 0.13534, 0.09486, 0.51020),
        (3.0, 0.04979, 0.03725, 0.39062),
    ];
    for (time, isothermal, adiabatic, temperature) in table {
        let got = [
            BlowDown::Isothermal.pressure_ratio(time),
            BlowDown::Adiabatic.pressure_ratio(time),
            BlowDown::Adiabatic.temperature_ratio(time),
        ];
        let table = [isothermal, adiabatic, temperature];
        for (row, (got, expected)) in rows.iter_mut().zip(got.into_iter().zip(table)) {
            row.near(got, expected, By(6e-6));
        }
        for law in [BlowDown::Isothermal, BlowDown::Adiabatic] {
            let back = law.time_constants_to(law.pressure_ratio(time));
            assert_relative_eq!(back, time, max_relative = 1e-12);
        }
    }
    rows
}

/// Source: the same closed forms, written out here: time constant V/(R T C), end of choking at one
/// temperature and without heat. Time to 0.1 % above the outside at one temperature by isentropic flow, integrated apart
/// with SciPy 1.17.1, `solve_ivp` by Dormand & Prince's method of order 8, relative error 1e-11:
/// dp/dt = -R T m(p)/V, m = A p sqrt(2 k/((k - 1) R T) (r^(2/k) - r^((k + 1)/k))), r = outside/p, choked below 0.52828.
fn two_vessels_empty_in_the_computed_times() -> Vec<Row> {
    let of = |quantity: &'static str, sources, why: &'static str| {
        let at = "50 L from 8 bar through 3 mm; 850 L from 6 bar through 10 mm";
        Row::new(quantity, at, sources).unit("s").computed().because(why)
    };
    let same = "the same formula, written out apart";
    let mut constants = of("Time constant of a vessel", &[FARRELL], same);
    let mut choked_rows = of("Time until flow is no longer choked", &[FARRELL], same);
    let why = "the standard's ellipse stands for the ideal gas; steps of 1 ms";
    let quantity = "Time until a vessel is empty, one temperature";
    let mut empty_rows = of(quantity, &[ISENTROPIC, SCIPY], why);
    for (vessel, empty_s) in [
        (Vessel::new(0.05, 8e5, AbsolutePressure::ATMOSPHERE.pa, 0.003, 0.8), 103.373),
        (Vessel::new(0.85, 6e5, 1e5, 0.01, 1.0), 111.571),
    ] {
        let flow = by_hand::choked_flux_over_pressure() * vessel.area_m2 * vessel.start_pa;
        let constant = vessel.volume_m3 * vessel.start_pa / (by_hand::RT * flow);
        let got = time_constant(vessel.volume_m3, &vessel.hole());
        constants.near(got, constant, Share(1e-9));
        // Outside pressure over the critical ratio, over the start.
        let falls_to = vessel.outside_pa / (2.0f64 / 2.4).powf(3.5) / vessel.start_pa;
        for (law, times) in [
            (BlowDown::Isothermal, -falls_to.ln()),
            (BlowDown::Adiabatic, 5.0 * (falls_to.powf(-1.0 / 7.0) - 1.0)),
        ] {
            choked_rows.near(law.time_constants_to(falls_to) * got, times * constant, Share(1e-9));
        }
        empty_rows.near(vessel.empty_s(), empty_s, Share(1e-3));
    }
    vec![constants, choked_rows, empty_rows]
}

/// Source: work of a cubic metre of air expanding at constant temperature, summed here in thin slices. It is
/// p ln(p/p0): 136.0, 670.9, 1208.1 and 1965.7 kJ. Of it p - p0 pushes the atmosphere back.
fn stored_energy_is_the_work_of_expansion() -> Vec<Row> {
    let at = "2 to 9 bar, summed in 100 000 slices";
    let mut row = Row::new("Energy stored in a cubic metre of air", at, &[EXPANSION])
        .unit("kJ")
        .computed()
        .because("the closed form of the same sum");
    for bar in [2.0, 4.5, 6.5, 9.0] {
        let (pressure, slices) = (bar * 1e5, 100_000);
        let slice = (pressure / AbsolutePressure::ATMOSPHERE.pa - 1.0) / f64::from(slices);
        let at = |i: i32| pressure / (1.0 + (f64::from(i) + 0.5) * slice);
        let work: f64 = (0..slices).map(|i| at(i) * slice).sum();
        row.near(stored_energy_per_volume(absolute(pressure)) / 1e3, work / 1e3, Share(1e-8));
    }
    vec![row]
}

/// Source: A. Esposito, *Fluid Power with Applications*, example 13-7: 20 scfm for 6 min while the receiver falls from
/// 100 to 80 psi take 659.7 gal, 494.8 gal if a compressor gives 5 scfm meanwhile.
fn a_receiver_is_sized_as_in_a_textbook() -> Vec<Row> {
    let at = "example 13-7: 20 scfm for 6 min, 100 to 80 psi, alone and with 5 scfm fed";
    let mut row = Row::new("Receiver needed", at, &[ESPOSITO])
        .unit("gal")
        .because("the book takes 14.7 psi, ours is 14.696");
    let (psi, gallon) = (6894.757, 3.785_411_784e-3);
    for (scfm, gallons) in [(20.0, 659.7), (15.0, 494.8)] {
        let volume = receiver_volume(6.0 * scfm * FOOT.powi(3), 20.0 * psi);
        row.near(volume / gallon, gallons, Share(5e-4));
    }
    vec![row]
}

/// Source: U.S. Standard Atmosphere 1976, as open tables print it: 1050.41 mbar at -1000 ft, 226.321 mbar at 11 000 m;
/// between 500 and 4000 m by the library `fluids` 1.3.1.
fn the_atmosphere_thins_with_height() -> Vec<Row> {
    assert_eq!(atmosphere_at_height(0.0), AbsolutePressure::ATMOSPHERE);
    let of =
        |at: &'static str, sources| Row::new("Pressure of the atmosphere", at, sources).unit("bar");
    let mut printed = of("-1000 ft and 11 000 m", &[STANDARD_ATMOSPHERE])
        .because("five and six printed figures, rounded constants");
    for (height_m, published) in [(-304.8, 1.050_41), (11_000.0, 0.226_321)] {
        printed.near(atmosphere_at_height(height_m).pa / 1e5, published, Share(5e-6));
    }
    let mut computed = of("500 to 4000 m", &[STANDARD_ATMOSPHERE, FLUIDS])
        .computed()
        .because("the standard counts gravity that falls with height");
    for (height_m, published) in [
        (500.0, 0.954_612_9),
        (1000.0, 0.898_762_9),
        (2000.0, 0.795_014_2),
        (3000.0, 0.701_211_6),
        (4000.0, 0.616_604_4),
    ] {
        computed.near(atmosphere_at_height(height_m).pa / 1e5, published, Share(4e-4));
    }
    vec![printed, computed]
}

validated! {
    Supply:
        choked_blow_down_matches_the_table_of_closed_forms,
        two_vessels_empty_in_the_computed_times,
        stored_energy_is_the_work_of_expansion,
        a_receiver_is_sized_as_in_a_textbook,
        the_atmosphere_thins_with_height;
}
