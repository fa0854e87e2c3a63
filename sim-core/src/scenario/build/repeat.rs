//! Steps that run again, and how many may: what goes beyond would not come to its end, or not into memory.

use super::super::value::{Checked, Span};
use super::Build;
use crate::procedure::Step;

/// Most steps a scenario may come to, repeats counted.
pub(in crate::scenario) const MOST_STEPS: usize = 20_000;
/// Most steps times lines and parts: each step keeps something of each.
pub(in crate::scenario) const MOST_STEP_PARTS: usize = 5_000_000;
/// Longest time that all steps together may last, days.
pub(in crate::scenario) const MOST_DAYS: f64 = 366.0;

const SECONDS_A_DAY: f64 = 86_400.0;

/// What a step of the file comes to.
pub(super) struct Listed {
    /// What the file calls it.
    pub(super) name: String,
    /// One step, or one for each part of a purge's order.
    pub(super) steps: Vec<Step>,
}

impl Build<'_> {
    /// The steps of `listed` with those that repeat, as the `tables` say, written out pass after pass.
    pub(super) fn repeated(&mut self, tables: &[Checked], listed: Vec<Listed>) -> Vec<Step> {
        let mut written: Vec<Step> = Vec::new();
        // Where each listed step starts among those written out, and up to where repeats reach.
        let (mut starts, mut repeated): (Vec<usize>, usize) = (Vec::new(), 0);
        let mut seconds = 0.0;
        for (i, own) in listed.iter().enumerate() {
            starts.push(written.len());
            written.extend(own.steps.iter().cloned());
            seconds += lasts(&own.steps);
            let Some(repeat) = tables.get(i).and_then(|table| table.table("repeat")) else {
                continue;
            };
            let from = match repeat.text("from") {
                None => i,
                Some(name) => match listed[..=i].iter().position(|other| other.name == name) {
                    Some(from) => from,
                    None => {
                        let message = format!("no step called \"{name}\" is defined above");
                        self.fault(repeat.span_of("from"), message, "");
                        continue;
                    }
                },
            };
            let times = repeat.count("times").unwrap_or(1);
            if starts[from] < repeated {
                let nested = &written[starts[from]..repeated];
                let name = nested.iter().find(|step| step.pass.is_some()).map(|step| &step.name);
                let message =
                    format!("step \"{}\" would repeat within a repeat", name.unwrap_or(&own.name));
                self.fault(repeat.span.clone(), message, "");
                continue;
            }
            let stretch = written.split_off(starts[from]);
            let count = written.len() + stretch.len() * times;
            seconds += lasts(&stretch) * (times.max(1) - 1) as f64;
            let span = repeat.span_of("times");
            if self.too_many_steps(count, &span) || self.too_long(seconds, &span) {
                continue;
            }
            (1..=times).for_each(|pass| written.extend(passes(&stretch, pass, times)));
            if times > 1 {
                repeated = written.len();
            }
        }
        if let Some(last) = tables.last() {
            self.too_many_steps(written.len(), &last.span);
            self.too_long(seconds, &last.span);
        }
        written
    }

    /// Whether `count` steps are too many; then a fault at `span` says so.
    pub(super) fn too_many_steps(&mut self, count: usize, span: &Span) -> bool {
        let parts = self.machine.plumbing.branches.len();
        if count > MOST_STEPS {
            let message = format!("that makes {count} steps");
            self.fault(span.clone(), message, format!("a scenario may have {MOST_STEPS} steps"));
        } else if count.saturating_mul(parts) > MOST_STEP_PARTS {
            let message = format!("that makes {count} steps of {parts} lines and parts");
            let help = format!("a scenario this large may have {} steps", MOST_STEP_PARTS / parts);
            self.fault(span.clone(), message, help);
        } else {
            return false;
        }
        true
    }

    /// Whether steps that last `seconds` in all are too long; then a fault at `span` says so, once.
    pub(super) fn too_long(&mut self, seconds: f64, span: &Span) -> bool {
        let days = seconds / SECONDS_A_DAY;
        if days <= MOST_DAYS {
            return false;
        }
        let message = format!("all steps together would last {days:.0} days");
        let told = self.walk.faults.iter().any(|fault| fault.message == message);
        if !told {
            self.fault(span.clone(), message, format!("a scenario may last {MOST_DAYS} days"));
        }
        true
    }
}

/// How long `steps` last at most, s.
fn lasts(steps: &[Step]) -> f64 {
    steps.iter().filter_map(|step| Some(step.lasts?.most_s)).sum()
}

/// The steps of `stretch` in one of several passes. A purge whose parts run again is counted by its
/// passes.
fn passes(stretch: &[Step], pass: usize, times: usize) -> impl Iterator<Item = Step> {
    stretch
        .iter()
        .map(move |step| if times > 1 { step.nth_pass(pass, times) } else { step.clone() })
}
