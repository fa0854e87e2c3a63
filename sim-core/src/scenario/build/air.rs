//! Compressed air: its supply, and where it enters.

use super::super::value::Checked;
use super::Build;
use super::boom::check_valve;
use crate::plumbing::boom::{AirDesign, BackDesign};
use crate::plumbing::{AirEntry, AirSupply, NodeId, Opening, Valve};

/// Entries of a short-form machine.
const FEED_SIDE: &str = "feed side";
pub(super) const RETURN_SIDE: &str = "return side";

impl Build<'_> {
    /// What compressed air needs of a short-form machine's plumbing.
    pub(super) fn air_design(&mut self, air: &Checked) -> Option<AirDesign> {
        let Some(check) = air.table("check") else {
            let help = "add `check = { kv = \"60 m3/h\" }`, with the coefficient of the non-return valve \
                        between pump side and main";
            let message = "nothing keeps the air from pump and agitation";
            return self.refuse(air.span.clone(), message, help);
        };
        let back = match air.table("back") {
            Some(back) => {
                // It opens in a purge from the return side alone.
                let (opening, characteristic) = (0.0, Opening::Linear);
                let valve = Valve { kv_si: back.number("kv")?, opening, characteristic };
                Some(BackDesign { line: self.long_line(back)?, valve })
            }
            None => None,
        };
        Some(AirDesign { check: check_valve(check)?, back })
    }

    /// Adds the supply of compressed air, if the file has one.
    pub(super) fn air_supply(&mut self, top: &Checked) {
        let Some(table) = top.table("air") else { return };
        if !self.has_boom {
            self.long_form_air(table);
        }
        let entries = self.air_entries(table);
        let charged_to_pa = self.charged_to(table);
        self.source_of_air(table);
        let known = table.table("valve").zip(charged_to_pa);
        self.walk.lost |= known.is_none();
        self.machine.plumbing.air = known.and_then(|(valve, charged_to_pa)| {
            Some(AirSupply {
                regulated_pa: table.number("regulated")?,
                receiver_m3: table.number("receiver")?,
                charged_to_pa,
                free_air_m3_s: table.number("compressor")?,
                conductance_m3_s_pa: valve.number("conductance")?,
                critical_ratio: valve.number("critical_ratio")?,
                relief_pa: table.number("relief"),
                entries,
            })
        });
    }

    /// Faults of what the long form has other words for.
    fn long_form_air(&mut self, table: &Checked) {
        for (key, help) in [
            ("check", "write [check_valve.NAME] at its place"),
            (
                "back",
                "write [valve.NAME] and [line.NAME], and open the valve in the step that purges",
            ),
        ] {
            if table.has(key) {
                let message = format!("`{key}` says nothing without [boom]");
                self.fault(table.span_of(key), message, help);
            }
        }
        if !table.has("at") {
            let help = "add `at = [\"NODE\"]`";
            self.fault(table.span.clone(), "nothing says where the air enters", help);
        }
    }

    /// The short form's entries, then those of the file.
    fn air_entries(&mut self, table: &Checked) -> Vec<AirEntry> {
        let roles = &self.machine.roles;
        let return_side = roles.return_header.filter(|_| roles.back_valve.is_some());
        let sides = [(FEED_SIDE, roles.air_inlet), (RETURN_SIDE, return_side)];
        let of_side = |(name, node): (&str, Option<NodeId>)| {
            node.map(|node| AirEntry { name: name.to_owned(), node })
        };
        let mut entries: Vec<AirEntry> = sides.into_iter().filter_map(of_side).collect();
        let nodes = self.nodes();
        let given = table.places("at");
        if given.is_empty() && entries.is_empty() && table.has("at") {
            let help = "such as at = [\"header\"]";
            self.fault(table.span_of("at"), "nothing says where the air enters", help);
        }
        for (name, at) in given.iter().cloned() {
            let Some(node) = self.find(&nodes, &at) else { continue };
            if entries.iter().any(|entry| entry.name == name.text) {
                let message = format!("air enters at \"{}\" already", name.text);
                self.fault(name.span, message, "give each entry a name of its own");
            } else if self.machine.plumbing.node(node).tank.is_some() {
                let message =
                    format!("\"{}\" opens into a tank: air would go nowhere else", at.text);
                self.fault(at.span, message, "let it enter a line");
            } else {
                entries.push(AirEntry { name: name.text, node });
            }
        }
        entries
    }

    /// Pressure the receiver starts from; without one, what the regulator lets through.
    fn charged_to(&mut self, table: &Checked) -> Option<f64> {
        let regulated = table.number("regulated")?;
        let relief = table.number("relief");
        if relief.is_some_and(|relief| relief < regulated) {
            let message = "the relief valve would open below the regulated pressure";
            self.fault(table.span_of("relief"), message, "raise `relief` or lower `regulated`");
        }
        let receiver = table.number("receiver")? > 0.0;
        let (key, message, help) = match (receiver, table.number("charged_to")) {
            (true, Some(charged)) if charged >= regulated => return Some(charged),
            (false, None) => return Some(regulated),
            (true, Some(_)) => (
                "charged_to",
                "the receiver is charged to less than the regulator lets through",
                "raise `charged_to` or lower `regulated`",
            ),
            (true, None) => (
                "receiver",
                "nothing says what the receiver is charged to",
                "add `charged_to = \"8 bar\"`, the pressure at which the compressor stops",
            ),
            (false, Some(_)) => (
                "charged_to",
                "there is no receiver to charge",
                "add `receiver = \"20 L\"`, or take `charged_to` away",
            ),
        };
        self.refuse(table.span_of(key), message, help)
    }

    fn source_of_air(&mut self, table: &Checked) {
        let none = |key: &str| table.number(key).is_none_or(|value| value == 0.0);
        if none("receiver") && none("compressor") {
            let help = "add `receiver = \"20 L\"` with `charged_to = \"8 bar\"`, `compressor = \"70 L/min\"`, \
                        or both";
            let message = "the air comes from nowhere: neither receiver nor compressor";
            self.fault(table.span.clone(), message, help);
        }
    }
}
