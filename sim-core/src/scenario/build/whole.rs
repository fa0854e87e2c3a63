//! Faults of the network as a whole.

use super::super::spec::LONG;
use super::super::value::{Checked, Name, Span};
use super::Build;
use crate::plumbing::ShutOff;
use crate::plumbing::connect::cut_off;
use crate::units::{Quantity, show};
use std::collections::BTreeMap;

impl Build<'_> {
    /// Faults of the network as a whole: no tank, parts that no tank feeds.
    pub(super) fn check_network(&mut self, top: &Checked) {
        if self.walk.lost {
            return;
        }
        if self.machine.plumbing.branches.is_empty() {
            let help = "describe a boom by [boom], [tank], [pump], [supply] and [tips], or a network \
                        by [line.NAME] and the like";
            if self.walk.faults.is_empty() {
                self.fault(0..0, "the scenario has no plumbing", help);
            }
            return;
        }
        self.sags(top);
        if self.walk.unresolved {
            return;
        }
        let mut grounded: Vec<bool> =
            self.machine.plumbing.nodes.iter().map(|node| node.tank.is_some()).collect();
        for tip in self.machine.plumbing.tips.iter().filter(|tip| tip.shut_off != ShutOff::Each) {
            grounded[tip.node.index()] = true;
        }
        let parts = first_places(LONG.into_iter().flat_map(|kind| top.named(kind)));
        let nodes = first_places(top.named("node").iter());
        let mut first_from = vec![None; grounded.len()];
        for branch in self.machine.plumbing.branches.iter().rev() {
            first_from[branch.from.index()] = Some(branch.name.clone());
        }
        for island in cut_off(&self.machine.plumbing, |_| true, |node| grounded[node.index()]) {
            let branch = island.iter().find_map(|node| first_from[node.index()].as_deref());
            let names: Vec<&str> = island
                .iter()
                .take(6)
                .map(|node| self.machine.plumbing.node(*node).name.as_str())
                .collect();
            let more = if island.len() > names.len() { ", ..." } else { "" };
            let message = format!(
                "no tank is joined to this part of the network (nodes {}{more})",
                names.join(", ")
            );
            let by_node = || nodes.get(names[0]);
            let span = branch.and_then(|name| parts.get(name)).or_else(by_node);
            let span = span.cloned().unwrap_or(0..0);
            let help = "join it by a line, or let a node open into a tank: \
                        [node.NAME] with `tank = \"NAME\"`";
            self.fault(span, message, help);
        }
    }

    /// A line cannot hang lower than half its length.
    fn sags(&mut self, top: &Checked) {
        let lines =
            self.machine.plumbing.branches.iter().filter_map(|b| Some((&b.name, b.part.line()?)));
        let deep = lines.filter(|(_, line)| line.sag_m > 0.0 && line.sag_m >= 0.5 * line.length_m);
        let deep: Vec<(String, f64)> =
            deep.map(|(name, line)| (name.clone(), line.length_m)).collect();
        let own: BTreeMap<&str, &Checked> =
            top.named("line").iter().map(|(line, table)| (line.text.as_str(), table)).collect();
        for (name, length_m) in deep {
            let own = own.get(name.as_str()).map(|table| table.span_of("sag"));
            let length = show(length_m, Quantity::Length, self.walk.units);
            let message = format!("\"{name}\" is {length} long and cannot hang so low");
            let help = "a `sag` is less than half the length".to_owned();
            let in_short_form = own.is_none();
            self.fault(own.unwrap_or_else(|| top.span_of("boom")), message, help);
            if in_short_form {
                return;
            }
        }
    }
}

/// Where each name is; of equal ones the first.
fn first_places<'c>(
    named: impl DoubleEndedIterator<Item = &'c (Name, Checked)>,
) -> BTreeMap<&'c str, Span> {
    named.rev().map(|(name, _)| (name.text.as_str(), name.span.clone())).collect()
}
