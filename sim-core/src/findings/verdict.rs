//! Whether a limit is met.

use schemars::JsonSchema;
use serde::Serialize;

/// How a limit came out.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Verdict {
    /// Key of the limit in the scenario.
    pub limit: &'static str,
    /// What it limits, in words.
    pub meaning: &'static str,
    /// The value found.
    pub value: f64,
    /// The largest value that meets it.
    pub at_most: f64,
    /// Unit of both.
    pub unit: Measure,
    /// Where the worst value is, if one place has it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub place: Option<String>,
    /// Who demands it.
    pub source: String,
    /// Whether it is met.
    pub met: bool,
}

/// What a limit is measured in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub enum Measure {
    /// A share.
    #[serde(rename = "share")]
    Share,
    /// A velocity.
    #[serde(rename = "m/s")]
    Velocity,
    /// A time.
    #[serde(rename = "s")]
    Time,
    /// A volume.
    #[serde(rename = "m3")]
    Volume,
}
