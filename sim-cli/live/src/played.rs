//! A run that is played: as the course goes, changed on the way, and back again.

use sim_core::findings::{StepFindings, of_run};
use sim_core::procedure::{Lasts, Step, Until};
use sim_core::scenario::Scenario;
use sim_core::simulation::{Record, RunError, Sample, Session, StepRecord};
use std::rc::Rc;

/// How long a step without a time lasts while it is played, s.
const OPEN_S: f64 = 3600.0;
/// Time between two moments that can be gone back to at once, s.
const MARK_EVERY_S: f64 = 5.0;
/// Most such moments; every other one goes where there are more.
const MOST_MARKS: usize = 32;

/// A run under way.
pub(crate) struct Played {
    scenario: Scenario,
    session: Session,
    parts: Vec<PlayedPart>,
    marks: Vec<Mark>,
}

/// A stretch of the run under the same settings.
#[derive(Clone)]
pub(crate) struct PlayedPart {
    /// The step as it was begun.
    step: Step,
    /// Its number in the course.
    pub(crate) number: usize,
    /// The text it is from.
    pub(crate) text: Rc<str>,
    pub(crate) start_s: f64,
    /// Once it is over.
    record: Option<Rc<StepRecord>>,
}

/// A moment of the run.
struct Mark {
    session: Session,
    parts: Vec<PlayedPart>,
}

impl Played {
    /// The run of `scenario`, read from `text`, that begins with step `number` of its course.
    pub(crate) fn begin(scenario: &Scenario, text: &str, number: usize) -> Result<Self, RunError> {
        let session = Session::new(&scenario.machine, &scenario.course)?;
        let mut played =
            Self { scenario: scenario.clone(), session, parts: Vec::new(), marks: Vec::new() };
        played.go_over_to(scenario.course.steps[number].clone(), number, text.into())?;
        played.mark();
        Ok(played)
    }

    pub(crate) fn time_s(&self) -> f64 {
        self.session.time_s()
    }

    /// The number of the step under way.
    pub(crate) fn number(&self) -> usize {
        self.parts.last().map_or(0, |part| part.number)
    }

    /// The text that the part under way is from.
    pub(crate) fn text(&self) -> &str {
        self.parts.last().map_or("", |part| &part.text)
    }

    pub(crate) fn parts(&self) -> &[PlayedPart] {
        &self.parts
    }

    /// Whether the last step of the course has come to its end.
    pub(crate) fn is_over(&self) -> bool {
        !self.session.under_way() && self.number() + 1 >= self.scenario.course.steps.len()
    }

    /// Goes on in whole moves, step after step, until the time is `to_s` or a little later, or the course is over. Moves are
    /// never cut, so that what is played is what a run of the file is.
    pub(crate) fn play_to(&mut self, to_s: f64) -> Result<(), RunError> {
        while self.session.time_s() < to_s - 1e-9 && !self.is_over() {
            if self.session.under_way() {
                self.session.move_on(f64::INFINITY)?;
            } else {
                let number = self.number() + 1;
                let text = Rc::from(self.text());
                self.go_over_to(self.scenario.course.steps[number].clone(), number, text)?;
            }
            self.mark();
        }
        Ok(())
    }

    /// Goes on with step `number` of `scenario`, whose machine is the one that runs. The same step goes on for the time it has
    /// left; another begins.
    pub(crate) fn change(
        &mut self,
        scenario: &Scenario,
        text: &str,
        number: usize,
    ) -> Result<(), RunError> {
        let mut step = scenario.course.steps[number].clone();
        self.scenario = scenario.clone();
        let now = self.session.time_s();
        if let Some(part) = self.parts.last().filter(|part| part.number == number) {
            let began = self.parts.iter().rev().take_while(|part| part.number == number).last();
            let passed_s = now - began.map_or(now, |part| part.start_s);
            if passed_s > 0.0 {
                step.loads.clear();
                let open = Lasts { most_s: OPEN_S, until: Until::Time };
                let left = |lasts: Lasts| (lasts.most_s - passed_s).max(0.1);
                let lasts = step.lasts.map_or(open, |lasts| Lasts { most_s: left(lasts), ..lasts });
                step.lasts = Some(lasts);
            }
            let same = |a: &Step, b: &Step| {
                (&a.settings, &a.controls, &a.purge) == (&b.settings, &b.controls, &b.purge)
            };
            if same(&part.step, &step) && self.session.under_way() {
                return Ok(());
            }
        }
        self.go_over_to(step, number, text.into())
    }

    /// Ends the part under way and begins another.
    fn go_over_to(&mut self, mut step: Step, number: usize, text: Rc<str>) -> Result<(), RunError> {
        step.lasts.get_or_insert(Lasts { most_s: OPEN_S, until: Until::Time });
        let start_s = self.session.time_s();
        let record = self.session.end()?;
        match self.parts.last_mut() {
            // What has lasted no time has not been.
            Some(part) if part.start_s >= start_s => {
                self.parts.pop();
            }
            Some(part) => part.record = record.map(Rc::new),
            None => {}
        }
        self.session.begin(step.clone())?;
        self.parts.push(PlayedPart { step, number, text, start_s, record: None });
        Ok(())
    }

    /// Keeps the moment, if the last one kept is long past.
    fn mark(&mut self) {
        let last_s = self.marks.last().map_or(f64::NEG_INFINITY, |mark| mark.session.time_s());
        let every_s = MARK_EVERY_S.max(self.session.time_s() / MOST_MARKS as f64);
        if self.session.time_s() < last_s + every_s {
            return;
        }
        self.marks.push(Mark { session: self.session.clone(), parts: self.parts.clone() });
        if self.marks.len() > MOST_MARKS {
            let mut keep = 0;
            self.marks.retain(|_| {
                keep += 1;
                keep % 2 == 1
            });
        }
    }

    /// Goes back to `to_s`: what came after is undone.
    pub(crate) fn back_to(&mut self, to_s: f64) -> Result<(), RunError> {
        if to_s >= self.session.time_s() {
            return Ok(());
        }
        let later = |mark: &Mark| mark.session.time_s() > to_s + 1e-9;
        let keep = self.marks.iter().position(later).unwrap_or(self.marks.len()).max(1);
        let changes: Vec<PlayedPart> =
            self.parts.iter().filter(|part| part.start_s < to_s - 1e-9).cloned().collect();
        self.marks.truncate(keep);
        let Some(mark) = self.marks.last() else { return Ok(()) };
        (self.session, self.parts) = (mark.session.clone(), mark.parts.clone());
        for change in changes {
            if change.start_s > self.session.time_s() - 1e-9
                && self.parts.last().is_some_and(|part| part.start_s < change.start_s)
            {
                self.until(change.start_s)?;
                self.go_over_to(change.step, change.number, change.text)?;
            }
        }
        self.until(to_s)
    }

    /// Goes on within the part under way.
    fn until(&mut self, to_s: f64) -> Result<(), RunError> {
        while self.session.time_s() < to_s - 1e-9 && self.session.under_way() {
            self.session.move_on(f64::INFINITY)?;
            self.mark();
        }
        Ok(())
    }

    /// Everything as it is at this moment.
    pub(crate) fn moment(&self) -> Option<Sample> {
        self.session.moment()
    }

    /// The scenario of the run so far: each part a step of its length.
    pub(crate) fn as_scenario(&self) -> Scenario {
        let mut scenario = self.scenario.clone();
        let ends =
            self.parts.iter().skip(1).map(|part| part.start_s).chain([self.session.time_s()]);
        let lasting = self.parts.iter().zip(ends).filter(|(part, end_s)| *end_s > part.start_s);
        let as_it_was = self.parts.len() == scenario.course.steps.len();
        let mut steps: Vec<Step> = Vec::new();
        for (part, end_s) in lasting {
            let mut step = part.step.clone();
            let until = step.lasts.map_or(Until::Time, |lasts| lasts.until);
            step.lasts = Some(Lasts { most_s: end_s - part.start_s, until });
            if !as_it_was {
                step.pass = None;
            }
            let taken = |name: &str| steps.iter().any(|step| step.name == name);
            let names = (2..).map(|k| format!("{}, changed {}", part.step.name, k - 1));
            let name = std::iter::once(step.name.clone()).chain(names).find(|name| !taken(name));
            step.name = name.unwrap_or_default();
            steps.push(step);
        }
        scenario.course.steps = steps;
        scenario
    }

    /// What the run so far means: the findings of each part, the one under way included.
    pub(crate) fn findings(&self) -> Result<Vec<StepFindings>, RunError> {
        let scenario = self.as_scenario();
        let mut steps: Vec<StepRecord> =
            self.parts.iter().filter_map(|part| part.record.as_deref().cloned()).collect();
        steps.extend(self.session.clone().end()?.filter(|record| record.end_s > record.start_s));
        let record = Record { steps };
        Ok(of_run(&scenario.machine, &scenario.course, &scenario.limits, &record))
    }
}
