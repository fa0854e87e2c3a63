//! Which inputs of a scenario are uncertain where it says nothing, and by how much: one table.

use super::law::SpreadLaw;
use crate::diagnosis::{Off, SPREADS, Spread, UncertainInput};
use crate::plumbing::{Part, Side};
use crate::scenario::{DefaultInput, Scenario};

/// An input and its spread: about 95 of 100 machines are within it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InputSpread {
    /// Which input.
    pub input: DefaultInput,
    /// What it is, in few words.
    pub words: &'static str,
    /// How far it may be off.
    pub off: Off,
    /// Where the figure is from.
    pub source: &'static str,
}

const PRACTICE: &str = "common practice, no source";

const fn own(
    input: DefaultInput,
    words: &'static str,
    off: Off,
    source: &'static str,
) -> InputSpread {
    InputSpread { input, words, off, source }
}

/// The inputs that are uncertain by default, each one draw for the whole machine. Of those that the commissioning sheet also
/// counts, the spread is the one there.
pub fn default_inputs() -> Vec<InputSpread> {
    use DefaultInput as D;
    let shared = |input: D, words| {
        let spread = of_machine(input)?;
        Some(InputSpread { input, words, off: spread.off, source: spread.source })
    };
    [
        shared(D::Roughness, "roughness"),
        shared(D::SuctionLosses, "suction losses"),
        shared(D::MainLosses, "main line losses"),
        shared(D::HoseLosses, "hose losses"),
        shared(D::TubeLosses, "tube losses"),
        shared(D::ReturnLosses, "return losses"),
        shared(D::PartLosses, "losses of parts"),
        shared(D::HoseBores, "hose bores"),
        shared(D::TubeBores, "tube bores"),
        shared(D::AllTips, "flow of tips"),
        shared(D::PumpHead, "head of pump"),
        shared(D::Temperature, "temperature"),
        Some(own(D::Viscosity, "viscosity", Off::Share(0.10), PRACTICE)),
        Some(own(D::HoseLengths, "hose lengths", Off::Share(0.05), PRACTICE)),
        Some(own(D::TravelSpeed, "travel speed", Off::Share(0.03), PRACTICE)),
        Some(own(D::CompressorFlow, "compressor", Off::Share(0.10), PRACTICE)),
        Some(own(
            D::PurgeLayer,
            "model of the layer",
            Off::Factor(2.5),
            "published closures differ by a factor of two to three (docs/theory/two-phase.md)",
        )),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// The spread of machines that `input` has, if it is one of those.
fn of_machine(input: DefaultInput) -> Option<&'static Spread> {
    use DefaultInput as D;
    let machine = match input {
        D::Roughness => UncertainInput::Roughness,
        D::SuctionLosses => UncertainInput::SuctionLosses,
        D::MainLosses => UncertainInput::MainLosses,
        D::HoseLosses => UncertainInput::HoseLosses,
        D::TubeLosses => UncertainInput::TubeLosses,
        D::ReturnLosses => UncertainInput::ReturnLosses,
        D::PartLosses => UncertainInput::PartLosses,
        D::HoseBores => UncertainInput::HoseBores,
        D::TubeBores => UncertainInput::TubeBores,
        D::AllTips => UncertainInput::AllTips,
        D::PumpHead => UncertainInput::PumpHead,
        D::Temperature => UncertainInput::Temperature,
        _ => return None,
    };
    SPREADS.iter().find(|spread| spread.input == machine)
}

/// The law of an input that is off by as much as `off`: of factors for what is in proportion, of degrees or pascals else; the
/// middle is 1, or nothing.
pub(super) fn law(off: Off) -> SpreadLaw {
    match off {
        Off::Share(share) => SpreadLaw::Factor(1.0, 0.5 * share.ln_1p()),
        Off::Factor(factor) => SpreadLaw::Factor(1.0, 0.5 * factor.ln()),
        Off::Degrees(half) | Off::Pascal(half) => SpreadLaw::Normal(0.0, 0.5 * half),
    }
}

/// Changes `scenario` as `input` at `value` does: a factor, or degrees more.
pub(super) fn set(scenario: &mut Scenario, input: DefaultInput, value: f64) {
    if let Some(spread) = of_machine(input) {
        spread.set(scenario, value);
        return;
    }
    let branches = scenario.machine.plumbing.branches.iter_mut();
    match input {
        DefaultInput::Viscosity => scenario.course.liquid.viscosity_pa_s *= value,
        DefaultInput::TravelSpeed => {
            scenario.course.travel.iter_mut().for_each(|travel| travel.speed_m_s *= value);
        }
        DefaultInput::HoseLengths => {
            for branch in branches.filter(|branch| branch.side != Side::Boom) {
                if let Part::Line(line) = &mut branch.part {
                    line.length_m *= value;
                }
            }
        }
        DefaultInput::CompressorFlow => {
            let air = scenario.machine.plumbing.air.iter_mut();
            air.for_each(|air| air.free_air_m3_s *= value);
        }
        // What the model leaves open is counted on what it found.
        _ => {}
    }
}
