//! Dead legs: capped stretches beside a passing stream.
//!
//! The stream reaches into the mouth of a leg only a little: the leg is cut into cells one bore long; the
//! first exchanges `E0 U A` with the stream, each further one the share `r` of that of the cell before. E0
//! = 0.02 (entrainment into side cavities: V. Weitbrecht 2004, from memory; Jackson et al., Water Resour.
//! Res. 49:3642, 2013, give a range of several times) and r = 0.1 are assumptions to be calibrated; they
//! leave about the 10 to 15 % of concentration that field tests found in boom ends. Without a passing stream
//! nothing moves: molecular diffusion takes days.

/// Share of the stream's flow, per bore area, exchanged at the mouth.
const MOUTH: f64 = 0.02;
/// How much weaker each further exchange is.
const DEEPER: f64 = 0.1;
/// Cells beyond this depth take no part.
const MOST_CELLS: usize = 8;

/// A dead leg's concentrations from the mouth inward.
#[derive(Clone, Debug)]
pub(super) struct Leg {
    area_m2: f64,
    cell_m3: Vec<f64>,
    concentration: Vec<f64>,
}

impl Leg {
    /// A leg of `bore_m` and `length_m` full at one `strength`.
    pub(super) fn new(bore_m: f64, length_m: f64, concentration: f64) -> Self {
        let area_m2 = std::f64::consts::PI * bore_m * bore_m / 4.0;
        let count = ((length_m / bore_m).ceil() as usize).clamp(1, MOST_CELLS);
        let cell = |i: usize| {
            let from = i as f64 * bore_m;
            let to = if i + 1 == count { length_m } else { (from + bore_m).min(length_m) };
            area_m2 * (to - from)
        };
        Self {
            area_m2,
            cell_m3: (0..count).map(cell).collect(),
            concentration: vec![concentration; count],
        }
    }

    /// Volume, m3.
    pub(super) fn volume_m3(&self) -> f64 {
        self.cell_m3.iter().sum()
    }

    /// Product held, m3 of full strength.
    pub(super) fn product_m3(&self) -> f64 {
        self.cell_m3
            .iter()
            .zip(&self.concentration)
            .map(|(volume, concentration)| volume * concentration)
            .sum()
    }

    /// Concentration at the mouth.
    pub(super) fn mouth(&self) -> f64 {
        self.concentration[0]
    }

    /// Volume exchanged with a stream of `velocity_m_s` in `dt_s`, m3.
    pub(super) fn exchanged(&self, velocity_m_s: f64, dt_s: f64) -> f64 {
        (MOUTH * velocity_m_s * self.area_m2 * dt_s).min(0.5 * self.cell_m3[0])
    }

    /// Exchanges `volume_m3` with a stream of mean concentration `passing`.
    pub(super) fn exchange(&mut self, volume_m3: f64, passing: f64) {
        self.concentration[0] += volume_m3 * (passing - self.concentration[0]) / self.cell_m3[0];
        let mut flux = DEEPER * volume_m3;
        for i in 1..self.concentration.len() {
            let most = 0.5 * self.cell_m3[i].min(self.cell_m3[i - 1]);
            let moved = flux.min(most) * (self.concentration[i - 1] - self.concentration[i]);
            self.concentration[i - 1] -= moved / self.cell_m3[i - 1];
            self.concentration[i] += moved / self.cell_m3[i];
            flux *= DEEPER;
        }
    }
}
