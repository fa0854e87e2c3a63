//! Faults in the trade's words.

use super::extended::all_tips_m3_s;
use super::fault::{Fault, FaultKind, Spot};
use super::model::Fitted;
use crate::plumbing::{BranchId, NodeId, Part, Plumbing, Side, TIP_SIZES, TipId};
use crate::units::{Quantity as Q, UnitSystem, show};

impl Fault {
    /// The fault and its place, such as `feed hose of section 3 kinked or collapsed`.
    pub fn words(&self, plumbing: &Plumbing) -> String {
        match self.spot {
            Spot::Branch(id) => self.of_branch(id, plumbing),
            Spot::Section(id) => self.of_section(&plumbing.sections[id.index()].name),
            Spot::Tip(id) => self.of_tip(id, plumbing),
            Spot::Gauge(i) => {
                format!("machine's gauge \"{}\" reads off", plumbing.gauges[i.index()].name)
            }
            Spot::TestGauge => "test gauge reads off".into(),
            Spot::Node(node) => format!("leak at {}", leak(node, plumbing)),
            Spot::Boom if self.kind == FaultKind::BoomClogged => {
                "clogged or too small tips over the whole boom".into()
            }
            Spot::Boom => "worn tips over the whole boom".into(),
            Spot::Liquid if self.kind == FaultKind::LiquidDensity => {
                "liquid of another density than stated".into()
            }
            Spot::Liquid => "liquid of another viscosity than stated".into(),
        }
    }

    fn of_branch(&self, id: BranchId, plumbing: &Plumbing) -> String {
        use FaultKind as K;
        let name = &plumbing.branch(id).name;
        match self.kind {
            K::StrainerPlugged => format!("{} plugged", strainer(id, plumbing)),
            K::HoseKinked => format!("{} kinked or collapsed", hose(id, plumbing)),
            K::HoseOtherBore => format!("{} of another bore", hose(id, plumbing)),
            K::TubeBlocked => format!("tube partly blocked {}", along_tube(id, plumbing)),
            K::ValvePartOpen => format!("{} not fully open", valve(id, plumbing)),
            K::ValvePasses => format!("{} passing or not fully closed", valve(id, plumbing)),
            K::CheckStuckOpen => format!("check valve {name} stuck open"),
            K::PumpSlow => format!("{} slower than shown", pump(id, plumbing)),
            K::PumpWorn => format!("{} worn", pump(id, plumbing)),
            K::AirAtSuction => "air leak on the suction side".into(),
            K::MeterOff => format!("{} reads off", named("flow meter", "meter", name)),
            _ => format!("check valve {name} stuck closed"),
        }
    }

    fn of_section(&self, section: &str) -> String {
        match self.kind {
            FaultKind::SectionWorn => format!("worn tips in section {section}"),
            FaultKind::SectionClogged => format!("clogged or too small tips in section {section}"),
            _ => format!("a tip not caught in section {section} wrong or partly plugged"),
        }
    }

    fn of_tip(&self, id: TipId, plumbing: &Plumbing) -> String {
        let tip = &plumbing.tips[id.index()].name;
        match self.kind {
            FaultKind::TipStrainerMissing => format!("tip strainer missing at {tip}"),
            FaultKind::CheckStuck => format!("check valve of tip {tip} stuck closed"),
            FaultKind::CheckStuckOpen => format!("check valve of tip {tip} stuck open"),
            _ => format!("tip {tip} wrong or partly plugged"),
        }
    }
}

/// Where a leak is, by what ends there.
fn leak(node: NodeId, plumbing: &Plumbing) -> String {
    let sections = || plumbing.sections.iter();
    if let Some(section) = sections().find(|section| section.feed_end == Some(node)) {
        return format!("the feed hose of section {}", section.name);
    }
    if let Some(section) = sections().find(|section| section.far_ends.contains(&node)) {
        return format!("the far end of section {}, {}", section.name, plumbing.node(node).name);
    }
    let feeds = |valve: BranchId| plumbing.branch(valve).from == node;
    if sections().any(|section| section.valve.is_some_and(feeds)) {
        return format!("the manifold of the section valves, {}", plumbing.node(node).name);
    }
    plumbing.node(node).name.clone()
}

/// Where on its tube line `id` is, by the tips at its ends.
fn along_tube(id: BranchId, plumbing: &Plumbing) -> String {
    let branch = plumbing.branch(id);
    let at = |node: NodeId| {
        let tip = plumbing.tips.iter().find(|tip| tip.node == node);
        tip.map_or(&plumbing.node(node).name, |tip| &tip.name)
    };
    let section = branch.section.map(|s| &plumbing.sections[s.index()].name);
    let of = section.map_or_else(String::new, |name| format!(" in section {name}"));
    format!("near {} to {}{of}", at(branch.from), at(branch.to))
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
        None if matches!(branch.part, Part::CheckValve(_)) => {
            format!("relief valve {}", branch.name)
        }
        None => format!("valve {}", branch.name),
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
            K::HoseKinked | K::TubeBlocked => {
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
            K::SectionClogged | K::BoomClogged => {
                format!("{} below rated flow", percent(self.severity))
            }
            K::TipWrong | K::TipUncaught => self.tip_words(plumbing),
            K::TipStrainerMissing | K::CheckStuck | K::CheckStuckOpen => String::new(),
            K::PumpSlow => format!("{} slower", percent(self.severity)),
            K::PumpWorn => format!("{} less delivery at equal head", percent(self.severity)),
            K::AirAtSuction => format!("{} of what it moves is air", percent(self.severity)),
            K::ValvePasses => format!("passes like {} of the valve", share(self.severity)),
            K::Leak => {
                let flow = self.severity * all_tips_m3_s(plumbing);
                format!("loses {} at {}", show(flow, Q::Flow, units), show(3e5, Q::Pressure, units))
            }
            K::LiquidDensity => times(self.severity, ["lighter", "heavier"]),
            K::LiquidViscosity => format!("{:.1} times as viscous", self.severity),
            K::GaugeOff | K::MeterOff => format!("reads {}", times(self.severity, ["low", "high"])),
        }
    }

    /// Flow over rated flow, and the nearest size after ISO 10625 where that is near.
    fn tip_words(&self, plumbing: &Plumbing) -> String {
        let flow = format!("gives {:.0} % of its rated flow", 100.0 * self.severity);
        let Spot::Tip(id) = self.fault.spot else { return flow };
        let tip = &plumbing.tips[id.index()];
        let at_3_bar = (3e5 / tip.rated_at_pa).sqrt();
        let as_is = tip.rated_flow_m3_s * at_3_bar;
        let off = |size: &crate::plumbing::TipSize| {
            (size.flow_m3_s() / (as_is * self.severity)).ln().abs()
        };
        let nearest = TIP_SIZES.iter().min_by(|a, b| off(a).total_cmp(&off(b)));
        match nearest
            .filter(|size| off(size) < 0.06 && (size.flow_m3_s() / as_is).ln().abs() > 0.06)
        {
            Some(size) => format!("{flow}: like a size {} tip", size.code),
            None => flow,
        }
    }
}

fn share(share: f64) -> String {
    if share < 0.01 { format!("{:.1} %", 100.0 * share) } else { format!("{:.0} %", 100.0 * share) }
}

/// `factor` as what it is off 1 by, with the word for less or for more.
fn times(factor: f64, words: [&str; 2]) -> String {
    let off = factor - 1.0;
    format!("{:.1} % {}", 100.0 * off.abs(), words[usize::from(off >= 0.0)])
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
