//! The machine of the page, and what it answers.

use super::answer::Answer;
use super::controls::{self, ShownControl};
use super::faults::{ShownFault, shown};
use super::frame;
use super::machine::{ShownMachine, ShownStep, steps};
use super::played::Played;
use super::question::Question;
use serde::Serialize;
use sim_core::findings::{StepFindings, of_run};
use sim_core::plumbing::Plumbing;
use sim_core::procedure::Course;
use sim_core::scenario::{Files, Scenario, expand, read_noting};
use sim_core::settings::SettingPath;
use sim_core::simulation::{Record, RunError, Session, run};
use std::collections::BTreeMap;
use toml_edit::DocumentMut;

/// Lines and parts of a machine that a page takes: more cannot be drawn while something is dragged.
const MOST_PARTS: usize = 3000;

/// A machine that is asked, changed and played.
#[derive(Default)]
pub struct Live {
    files: GivenFiles,
    /// The last valid text, and what it says.
    text: String,
    scenario: Option<Scenario>,
    /// The step shown.
    number: usize,
    played: Option<Played>,
    /// Why the last run ended before its time, until it is shown.
    lost: Option<String>,
    /// The machine that the page draws.
    drawn: Plumbing,
    frame: Vec<f32>,
}

/// Files that were handed over.
#[derive(Default)]
struct GivenFiles(BTreeMap<String, String>);

impl Files for GivenFiles {
    fn read(&self, path: &str) -> Result<String, String> {
        self.0.get(path).cloned().ok_or_else(|| "this page holds no such file".into())
    }
}

/// What a valid text comes to.
#[derive(Serialize)]
struct Taken {
    title: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    about: Option<String>,
    /// Left out where it is the one drawn already.
    #[serde(skip_serializing_if = "Option::is_none")]
    machine: Option<ShownMachine>,
    steps: Vec<ShownStep>,
    controls: Vec<ShownControl>,
    /// Whether a run was ended because the machine is another.
    restarted: bool,
    /// What the text says to no effect.
    ignored: Vec<ShownFault>,
    #[serde(flatten)]
    now: Now,
}

/// What is shown at this moment.
#[derive(Serialize)]
struct Now {
    number: usize,
    #[serde(skip_serializing_if = "Option::is_none")]
    time: Option<f64>,
    over: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    answer: Option<Answer>,
    /// Why there is none.
    #[serde(skip_serializing_if = "Option::is_none")]
    untrusted: Option<String>,
}

/// Where a run is.
#[derive(Serialize)]
struct Where {
    time: f64,
    number: usize,
    over: bool,
    /// Whether another step has begun.
    moved: bool,
    /// The text of that time, where it is another one.
    #[serde(skip_serializing_if = "Option::is_none")]
    text: Option<String>,
}

#[derive(Serialize)]
struct Faulty {
    faults: Vec<ShownFault>,
}

#[derive(Serialize)]
struct Refused {
    error: String,
}

#[derive(Serialize)]
struct Untrusted {
    untrusted: String,
}

#[derive(Serialize)]
struct ChangedText {
    text: String,
}

/// The findings of each step, by name.
#[derive(Serialize)]
struct WholeRun {
    names: Vec<String>,
    findings: Vec<StepFindings>,
}

#[derive(Serialize)]
struct SavedRun {
    text: String,
    #[serde(flatten)]
    whole: WholeRun,
}

/// When each part of a run began, with which step of which text; and the time it is.
#[derive(Serialize)]
struct PlayedParts {
    parts: Vec<(f64, usize, String)>,
    time: f64,
}

/// An answer that says nothing.
const NOTHING: &str = "{}";

/// `answer` as JSON: plain structs of text and numbers always serialise.
fn written(answer: &impl Serialize) -> String {
    serde_json::to_string(answer).unwrap_or_else(|_| NOTHING.to_owned())
}

fn untrusted(error: &RunError) -> String {
    written(&Untrusted { untrusted: error.to_string() })
}

impl Live {
    /// Answers a question of the page; both are JSON.
    pub fn ask(&mut self, question: &str) -> String {
        match serde_json::from_str(question) {
            Ok(question) => self.answer(question),
            Err(error) => written(&Refused { error: error.to_string() }),
        }
    }

    /// What is drawn at this moment; its order is that of `frame.rs`.
    pub fn frame(&self) -> &[f32] {
        &self.frame
    }

    fn answer(&mut self, question: Question) -> String {
        match question {
            Question::Files { files } => {
                self.files = GivenFiles(files);
                NOTHING.to_owned()
            }
            Question::Text { text } => self.take(text),
            Question::Set { path, value } => self.set(&path, &value),
            Question::Step { number } => self.step(number),
            Question::Begin => self.begin(),
            Question::Play { to } => self.play(to),
            Question::Back { to } => self.back(to),
            Question::Stop => {
                self.played = None;
                self.now()
            }
            Question::Findings => self.now(),
            Question::Whole => self.whole(),
            Question::Scenario => self.as_scenario(),
            Question::Parts => self.parts(),
        }
    }

    /// Reads `text`; where it is not valid everything stays as it was.
    fn take(&mut self, text: String) -> String {
        let noted = match read_noting(&text, &self.files) {
            Ok(noted) => noted,
            Err(faults) => return written(&Faulty { faults: shown(&text, &faults) }),
        };
        let (scenario, ignored) = (noted.scenario, shown(&text, &noted.ignored));
        let parts = scenario.machine.plumbing.branches.len();
        if parts > MOST_PARTS {
            let error = format!(
                "{parts} lines and parts are more than a page can draw as they change ({MOST_PARTS}): \
                 `millstream run` takes them"
            );
            return written(&Refused { error });
        }
        self.number = self.number.min(scenario.course.steps.len() - 1);
        let goes_on = self.scenario.as_ref().is_some_and(|old| same_machine(old, &scenario));
        let restarted = !goes_on && self.played.take().is_some();
        if let Some(played) = &mut self.played {
            self.number = played.number().min(scenario.course.steps.len() - 1);
            let changed = played.change(&scenario, &text, self.number);
            self.keep_or_end(changed);
        }
        (self.text, self.scenario) = (text, Some(scenario));
        self.taken(restarted, ignored)
    }

    fn taken(&mut self, restarted: bool, ignored: Vec<ShownFault>) -> String {
        let now = self.shown_now();
        let Some(scenario) = &self.scenario else { return NOTHING.to_owned() };
        let units = scenario.units;
        let is_new = scenario.machine.plumbing != self.drawn;
        let machine = is_new.then(|| ShownMachine::of(scenario, units));
        let document: DocumentMut = self.text.parse().unwrap_or_default();
        let taken = Taken {
            title: scenario.title.clone(),
            about: scenario.about.clone(),
            machine,
            steps: steps(&scenario.course),
            controls: controls::of(scenario, &document, self.number, units),
            restarted,
            ignored,
            now,
        };
        if is_new {
            self.drawn = scenario.machine.plumbing.clone();
        }
        written(&taken)
    }

    /// Ends the run where it could not be `changed`.
    fn keep_or_end(&mut self, changed: Result<(), RunError>) {
        if let Err(error) = changed {
            (self.played, self.lost) = (None, Some(error.to_string()));
        }
    }

    fn set(&self, path: &str, value: &str) -> String {
        let changed = SettingPath::parse(path).and_then(|path| path.applied(&self.text, value));
        match changed {
            Ok(text) => written(&ChangedText { text }),
            Err(error) => written(&Refused { error: error.to_string() }),
        }
    }

    fn step(&mut self, number: usize) -> String {
        let Some(scenario) = &self.scenario else { return NOTHING.to_owned() };
        self.number = number.min(scenario.course.steps.len() - 1);
        if let Some(played) = &mut self.played {
            let changed = played.change(scenario, &self.text, self.number);
            self.keep_or_end(changed);
        }
        self.taken(false, Vec::new())
    }

    fn begin(&mut self) -> String {
        let Some(scenario) = &self.scenario else { return NOTHING.to_owned() };
        match Played::begin(scenario, &self.text, self.number) {
            Ok(played) => {
                self.played = Some(played);
                self.now()
            }
            Err(error) => untrusted(&error),
        }
    }

    fn play(&mut self, to: f64) -> String {
        let before = self.number;
        let went = self.played.as_mut().map(|played| played.play_to(to));
        self.after(went, before, None)
    }

    fn back(&mut self, to: f64) -> String {
        let before = self.number;
        let went = self.played.as_mut().map(|played| played.back_to(to));
        let text = self.played.as_ref().map(|played| played.text().to_owned());
        let text = text.filter(|text| *text != self.text);
        self.after(went, before, text)
    }

    /// Where the run is after it `went` on or back from step `before`.
    fn after(
        &mut self,
        went: Option<Result<(), RunError>>,
        before: usize,
        text: Option<String>,
    ) -> String {
        if let Some(Err(error)) = went {
            self.played = None;
            return untrusted(&error);
        }
        let (Some(played), Some(scenario)) = (&self.played, &self.scenario) else {
            return NOTHING.to_owned();
        };
        self.number = played.number();
        if let Some(sample) = played.moment() {
            self.frame = frame::of_sample(&scenario.machine.plumbing, &sample, scenario.units);
        }
        written(&Where {
            time: played.time_s(),
            number: self.number,
            over: played.is_over(),
            moved: self.number != before,
            text,
        })
    }

    fn now(&mut self) -> String {
        written(&self.shown_now())
    }

    /// What the run means so far; without one, what the step shown comes to.
    fn shown_now(&mut self) -> Now {
        let Some(scenario) = &self.scenario else {
            return Now { number: 0, time: None, over: false, answer: None, untrusted: None };
        };
        let (plumbing, units) = (&scenario.machine.plumbing, scenario.units);
        let (time, over) = match &self.played {
            Some(played) => (Some(played.time_s()), played.is_over()),
            None => (None, false),
        };
        let found = match &self.played {
            Some(played) => {
                if let Some(sample) = played.moment() {
                    self.frame = frame::of_sample(plumbing, &sample, units);
                }
                played.findings()
            }
            None => steady(scenario, self.number).map(|(frame, found)| {
                self.frame = frame;
                found
            }),
        };
        let goes_on = time.is_some() && !over;
        let (answer, untrusted) = match found {
            Ok(found) => (found.last().map(|found| Answer::of(found, goes_on, units)), None),
            Err(error) => (None, Some(error.to_string())),
        };
        let untrusted = self.lost.take().or(untrusted);
        Now { number: self.number, time, over, answer, untrusted }
    }

    fn whole(&self) -> String {
        let Some(scenario) = &self.scenario else { return NOTHING.to_owned() };
        match run(&scenario.machine, &scenario.course) {
            Ok(record) => {
                let (machine, course) = (&scenario.machine, &scenario.course);
                let findings = of_run(machine, course, &scenario.limits, &record);
                let names = course.steps.iter().map(|step| step.name.clone()).collect();
                written(&WholeRun { names, findings })
            }
            Err(error) => untrusted(&error),
        }
    }

    fn as_scenario(&self) -> String {
        let Some(played) = &self.played else {
            return written(&ChangedText { text: self.text.clone() });
        };
        let scenario = played.as_scenario();
        let names = scenario.course.steps.iter().map(|step| step.name.clone()).collect();
        let findings = played.findings().unwrap_or_default();
        written(&SavedRun { text: expand(&scenario), whole: WholeRun { names, findings } })
    }

    fn parts(&self) -> String {
        let played = self.played.iter().flat_map(|played| played.parts());
        let parts = played.map(|part| (part.start_s, part.number, part.text.to_string())).collect();
        written(&PlayedParts { parts, time: self.played.as_ref().map_or(0.0, Played::time_s) })
    }
}

/// Whether a run of `old` goes on in `new`: steps and limits may differ, not what flows through what.
fn same_machine(old: &Scenario, new: &Scenario) -> bool {
    let of =
        |scenario: &Scenario| Course { steps: Vec::new(), travel: None, ..scenario.course.clone() };
    old.machine == new.machine && of(old) == of(new)
}

/// The steady state of step `number` of `scenario`, drawn, and what it means.
fn steady(scenario: &Scenario, number: usize) -> Result<(Vec<f32>, Vec<StepFindings>), RunError> {
    let (machine, units) = (&scenario.machine, scenario.units);
    let mut step = scenario.course.steps[number].clone();
    step.lasts = None;
    let mut session = Session::new(machine, &scenario.course)?;
    session.begin(step.clone())?;
    let steps: Vec<_> = session.end()?.into_iter().collect();
    let frame = steps.first().map(|record| frame::of_state(&machine.plumbing, &record.end, units));
    let course = Course { steps: vec![step], ..scenario.course.clone() };
    let found = of_run(machine, &course, &scenario.limits, &Record { steps });
    Ok((frame.unwrap_or_default(), found))
}
