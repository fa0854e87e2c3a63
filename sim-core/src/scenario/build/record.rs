//! What the record keeps at the user's wish: probes, chosen lines, how many moments.

use super::super::value::{Checked, Name};
use super::Build;
use crate::procedure::{Probe, ProbePlace, RecordOptions};
use crate::units::{Quantity, show};

impl Build<'_> {
    /// What [record] and the probes of `top` ask for.
    pub(super) fn record(&mut self, top: &Checked) -> RecordOptions {
        let mut options = RecordOptions::default();
        if let Some(table) = top.table("record") {
            options.lines = self.find_all(&self.branches(), table.names("lines"));
            options.most_moments = table.count("moments");
            if options.most_moments == Some(1) {
                let help = "a step has a first and a last moment";
                self.fault(table.span_of("moments"), "one moment is too few", help);
            }
        }
        for (name, table) in top.named("probe") {
            if let Some(place) = self.probe_place(name, table) {
                options.probes.push(Probe { name: name.text.clone(), place });
            }
        }
        options
    }

    fn probe_place(&mut self, name: &Name, table: &Checked) -> Option<ProbePlace> {
        let help = "write `at = \"header\"`, or `line = \"main\"` with `distance = \"2 m\"`";
        match (table.name("at"), table.name("line")) {
            (Some(at), None) if !table.has("distance") => self.gauge_at(&at).map(ProbePlace::Node),
            (None, Some(line)) => {
                let lines = self.parts("line", |part| part.line().is_some());
                let id = self.find(&lines, &line)?;
                let distance_m = table.number("distance").unwrap_or(0.0);
                let length_m = self.machine.plumbing.branch(id).part.line()?.length_m;
                if distance_m > length_m {
                    let length = show(length_m, Quantity::Length, self.walk.units);
                    let message = format!("\"{}\" is {length} long", line.text);
                    let help = "a probe is within its line";
                    return self.refuse(table.span_of("distance"), message, help);
                }
                Some(ProbePlace::Along { line: id, distance_m })
            }
            (Some(_), None) => {
                let message = "`distance` says nothing beside `at`";
                self.refuse(table.span_of("distance"), message, help)
            }
            (Some(_), Some(line)) => {
                self.refuse(line.span, "`at` and `line` both say where the probe is", help)
            }
            (None, None) => self.refuse(name.span.clone(), "nothing says where the probe is", help),
        }
    }
}
