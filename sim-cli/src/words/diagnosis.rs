//! A diagnosis in words.

use super::count_of;
use crate::results::Diagnosed;
use sim_core::diagnosis::{
    Conclusion, Explanation, Fault, FaultKind, Fitted, Measurement, Odd, Rival, Spot,
};
use sim_core::plumbing::{Branch, BranchId, Part, Plumbing, Side};
use sim_core::procedure::Action;
use sim_core::scenario::ReadingPlace;
use sim_core::units::{Quantity as Q, UnitSystem, show};

/// Readings below which a diagnosis says that it has too few: a fault's size takes one, its place two or three.
const FEW: usize = 4;
/// Explanations of a group named one by one.
const NAMED: usize = 4;
/// Groups of explanations named where nothing is decided, and the probability from which one is.
const GROUPS: usize = 4;
const LIKELY: f64 = 0.05;
/// Share of the first explanation's probability from which another of its group is named.
const MEMBER: f64 = 0.05;

/// Cautions that go with every diagnosis.
pub(crate) const CAUTIONS: [&str; 4] = [
    "Stop the pump, relieve the pressure and let it fall to nothing before a line, strainer or valve is opened; hoses and \
     air chambers can hold pressure with the pump at rest.",
    "Wear the protection the product label asks for; residues in lines and on tips are pesticide.",
    "Take readings with clean water, stand clear of hoses under pressure, keep hands off a leak.",
    "The product label, local rules and licensed practice decide; a repair is checked by reading again.",
];

/// The answer in a few paragraphs, the answer itself first.
pub(crate) fn answer(diagnosed: &Diagnosed) -> Vec<String> {
    let d = &diagnosed.diagnosis;
    let read = diagnosed.readings.states.iter().filter(|state| !state.readings.is_empty());
    let states = read.count();
    let mut said = match d.conclusion {
        Conclusion::NoFault => vec![format!(
            "No fault is called: the readings are what the healthy machine gives ({}).",
            percent(d.groups[0])
        )],
        Conclusion::Fault => {
            vec![format!("{} ({}).", capital(&group_words(diagnosed, 0)), percent(d.groups[0]))]
        }
        Conclusion::Undecided => vec![undecided(diagnosed)],
        Conclusion::Unexplained => unexplained(diagnosed),
    };
    if matches!(d.conclusion, Conclusion::Fault | Conclusion::Undecided) {
        said.extend(alike(diagnosed));
    }
    let states = if states == 1 { "one state".into() } else { format!("{states} states") };
    let count = count_of(d.count, "reading");
    said.push(format!(
        "{count} in {states}, held against {} explanations; something that is in no catalogue: {}.",
        d.considered,
        percent(d.something_else)
    ));
    if d.count < FEW {
        said.push(format!(
            "That is too few: nearly any fault can be sized to fit {}. Take what is asked for below, {FEW} readings at least, \
             before a part is opened.",
            if d.count == 1 { "it" } else { "them" }
        ));
    }
    if !d.unseen.is_empty() {
        let plumbing = &diagnosed.scenario.machine.plumbing;
        let names: Vec<String> = d.unseen.iter().take(6).map(|f| f.words(plumbing)).collect();
        let more = if d.unseen.len() > names.len() { "; and more" } else { "" };
        said.push(format!("No reading would show: {}{more}.", names.join("; ")));
    }
    said
}

fn undecided(diagnosed: &Diagnosed) -> String {
    let groups = diagnosed.diagnosis.groups.iter().enumerate().take(GROUPS);
    let likely = groups.filter(|(i, share)| *i == 0 || **share >= LIKELY);
    let named: Vec<String> = likely
        .map(|(i, share)| format!("{} {}", group_words(diagnosed, i), percent(*share)))
        .collect();
    let next = diagnosed.next.first().map_or_else(String::new, |m| {
        format!(" Take this one reading: {}.", measurement_words(diagnosed, m))
    });
    format!("Not decided: {}.{next}", named.join("; "))
}

/// That nothing explains the readings, and which are odd.
fn unexplained(diagnosed: &Diagnosed) -> Vec<String> {
    let d = &diagnosed.diagnosis;
    let best = &d.explanations[0];
    let mut said = vec![format!(
        "! Nothing in the catalogue explains these readings. The model of this machine does not fit the readings: even the best \
         of {} explanations leaves a misfit of {:.1} over {}, which chance gives once in {}.",
        d.considered,
        best.misfit,
        count_of(d.count, "reading"),
        once_in(d.chance_of_misfit)
    )];
    match &d.odd {
        Some(odd) => said.push(format!("! {}", odd_words(diagnosed, odd))),
        None => said.push(
            "! Check the scenario (tips, bores, pump, what was open), the units and the accuracy of the readings; a machine known \
             to be healthy can be fitted with --calibrate."
                .into(),
        ),
    }
    said.push(format!("Nearest, and not near enough: {}.", words(diagnosed, best)));
    said
}

fn odd_words(diagnosed: &Diagnosed, odd: &Odd) -> String {
    let (d, plumbing) = (&diagnosed.diagnosis, &diagnosed.scenario.machine.plumbing);
    let one = |(i, expected): (&usize, &f64)| {
        let r = &d.healthy_readings[*i];
        let say = |value: f64| value_words(r.place, value, diagnosed.units);
        let state = &diagnosed.readings.states[r.state].name;
        let place = r.place.words(plumbing);
        format!(
            "{place}, state \"{state}\" (read {}, expected about {})",
            say(r.read),
            say(*expected)
        )
    };
    let places: Vec<String> = odd.readings.iter().zip(&odd.expected).map(one).collect();
    let rest = match &odd.faults[..] {
        [] => "a healthy machine gives".to_owned(),
        faults => {
            let names = faults.iter().map(|(fault, _)| fault.words(plumbing));
            format!("this explains: {}", names.collect::<Vec<_>>().join(" and "))
        }
    };
    let slip = odd.slip.map_or_else(String::new, |factor| format!(" {}", slip_words(factor)));
    format!("Odd: {}. The rest is what {rest}.{slip} Read it again.", places.join("; "))
}

/// What a usual mistake by `factor` is called.
fn slip_words(factor: f64) -> String {
    let times = if factor >= 1.0 { factor } else { 1.0 / factor };
    let what = match times {
        t if t > 14.0 => "psi and bar taken for each other",
        t if t > 9.0 => "a decimal place",
        t if t > 3.0 => "gallons and litres taken for each other",
        _ => "half or twice the time or the volume of the catch",
    };
    let way = if factor >= 1.0 { "high" } else { "low" };
    format!("It is {times:.4} times too {way}: {what}?")
}

/// A group of explanations that the readings cannot tell apart, by what they have in common, or else by its first.
pub(crate) fn group_words(diagnosed: &Diagnosed, group: usize) -> String {
    let members = members(diagnosed, group);
    let plumbing = &diagnosed.scenario.machine.plumbing;
    let Some(first) = members.first() else { return "something else".into() };
    let single: Option<Vec<Fault>> = members
        .iter()
        .map(|e| if let [one] = &e.faults[..] { Some(one.fault) } else { None })
        .collect();
    let common = single.filter(|faults| faults.len() > 1).and_then(|f| common_words(&f, plumbing));
    common.unwrap_or_else(|| words(diagnosed, first))
}

/// The explanations of a group that make up most of it: without pairs that hold the first fault and another that does nothing.
fn members(diagnosed: &Diagnosed, group: usize) -> Vec<&Explanation> {
    let of_group = || diagnosed.diagnosis.explanations.iter().filter(|e| e.group == group);
    let Some(lead) = of_group().next() else { return Vec::new() };
    let new = |e: &&Explanation| {
        e.faults.len() <= lead.faults.len()
            || !lead.faults.iter().all(|f| e.faults.iter().any(|g| g.fault == f.fault))
    };
    of_group().filter(new).filter(|e| e.probability >= MEMBER * lead.probability).collect()
}

/// What several faults have in common, if they are one thing to a gauge.
fn common_words(faults: &[Fault], plumbing: &Plumbing) -> Option<String> {
    use FaultKind as K;
    if faults.iter().all(|f| matches!(f.kind, K::PumpSlow | K::PumpWorn | K::AirAtSuction)) {
        return Some("pump delivers too little".into());
    }
    let restricts = |kind: K| {
        let line = matches!(kind, K::HoseKinked | K::HoseOtherBore | K::TubeBlocked);
        line || matches!(kind, K::ValvePartOpen | K::StrainerPlugged | K::CheckStuck)
    };
    let place = |fault: &Fault| match fault.spot {
        Spot::Branch(id) if restricts(fault.kind) => {
            let branch = plumbing.branch(id);
            // What a tube takes before its tips is as if its hose took it.
            let tube = branch.side == Side::Boom && branch.section.is_some();
            Some((if tube { Side::Feed } else { branch.side }, branch.section))
        }
        _ => None,
    };
    let first = place(faults.first()?)?;
    if !faults.iter().all(|fault| place(fault) == Some(first)) {
        return None;
    }
    let section = first.1.map(|id| plumbing.sections[id.index()].name.as_str());
    Some(match (first.0, section) {
        (Side::Feed, Some(section)) => format!("supply of section {section} restricted"),
        (Side::Return, Some(section)) => format!("return of section {section} restricted"),
        (Side::Suction, _) => "suction side restricted".into(),
        (Side::Return, None) => "return main restricted".into(),
        _ => "restriction between pump and header".into(),
    })
}

/// What the readings cannot tell apart, group by group; nothing for groups of one.
fn alike(diagnosed: &Diagnosed) -> Vec<String> {
    let undecided = diagnosed.diagnosis.conclusion == Conclusion::Undecided;
    let groups = if undecided { GROUPS } else { 1 };
    let likely = diagnosed.diagnosis.groups.iter().enumerate().take(groups);
    let likely = likely.filter(|(i, share)| *i == 0 || **share >= LIKELY);
    let said = likely.filter_map(|(group, _)| {
        let members = members(diagnosed, group);
        if members.len() < 2 {
            return None;
        }
        let named = members.iter().take(NAMED);
        let mut named: Vec<String> = named
            .map(|e| format!("{} ({})", words(diagnosed, e), percent(e.probability)))
            .collect();
        if members.len() > NAMED {
            named.push(format!("{} more", members.len() - NAMED));
        }
        Some(format!("The readings cannot tell apart: {}.", named.join("; ")))
    });
    said.collect()
}

/// Where and in what state to read, and how to get there.
pub(crate) fn measurement_words(diagnosed: &Diagnosed, m: &Measurement) -> String {
    let place = m.place.words(&diagnosed.scenario.machine.plumbing);
    if m.state_is_known {
        let held =
            m.state.held_pa().map(|pa| format!(" at {}", show(pa, Q::Pressure, diagnosed.units)));
        return format!("{place}; state \"{}\"{}", m.state.name, held.unwrap_or_default());
    }
    format!("{place}; new state \"{}\": {}", m.state.name, set_up(diagnosed, m))
}

/// How a state is set up, and what the machine's gauges should show in it.
fn set_up(diagnosed: &Diagnosed, m: &Measurement) -> String {
    let plumbing = &diagnosed.scenario.machine.plumbing;
    let mut said = Vec::new();
    if m.state.action == Action::Circulate {
        said.push("tips closed".to_owned());
    }
    let opening = &m.state.settings.opening;
    let back = |b: &Branch| b.side == Side::Return && b.section.is_none();
    for (branch, open) in plumbing.branches.iter().zip(opening) {
        if matches!(branch.part, Part::Valve(_)) && back(branch) && *open > 0.0 {
            said.push(format!("{} open", branch.name));
        }
    }
    let closed = |valve: BranchId| opening[valve.index()] <= 0.0;
    let open = plumbing.sections.iter().filter(|s| !s.valve.is_some_and(closed));
    let open: Vec<&str> = open.map(|section| section.name.as_str()).collect();
    if open.len() < plumbing.sections.len() {
        said.push(format!("only section {} open", open.join(", ")));
    }
    match m.state.held_pa() {
        Some(pa) => said.push(format!("{} held", show(pa, Q::Pressure, diagnosed.units))),
        None => {
            let pumps = plumbing.branches.iter().zip(&m.state.settings.speed);
            let pumps = pumps.filter(|(branch, _)| branch.part.pump().is_some());
            said.extend(pumps.map(|(branch, speed)| {
                format!("{} at {}", branch.name, show(*speed, Q::Share, diagnosed.units))
            }));
        }
    }
    let gauges = plumbing.gauges.iter().zip(&m.gauges_pa);
    let gauges: Vec<String> = gauges
        .map(|(gauge, pa)| {
            format!("\"{}\" about {}", gauge.name, show(*pa, Q::Pressure, diagnosed.units))
        })
        .collect();
    if !gauges.is_empty() {
        said.push(format!("expect {}", gauges.join(", ")));
    }
    said.join(", ")
}

/// What a gain of information is worth, in words.
pub(crate) fn worth(gain_bits: f64) -> &'static str {
    match gain_bits {
        bits if bits >= 0.7 => "says much",
        bits if bits >= 0.25 => "says something",
        _ => "says little",
    }
}

/// An explanation with its severities.
pub(crate) fn words(diagnosed: &Diagnosed, explanation: &Explanation) -> String {
    if explanation.is_healthy() {
        return "no fault".into();
    }
    let plumbing = &diagnosed.scenario.machine.plumbing;
    let one = |fitted: &Fitted| {
        let severity = severity(diagnosed, explanation, fitted);
        let name = fitted.fault.words(plumbing);
        if severity.is_empty() { name } else { format!("{name}: {severity}") }
    };
    explanation.faults.iter().map(one).collect::<Vec<_>>().join(", and ")
}

/// An explanation without severities.
pub(crate) fn short_words(diagnosed: &Diagnosed, explanation: &Explanation) -> String {
    if explanation.is_healthy() {
        return "no fault".into();
    }
    let plumbing = &diagnosed.scenario.machine.plumbing;
    let names = explanation.faults.iter().map(|fitted| fitted.fault.words(plumbing));
    names.collect::<Vec<_>>().join(" and ")
}

/// What a reading is to tell from others.
pub(crate) fn rival_words(diagnosed: &Diagnosed, rival: &Rival) -> String {
    match rival {
        Rival::Explanation(i) => short_words(diagnosed, &diagnosed.diagnosis.explanations[*i]),
        Rival::Hidden(hidden) => hidden.fault.words(&diagnosed.scenario.machine.plumbing),
    }
}

fn severity(diagnosed: &Diagnosed, explanation: &Explanation, fitted: &Fitted) -> String {
    let drop = match fitted.fault.spot {
        Spot::Branch(id) => {
            explanation.instants.iter().map(|i| i.loss_pa[id.index()]).find(|pa| pa.abs() > 0.0)
        }
        _ => None,
    };
    let words = fitted.severity_words(&diagnosed.scenario.machine.plumbing, drop, diagnosed.units);
    let bounded = fitted.severity_factor.is_finite() && fitted.severity_factor < 20.0;
    if words.is_empty() || bounded { words } else { format!("{words} (hardly bounded)") }
}

pub(crate) fn percent(share: f64) -> String {
    match share {
        share if share > 0.995 => "over 99 %".into(),
        share if share < 0.005 => "below 1 %".into(),
        share => format!("{:.0} %", 100.0 * share),
    }
}

fn once_in(chance: f64) -> String {
    if chance < 1e-6 { "a million or less often".into() } else { format!("{:.0}", 1.0 / chance) }
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

/// A value read at `place`.
pub(crate) fn value_words(place: ReadingPlace, value: f64, units: UnitSystem) -> String {
    match place {
        ReadingPlace::OwnGauge(_) | ReadingPlace::TestGauge(_) => show(value, Q::Pressure, units),
        ReadingPlace::Catch(_) | ReadingPlace::Meter(_) => show(value, Q::Flow, units),
        ReadingPlace::Speed(_) => show(value, Q::Share, units),
    }
}
