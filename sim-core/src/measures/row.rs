//! What the catalogue knows of a measure.

use crate::units::Quantity;

/// Which way a measure is better.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Better {
    /// The smaller one.
    Less,
    /// The larger one.
    More,
    /// Neither: it says what the machine does, not how well.
    Neither,
}

/// What a whole run has of a measure of its steps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Over {
    /// That of the first step that has it.
    First,
    /// That of the last step that has it.
    Last,
    /// The sum over steps.
    Sum,
    /// The worst of any step.
    Worst,
    /// It belongs to the run, and no step has it.
    Run,
}

/// A row of the catalogue.
#[derive(Clone, Copy, Debug)]
pub(super) struct Row {
    pub(super) key: &'static str,
    pub(super) words: &'static str,
    pub(super) doc: &'static str,
    pub(super) quantity: Quantity,
    pub(super) better: Better,
    pub(super) over: Over,
    /// Its key without the unit, which is the key of its limit in scenarios.
    pub(super) stem: &'static str,
    /// Another key of that limit, from before it had its present one.
    pub(super) earlier: Option<&'static str>,
    /// The largest value allowed where a scenario says nothing, and by whom.
    pub(super) usual: Option<(f64, &'static str)>,
}

impl Row {
    /// A row that nothing is demanded of; `doc` starts with the space of its comment.
    pub(super) const fn new(
        key: &'static str,
        words: &'static str,
        doc: &'static str,
        (quantity, better, over): (Quantity, Better, Over),
    ) -> Self {
        let doc = doc.split_at(1).1;
        let stem = without_unit(key, quantity);
        Self { key, words, doc, quantity, better, over, stem, earlier: None, usual: None }
    }

    pub(super) const fn earlier(mut self, key: &'static str) -> Self {
        self.earlier = Some(key);
        self
    }

    pub(super) const fn usual(mut self, at_most: f64, source: &'static str) -> Self {
        self.usual = Some((at_most, source));
        self
    }
}

/// `key` without the unit of `quantity` that ends it.
const fn without_unit(key: &'static str, quantity: Quantity) -> &'static str {
    let unit: &str = match quantity {
        Quantity::Volume => "_m3",
        Quantity::Duration => "_s",
        Quantity::Length | Quantity::Head => "_m",
        Quantity::Share => "_share",
        Quantity::Velocity => "_m_s",
        Quantity::Flow => "_m3_s",
        Quantity::Pressure => "_pa",
        Quantity::Power => "_w",
        _ => panic!("no key ends in this unit yet"),
    };
    let (stem, end) = key.split_at(key.len() - unit.len());
    let (mut i, end, unit) = (0, end.as_bytes(), unit.as_bytes());
    while i < end.len() {
        assert!(end[i] == unit[i], "a key ends in the unit of its quantity");
        i += 1;
    }
    stem
}
