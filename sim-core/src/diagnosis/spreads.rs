//! How far the inputs of a scenario may be off, and the machine with one of them at an end of its spread.

use super::fault::{Fault, FaultKind, Spot};
use crate::fluids::{RANGE_C, water};
use crate::plumbing::{Branch, BranchId, GaugeId, Line, Part, Plumbing, Restriction, Side, Valve};
use crate::scenario::{Overlay, ReadingPlace, Scenario};

/// Temperature of the water that a machine is checked with, degC.
pub const WATER_C: f64 = 20.0;
/// Largest roughness as a share of the bore for which the friction law holds, a little below it.
const ROUGHEST: f64 = 0.049;

/// Something that a scenario states and that a machine has only about so.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum UncertainInput {
    /// Wall roughness of every line.
    Roughness,
    /// Loss coefficients of the lines from tank to pump.
    SuctionLosses,
    /// Loss coefficients of the lines from pump to header, and of lines of no named stretch.
    MainLosses,
    /// Loss coefficients of the section hoses.
    HoseLosses,
    /// Loss coefficients along the tubes.
    TubeLosses,
    /// Loss coefficients of the return lines.
    ReturnLosses,
    /// Loss of valves, strainers and flow meters at equal flow.
    PartLosses,
    /// Bores of hoses and pipes.
    HoseBores,
    /// Bores of the tubes that carry the tips.
    TubeBores,
    /// Flow of all tips together.
    AllTips,
    /// Flow of one tip beside the others.
    OneTip,
    /// Head of the pump at equal flow.
    PumpHead,
    /// Temperature of the water.
    Temperature,
    /// What a gauge reads, in proportion.
    Gauge,
    /// Where a needle stands.
    Needle,
    /// What a catch test gives.
    Catch,
    /// What a flow meter reads.
    Meter,
    /// The speed that is shown.
    SpeedShown,
}

/// How far an input may be off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Off {
    /// By this share either way.
    Share(f64),
    /// By this factor either way.
    Factor(f64),
    /// By so many degrees either way.
    Degrees(f64),
    /// By so many Pa either way.
    Pascal(f64),
}

/// An input and its spread: about 95 of 100 machines are within it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spread {
    /// What.
    pub input: UncertainInput,
    /// How far.
    pub off: Off,
    /// Where the figure is from.
    pub source: &'static str,
}

const fn spread(input: UncertainInput, off: Off, source: &'static str) -> Spread {
    Spread { input, off, source }
}

/// Handbooks differ by 30 to 40 % on one fitting: taken for the range in which nearly all machines are, so that one standard
/// deviation is half of it. Bands of papers and calibration both start from here.
const LOSSES: Off = Off::Share(0.35);
const HANDBOOKS: &str = "handbooks differ by 30 to 40 %";
const PRACTICE: &str = "common practice, no source";

/// The spreads, each taken as independent of the others.
pub const SPREADS: [Spread; 18] = [
    spread(UncertainInput::Roughness, Off::Factor(3.0), PRACTICE),
    spread(UncertainInput::SuctionLosses, LOSSES, HANDBOOKS),
    spread(UncertainInput::MainLosses, LOSSES, HANDBOOKS),
    spread(UncertainInput::HoseLosses, LOSSES, HANDBOOKS),
    spread(UncertainInput::TubeLosses, LOSSES, HANDBOOKS),
    spread(UncertainInput::ReturnLosses, LOSSES, HANDBOOKS),
    spread(UncertainInput::PartLosses, LOSSES, HANDBOOKS),
    spread(UncertainInput::HoseBores, Off::Share(0.02), PRACTICE),
    spread(UncertainInput::TubeBores, Off::Share(0.02), PRACTICE),
    spread(UncertainInput::AllTips, Off::Share(0.05), "ISO 16122-2, from memory"),
    spread(UncertainInput::OneTip, Off::Share(0.05), "ISO 16122-2, from memory"),
    spread(UncertainInput::PumpHead, Off::Share(0.05), "ISO 9906 grade 2, from memory"),
    spread(UncertainInput::Temperature, Off::Degrees(10.0), PRACTICE),
    spread(
        UncertainInput::Gauge,
        Off::Share(0.03),
        "class 1.6 in the middle of its scale, EN 837-1, from memory",
    ),
    spread(UncertainInput::Needle, Off::Pascal(5e3), PRACTICE),
    spread(UncertainInput::Catch, Off::Share(0.02), PRACTICE),
    spread(UncertainInput::Meter, Off::Share(0.03), PRACTICE),
    spread(UncertainInput::SpeedShown, Off::Share(0.01), PRACTICE),
];

impl Spread {
    /// One standard deviation of the logarithm of the input: half of what is between it and its upper end.
    pub(super) fn log_deviation(&self) -> f64 {
        0.5 * self.factor(true).ln()
    }

    /// Factor on the input at the upper end of its spread, or at the lower one; 1 for what is no share.
    pub(super) fn factor(&self, upper: bool) -> f64 {
        match (self.off, upper) {
            (Off::Share(share), true) => 1.0 + share,
            (Off::Share(share), false) => 1.0 - share,
            (Off::Factor(factor), true) => factor,
            (Off::Factor(factor), false) => 1.0 / factor,
            (Off::Degrees(_) | Off::Pascal(_), _) => 1.0,
        }
    }

    /// What a reading of `value` at `place` is at the end of this spread, where the spread is of the reading alone; `None`
    /// where it is of the machine.
    pub(super) fn of_reading(&self, place: ReadingPlace, value: f64, upper: bool) -> Option<f64> {
        use UncertainInput as I;
        let concerns = match self.input {
            I::OneTip | I::Catch => matches!(place, ReadingPlace::Catch(_)),
            I::SpeedShown => matches!(place, ReadingPlace::Speed(_)),
            I::Needle => place.is_pressure(),
            _ => return None,
        };
        let shifted = match self.off {
            Off::Pascal(pa) if upper => value + pa,
            Off::Pascal(pa) => value - pa,
            _ => value * self.factor(upper),
        };
        Some(if concerns { shifted } else { value })
    }

    /// The instruments of `plumbing` that have this spread, each by itself, since what the machine holds by one that reads off
    /// is off, too; `None` alone where the spread is of no instrument.
    pub(super) fn instruments(&self, plumbing: &Plumbing) -> Vec<Option<Fault>> {
        let (kind, spots): (_, Vec<Spot>) = match self.input {
            UncertainInput::Gauge => {
                let own = (0..plumbing.gauges.len()).map(|i| Spot::Gauge(GaugeId::at(i)));
                (FaultKind::GaugeOff, own.chain([Spot::TestGauge]).collect())
            }
            UncertainInput::Meter => {
                let branches = plumbing.branches.iter().enumerate();
                let meters = branches.filter(|(_, b)| matches!(b.part, Part::Meter(_)));
                let spot = |(i, _)| Spot::Branch(BranchId::at(i));
                (FaultKind::MeterOff, meters.map(spot).collect())
            }
            _ => return vec![None],
        };
        spots.into_iter().map(|spot| Some(Fault { kind, spot })).collect()
    }

    /// `scenario` with the input at the end of this spread.
    pub(super) fn applied(&self, scenario: &Scenario, upper: bool) -> Scenario {
        let mut changed = scenario.clone();
        if let Off::Degrees(degrees) = self.off {
            let celsius = WATER_C + if upper { degrees } else { -degrees };
            changed.course.liquid = water(celsius);
        }
        self.multiply(&mut changed, self.factor(upper));
        changed
    }

    /// Changes `scenario` so that the input is off by `value`: a factor, > 0, or degrees more.
    pub(crate) fn set(&self, scenario: &mut Scenario, value: f64) {
        let Off::Degrees(_) = self.off else { return self.multiply(scenario, value) };
        let liquid = &mut scenario.course.liquid;
        let range = |celsius: f64| celsius.clamp(RANGE_C.0, RANGE_C.1);
        let (before, after) =
            (water(range(liquid.temperature_c)), water(range(liquid.temperature_c + value)));
        // A mix follows water.
        liquid.temperature_c = after.temperature_c;
        liquid.density_kg_m3 *= after.density_kg_m3 / before.density_kg_m3;
        liquid.viscosity_pa_s *= after.viscosity_pa_s / before.viscosity_pa_s;
        liquid.vapour_pressure.pa *= after.vapour_pressure.pa / before.vapour_pressure.pa;
        liquid.surface_tension_n_m *= after.surface_tension_n_m / before.surface_tension_n_m;
    }

    fn multiply(&self, scenario: &mut Scenario, factor: f64) {
        for branch in &mut scenario.machine.plumbing.branches {
            self.change(branch, factor);
        }
        if self.input == UncertainInput::AllTips {
            let tips = scenario.machine.plumbing.tips.iter_mut();
            tips.for_each(|tip| tip.rated_flow_m3_s *= factor);
        }
    }

    fn change(&self, branch: &mut Branch, factor: f64) {
        use UncertainInput as I;
        let on_losses = losses_factor(branch, &self.overlay(factor));
        let tube = branch.side == Side::Boom;
        let other = matches!(branch.side, Side::Tank | Side::Other);
        match &mut branch.part {
            Part::Line(line) => match self.input {
                I::Roughness => set_roughness(line, factor),
                I::TubeLosses if tube => line.losses *= factor,
                I::TubeBores if tube => line.bore_m *= factor,
                I::MainLosses if other => line.losses *= factor,
                I::HoseBores if !tube => line.bore_m *= factor,
                _ => line.losses *= on_losses,
            },
            // Loss at equal flow goes with the square of 1 / kv.
            Part::Valve(Valve { kv_si, .. })
            | Part::Strainer(Restriction { kv_si })
            | Part::Meter(Restriction { kv_si })
                if self.input == I::PartLosses =>
            {
                *kv_si /= factor.sqrt();
            }
            Part::Pump(pump) if self.input == I::PumpHead => {
                pump.curve.head_m.iter_mut().for_each(|head_m| *head_m *= factor);
                // A displacement pump slips less against the same pressure.
                if let Some(displacement) = &mut pump.displacement {
                    displacement.slip_at_pa *= factor;
                }
            }
            _ => {}
        }
    }

    /// The factor on the losses of one stretch of the machine.
    fn overlay(&self, factor: f64) -> Overlay {
        use UncertainInput as I;
        let on = |input: I| if self.input == input { factor } else { 1.0 };
        Overlay {
            suction_losses: on(I::SuctionLosses),
            main_losses: on(I::MainLosses),
            hose_losses: on(I::HoseLosses),
            return_losses: on(I::ReturnLosses),
            ..Overlay::default()
        }
    }
}

/// The factor of `overlay` on the loss coefficients of `branch`.
pub(super) fn losses_factor(branch: &Branch, overlay: &Overlay) -> f64 {
    match (branch.side, branch.section) {
        (Side::Suction, _) => overlay.suction_losses,
        (Side::Feed, Some(_)) => overlay.hose_losses,
        (Side::Feed, None) => overlay.main_losses,
        (Side::Return, _) => overlay.return_losses,
        _ => 1.0,
    }
}

/// A wall `factor` times as rough, within what the friction law knows.
fn set_roughness(line: &mut Line, factor: f64) {
    line.roughness_m = (line.roughness_m * factor).min(ROUGHEST * line.bore_m);
}
