//! Faults in the trade's words.

use super::fault::{Fault, FaultKind, Spot};
use super::model::Fitted;
use crate::plumbing::{BranchId, Part, Plumbing, SectionId, Side, TIP_SIZES};
use crate::units::{Quantity as Q, UnitSystem, show};

impl Fault {
    /// The fault and its place, such as `kinked or collapsed hose 3-hose`.
    pub fn words(&self, plumbing: &Plumbing) -> String {
        let name = |id: BranchId| plumbing.branch(id).name.clone();
        let section = |id: SectionId| plumbing.sections[id.index()].name.clone();
        use FaultKind as K;
        match (self.kind, self.spot) {
            (K::StrainerPlugged, Spot::Branch(id)) => format!("{} plugged", strainer(id, plumbing)),
            (K::HoseKinked, Spot::Branch(id)) => {
                format!("{} kinked or collapsed", hose(id, plumbing))
            }
            (K::HoseOtherBore, Spot::Branch(id)) => {
                format!("{} of another bore", hose(id, plumbing))
            }
            (K::ValvePartOpen, Spot::Branch(id)) => {
                format!("{} not fully open", valve(id, plumbing))
            }
            (K::ValvePasses, Spot::Branch(id)) => format!("{} passing", passing(id, plumbing)),
            (K::SectionWorn, Spot::Section(id)) => format!("worn tips in section {}", section(id)),
            (K::BoomWorn, _) => "worn tips over the whole boom".into(),
            (K::TipWrong, Spot::Tip(id)) => {
                format!("tip {} wrong or partly plugged", plumbing.tips[id.index()].name)
            }
            (K::TipUncaught, Spot::Section(id)) => {
                format!("a tip not caught in section {} wrong or partly plugged", section(id))
            }
            (K::TipStrainerMissing, Spot::Tip(id)) => {
                format!("tip strainer missing at {}", plumbing.tips[id.index()].name)
            }
            (K::CheckStuck, Spot::Tip(id)) => {
                format!("check valve of tip {} stuck closed", plumbing.tips[id.index()].name)
            }
            (K::CheckStuck, Spot::Branch(id)) => format!("check valve {} stuck closed", name(id)),
            (K::PumpSlow, Spot::Branch(id)) => format!("{} slower than shown", pump(id, plumbing)),
            (K::PumpWorn, Spot::Branch(id)) => format!("{} worn", pump(id, plumbing)),
            (K::AirAtSuction, Spot::Branch(_)) => "air leak on the suction side".into(),
            (K::GaugeOff, Spot::Gauge(i)) => {
                format!("machine's gauge \"{}\" reads off", plumbing.gauges[i.index()].name)
            }
            (K::GaugeOff, _) => "test gauge reads off".into(),
            (K::MeterOff, Spot::Branch(id)) => {
                format!("{} reads off", named("flow meter", "meter", &name(id)))
            }
            (kind, _) => format!("{kind:?}"),
        }
    }
}

fn hose(id: BranchId, plumbing: &Plumbing) -> String {
    let branch = plumbing.branch(id);
    let section = branch.section.map(|s| plumbing.sections[s.index()].name.as_str());
    match (branch.side, section) {
        (Side::Feed, Some(section)) => format!("feed hose of section {section}"),
        (Side::Return, Some(section)) => {
            let several = plumbing.branches.iter().filter(|b| b.side == Side::Return);
            let several = several.filter(|b| b.section == branch.section).count() > 1;
            if several {
                format!("return hose {}", branch.name)
            } else {
                format!("return hose of section {section}")
            }
        }
        (Side::Feed, None) => named("main line", "main", &branch.name),
        (Side::Suction, _) => named("suction hose", "suction", &branch.name),
        (Side::Return, None) => named("return main", "return-main", &branch.name),
        _ => format!("line {}", branch.name),
    }
}

/// `words` alone for the part of the usual name, with its name for any other.
fn named(words: &str, usual: &str, name: &str) -> String {
    if name == usual { words.to_owned() } else { format!("{words} {name}") }
}

fn strainer(id: BranchId, plumbing: &Plumbing) -> &'static str {
    match plumbing.branch(id).side {
        Side::Suction => "suction strainer",
        _ => "pressure strainer",
    }
}

fn valve(id: BranchId, plumbing: &Plumbing) -> String {
    let branch = plumbing.branch(id);
    match branch.section {
        Some(section) => format!("valve of section {}", plumbing.sections[section.index()].name),
        None => format!("valve {}", branch.name),
    }
}

fn passing(id: BranchId, plumbing: &Plumbing) -> String {
    let branch = plumbing.branch(id);
    match branch.part {
        Part::CheckValve(_) => format!("relief valve {}", branch.name),
        _ => format!("valve {}", branch.name),
    }
}

fn pump(id: BranchId, plumbing: &Plumbing) -> String {
    let several = plumbing.branches.iter().filter(|b| b.part.pump().is_some()).count() > 1;
    if several { format!("pump {}", plumbing.branch(id).name) } else { "pump".into() }
}

impl Fitted {
    /// The severity in the trade's words; `drop_pa` is what the part takes, where it is a line or part.
    pub fn severity_words(
        &self,
        plumbing: &Plumbing,
        drop_pa: Option<f64>,
        units: UnitSystem,
    ) -> String {
        use FaultKind as K;
        let percent = |share: f64| format!("{:.0} %", 100.0 * share);
        let takes = drop_pa.map(|pa| format!("takes {}", show(pa, Q::Pressure, units)));
        match self.fault.kind {
            K::StrainerPlugged => {
                let left = 1.0 / (1.0 + self.severity).sqrt();
                joined(format!("flow coefficient down to {}", percent(left)), takes)
            }
            K::ValvePartOpen => {
                let left = 1.0 / (1.0 + self.severity).sqrt();
                joined(format!("as if {} open", percent(left)), takes)
            }
            K::HoseKinked => {
                joined(format!("free area about {}", percent(free_area(self.severity))), takes)
            }
            K::HoseOtherBore => {
                let stated = match self.fault.spot {
                    Spot::Branch(id) => plumbing.branch(id).part.line().map(|line| line.bore_m),
                    _ => None,
                };
                let bore = stated.map(|stated| {
                    format!(
                        "bore {} in place of {}",
                        show(stated * self.severity, Q::Bore, units),
                        show(stated, Q::Bore, units)
                    )
                });
                joined(bore.unwrap_or_else(|| percent(self.severity)), takes)
            }
            K::SectionWorn | K::BoomWorn => format!("{} over rated flow", percent(self.severity)),
            K::TipWrong | K::TipUncaught => self.tip_words(plumbing),
            K::TipStrainerMissing | K::CheckStuck => String::new(),
            K::PumpSlow => format!("{} slower", percent(self.severity)),
            K::PumpWorn => format!("{} less delivery at equal head", percent(self.severity)),
            K::AirAtSuction => format!("{} of what it moves is air", percent(self.severity)),
            K::ValvePasses => format!("passes like {} of the valve", share(self.severity)),
            K::GaugeOff | K::MeterOff => {
                let off = self.severity - 1.0;
                let word = if off < 0.0 { "low" } else { "high" };
                format!("reads {:.1} % {word}", 100.0 * off.abs())
            }
        }
    }

    /// Flow over rated flow, and the nearest severity after ISO 10625 where that is near.
    fn tip_words(&self, plumbing: &Plumbing) -> String {
        let flow = format!("gives {:.0} % of its rated flow", 100.0 * self.severity);
        let Spot::Tip(id) = self.fault.spot else { return flow };
        let tip = &plumbing.tips[id.index()];
        let at_3_bar = (3e5 / tip.rated_at_pa).sqrt();
        let as_is = tip.rated_flow_m3_s * at_3_bar;
        let off = |severity: &crate::plumbing::TipSize| {
            (severity.flow_m3_s() / (as_is * self.severity)).ln().abs()
        };
        let nearest = TIP_SIZES.iter().min_by(|a, b| off(a).total_cmp(&off(b)));
        match nearest.filter(|severity| {
            off(severity) < 0.06 && (severity.flow_m3_s() / as_is).ln().abs() > 0.06
        }) {
            Some(severity) => format!("{flow}: like a severity {} tip", severity.code),
            None => flow,
        }
    }
}

fn share(share: f64) -> String {
    if share < 0.01 { format!("{:.1} %", 100.0 * share) } else { format!("{:.0} %", 100.0 * share) }
}

fn joined(text: String, more: Option<String>) -> String {
    match more {
        Some(more) => format!("{text}, {more}"),
        None => text,
    }
}

/// Free share of a bore that a kink of loss coefficient `losses` leaves: the loss of the jet behind it by Borda and
/// Carnot, contracted to 0.61 of the opening (Weisbach; from memory).
fn free_area(losses: f64) -> f64 {
    1.0 / (0.61 * (1.0 + losses.sqrt())).max(1.0)
}
