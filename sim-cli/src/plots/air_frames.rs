//! How does air push liquid through the plumbing, or liquid air?

use super::frames::{MOST_FRAMES, frames};
use super::picture::Picture;
use super::plan::Plan;
use super::timeline::Run;
use super::volume_bands::liquid_m3;
use sim_core::findings::section_breakthrough_s;
use sim_core::plumbing::{Plumbing, SectionId};
use sim_core::simulation::{AirRecord, Sample};

/// Letters of a step's name in a title, and of what happened.
const MOST_LETTERS: usize = 24;
/// Share of the run within which things happen together.
const TOGETHER: f64 = 0.01;
/// Change of the volume of liquid below which one frame says it all, m3.
const LEAST_CHANGE_M3: f64 = 1e-6;

const COLOURED: &str = ", coloured by its concentration";
const BELOW: &str = "; thin: liquid on the wall; dashed: air. Times from the start of the run";
/// What happened to a section through whose far end air comes.
const AIR_THROUGH: &str = "air through";

/// Something that happened to sections, and when, s after the run's start.
struct Event {
    time_s: f64,
    what: &'static str,
    sections: Vec<String>,
}

/// The frames.
pub(super) fn air_frames(run: &Run<'_>) -> Option<Picture> {
    let plumbing = &run.scenario.machine.plumbing;
    let plan = Plan::of(&run.scenario.machine);
    let samples: Vec<(usize, &Sample)> = run.samples().collect();
    let events = events(run);
    let places = chosen(plumbing, &samples, &events);
    let also = |place: usize| {
        let event = events.iter().find(|event| place_of(&samples, event) == place);
        event.map(|event| format!(": {}", event.words())).unwrap_or_default()
    };
    let title = format!("{}: air and liquid in the lines", run.scenario.title);
    let through = "; \"air through\": first at the far end of a section";
    let through = events.iter().any(|event| event.what == AIR_THROUGH).then_some(through);
    let coloured = if run.concentrations_change() { COLOURED } else { "" };
    let below = format!("thick: liquid{coloured}{BELOW}{}", through.unwrap_or_default());
    let shown = (&samples[..], &places[..]);
    Some(frames(run, &plan, (title, &below), shown, MOST_LETTERS, also))
}

impl Event {
    fn words(&self) -> String {
        let all = self.sections.join(", ");
        let some = match self.sections.as_slice() {
            [one] => format!("section {one}"),
            _ if all.chars().count() <= MOST_LETTERS => format!("sections {all}"),
            _ => format!("{} sections", self.sections.len()),
        };
        if self.what == AIR_THROUGH {
            format!("{AIR_THROUGH} {some}")
        } else {
            format!("{some} {}", self.what)
        }
    }
}

/// When air first came through each section, and when liquid first was at all its tips.
fn events(run: &Run<'_>) -> Vec<Event> {
    let plumbing = &run.scenario.machine.plumbing;
    let airy = |step: usize| Some((run.record.steps[step].start_s, run.moved(step)?.air.as_ref()?));
    let airy: Vec<(f64, &AirRecord)> = run.shown().filter_map(airy).collect();
    // Where liquid fills lines, air ahead of it comes through them, too: only a purge is after that.
    let blown = run.shown().filter(|step| run.scenario.course.steps[*step].purge.is_some());
    let parts: Vec<(f64, &[Option<f64>])> = blown
        .filter_map(|step| {
            let air = run.moved(step)?.air.as_ref()?;
            Some((run.record.steps[step].start_s, &air.broken_through_s[..]))
        })
        .collect();
    let mut events: Vec<Event> = Vec::new();
    for (i, section) in plumbing.sections.iter().enumerate() {
        let id = SectionId::at(i);
        let through = section_breakthrough_s(plumbing, &parts, id);
        let filled = airy
            .iter()
            .filter_map(|(start_s, air)| filled(plumbing, air, id).map(|time_s| start_s + time_s));
        let happened = through.map(|time_s| (AIR_THROUGH, time_s)).into_iter();
        for (what, time_s) in happened.chain(filled.map(|time_s| ("filled", time_s))) {
            events.push(Event { time_s, what, sections: vec![section.name.clone()] });
        }
    }
    events.sort_by(|a, b| a.time_s.total_cmp(&b.time_s));
    joined(events, TOGETHER * run.length_s())
}

/// `events` in order of time, those alike that are less than `together_s` apart as one.
fn joined(events: Vec<Event>, together_s: f64) -> Vec<Event> {
    let mut joined: Vec<Event> = Vec::new();
    for event in events {
        let alike =
            |last: &&mut Event| last.what == event.what && event.time_s - last.time_s < together_s;
        match joined.last_mut().filter(alike) {
            Some(last) => {
                last.sections.extend(event.sections);
                last.time_s = event.time_s;
            }
            None => joined.push(event),
        }
    }
    joined
}

fn filled(plumbing: &Plumbing, air: &AirRecord, section: SectionId) -> Option<f64> {
    let tips = plumbing.tips.iter().zip(&air.wet_s);
    let mut tips = tips.filter(|(tip, _)| tip.section == Some(section));
    tips.try_fold(0.0, |last: f64, (_, time_s)| Some(last.max((*time_s)?)))
        .filter(|last| *last > 0.0)
}

/// The first sample at or after `event`.
fn place_of(samples: &[(usize, &Sample)], event: &Event) -> usize {
    let place = samples.partition_point(|(_, sample)| sample.time_s < event.time_s - 1e-9);
    place.min(samples.len() - 1)
}

/// The first and the last sample, those of the events, evenly picked where there are many, and where
/// there are few some between which about the same volume of liquid moves.
fn chosen(plumbing: &Plumbing, samples: &[(usize, &Sample)], events: &[Event]) -> Vec<usize> {
    let last = samples.len() - 1;
    let mut all: Vec<usize> = events.iter().map(|event| place_of(samples, event)).collect();
    all.dedup();
    all.retain(|place| *place != 0 && *place != last);
    let room = MOST_FRAMES - 2;
    if all.len() > room {
        let nth = |k: usize| all[k * (all.len() - 1) / (room - 1)];
        all = (0..room).map(nth).collect();
    }
    let volume = |(_, sample): &(usize, &Sample)| liquid_m3(plumbing, sample, |_| true);
    let volumes: Vec<f64> = samples.iter().map(volume).collect();
    all.extend([0, last]);
    all.sort_unstable();
    all.dedup();
    // The longest gaps in what moved are filled first.
    for _ in all.len()..MOST_FRAMES {
        let Some(place) = between(&volumes, &all) else { break };
        all.push(place);
        all.sort_unstable();
    }
    all
}

/// The place that halves the largest change of `volumes` between two of `places` that has one.
fn between(volumes: &[f64], places: &[usize]) -> Option<usize> {
    let halved = |pair: &[usize]| {
        let (from, to) = (pair[0], pair[1]);
        let change = (volumes[to] - volumes[from]).abs();
        let half = (from + 1..to).find(|i| (volumes[*i] - volumes[from]).abs() >= 0.5 * change)?;
        (change > LEAST_CHANGE_M3).then_some((change, half))
    };
    let largest = places.windows(2).filter_map(halved).max_by(|a, b| a.0.total_cmp(&b.0));
    largest.map(|(_, place)| place)
}

#[cfg(test)]
mod tests {
    use super::between;

    #[test]
    fn a_frame_goes_where_half_of_the_largest_change_is_done() {
        let volumes = [10.0, 9.0, 5.0, 1.0, 1.0, 0.5];
        assert_eq!(between(&volumes, &[0, 5]), Some(2));
        assert_eq!(between(&volumes, &[0, 2, 5]), Some(3));
        assert_eq!(between(&[1.0, 1.0], &[0, 1]), None);
    }
}
