//! How large a fault of each kind may be.

use super::fault::FaultKind;

/// The range of a fault's severity and severities to try first. Sizes are fitted by their logarithm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SeverityRange {
    /// Smallest severity, > 0.
    pub least: f64,
    /// Largest severity.
    pub most: f64,
    /// Sizes tried before the fit.
    pub tries: &'static [f64],
}

/// The severities a fault of `kind` can have; `None` where it is there or not.
///
/// What the severity means: resistance added, as a multiple of the part's own (strainer, valve); loss
/// coefficient added to a hose's own velocity head (kink); bore over stated bore; extra flow of worn tips as
/// a share; flow over rated flow (tip); speed, flow or delivery lost as a share (pump, air); flow coefficient
/// over the valve's own (passing valve); reading over truth (gauge, meter).
pub fn severity_range(kind: FaultKind) -> Option<SeverityRange> {
    use FaultKind as K;
    let range = |least, most, tries| Some(SeverityRange { least, most, tries });
    match kind {
        K::StrainerPlugged => range(0.05, 1e5, &[1.0, 8.0, 60.0, 500.0]),
        K::HoseKinked => range(0.1, 1e5, &[4.0, 25.0, 150.0, 1000.0]),
        K::ValvePartOpen => range(0.05, 1e5, &[1.0, 8.0, 60.0, 500.0]),
        K::HoseOtherBore => range(0.2, 2.0, &[0.5, 0.7, 0.85, 1.2]),
        K::SectionWorn | K::BoomWorn => range(0.003, 1.0, &[0.06, 0.2, 0.5]),
        K::TipWrong | K::TipUncaught => range(0.003, 5.0, &[0.1, 0.6, 0.85, 1.15, 1.6]),
        K::TipStrainerMissing | K::CheckStuck => None,
        K::PumpSlow | K::PumpWorn | K::AirAtSuction => range(0.002, 0.9, &[0.04, 0.12, 0.3]),
        K::ValvePasses => range(5e-4, 1.0, &[0.01, 0.05, 0.2]),
        K::GaugeOff | K::MeterOff => range(0.2, 5.0, &[0.8, 0.93, 1.07, 1.2]),
    }
}
