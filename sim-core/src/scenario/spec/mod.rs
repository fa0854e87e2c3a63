//! The format of a scenario file, as data.
//!
//! One description serves the reader, the JSON Schema and the reference page, so that none can
//! differ from the others.

#[macro_use]
pub(super) mod declare;

mod air;
mod course;
mod declared;
mod limits;
mod long;
mod shared;
mod short;
mod step;

use crate::measures::Measure;
use crate::units::Quantity;

pub(super) use declared::is_declared;
pub(super) use limits::LIMITS;
pub(super) use long::LONG;
pub(super) use short::TOP;
pub(super) use step::MOST_PARTS;

/// A table of the file.
#[derive(Debug)]
pub(super) struct TableSpec {
    /// What it is for, one or two sentences.
    pub(super) doc: &'static str,
    /// Its keys: its own and those it shares with other tables, stretch by stretch.
    pub(super) stretches: &'static [&'static [Key]],
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
    /// A list of whole numbers.
    Counts { most: u32 },
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
    /// A table from names of parts to values from 0 up to a most, SI.
    Each(Quantity, f64),
    /// `"air"` or a concentration.
    Contents,
    /// A list of nodes, or a table from names to nodes.
    Entries,
    /// Two words, or a list of parts: a section or a list of sections each.
    SectionOrder,
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

/// One of the bounds of a number.
pub(super) struct Bound {
    pub(super) words: &'static str,
    pub(super) sign: &'static str,
    /// What a JSON Schema calls it.
    pub(super) schema: &'static str,
    pub(super) value: f64,
}

impl Bounds {
    /// The bounds there are.
    pub(super) fn each(self) -> impl Iterator<Item = Bound> {
        let all = [
            ("greater than", ">", "exclusiveMinimum", self.above),
            ("at least", ">=", "minimum", self.least),
            ("at most", "<=", "maximum", self.most),
        ];
        all.into_iter().filter_map(|(words, sign, schema, value)| {
            Some(Bound { words, sign, schema, value: value? })
        })
    }

    /// The bound that `number` does not keep.
    pub(super) fn broken_by(self, number: f64) -> Option<Bound> {
        self.each().find(|bound| match bound.sign {
            ">" => number <= bound.value,
            ">=" => number < bound.value,
            _ => number > bound.value,
        })
    }
}

pub(super) const fn bounds(above: Option<f64>, least: Option<f64>, most: Option<f64>) -> Bounds {
    Bounds { above, least, most }
}

/// A text with a number and a unit.
pub(super) const fn of(quantity: Quantity, bounds: Bounds) -> Kind {
    Kind::Quantity(quantity, bounds)
}

const ANY: Bounds = bounds(None, None, None);
const POSITIVE: Bounds = bounds(Some(0.0), None, None);
const NOT_NEGATIVE: Bounds = bounds(None, Some(0.0), None);
const SHARE: Bounds = bounds(None, Some(0.0), Some(1.0));
const POSITIVE_SHARE: Bounds = bounds(Some(0.0), None, Some(1.0));

const fn positive_up_to(most: f64) -> Bounds {
    bounds(Some(0.0), None, Some(most))
}

impl Kind {
    /// The tables that a key of this kind holds, with what to add to its name.
    pub(super) fn tables(self) -> Vec<(&'static str, &'static TableSpec)> {
        match self {
            Self::Table(spec)
            | Self::Override(spec)
            | Self::OneOrMore(spec)
            | Self::List(spec)
            | Self::Named(spec) => vec![("", spec)],
            Self::TableAndNamed(short, long) => vec![("", short), (".NAME", long)],
            _ => Vec::new(),
        }
    }
}

impl TableSpec {
    /// Its keys in their order.
    pub(super) fn keys(&self) -> impl Iterator<Item = &'static Key> + use<> {
        self.stretches.iter().copied().flatten()
    }

    /// The key called `name`, now or before.
    pub(super) fn key(&self, name: &str) -> Option<&'static Key> {
        let earlier = EARLIER.iter().find(|(earlier, _)| *earlier == name).map(|(_, now)| *now);
        let called = |wanted: &str| self.keys().find(|key| key.name == wanted);
        called(name).or_else(|| called(earlier?))
    }
}

/// Keys that had another name before, which still works: the earlier and the present one.
const EARLIER: [(&str, &str); 3] =
    [("strength", "concentration"), ("shut_tips", "closed_tips"), ("side_arm", "side_branch")];

impl Key {
    /// The names it goes by in a file, the present one first.
    pub(super) fn names(&self) -> impl Iterator<Item = &'static str> {
        let (name, earlier) = (self.name, EARLIER.iter().filter(|(_, now)| *now == self.name));
        std::iter::once(name).chain(earlier.map(|(earlier, _)| *earlier))
    }
}
