//! What can be wrong with a setting.

use thiserror::Error;

/// Most values of one setting.
pub(super) const MOST_VALUES: usize = 64;

/// Why a setting cannot be read, or has no place in a scenario.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum SettingError {
    /// Nothing parts name and values.
    #[error("\"{0}\" has no \"=\" between setting and values")]
    NoEquals(String),
    /// A name from the top of the file down has an empty part.
    #[error("\"{0}\" is no name of a setting")]
    NoName(String),
    /// One of the values says nothing.
    #[error("a value of \"{0}\" is empty")]
    EmptyValue(String),
    /// Too few values to choose from, or too many.
    #[error("a setting takes 2 to {MOST_VALUES} values, not {0}")]
    ValueCount(usize),
    /// The scenario is no TOML.
    #[error("{0}")]
    NoToml(String),
    /// Several tables go by this name, and the setting does not say which.
    #[error("say which {0}: by its name or number")]
    Which(String),
    /// No table of a list goes by this name or number.
    #[error("there is no {list} {which}\nhelp: {help}")]
    NoSuch {
        /// The list.
        list: String,
        /// The name or number that was asked for.
        which: String,
        /// What there is.
        help: String,
    },
    /// What the setting leads through is no table.
    #[error("{name} of {path} holds no settings")]
    NoTable {
        /// The name that is no table.
        name: String,
        /// The whole setting.
        path: String,
    },
}
