//! What a search may vary and what it is to reach.

use crate::measures::Measure;
use crate::settings::SettingPath;
use std::ops::Range;

/// What a study looks for.
#[derive(Clone, Debug, PartialEq)]
pub struct SearchGoals {
    /// The catalogue of parts, a path beside the study.
    pub catalogue: Option<String>,
    /// What prices are in; may be empty.
    pub currency: String,
    /// Cost of what does not vary, in the currency of the catalogue.
    pub other_cost: f64,
    /// Most designs that are judged.
    pub budget: usize,
    /// What is to be small, or large where more is better: at least one.
    pub aims: Vec<Aim>,
    /// Limits beside those of the scenario, or instead of them, as they are written.
    pub limits: Vec<(SettingPath, String)>,
    /// What varies.
    pub variables: Vec<Variable>,
    /// Cases in which every limit must be kept, too.
    pub corners: Vec<Corner>,
}

/// Something that is to be small, or large.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Aim {
    /// What the varied parts cost.
    Cost,
    /// A measure of the whole run.
    Measure(Measure),
}

/// Something that varies.
#[derive(Clone, Debug, PartialEq)]
pub struct Variable {
    /// What the user calls it.
    pub name: String,
    /// The setting of the scenario.
    pub path: SettingPath,
    /// What it can be.
    pub choices: Choices,
    /// Bytes of the study that say so.
    pub span: Range<usize>,
}

/// What a variable can be.
#[derive(Clone, Debug, PartialEq)]
pub enum Choices {
    /// One of several values, as they are written.
    Values(Vec<String>),
    /// A number from one to another in so many steps, and what is written behind it.
    Range(f64, f64, usize, String),
    /// An entry of this kind in the catalogue.
    Catalogue(String),
    /// These in any order.
    Orders(Vec<String>),
}

/// A case in which limits must be kept.
#[derive(Clone, Debug, PartialEq)]
pub struct Corner {
    /// What the user calls it.
    pub name: String,
    /// What is different in it.
    pub settings: Vec<(SettingPath, String)>,
    /// Whether all steps run; otherwise only the states of flow are asked for.
    pub whole: bool,
    /// Bytes of the study that say so.
    pub span: Range<usize>,
}
