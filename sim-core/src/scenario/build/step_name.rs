//! What a step does and what it is called.

use super::super::value::Checked;
use crate::procedure::Action;

/// What `table`, the step of the file with this number from 0, does, and what it is called.
pub(super) fn name_of(table: &Checked, number: usize) -> (Action, String) {
    let action = Action::ALL.into_iter().find(|a| Some(a.word()) == table.text("do"));
    let action = action.unwrap_or(Action::Spray);
    let word = action.word();
    let default_name = if number == 0 { word.to_owned() } else { format!("{word} {}", number + 1) };
    (action, table.text("name").map_or(default_name, str::to_owned))
}
