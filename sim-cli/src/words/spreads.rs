//! Uncertain inputs of a machine in words.

use sim_core::diagnosis::{Off, UncertainInput};
use sim_core::units::{Quantity as Q, UnitSystem, show};

/// What an input is.
pub(crate) fn input_words(input: UncertainInput) -> &'static str {
    use UncertainInput as I;
    match input {
        I::Roughness => "wall roughness of every line",
        I::SuctionLosses => "loss coefficients, tank to pump",
        I::MainLosses => "loss coefficients, pump to header and other lines",
        I::HoseLosses => "loss coefficients of section hoses",
        I::TubeLosses => "loss coefficients along tubes",
        I::ReturnLosses => "loss coefficients of return lines",
        I::PartLosses => "loss of valves, strainers, flow meters at equal flow",
        I::HoseBores => "bores of hoses and pipes",
        I::TubeBores => "bores of tubes with tips",
        I::AllTips => "flow of all tips together",
        I::OneTip => "flow of one tip beside the others",
        I::PumpHead => "head of the pump at equal flow",
        I::Temperature => "temperature of the water",
        I::Gauge => "what a gauge reads",
        I::Needle => "where a needle stands",
        I::Catch => "a catch test, cup and watch",
        I::Meter => "what a flow meter reads",
        I::SpeedShown => "the speed shown of a pump",
    }
}

/// How far an input may be off.
pub(crate) fn off_words(off: Off, units: UnitSystem) -> String {
    match off {
        Off::Share(share) => format!("\u{b1} {:.0} %", 100.0 * share),
        Off::Factor(factor) => format!("a factor of {factor:.0}"),
        Off::Degrees(celsius) => match units {
            UnitSystem::Si => format!("\u{b1} {celsius:.0} degC"),
            UnitSystem::Us => format!("\u{b1} {:.0} degF", 1.8 * celsius),
        },
        Off::Pascal(pa) => format!("\u{b1} {}", show(pa, Q::Pressure, units)),
    }
}
