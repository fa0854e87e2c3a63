//! In which order should sections be blown?

use crate::plumbing::{Machine, Plumbing, SectionId, ShutOff};
use crate::procedure::{Action, AirPurge, Course, Lasts, Pulse, Step, Until};

/// Time without liquid after which a part of an order that looks for it goes on, s.
const QUIET_S: f64 = 2.0;
/// Time that pulsed air blows and rests, s.
const PULSE: Pulse = Pulse { on_s: 2.0, off_s: 2.0 };

/// An order worth trying: the course that does nothing but purge in it.
#[derive(Clone, Debug, PartialEq)]
pub struct Trial {
    /// What it is, in words.
    pub name: String,
    /// The course.
    pub course: Course,
}

/// Why there is no order to try.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NoTrial {
    /// No step purges.
    #[error("no step of the scenario purges; add one with `do = \"purge\"`")]
    NoPurge,
    /// There is nothing to put in order.
    #[error("the machine has fewer than two sections with valves: there is no order to choose")]
    OneSection,
}

/// The sensible orders for the first purge of `course` on `machine`, each within the time of that purge and with the
/// same air, on lines that hold what they hold at the start of `course`.
///
/// # Errors
/// [`NoTrial`] where there is nothing to try.
pub fn orders(machine: &Machine, course: &Course) -> Result<Vec<Trial>, NoTrial> {
    let plumbing = &machine.plumbing;
    let purges = |step: &&Step| step.action == Action::Purge;
    let first = course.steps.iter().position(|step| step.action == Action::Purge);
    let parts: Vec<&Step> =
        first.map_or(Vec::new(), |first| course.steps[first..].iter().take_while(purges).collect());
    let Some((base, air)) = parts.first().and_then(|step| Some((*step, step.purge?))) else {
        return Err(NoTrial::NoPurge);
    };
    let most_s: f64 = parts.iter().filter_map(|step| step.lasts).map(|lasts| lasts.most_s).sum();
    // Sections that any part opens.
    let opens = |i: &usize| {
        let valve = plumbing.sections[*i].valve;
        valve.is_some_and(|valve| parts.iter().any(|s| s.settings.opening[valve.index()] > 0.0))
    };
    let sections: Vec<usize> = (0..plumbing.sections.len()).filter(opens).collect();
    if sections.len() < 2 {
        return Err(NoTrial::OneSection);
    }
    let far_first = by_distance(plumbing, &sections);
    let near_first: Vec<usize> = far_first.iter().rev().copied().collect();
    let one = |order: &[usize]| order.iter().map(|i| vec![*i]).collect::<Vec<_>>();
    let pairs: Vec<Vec<usize>> = far_first.chunks(2).map(<[usize]>::to_vec).collect();
    let twice = |order: &[usize]| [one(order), one(order)].concat();
    let groups: [(&str, Vec<Vec<usize>>); 7] = [
        ("all together", vec![sections.clone()]),
        ("one at a time, left to right", one(&sections)),
        ("one at a time, far ones first", one(&far_first)),
        ("one at a time, near ones first", one(&near_first)),
        ("two at a time, far ones first", pairs),
        ("one at a time, far ones first, two rounds", twice(&far_first)),
        ("all together, then one at a time, far ones first", {
            [vec![sections.clone()], one(&far_first)].concat()
        }),
    ];
    let mut trials = Vec::new();
    let mut add = |name: String, groups: &[Vec<usize>], until, pulse| {
        let each = Lasts { most_s: most_s / groups.len() as f64, until };
        let purge = AirPurge { pulse, ..air };
        let steps = groups.iter().enumerate();
        let steps = steps.map(|(k, open)| part(plumbing, base, (k, open), each, purge)).collect();
        trials.push(Trial { name, course: Course { steps, ..course.clone() } });
    };
    for (name, groups) in &groups {
        add((*name).to_owned(), groups, Until::Time, None);
        if groups.len() > 1 {
            let name = format!("{name}, each until {QUIET_S:.0} s bring no liquid");
            add(name, groups, Until::NoLiquid(QUIET_S), None);
        }
    }
    add("all together, pulsed".into(), &groups[0].1, Until::Time, Some(PULSE));
    Ok(trials)
}

/// `sections`, the one whose feed end is farthest from the machine's centre first.
fn by_distance(plumbing: &Plumbing, sections: &[usize]) -> Vec<usize> {
    let distance = |i: usize| {
        let end = plumbing.sections[i].feed_end;
        end.and_then(|node| plumbing.node(node).x_m).map_or(0.0, f64::abs)
    };
    let mut order = sections.to_vec();
    order.sort_by(|a, b| distance(*b).total_cmp(&distance(*a)));
    order
}

/// Part number `k` of an order: `base` with only the sections in `open` open.
fn part(
    plumbing: &Plumbing,
    base: &Step,
    (k, open): (usize, &[usize]),
    lasts: Lasts,
    purge: AirPurge,
) -> Step {
    let mut settings = base.settings.clone();
    for (i, section) in plumbing.sections.iter().enumerate() {
        if let Some(valve) = section.valve {
            settings.opening[valve.index()] = f64::from(open.contains(&i));
        }
    }
    for (tip, opening) in plumbing.tips.iter().zip(&mut settings.tip_opening) {
        *opening = f64::from(tip.in_use && tip.shut_off != ShutOff::Each);
    }
    let name = |i: &usize| plumbing.sections[SectionId::at(*i).index()].name.clone();
    let names: Vec<String> = open.iter().map(name).collect();
    Step {
        name: format!("{}: {}", k + 1, names.join(", ")),
        settings,
        lasts: Some(lasts),
        purge: Some(purge),
        pass: None,
        ..base.clone()
    }
}
