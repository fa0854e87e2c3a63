//! The booms of the cases and the readings a technician takes at them.

use crate::workshop::Real;
use sim_core::diagnosis::FaultKind;
use sim_core::plumbing::{Plumbing, SectionId, TipId};
use sim_core::scenario::{Accuracy, Reading, ReadingPlace, Readings, Scenario, read_readings};

/// A boom and how a technician goes about it.
#[derive(Clone)]
pub(crate) struct Boom {
    pub(crate) name: &'static str,
    pub(crate) scenario: Scenario,
    /// States and what is read in them at every machine of this kind.
    pub(crate) states: &'static str,
}

/// Three shipped scenarios and a boom of the study alone: centre-fed, one-end-fed and bypass-held machines, 3 to 11
/// sections, and the states a technician puts them in: spraying with all sections at the usual pressure, and flat out.
const BOOMS: [(&str, &str); 4] = [
    (
        "scenarios/larkfield-12m",
        "[[state]]\nname = \"spray\"\nhold = \"2.8 bar\"\n\
         gauge = [{ at = \"header\", reads = \"1 bar\" }, { at = \"pump\", reads = \"1 bar\" }]\n\
         [[state]]\nname = \"flat out\"\nvalves = { bypass = \"closed\" }\n\
         gauge = [{ at = \"pump\", reads = \"1 bar\" }, { at = \"boom\", reads = \"1 bar\" }]\n",
    ),
    (
        "scenarios/heron-36m-one-end",
        "[[state]]\nname = \"spray\"\nhold = \"3 bar\"\n\
         gauge = [{ at = \"header\", reads = \"1 bar\" }, { at = \"pump\", reads = \"1 bar\" }]\n\
         meter = [{ reads = \"1 L/min\" }]\n\
         [[state]]\nname = \"flat out\"\npump = \"100 %\"\n\
         gauge = [{ at = \"pump\", reads = \"1 bar\" }]\n\
         [[state]]\nname = \"circulate\"\ndo = \"circulate\"\npump = \"60 %\"\n\
         gauge = [{ at = \"return-header\", reads = \"1 bar\" }]\nmeter = [{ reads = \"1 L/min\" }]\n",
    ),
    (
        "scenarios/otterbend-90ft-nitrogen",
        "[[state]]\nname = \"spray\"\nhold = \"35 psi\"\n\
         gauge = [{ at = \"header\", reads = \"1 bar\" }, { at = \"pump\", reads = \"1 bar\" }]\n\
         speed = [{ reads = \"80 %\" }]\n\
         [[state]]\nname = \"flat out\"\npump = \"100 %\"\n\
         gauge = [{ at = \"pump\", reads = \"1 bar\" }, { at = \"boom\", reads = \"1 bar\" }]\n",
    ),
    (
        "tests/diagnosis/eleven-sections",
        "[[state]]\nname = \"spray\"\nhold = \"36 psi\"\n\
         gauge = [{ at = \"header\", reads = \"1 bar\" }]\n\
         [[state]]\nname = \"flat out\"\npump = \"100 %\"\n\
         gauge = [{ at = \"pump\", reads = \"1 bar\" }]\n",
    ),
];

/// The scenario in the file `name`, from the root of the repository on, without its ending.
fn kept(name: &str) -> Scenario {
    checks::scenario(&checks::root().join(format!("{name}.toml"))).unwrap()
}

/// Every boom of the cases.
pub(crate) fn booms() -> Vec<Boom> {
    let boom = |(name, states)| Boom { name, scenario: kept(name), states };
    BOOMS.into_iter().map(boom).collect()
}

impl Boom {
    fn plumbing(&self) -> &Plumbing {
        &self.scenario.machine.plumbing
    }

    /// What a technician reads at `real`, values without noise: the states above, one tip caught in each section, the tip that
    /// looks wrong if one does, and then a gauge at the far end of the section whose tip gives least or most and of the one
    /// nearest to the middle. `None` where the machine would not run.
    pub(crate) fn readings(&self, real: &Real, looks_wrong: Option<TipId>) -> Option<Readings> {
        let mut readings = self.states();
        let caught = self.usual_catches();
        let mut places: Vec<ReadingPlace> =
            caught.iter().map(|tip| ReadingPlace::Catch(*tip)).collect();
        places.extend(looks_wrong.filter(|tip| !caught.contains(tip)).map(ReadingPlace::Catch));
        add(&mut readings, &places);
        let first = real.read(&readings)?;
        let gauges = self.far_ends(&first, caught.len());
        add(&mut readings, &gauges);
        real.read(&readings)
    }

    fn states(&self) -> Readings {
        read_readings(self.states, false, &self.scenario).unwrap()
    }

    /// The tip caught in each section.
    fn usual_catches(&self) -> Vec<TipId> {
        let plumbing = self.plumbing();
        let of_section = |i: usize| {
            let tips = plumbing.tips.iter().enumerate();
            let of_section = tips.filter(|(_, tip)| tip.section == Some(SectionId::at(i)));
            let of_section: Vec<usize> = of_section.map(|(tip, _)| tip).collect();
            TipId::at(of_section[of_section.len() / 3])
        };
        (0..plumbing.sections.len()).map(of_section).collect()
    }

    /// Where the gauge goes once the catch tests are in.
    fn far_ends(&self, first: &Readings, sections: usize) -> Vec<ReadingPlace> {
        let flows = first.states[0].readings.iter().filter_map(|reading| match reading.place {
            ReadingPlace::Catch(tip) => Some((self.plumbing().tips[tip.index()].section?, reading)),
            _ => None,
        });
        let flows: Vec<(SectionId, f64)> =
            flows.take(sections).map(|(section, reading)| (section, reading.value)).collect();
        let mut sorted: Vec<f64> = flows.iter().map(|(_, flow)| *flow).collect();
        sorted.sort_by(f64::total_cmp);
        let middle = sorted[sorted.len() / 2];
        let mut by_distance = flows;
        by_distance.sort_by(|a, b| (a.1 - middle).abs().total_cmp(&(b.1 - middle).abs()));
        let gauges = if sections > 8 { 1 } else { 2 };
        let picked = by_distance.iter().rev().take(1).chain(by_distance.iter().take(gauges - 1));
        picked
            .map(|(section, _)| {
                ReadingPlace::TestGauge(self.plumbing().sections[section.index()].far_ends[0])
            })
            .collect()
    }
}

fn add(readings: &mut Readings, places: &[ReadingPlace]) {
    for place in places {
        let accuracy = Accuracy::Share(accuracy(*place));
        readings.states[0].readings.push(Reading { place: *place, value: 0.0, accuracy });
    }
}

/// How far a reading may be off, as the template states it.
pub(crate) fn accuracy(place: ReadingPlace) -> f64 {
    if matches!(place, ReadingPlace::Speed(_)) { 0.01 } else { 0.02 }
}

/// Sizes from which faults of a kind are drawn, each as often on a logarithmic scale: not what the diagnosis takes for likely.
pub(crate) fn severities(kind: FaultKind) -> (f64, f64) {
    use FaultKind as K;
    match kind {
        K::StrainerPlugged | K::ValvePartOpen => (1.0, 100.0),
        K::HoseKinked => (5.0, 500.0),
        K::TubeBlocked => (30.0, 3000.0),
        K::HoseOtherBore => (0.5, 0.85),
        K::SectionWorn | K::BoomWorn | K::SectionClogged | K::BoomClogged => (0.05, 0.4),
        K::TipWrong | K::TipUncaught => (0.3, 1.7),
        K::TipStrainerMissing | K::CheckStuck | K::CheckStuckOpen => (1.0, 1.0),
        K::PumpSlow | K::PumpWorn | K::AirAtSuction => (0.05, 0.3),
        K::ValvePasses => (0.01, 0.3),
        K::Leak => (0.01, 0.15),
        K::GaugeOff | K::MeterOff => (0.8, 1.2),
        K::LiquidDensity => (0.8, 1.3),
        K::LiquidViscosity => (0.5, 5.0),
    }
}
