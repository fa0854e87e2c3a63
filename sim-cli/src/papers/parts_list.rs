//! Everything on a machine that is counted, not cut: pump, valves, fittings, caps, bodies, tips.

use super::pieces::CutPiece;
use sim_core::plumbing::{Branch, Part, Plumbing, ShutOff, Tip, tip_size};
use sim_core::units::{Quantity as Q, UnitSystem, show};
use std::collections::BTreeMap;

/// Fittings that are no part to buy: what happens at a line's end, and a way through a tee that is counted by itself.
const NO_PART: [&str; 4] = ["sharp entry", "exit", "tee run", "tee branch"];
/// Names listed before the rest is only counted.
const MOST_NAMES: usize = 6;

/// What a catalogue tells parts of one kind apart by.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Size {
    /// Nothing: there is no more to say of it.
    None,
    /// A flow coefficient, m3/s per sqrt(Pa).
    FlowCoefficient(f64),
    /// A bore, m.
    Bore(f64),
    /// A word, such as the size of a tip.
    Word(String),
}

/// Parts of one kind and size.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct PartCount {
    /// What it is, as a catalogue calls it.
    pub(super) kind: String,
    pub(super) size: Size,
    /// The size and what else matters, in words.
    pub(super) words: String,
    pub(super) count: usize,
    /// Where each is, where the machine has names for them.
    places: Vec<String>,
}

impl PartCount {
    /// Where they are, in words.
    pub(super) fn places(&self) -> String {
        match &self.places[..] {
            [first, .., last] if self.places.len() > MOST_NAMES => format!("{first} to {last}"),
            places => places.join(", "),
        }
    }
}

/// The parts of `plumbing`, of which `pieces` are cut, in the order in which liquid meets their kinds.
pub(super) fn parts_list(
    plumbing: &Plumbing,
    pieces: &[CutPiece],
    units: UnitSystem,
) -> Vec<PartCount> {
    let mut list = PartsList { units, rows: Vec::new() };
    plumbing.branches.iter().for_each(|branch| list.add_part(branch));
    list.add_joints(plumbing);
    list.add_caps(plumbing, pieces);
    plumbing.branches.iter().for_each(|branch| list.add_fittings(branch));
    list.add_bodies(plumbing);
    plumbing.tips.iter().for_each(|tip| list.add_tip(tip));
    list.rows
}

/// Numbers of the pieces whose losses are one number in the scenario, so that nothing says which fittings they have.
pub(super) fn without_fittings(plumbing: &Plumbing, pieces: &[CutPiece]) -> Vec<usize> {
    let unnamed = |piece: &&CutPiece| {
        let lines = piece.branches.iter().filter_map(|id| plumbing.branch(*id).part.line());
        let mut lines = lines.filter(|line| line.losses > 0.0 && line.fittings.is_empty());
        piece.tips.is_empty() && lines.next().is_some()
    };
    pieces.iter().filter(unnamed).map(|piece| piece.number).collect()
}

struct PartsList {
    units: UnitSystem,
    rows: Vec<PartCount>,
}

impl PartsList {
    fn add(&mut self, kind: &str, size: Size, words: String, place: Option<&str>) {
        let known = self.rows.iter().position(|row| row.kind == kind && row.words == words);
        let at = known.unwrap_or(self.rows.len());
        if known.is_none() {
            let (kind, places) = (kind.to_owned(), Vec::new());
            self.rows.push(PartCount { kind, size, words, count: 0, places });
        }
        let row = &mut self.rows[at];
        row.count += 1;
        row.places.extend(place.map(str::to_owned));
    }

    fn coefficient(&self, kv_si: f64) -> (Size, String) {
        let words = format!("flow coefficient {}", show(kv_si, Q::FlowCoefficient, self.units));
        (Size::FlowCoefficient(kv_si), words)
    }

    fn add_part(&mut self, branch: &Branch) {
        let (kind, (size, words)) = match &branch.part {
            Part::Line(_) => return,
            Part::Valve(valve) => ("valve", self.coefficient(valve.kv_si)),
            Part::Strainer(part) => ("strainer", self.coefficient(part.kv_si)),
            Part::Meter(part) => ("meter", self.coefficient(part.kv_si)),
            Part::Orifice(orifice) => {
                let words = format!("hole {}", show(orifice.bore_m, Q::Bore, self.units));
                ("orifice", (Size::Bore(orifice.bore_m), words))
            }
            Part::CheckValve(valve) => {
                let (size, words) = self.coefficient(valve.kv_si);
                let opens = show(valve.opens_at_pa, Q::Pressure, self.units);
                ("check valve", (size, format!("{words}, opens at {opens}")))
            }
            Part::Pump(_) => ("pump", (Size::None, String::new())),
        };
        self.add(kind, size, words, Some(&branch.name));
    }

    /// Where three or more lines and parts meet: a tee or a manifold.
    fn add_joints(&mut self, plumbing: &Plumbing) {
        for (i, node) in plumbing.nodes.iter().enumerate() {
            let ways = ends_at(plumbing, i).count();
            if ways >= 3 && node.tank.is_none() {
                let (size, words) = (Size::Word(ways.to_string()), format!("{ways} ways"));
                self.add("tee or manifold", size, words, Some(&node.name));
            }
        }
    }

    /// Ends of pieces at which nothing is.
    fn add_caps(&mut self, plumbing: &Plumbing, pieces: &[CutPiece]) {
        for piece in pieces {
            for end in piece.ends {
                let tip = plumbing.tips.iter().any(|tip| tip.node == end);
                let alone = ends_at(plumbing, end.index()).count() == 1;
                if alone && !tip && plumbing.node(end).tank.is_none() {
                    let words = format!("on {}", show(piece.bore_m, Q::Bore, self.units));
                    let place = &plumbing.node(end).name;
                    self.add("cap", Size::Bore(piece.bore_m), words, Some(place));
                }
            }
        }
    }

    fn add_fittings(&mut self, branch: &Branch) {
        let Some(line) = branch.part.line() else { return };
        let mut counted: BTreeMap<&str, usize> = BTreeMap::new();
        for fitting in line.fittings.iter().filter(|fitting| !NO_PART.contains(&fitting.name)) {
            let seen = counted.entry(fitting.name).or_default();
            *seen += 1;
            let words = format!("for {}", show(line.bore_m, Q::Bore, self.units));
            // A place is named once, however many of a kind it has.
            let place = Some(branch.name.as_str()).filter(|_| *seen == 1);
            self.add(fitting.name, Size::Bore(line.bore_m), words, place);
        }
    }

    /// Nozzle bodies, each with the tips that it carries.
    fn add_bodies(&mut self, plumbing: &Plumbing) {
        let mut carried = vec![0; plumbing.nodes.len()];
        plumbing.tips.iter().for_each(|tip| carried[tip.node.index()] += 1);
        for tip in &plumbing.tips {
            let tips = std::mem::take(&mut carried[tip.node.index()]);
            let (word, more) = match tip.shut_off {
                _ if tips == 0 => continue,
                ShutOff::Open => ("open", "without shut-off".to_owned()),
                ShutOff::Each => ("each", "with a shut-off of its own".to_owned()),
                ShutOff::CheckValve { opens_at_pa, .. } => {
                    let opens = show(opens_at_pa, Q::Pressure, self.units);
                    ("check valve", format!("with a check valve that opens at {opens}"))
                }
            };
            let for_several = if tips > 1 { format!("for {tips} tips, ") } else { String::new() };
            self.add("nozzle body", Size::Word(word.into()), for_several + &more, None);
        }
    }

    fn add_tip(&mut self, tip: &Tip) {
        let rated = format!(
            "{} at {}",
            show(tip.rated_flow_m3_s, Q::Flow, self.units),
            show(tip.rated_at_pa, Q::Pressure, self.units)
        );
        let colour = tip.size.as_deref().and_then(tip_size).and_then(|size| size.colour);
        let words = match (&tip.size, colour) {
            (Some(size), Some(colour)) => format!("size {size} ({colour}), {rated}"),
            (Some(size), None) => format!("size {size}, {rated}"),
            (None, _) => rated,
        };
        let size = tip.size.clone().map_or(Size::None, Size::Word);
        self.add("tip", size, words, None);
    }
}

/// Branches that end at node number `node`.
fn ends_at(plumbing: &Plumbing, node: usize) -> impl Iterator<Item = &Branch> {
    plumbing
        .branches
        .iter()
        .filter(move |branch| branch.from.index() == node || branch.to.index() == node)
}
