//! What stands beside the lines and parts of the schematic, and where.

use super::picture::{Picture, Pixel};
use super::theme::{HPos, WHITE, level};
use crate::results::FinishedStep;
use page_model::drawing::names::{
    Anchor, Area, Ground, PlacedName, WantedName, around, beside, plain, width_of, within,
};
use page_model::drawing::sheet::{BoomSheet, Canvas, Sheet, TUBE, placed};
use page_model::drawing::strokes::midpoint;
use plotters::style::Color as _;
use sim_core::plumbing::{Branch, Plumbing, Side};
use sim_core::units::{Quantity as Q, show, show_number};

/// Size of a font over that of its letters.
const FONT: f64 = 1.24;
/// Sizes of letters, px: of the tank, of pump and header, of sections, of what goes back to the tank, of the rest.
const TANK: f64 = 24.0 / FONT;
const LARGE: f64 = 22.0 / FONT;
const SECTION: f64 = 20.0 / FONT;
const BACK: f64 = 19.0 / FONT;
const SMALL: f64 = 18.0 / FONT;
/// Most sections whose flows have room.
const MOST_FLOWS: usize = 9;
/// What names must be within, px: below the title and above the key.
const FRAME: Area = [10, 104, 1590, 802];
/// How much of what lies behind a name is faded.
const FADED: f64 = 0.8;
/// Half the size of a part's sign, and of a pump's.
const SIGN: i32 = 11;
const PUMP: i32 = 21;

/// What the names of one picture are made from.
pub(super) struct Namer<'a> {
    pub(super) view: &'a FinishedStep<'a>,
    pub(super) sheet: &'a Sheet,
    pub(super) canvas: Canvas,
    /// Width that lines are kept clear of, px.
    pub(super) width: i32,
}

impl Namer<'_> {
    /// Writes every name that has room.
    pub(super) fn write(&self, picture: &mut Picture) {
        let mut ground = self.ground();
        let names = match &self.sheet.boom {
            Some(boom) => self.of_boom(boom),
            None => self.of_network(),
        };
        for PlacedName { words, size, at, anchor, across } in ground.place(names) {
            let faded = WHITE.mix(FADED).filled();
            across.iter().for_each(|&[left, top, right, bottom]| {
                picture.rectangle([(left, top), (right, bottom)], faded);
            });
            let across = match anchor {
                Anchor::Start => HPos::Left,
                Anchor::Middle => HPos::Center,
                Anchor::End => HPos::Right,
            };
            picture.words(at, words, level((size * FONT).round() as u32, across));
        }
    }

    fn plumbing(&self) -> &Plumbing {
        self.view.plumbing()
    }

    fn path(&self, i: usize) -> Vec<Pixel> {
        self.sheet.paths[i].iter().map(|at| placed(*at, self.canvas)).collect()
    }

    fn shown(&self, si: f64, quantity: Q) -> String {
        show(si, quantity, self.view.units)
    }

    /// What is drawn already.
    fn ground(&self) -> Ground {
        let mut ground = Ground::new(FRAME);
        for (i, branch) in self.plumbing().branches.iter().enumerate() {
            let path = self.path(i);
            ground.line(&path, self.width);
            if branch.part.line().is_none() {
                let ((x, y), half) =
                    (midpoint(&path), if branch.part.pump().is_some() { PUMP } else { SIGN });
                ground.part([x - half, y - half, x + half, y + half]);
            }
        }
        for (_, path) in self.sheet.bars.iter() {
            let path: Vec<Pixel> = path.iter().map(|at| placed(*at, self.canvas)).collect();
            ground.line(&path, self.width);
        }
        for (_, path) in &self.sheet.air {
            let (tail, head) = (placed(path[0], self.canvas), placed(path[1], self.canvas));
            let up = if tail.1 == head.1 { 14 } else { 30 };
            ground.mark([
                tail.0.min(head.0) - 40,
                tail.1 - up,
                head.0 + 20,
                head.1.max(tail.1 + 8),
            ]);
        }
        for tip in &self.sheet.tips {
            let (x, y) = placed(*tip, self.canvas);
            ground.part([x - 6, y - 20, x + 6, y]);
        }
        for tank in &self.sheet.tanks {
            let [(left, top), (right, bottom)] = tank.on(self.canvas);
            ground.part([left, top, right, bottom]);
        }
        ground
    }

    fn of_boom(&self, boom: &BoomSheet) -> Vec<WantedName> {
        let mut names = self.tanks();
        names.extend(self.sections(boom));
        let branches = self.plumbing().branches.iter().enumerate();
        let usual = branches.filter(|(i, _)| !boom.strangers.contains(i));
        names.extend(usual.filter(|(_, b)| b.side == Side::Tank).map(|(i, b)| self.back(i, b)));
        names.extend(self.row(boom));
        let main = self.plumbing().branch_named("return-main");
        names.extend(main.map(|main| self.with_flow(main.index(), ": ", BACK)));
        names.extend(boom.strangers.iter().map(|i| self.with_flow(*i, ": ", SMALL)));
        names.extend(self.nodes());
        names
    }

    fn of_network(&self) -> Vec<WantedName> {
        let mut names = self.tanks();
        let branches = 0..self.plumbing().branches.len();
        names.extend(branches.map(|i| self.with_flow(i, " ", SMALL)));
        names.extend(self.nodes());
        names
    }

    fn tanks(&self) -> Vec<WantedName> {
        let name = |of: &page_model::drawing::sheet::TankBox| {
            let words = plain(&self.plumbing().tank(of.tank).name);
            let [(left, _), (right, _)] = of.on(self.canvas);
            let fits = width_of(&words, TANK) <= f64::from(right - left);
            let size = if fits { TANK } else { SMALL };
            let spots = within(of.on(self.canvas), &words, size);
            WantedName { words, size, spots }
        };
        self.sheet.tanks.iter().map(name).collect()
    }

    fn sections(&self, boom: &BoomSheet) -> Vec<WantedName> {
        let found = &self.view.findings.sections;
        let name = |found: &sim_core::findings::SectionFinding| {
            let x = boom.middle_of(self.plumbing(), found.section.id)?;
            let name = plain(&found.section.to_string());
            let words = match (self.view.findings.sections.len() > MOST_FLOWS, found.running_tips) {
                (true, _) => name,
                (false, 0) => format!("{name}: off"),
                (false, _) => format!("{name}: {}", self.shown(found.flow_m3_s, Q::Flow)),
            };
            let places = [6.8, 10.0, -3.5].into_iter().flat_map(|up| {
                [0.0, 0.04, -0.04, 0.08, -0.08].map(|across| (x + across, TUBE + up))
            });
            let spots = places.map(|at| (placed(at, self.canvas), Anchor::Middle)).collect();
            Some(WantedName { words, size: SECTION, spots })
        };
        found.iter().filter_map(name).collect()
    }

    /// Names over the bottom row, and what pump and header are at.
    fn row(&self, boom: &BoomSheet) -> Vec<WantedName> {
        let end = &self.view.record.end;
        let pressure = self.shown(end.static_pressure_pa[boom.header.index()], Q::Pressure);
        let (x, y) = placed((-0.03, 24.0), self.canvas);
        let places =
            [0, 60, 120].into_iter().flat_map(|left| [0, 26, 52].map(|by| (x - left, y + by)));
        let spots = places.map(|at| (at, Anchor::End)).collect();
        let mut names =
            vec![WantedName { words: format!("header: {pressure}"), size: LARGE, spots }];
        let pumps = |i: &&usize| self.plumbing().branches[**i].part.pump().is_some();
        let (pumps, rest): (Vec<usize>, Vec<usize>) = boom.row.iter().partition(pumps);
        for i in pumps {
            let name = plain(&self.plumbing().branches[i].name);
            let rise = self.shown(-end.loss_pa[i], Q::Pressure);
            let words = format!("{name}: {rise}, {}", self.shown(end.flow_m3_s[i], Q::Flow));
            let (x, y) = midpoint(&self.path(i));
            let over = [72, 50, 96]
                .into_iter()
                .flat_map(|up| [0, 60, -60, 120].map(|by| (x + by, y - up)));
            let spots = over.map(|at| (at, Anchor::Middle)).collect();
            names.push(WantedName { words, size: LARGE, spots });
        }
        for i in rest {
            let words = plain(&self.plumbing().branches[i].name);
            let path = self.path(i);
            // The name of a line that turns up to the header is beside its level piece, too.
            let spots = beside(&path[..2], self.width, SMALL);
            names.push(WantedName { words, size: SMALL, spots });
        }
        names
    }

    /// What goes back to the tank, before the corner where its line turns level.
    fn back(&self, i: usize, branch: &Branch) -> WantedName {
        let flow = self.shown(self.view.record.end.flow_m3_s[i], Q::Flow);
        let path = self.path(i);
        let (x, y) = path[1];
        let mut spots = vec![((x - 16, y), Anchor::End)];
        spots.extend(beside(&path, self.width, BACK));
        WantedName { words: format!("{}: {flow}", plain(&branch.name)), size: BACK, spots }
    }

    fn with_flow(&self, i: usize, between: &str, size: f64) -> WantedName {
        let flow = self.view.record.end.flow_m3_s[i].abs();
        let flow = match self.sheet.boom {
            Some(_) => show(flow, Q::Flow, self.view.units),
            None => show_number(flow, Q::Flow, self.view.units),
        };
        let words = format!("{}{between}{flow}", plain(&self.plumbing().branches[i].name));
        WantedName { words, size, spots: beside(&self.path(i), self.width, size) }
    }

    fn nodes(&self) -> Vec<WantedName> {
        let name =
            |(node, at): &(sim_core::plumbing::NodeId, page_model::drawing::sheet::SheetPoint)| {
                let pressure = self.view.record.end.static_pressure_pa[node.index()];
                let name = plain(&self.plumbing().node(*node).name);
                let words = format!("{name}: {}", self.shown(pressure, Q::Pressure));
                WantedName {
                    words,
                    size: SMALL,
                    spots: around(placed(*at, self.canvas), self.width / 2 + 3, SMALL),
                }
            };
        self.sheet.nodes.iter().map(name).collect()
    }
}
