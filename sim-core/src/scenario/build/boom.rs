//! The short form: tables of a boom machine to its design, and the design to plumbing.

use super::super::spec::TOP;
use super::super::value::{Checked, Value};
use super::Build;
use crate::plumbing::boom::{
    self, BoomDesign, DesignFault, DesignPlace, Feed, LineDesign, ReturnDesign, SectionDesign,
    TankDesign, TipDesign,
};
use crate::plumbing::{CheckValve, Pump, PumpCurve, Valve};
use crate::units::{Quantity, show};
use std::borrow::Cow;

/// The tables of the short form a boom cannot do without.
const NEEDED: [&str; 4] = ["tank", "pump", "supply", "tips"];
/// Tables of the short form that say nothing without a boom.
const OF_THE_BOOM: [&str; 4] = ["supply", "return_path", "tips", "section"];

/// Keys of [tips] that are those of its own tip, not of the body that carries others, too.
const OF_ONE_TIP: [&str; 5] = ["size", "flow", "at", "wear", "window"];

impl Build<'_> {
    /// Adds the short form's machine, if the file has one.
    pub(super) fn short_form(&mut self, top: &Checked) {
        let Some(boom) = top.table("boom") else {
            for key in OF_THE_BOOM.into_iter().filter(|key| top.has(key)) {
                let help = "add [boom], or describe the machine in the long form";
                self.fault(top.span_of(key), format!("[{key}] says nothing without [boom]"), help);
                self.walk.lost = true;
            }
            return;
        };
        let mut all = Cow::Borrowed(top);
        for key in NEEDED.into_iter().filter(|key| !top.has(key)) {
            let help = format!("add a table [{key}]");
            self.fault(boom.span.clone(), format!("a boom needs [{key}]"), help);
            // The search for mistakes goes on.
            let data = TOP.key(key).and_then(|key| self.walk.stand_in(key, &boom.span));
            let value = data.map(|data| (key, Value::new(boom.span.clone(), data)));
            all.to_mut().entries.extend(value);
        }
        let before = self.walk.faults.len();
        let design = self.design(&all, boom);
        if matches!(all, Cow::Owned(_)) {
            // What stands in is at the place of [boom]: what it lacks is no mistake.
            let own = self.walk.faults.split_off(before);
            self.walk.faults.extend(own.into_iter().filter(|fault| fault.span != boom.span));
        }
        let Some(mut design) = design else {
            self.walk.lost = true;
            return;
        };
        let before = self.walk.faults.len();
        let units = self.walk.units;
        let faults = boom::check(&design, |m| show(m, Quantity::Length, units));
        for fault in faults.iter().cloned() {
            let span = match fault.at {
                DesignPlace::Width => boom.span_of("width"),
                DesignPlace::ReturnPath => boom.span_of("return"),
                DesignPlace::Back => top.table("air").map_or(0..0, |air| air.span_of("back")),
                DesignPlace::Section(i) => {
                    top.tables("section").get(i).map_or(0..0, |section| section.span_of("name"))
                }
            };
            self.fault(span, fault.message, fault.help.unwrap_or_default());
        }
        if self.walk.faults.len() > before && !self.can_be_built(&mut design, &faults) {
            self.walk.lost = true;
            return;
        }
        self.machine = boom::build(&design);
    }

    /// Whether `design` can be built in spite of `faults`, so that the search for mistakes goes on: sections of one name
    /// are told apart for that.
    fn can_be_built(&mut self, design: &mut BoomDesign, faults: &[DesignFault]) -> bool {
        let tips: usize = design.sections.iter().map(|section| section.tips).sum();
        if tips > boom::MOST_TIPS || design.sections.is_empty() {
            return false;
        }
        faults.iter().all(|fault| match fault.at {
            DesignPlace::Width => true,
            DesignPlace::Section(i) => {
                design.sections[i].name.push_str(&format!(" again {i}"));
                true
            }
            DesignPlace::ReturnPath | DesignPlace::Back => false,
        })
    }

    fn design(&mut self, top: &Checked, boom: &Checked) -> Option<BoomDesign> {
        let pump_table = top.table("pump");
        let supply = top.table("supply");
        let path = top.table("return_path");
        // Whatever it gives: the search for mistakes goes on.
        let pump = pump_table.map(|table| self.pump(table).unwrap_or_else(any_pump));
        let suction = pump_table.and_then(|t| t.table("suction")).and_then(|t| self.long_line(t));
        let main = supply.and_then(|t| t.table("main")).and_then(|t| self.long_line(t));
        let return_path = match path {
            Some(path) => Some(self.return_design(path)?),
            None => None,
        };
        let air = match top.table("air") {
            Some(air) => {
                let design = self.air_design(air);
                self.walk.lost |= design.is_none();
                design
            }
            None => None,
        };
        let sections = self.section_designs(top, boom)?;
        let tank = top.table("tank")?;
        let surface = tank.number("surface_above_boom")?;
        let kv = |table: Option<&Checked>| table.and_then(|table| table.number("kv"));
        Some(BoomDesign {
            width_m: boom.number("width")?,
            roll_rad: boom.number("roll")?,
            tank: TankDesign {
                capacity_m3: tank.number("capacity"),
                holds_m3: tank.number("holds"),
                heel_m3: tank.number("heel").unwrap_or(0.0),
                concentration: tank.number("concentration"),
                surface_above_boom_m: surface,
                inlet_above_boom_m: tank.number("inlet_above_boom").unwrap_or(surface),
            },
            pump: pump?,
            pump_above_boom_m: pump_table?.number("above_boom")?,
            suction_strainer_kv_si: kv(pump_table?.table("suction_strainer")),
            suction: suction?,
            agitation: supply?.table("agitation").and_then(|t| self.orifice(t, "orifice")),
            bypass: supply?.table("bypass").and_then(|t| self.valve(t)),
            relief: supply?.table("relief").and_then(check_valve),
            strainer_kv_si: kv(supply?.table("strainer")),
            meter_kv_si: kv(supply?.table("meter")),
            main: main?,
            return_path,
            air,
            hose_extra_m: supply?.number("hose_extra")?,
            sections,
        })
    }

    fn return_design(&mut self, path: &Checked) -> Option<ReturnDesign> {
        let main = path.table("main").and_then(|table| self.long_line(table))?;
        Some(ReturnDesign { main, valve: self.valve(path.table("valve")?)? })
    }

    fn section_designs(&mut self, top: &Checked, boom: &Checked) -> Option<Vec<SectionDesign>> {
        let listed = top.tables("section");
        let equal = (boom.count("sections"), boom.count("tips_per_section"));
        let own = Checked { span: boom.span.clone(), ..Checked::default() };
        match (listed.is_empty(), boom.counts("tips"), equal) {
            (true, [], (Some(count), Some(tips))) => {
                let first = self.section(top, &own, 0, tips)?;
                let named = |i: usize| SectionDesign { name: (i + 1).to_string(), ..first.clone() };
                Some((0..count).map(named).collect())
            }
            (true, counts @ [_, ..], (None, None)) => {
                let sections = counts.iter().enumerate();
                sections.map(|(i, tips)| self.section(top, &own, i, *tips)).collect()
            }
            (false, [], (None, None)) => {
                let mut sections = Vec::with_capacity(listed.len());
                for (i, own) in listed.iter().enumerate() {
                    sections.push(self.section(top, own, i, own.count("tips")?)?);
                }
                Some(sections)
            }
            (is_empty, counts, _) => {
                let (key, message) = match (is_empty, counts) {
                    (true, []) => ("width", "the boom has no sections"),
                    (true, _) => (
                        "tips",
                        "`tips` lists the sections and their tips: `sections` and `tips_per_section` go",
                    ),
                    (false, []) => (
                        "sections",
                        "the sections are both counted in [boom] and listed as [[section]]",
                    ),
                    (false, _) => {
                        ("tips", "the sections are both listed in [boom] and as [[section]]")
                    }
                };
                let help = "give one [[section]] with `tips = 12` each, or in [boom] both `sections = 6` and \
                            `tips_per_section = 12`, or `tips = [5, 6, 6, 5]`";
                self.refuse(boom.span_of(key), message, help)
            }
        }
    }

    fn section(
        &mut self,
        top: &Checked,
        own: &Checked,
        index: usize,
        tips: usize,
    ) -> Option<SectionDesign> {
        let (boom, supply) = (top.table("boom")?, top.table("supply")?);
        let number = |key: &str| own.number(key).or_else(|| boom.number(key));
        let text = |key: &str| own.text(key).or_else(|| boom.text(key));
        let spacing_m = number("spacing")?;
        let feed = match text("feed")? {
            "centre" => Feed::Centre,
            _ => match text("feed_end")? {
                "inner" => Feed::InnerEnd,
                "left" => Feed::LeftEnd,
                "right" => Feed::RightEnd,
                _ => Feed::OuterEnd,
            },
        };
        let returns = own.flag("return").or_else(|| boom.flag("return"))?;
        let hose = self.merged_line(supply.table("hose"), own.table("hose"))?;
        let return_hose = match top.table("return_path") {
            Some(path) => self.merged_line(path.table("hose"), own.table("return_hose"))?,
            None => hose.clone(),
        };
        let of_tips = merged_tips(top.table("tips")?, own.table("tip"));
        let mut tip = self.tip_design(&of_tips)?;
        let beside = self.beside(&of_tips, &mut tip);
        Some(SectionDesign {
            name: own.text("name").map_or_else(|| (index + 1).to_string(), str::to_owned),
            tips,
            spacing_m,
            feed,
            returns,
            tube: self.merged_line(boom.table("tube"), own.table("tube"))?,
            body_losses: number("body_losses")?,
            lead_m: number("lead").unwrap_or(0.5 * spacing_m),
            stub_m: number("stub")?,
            hose,
            valve: self.merged_valve(supply.table("section_valve"), own.table("valve"))?,
            return_hose,
            tip,
            beside,
        })
    }

    /// The further tips of each body beside `first`, of which `tips` says all.
    fn beside(&mut self, tips: &Checked, first: &mut TipDesign) -> Vec<TipDesign> {
        let mut further: Vec<TipDesign> = Vec::new();
        for own in tips.tables("beside") {
            first.position = tips.text("position").map(str::to_owned);
            let mut all = tips.clone();
            OF_ONE_TIP.iter().for_each(|key| drop(all.entries.remove(key)));
            let (position, design) =
                (own.name("position"), self.tip_design(&all.overridden(Some(own))));
            let Some((position, design)) = position.zip(design) else { continue };
            let taken = [&*first].into_iter().chain(&further);
            if taken.into_iter().any(|tip| tip.position.as_ref() == Some(&position.text)) {
                let message =
                    format!("a body has a tip at the position \"{}\" already", position.text);
                self.fault(position.span, message, "give each tip of a body a position of its own");
                continue;
            }
            further.push(TipDesign { position: Some(position.text), in_use: false, ..design });
        }
        further
    }

    fn merged_line(
        &mut self,
        base: Option<&Checked>,
        over: Option<&Checked>,
    ) -> Option<LineDesign> {
        let mut merged = base?.overridden(over);
        // A material given over an inherited roughness is meant to count.
        if over.is_some_and(|over| over.has("material") && !over.has("roughness")) {
            merged.entries.remove("roughness");
        }
        self.line_design(&merged)
    }

    fn merged_valve(&mut self, base: Option<&Checked>, over: Option<&Checked>) -> Option<Valve> {
        self.valve(&base?.overridden(over))
    }
}

/// Tips with what a section gives in place of the common figures: a size replaces a rated flow and
/// the reverse.
fn merged_tips(base: &Checked, over: Option<&Checked>) -> Checked {
    let mut merged = base.overridden(over);
    if over.is_some_and(|over| over.has("size") && !over.has("flow")) {
        merged.entries.remove("flow");
    } else if over.is_some_and(|over| over.has("flow") && !over.has("size")) {
        merged.entries.remove("size");
    }
    merged
}

/// What stands in for a pump at fault.
fn any_pump() -> Pump {
    Pump {
        curve: PumpCurve { flow_m3_s: vec![0.0, 1.0], head_m: vec![1.0, 0.0] },
        speed: 1.0,
        top_speed: 1.0,
        efficiency: Vec::new(),
        npsh_required: Vec::new(),
        displacement: None,
    }
}

/// A check or relief valve.
pub(super) fn check_valve(table: &Checked) -> Option<CheckValve> {
    Some(CheckValve { kv_si: table.number("kv")?, opens_at_pa: table.number("opens_at")? })
}
