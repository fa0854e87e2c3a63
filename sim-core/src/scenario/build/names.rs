//! Finding nodes, parts, tips and sections by name.

use super::super::fault::MOST_FAULTS;
use super::super::value::{Checked, Name};
use super::Build;
use crate::plumbing::{BranchId, NodeId, Part, SectionId, TankId, TipId};
use crate::units::nearest;
use std::collections::BTreeMap;

/// What each name of a kind of thing stands for.
#[derive(Clone)]
pub(super) struct Index<T> {
    /// The kind in the trade's words.
    kind: &'static str,
    things: BTreeMap<String, T>,
}

impl<T: Copy> Index<T> {
    /// The first of equal names counts.
    pub(super) fn new<'n>(
        kind: &'static str,
        things: impl Iterator<Item = (&'n String, T)>,
    ) -> Self {
        let mut index = Self { kind, things: BTreeMap::new() };
        things.for_each(|(name, thing)| index.add(name, thing));
        index
    }

    /// The same things by another word for their kind.
    pub(super) fn of_kind(self, kind: &'static str) -> Self {
        Self { kind, ..self }
    }

    pub(super) fn get(&self, name: &str) -> Option<T> {
        self.things.get(name).copied()
    }

    /// Adds `thing`, unless another has its name.
    pub(super) fn add(&mut self, name: &str, thing: T) {
        self.things.entry(name.to_owned()).or_insert(thing);
    }

    /// A few known names, for a reader who is far off.
    fn some(&self) -> String {
        let names: Vec<&str> = self.things.keys().take(12).map(String::as_str).collect();
        let more = if self.things.len() > names.len() { ", ..." } else { "" };
        match names[..] {
            [] => format!("the scenario has no {} at all", self.kind),
            _ => format!("known: {}{more}", names.join(", ")),
        }
    }
}

/// Functions that give the index of one kind of thing in the plumbing.
macro_rules! indexes {
    ($($name:ident: $things:ident, $kind:literal, $id:ident;)+) => {$(
        pub(super) fn $name(&self) -> Index<$id> {
            let things = self.machine.plumbing.$things.iter().enumerate();
            Index::new($kind, things.map(|(i, thing)| (&thing.name, $id::at(i))))
        }
    )+};
}

impl Build<'_> {
    indexes! {
        nodes: nodes, "node", NodeId;
        branches: branches, "line or part", BranchId;
        tips: tips, "tip", TipId;
        sections: sections, "section", SectionId;
        tanks: tanks, "tank", TankId;
    }

    /// The lines and parts that fit, which are of `kind`.
    pub(super) fn parts(
        &self,
        kind: &'static str,
        fits: impl Fn(&Part) -> bool,
    ) -> Index<BranchId> {
        let mut index = self.branches().of_kind(kind);
        index.things.retain(|_, id| fits(&self.machine.plumbing.branch(*id).part));
        index
    }

    /// The thing called `name` in `index`, or a fault that it is no such thing.
    pub(super) fn find<T: Copy>(&mut self, index: &Index<T>, name: &Name) -> Option<T> {
        if let Some(found) = index.get(&name.text) {
            return Some(found);
        }
        if self.walk.lost {
            return None;
        }
        self.walk.unresolved = true;
        let known = || index.things.keys().map(String::as_str);
        let shown = self.walk.faults.len() < MOST_FAULTS;
        let near = shown.then(|| nearest(&name.text, known())).flatten();
        let help = near.map_or_else(|| index.some(), |near| format!("did you mean \"{near}\"?"));
        let message = format!("there is no {} called \"{}\"", index.kind, name.text);
        self.refuse(name.span.clone(), message, help)
    }

    /// Those of `names` that are in `index`, and a fault for each other.
    pub(super) fn find_all<T: Copy>(&mut self, index: &Index<T>, names: &[Name]) -> Vec<T> {
        names.iter().filter_map(|name| self.find(index, name)).collect()
    }

    /// The thing in `index` that `key` of `table` names.
    pub(super) fn named<T: Copy>(
        &mut self,
        index: &Index<T>,
        table: &Checked,
        key: &str,
    ) -> Option<T> {
        self.find(index, &table.name(key)?)
    }

    /// A fault where `index` has a thing called `name` already.
    pub(super) fn unique<T: Copy>(&mut self, index: &Index<T>, name: &Name) {
        if index.get(&name.text).is_some() {
            let kind = index.kind;
            let message = format!("a {kind} called \"{}\" is in the scenario already", name.text);
            self.fault(name.span.clone(), message, "give each a name of its own");
        }
    }
}
