//! Purging: where air enters, what is open, in which order, and what ends it.

use super::super::spec::MOST_PARTS;
use super::super::value::{Checked, Name, SectionOrder};
use super::Build;
use super::air::RETURN_SIDE;
use super::names::Index;
use crate::procedure::{Action, AirPurge, Lasts, Pulse, Step, Until};

/// Keys that say something in a purge alone.
const OF_A_PURGE: [&str; 7] = ["air", "pulse", "order", "each", "quiet_for", "receiver_at", "part"];
/// Keys that say nothing in a purge, and what is right instead.
const NOT_OF_A_PURGE: [(&str, &str); 7] = [
    ("hold", "nothing is held in a purge: the pressure of the air is `regulated` of [air]"),
    ("control", "nothing is held in a purge: the pressure of the air is `regulated` of [air]"),
    ("pump", "the pump rests while air blows; leave it out"),
    ("pumps", "pumps rest while air blows; leave it out"),
    ("tips", "the air of a purge opens no other tips than those in use; leave it out"),
    ("closed_tips", "tips that can be closed are closed in a purge; leave it out"),
    ("load", "fill the tank in a step before or after"),
];

/// A part of a purge's order: the sections it opens, if not all, and how its name ends.
struct Opens {
    sections: Option<Vec<Name>>,
    ending: String,
}

impl Build<'_> {
    /// Faults of what a step that does something else says of purging.
    pub(super) fn no_purge(&mut self, table: &Checked, action: Action) {
        for key in OF_A_PURGE.into_iter().filter(|key| table.gives(key)) {
            let message =
                format!("`{key}` says nothing in a step that says do = \"{}\"", action.word());
            self.fault(table.span_of(key), message, "it belongs to a step with `do = \"purge\"`");
        }
    }

    /// The purge of `table`, called `name`: one step, or one for each part of its order.
    pub(super) fn purge(&mut self, table: &Checked, name: &str) -> Vec<Step> {
        for (key, help) in NOT_OF_A_PURGE.into_iter().filter(|(key, _)| table.has(key)) {
            self.fault(table.span_of(key), format!("`{key}` says nothing in a purge"), help);
        }
        let (air, opens) = (self.air_of(table), self.opens(table));
        let (Some(purge), Some(opens)) = (air, opens) else { return Vec::new() };
        let Some(lasts) = self.purge_lasts(table, opens.len()) else { return Vec::new() };
        let mut whole = Step::purge(&self.machine, purge.node);
        self.open_valves(table, &mut whole.settings);
        let (change, transfers) = (self.change(table), self.transfers(table));
        let (purge, lasts) = (Some(purge), Some(lasts));
        let whole = Step { purge, lasts, change, transfers, ..whole };
        let (count, own_pass) = (opens.len(), self.part_of_order(table));
        let mut steps: Vec<Step> = Vec::with_capacity(count);
        for (k, part) in opens.into_iter().enumerate() {
            let mut step = whole.clone().named(format!("{name}{}", part.ending));
            if let Some(sections) = &part.sections {
                step = self.only(sections, step);
                // What the step says of a valve counts above what its sections do.
                self.open_valves(table, &mut step.settings);
            }
            if !step.has_way_back(&self.machine.plumbing) {
                self.no_way_home(table, &part.ending);
                return Vec::new();
            }
            step.pass = if count > 1 { Some((k + 1, count)) } else { own_pass };
            steps.push(step);
        }
        steps
    }

    /// Where the air enters and how it pulses.
    fn air_of(&mut self, table: &Checked) -> Option<AirPurge> {
        let Some(air) = &self.machine.plumbing.air else {
            let help = "describe the compressed air in [air]";
            let message = "there is no compressed air to purge with";
            self.fault_of_things(table.span_of("do"), message, help);
            return None;
        };
        let entries = air.entries.iter().map(|entry| (&entry.name, entry.node));
        let entries = Index::new("entry of air", entries);
        let node = match table.text("air") {
            Some(RETURN_SIDE) if self.has_boom && entries.get(RETURN_SIDE).is_none() => {
                let help = "add `back = { kv = \"9 m3/h\", bore = \"25 mm\", length = \"4 m\" }` to [air]: \
                            the way from the start of the main to the tank";
                let message =
                    "liquid that air from the return side pushes has no way back to the tank";
                return self.refuse(table.span_of("air"), message, help);
            }
            Some(_) => self.named(&entries, table, "air"),
            None => self.machine.roles.air_inlet,
        };
        let pulse = table.table("pulse").and_then(|pulse| {
            Some(Pulse { on_s: pulse.number("on")?, off_s: pulse.number("off")? })
        });
        Some(AirPurge { node: node?, pulse })
    }

    /// The parts of the order of `table`: those of its sections, all where it lists none.
    fn opens(&mut self, table: &Checked) -> Option<Vec<Opens>> {
        let given = table.has("sections").then(|| table.names("sections").to_vec());
        self.all_sections(given.iter().flatten())?;
        let parts: Vec<Vec<Name>> = match table.order("order")? {
            SectionOrder::Together => {
                return Some(vec![Opens { sections: given, ending: String::new() }]);
            }
            SectionOrder::OneAtATime => {
                let span = table.span_of("order");
                let all = self.machine.plumbing.sections.iter();
                let all =
                    all.map(|section| Name { text: section.name.clone(), span: span.clone() });
                let sections = given.unwrap_or_else(|| all.collect());
                if sections.is_empty() {
                    let help = "add [boom_section.NAME], or purge all together";
                    return self.refuse(span, "there are no sections to open one at a time", help);
                }
                sections.into_iter().map(|section| vec![section]).collect()
            }
            SectionOrder::Parts(_) if given.is_some() => {
                let help = "take `sections` away: the order lists what each part opens";
                let message = "`order` and `sections` both list sections";
                return self.refuse(table.span_of("sections"), message, help);
            }
            SectionOrder::Parts(parts) => parts.clone(),
        };
        if parts.len() > MOST_PARTS as usize {
            let message = format!("that makes more than {MOST_PARTS} parts");
            let help = "open several sections at once: order = [[\"1\", \"2\"], [\"3\", \"4\"]]"
                .to_owned();
            return self.refuse(table.span_of("order"), message, help);
        }
        self.all_sections(parts.iter().flatten())?;
        let opens: Vec<Opens> = parts.into_iter().map(opens_sections).collect();
        for (k, part) in opens.iter().enumerate() {
            if opens[..k].iter().any(|other| other.ending == part.ending) {
                let message = "two parts of the order open the same sections";
                let help = "`repeat = { times = 2 }` runs the whole order again";
                return self.refuse(table.span_of("order"), message, help);
            }
        }
        Some(opens)
    }

    /// Whether all `names` are sections; a fault for each that is not.
    fn all_sections<'n>(&mut self, names: impl Iterator<Item = &'n Name>) -> Option<()> {
        let sections = self.sections();
        let unknown = names.filter(|name| self.find(&sections, name).is_none()).count();
        (unknown == 0).then_some(())
    }

    /// How long each of `parts` parts lasts and what ends it.
    fn purge_lasts(&mut self, table: &Checked, parts: usize) -> Option<Lasts> {
        let until = self.purge_until(table)?;
        let most_s = match (table.number("for"), table.number("each")) {
            (Some(all_s), None) => all_s / parts as f64,
            (None, Some(each_s)) => each_s,
            (Some(_), Some(_)) => {
                let help = "`for` is the time of the whole purge, `each` that of a part";
                return self.refuse(
                    table.span_of("each"),
                    "`for` and `each` both give a time",
                    help,
                );
            }
            (None, None) => {
                let help = "add `for = \"90 s\"`, or `each = \"15 s\"` for every part of an order"
                    .to_owned();
                return self.refuse(
                    table.span_of("do"),
                    "nothing says how long the air blows",
                    help,
                );
            }
        };
        Some(Lasts { most_s, until })
    }

    fn purge_until(&mut self, table: &Checked) -> Option<Until> {
        let word = table.text("until").unwrap_or("time");
        for (key, of) in [("quiet_for", "no liquid"), ("receiver_at", "receiver down")] {
            if table.gives(key) && word != of {
                let message = format!("`{key}` says nothing without until = \"{of}\"");
                self.fault(table.span_of(key), message, "");
            }
        }
        match word {
            "time" => Some(Until::Time),
            "no liquid" => table.number("quiet_for").map(Until::NoLiquid),
            "receiver down" => self.receiver_down(table),
            _ => {
                let message = format!("\"{word}\" does not end a purge");
                let help = "a purge ends by \"time\", \"no liquid\" or \"receiver down\"";
                self.refuse(table.span_of("until"), message, help)
            }
        }
    }

    fn receiver_down(&mut self, table: &Checked) -> Option<Until> {
        let air = self.machine.plumbing.air.as_ref()?;
        let (receiver_m3, charged_to_pa) = (air.receiver_m3, air.charged_to_pa);
        let (key, message, help) = match table.number("receiver_at") {
            _ if receiver_m3 == 0.0 => (
                "until",
                "there is no receiver to come down",
                "end it by \"time\" or \"no liquid\"",
            ),
            None => (
                "until",
                "\"receiver down\" needs `receiver_at` beside it",
                "add `receiver_at = \"3 bar\"`",
            ),
            Some(pa) if pa >= charged_to_pa => (
                "receiver_at",
                "the receiver starts at no more than that",
                "it must be below `charged_to` of [air]",
            ),
            Some(pa) => return Some(Until::ReceiverDown(pa)),
        };
        self.refuse(table.span_of(key), message, help)
    }

    /// Which part of an order `table` says that it is.
    fn part_of_order(&mut self, table: &Checked) -> Option<(usize, usize)> {
        let part = table.table("part")?;
        let (number, of) = (part.count("number")?, part.count("of")?);
        let message = if number > of {
            "the part's number is beyond how many there are"
        } else if table.order("order").is_some_and(|order| *order != SectionOrder::Together) {
            "a purge is a part or has parts, not both"
        } else {
            return (of > 1).then_some((number, of));
        };
        let help = "`millstream expand` writes `part`; write `order` instead";
        self.refuse(part.span.clone(), message, help)
    }

    fn no_way_home(&mut self, table: &Checked, ending: &str) {
        let what = match ending.strip_prefix(", ") {
            Some(sections) => format!("with {sections} open, "),
            None => String::new(),
        };
        let message =
            format!("{what}the liquid has nowhere to go: no open way leads from the air to a tank");
        let help = if self.has_boom {
            "air pushes liquid back to the tank through sections that return: `return = true` in [boom] or \
             [[section]], with [return_path]"
        } else {
            "open the valves of a way to a tank by `valves` of the step"
        };
        let key = if table.gives("order") { "order" } else { "do" };
        self.fault_of_things(table.span_of(key), message, help);
    }
}

/// The part that opens `sections`.
fn opens_sections(sections: Vec<Name>) -> Opens {
    let names: Vec<&str> = sections.iter().map(|name| name.text.as_str()).collect();
    let ending = match names.as_slice() {
        [first @ .., last] if !first.is_empty() => {
            format!(", sections {} and {last}", first.join(", "))
        }
        _ => format!(", section {}", names.join("")),
    };
    Opens { sections: Some(sections), ending }
}
