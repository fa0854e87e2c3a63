//! Keys that a run passes over: what the file says and nothing takes up.

mod machine;
mod note;
mod steps;
mod unread;

use super::super::fault::InputFault;
use super::super::model::Scenario;
use super::super::value::Checked;
use note::Notes;

/// Keys of the file `top` that change nothing of what `scenario` comes to: each with its place, why, and what to do.
pub(super) fn ignored(top: &Checked, scenario: &Scenario) -> Vec<InputFault> {
    let mut notes = Notes::new(scenario.units);
    unread::unread(top, &mut notes);
    machine::notes(top, scenario, &mut notes);
    steps::notes(top, scenario, &mut notes);
    notes.into_faults()
}
