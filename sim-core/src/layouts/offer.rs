//! What a variable offers: levels that set something and may have a price.

use crate::settings::{SettingError, SettingPath, applied_all};

/// A setting and its value, as it is written.
pub(super) type Assignment = (SettingPath, String);

/// One level of a variable.
#[derive(Clone, Debug)]
pub(super) struct Offered {
    pub(super) name: String,
    pub(super) settings: Vec<Assignment>,
    pub(super) price: Option<UnitPrice>,
}

/// Price of a part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct UnitPrice {
    pub(super) price: f64,
    pub(super) per_metre: bool,
}

/// `text` with every one of `settings`.
pub(super) fn with(text: &str, settings: &[Assignment]) -> Result<String, SettingError> {
    applied_all(text, settings)
}
