//! Steps that run again.

use super::super::value::Checked;
use super::Build;
use crate::procedure::Step;

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
                        self.fault(repeat.span_of("from"), message, None);
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
                self.fault(repeat.span.clone(), message, None);
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
