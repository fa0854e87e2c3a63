//! Finding nodes, parts, tips and sections by name.

use super::super::nearest::nearest;
use super::super::value::{Checked, Name, Span};
use super::Build;
use crate::plumbing::{BranchId, NodeId, SectionId, TankId, TipId};
use std::collections::BTreeMap;

/// Where each name of a kind is in its array.
pub(super) type Index = BTreeMap<String, usize>;

/// The index of `names`; the first of equal names counts.
pub(super) fn index<'a>(names: impl Iterator<Item = &'a String>) -> Index {
    let mut index = Index::new();
    for (i, name) in names.enumerate() {
        index.entry(name.clone()).or_insert(i);
    }
    index
}

impl Build<'_> {
    pub(super) fn node_index(&self) -> Index {
        index(self.machine.plumbing.nodes.iter().map(|node| &node.name))
    }

    pub(super) fn branch_index(&self) -> Index {
        index(self.machine.plumbing.branches.iter().map(|branch| &branch.name))
    }

    pub(super) fn tip_index(&self) -> Index {
        index(self.machine.plumbing.tips.iter().map(|tip| &tip.name))
    }

    pub(super) fn section_index(&self) -> Index {
        index(self.machine.plumbing.sections.iter().map(|section| &section.name))
    }

    /// The thing called `name` in `index`, or a fault that it is no such `kind`.
    pub(super) fn find(
        &mut self,
        kind: &str,
        index: &Index,
        name: &str,
        span: Span,
    ) -> Option<usize> {
        if let Some(found) = index.get(name) {
            return Some(*found);
        }
        let help = nearest(name, index.keys().map(String::as_str))
            .map(|near| format!("did you mean \"{near}\"?"))
            .or_else(|| some_of(kind, index));
        self.fault(span, format!("there is no {kind} called \"{name}\""), help);
        None
    }

    /// The node that `key` of `table` names.
    pub(super) fn node_at(&mut self, table: &Checked, key: &str, index: &Index) -> Option<NodeId> {
        let name = table.text(key)?;
        self.find("node", index, name, table.span_of(key)).map(NodeId::at)
    }

    pub(super) fn branch_named(&mut self, name: &Name, index: &Index) -> Option<BranchId> {
        self.find("line or part", index, &name.text, name.span.clone()).map(BranchId::at)
    }

    pub(super) fn tip_named(&mut self, name: &Name, index: &Index) -> Option<TipId> {
        self.find("tip", index, &name.text, name.span.clone()).map(TipId::at)
    }

    pub(super) fn section_named(&mut self, name: &Name, index: &Index) -> Option<SectionId> {
        self.find("section", index, &name.text, name.span.clone()).map(SectionId::at)
    }

    pub(super) fn tank_named(&mut self, table: &Checked, index: &Index) -> Option<TankId> {
        let name = table.text("tank")?;
        self.find("tank", index, name, table.span_of("tank")).map(TankId::at)
    }
}

/// A few known names, for a reader who is far off.
fn some_of(kind: &str, index: &Index) -> Option<String> {
    let names: Vec<&str> = index.keys().take(12).map(String::as_str).collect();
    let more = if index.len() > names.len() { ", ..." } else { "" };
    (!names.is_empty())
        .then(|| format!("known: {}{more}", names.join(", ")))
        .or_else(|| Some(format!("the scenario has no {kind} at all")))
}
