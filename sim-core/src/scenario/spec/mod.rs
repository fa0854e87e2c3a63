//! The format of a scenario file, as data.
//!
//! One description serves the reader, the JSON Schema and the reference page, so that none can
//! differ from the others.

mod air;
mod control;
mod course;
mod limits;
mod liquid;
mod long;
mod shared;
mod short;
mod step;

use crate::measures::Measure;
use crate::units::Quantity;

pub(super) use long::LONG;
pub(super) use short::TOP;
pub(super) use step::MOST_PARTS;

/// A table of the file.
#[derive(Debug)]
pub(super) struct TableSpec {
    /// What it is for, one or two sentences.
    pub(super) doc: &'static str,
    /// Its keys.
    pub(super) keys: &'static [Key],
}

/// A key of a table.
#[derive(Clone, Copy, Debug)]
pub(super) struct Key {
    pub(super) name: &'static str,
    pub(super) kind: Kind,
    pub(super) required: bool,
    /// Value taken where the key is absent, as a user would write it.
    pub(super) default: Option<&'static str>,
    /// What it means, one sentence.
    pub(super) doc: &'static str,
}

/// What a key's value must be.
#[derive(Clone, Copy, Debug)]
pub(super) enum Kind {
    /// Any text.
    Text,
    /// `true` or `false`.
    Flag,
    /// A plain number.
    Number(Bounds),
    /// A whole number.
    Count { most: u32 },
    /// A text with a number and a unit.
    Quantity(Quantity, Bounds),
    /// A text with a value of one of several quantities.
    AnyOf(&'static [Quantity]),
    /// One of some words.
    Choice(&'static [&'static str]),
    /// A path to a file beside the scenario.
    File,
    /// A list of names.
    Names,
    /// A plain number or a list of fitting names.
    Losses,
    /// `"open"`, `"closed"` or a share.
    Opening,
    /// A table from valve names to openings.
    Openings,
    /// A table from pump names to speeds.
    Speeds,
    /// A table from names of parts to times.
    Durations,
    /// `"air"` or a concentration.
    Contents,
    /// A list of nodes, or a table from names to nodes.
    Entries,
    /// Two words, or a list of parts: a section or a list of sections each.
    Order,
    /// A list of pairs: a value of the first quantity, a value of one of the others.
    Points(Quantity, &'static [Quantity]),
    /// Two values, the lower first.
    Pair(Quantity),
    /// A value of a measure, `"off"`, or a table of `at_most`, `at_least` and `source`.
    Limit(Measure),
    /// A table.
    Table(&'static TableSpec),
    /// A table that repeats keys of another to override them: no defaults, nothing required.
    Override(&'static TableSpec),
    /// One table or a list of tables.
    OneOrMore(&'static TableSpec),
    /// A list of tables.
    List(&'static TableSpec),
    /// Tables by name.
    Named(&'static TableSpec),
    /// A table whose unknown keys are tables by name of another kind.
    TableAndNamed(&'static TableSpec, &'static TableSpec),
}

/// Bounds of a number in SI.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Bounds {
    /// Must be greater than this.
    pub(super) above: Option<f64>,
    /// Must not be less than this.
    pub(super) least: Option<f64>,
    /// Must not be more than this.
    pub(super) most: Option<f64>,
}

const fn bounds(above: Option<f64>, least: Option<f64>, most: Option<f64>) -> Bounds {
    Bounds { above, least, most }
}

const ANY: Bounds = bounds(None, None, None);
const POSITIVE: Bounds = bounds(Some(0.0), None, None);
const NOT_NEGATIVE: Bounds = bounds(None, Some(0.0), None);
const SHARE: Bounds = bounds(None, Some(0.0), Some(1.0));
const POSITIVE_SHARE: Bounds = bounds(Some(0.0), None, Some(1.0));

const fn positive_up_to(most: f64) -> Bounds {
    bounds(Some(0.0), None, Some(most))
}

const fn key(name: &'static str, kind: Kind, doc: &'static str) -> Key {
    Key { name, kind, required: false, default: None, doc }
}

impl Key {
    const fn required(mut self) -> Self {
        self.required = true;
        self
    }

    const fn or(mut self, default: &'static str) -> Self {
        self.default = Some(default);
        self
    }
}

impl TableSpec {
    /// The key called `name`.
    pub(super) fn key(&self, name: &str) -> Option<&'static Key> {
        self.keys.iter().find(|key| key.name == name)
    }
}
