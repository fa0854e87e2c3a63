//! What to read beside the numbers.

use schemars::JsonSchema;
use serde::Serialize;

/// Something to read beside the numbers.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct Warning {
    /// Short fixed word for programs: `tip_below_window`, `not_held`, ...
    pub code: &'static str,
    /// One or two sentences for people, names included, in no particular unit system unless it
    /// carries numbers, which are then in both.
    pub text: String,
}
