//! Readings after checking: SI numbers, references resolved.

use crate::plumbing::{BranchId, GaugeId, NodeId, Plumbing, TipId};
use crate::procedure::{Action, Control, Held, Settings};

/// Readings taken at one machine.
#[derive(Clone, Debug, PartialEq)]
pub struct Readings {
    /// What the user calls them.
    pub title: String,
    /// How well the model is trusted to describe the healthy machine, as a share of each reading, >= 0.
    pub model_accuracy: f64,
    /// How likely faults are beforehand, where the user knows better.
    pub prior: PriorChanges,
    /// States of the machine, each with what was read in it. At least one.
    pub states: Vec<State>,
}

/// What a user knows of faults before anything is read; what is `None` is as usual.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PriorChanges {
    /// Probability of no fault, 0 to 0.99.
    pub no_fault: Option<f64>,
    /// Probability of two faults at once, 0 to 0.99.
    pub two_faults: Option<f64>,
    /// Probability of something that is in no catalogue, 0 to 0.99.
    pub something_else: Option<f64>,
    /// Kinds of faults.
    pub kinds: Vec<KindChange>,
}

/// What a user knows of a kind of fault before anything is read.
#[derive(Clone, Debug, PartialEq)]
pub struct KindChange {
    /// The kind, as files name it.
    pub kind: String,
    /// How often it occurs, in proportion to other kinds, >= 0.
    pub weight: Option<f64>,
    /// Median of its severity, > 0.
    pub typical: Option<f64>,
    /// Factor within which two in three severities are, either way, > 1.
    pub factor: Option<f64>,
}

/// One state of the machine and what was read while it stood so.
#[derive(Clone, Debug, PartialEq)]
pub struct State {
    /// Its name, unique among the readings.
    pub name: String,
    /// What the machine does.
    pub action: Action,
    /// Everything adjustable.
    pub settings: Settings,
    /// What the machine holds by its own gauge or meter.
    pub controls: Vec<Control>,
    /// What was read.
    pub readings: Vec<Reading>,
}

/// One reading.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// Where and of what.
    pub place: ReadingPlace,
    /// What was read: Pa gauge, m3/s, or a share of full speed.
    pub value: f64,
    /// How far it may be off.
    pub accuracy: Accuracy,
}

/// How far a reading may be off: one standard deviation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Accuracy {
    /// A share of the reading, > 0.
    Share(f64),
    /// In the reading's own unit, SI, > 0.
    Absolute(f64),
}

/// Where something can be read, and with what.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ReadingPlace {
    /// A gauge fitted to the machine (index into its gauges).
    OwnGauge(GaugeId),
    /// A test gauge screwed in at a node.
    TestGauge(NodeId),
    /// A catch test of a tip.
    Catch(TipId),
    /// A flow meter fitted to the machine.
    Meter(BranchId),
    /// The speed a pump is shown to run at.
    Speed(BranchId),
}

impl ReadingPlace {
    /// Whether a pressure is read there.
    pub fn is_pressure(self) -> bool {
        matches!(self, Self::OwnGauge(_) | Self::TestGauge(_))
    }

    /// Its name in a readings file: gauge, node, section end, tip, meter or pump.
    pub fn name(self, plumbing: &Plumbing) -> String {
        match self {
            Self::OwnGauge(i) => plumbing.gauges[i.index()].name.clone(),
            Self::TestGauge(node) => node_name(node, plumbing),
            Self::Catch(tip) => plumbing.tips[tip.index()].name.clone(),
            Self::Meter(id) | Self::Speed(id) => plumbing.branch(id).name.clone(),
        }
    }

    /// The place in the trade's words.
    pub fn words(self, plumbing: &Plumbing) -> String {
        let name = self.name(plumbing);
        match self {
            Self::OwnGauge(_) => format!("the machine's own gauge \"{name}\""),
            Self::TestGauge(node) => format!("test gauge at {}", node_words(node, plumbing)),
            Self::Catch(_) => format!("catch test of tip {name}"),
            Self::Meter(_) => format!("flow meter \"{name}\""),
            Self::Speed(_) => format!("speed shown of \"{name}\""),
        }
    }
}

/// The ends of every section: its name, which end, and the node there. A tube fed in its middle has two far ends.
fn ends(plumbing: &Plumbing) -> impl Iterator<Item = (&str, &'static str, NodeId)> {
    plumbing.sections.iter().flat_map(|section| {
        let far: &[&str] = match section.far_ends[..] {
            [_] => &["far end"],
            [_, _] => &["left end", "right end"],
            _ => &[],
        };
        let feed = section.feed_end.map(|node| ("feed end", node));
        let far = far.iter().copied().zip(section.far_ends.iter().copied());
        feed.into_iter().chain(far).map(|(end, node)| (section.name.as_str(), end, node))
    })
}

/// Names of the ends of every section with their nodes: `section NAME feed end`, `... far end`, or
/// `... left end` and `... right end` where a tube fed in its middle has two.
pub(in crate::scenario) fn section_ends(plumbing: &Plumbing) -> Vec<(String, NodeId)> {
    ends(plumbing).map(|(section, end, node)| (format!("section {section} {end}"), node)).collect()
}

fn node_name(node: NodeId, plumbing: &Plumbing) -> String {
    let end = section_ends(plumbing).into_iter().find(|(_, at)| *at == node);
    end.map_or_else(|| plumbing.node(node).name.clone(), |(name, _)| name)
}

fn node_words(node: NodeId, plumbing: &Plumbing) -> String {
    if let Some((section, end, _)) = ends(plumbing).find(|(_, _, at)| *at == node) {
        return format!("the {end} of section {section}");
    }
    let name = &plumbing.node(node).name;
    if let Some(tip) = plumbing.tips.iter().find(|tip| tip.node == node) {
        return format!("the body of tip {}", tip.name);
    }
    let mut before = plumbing.branches.iter().filter(|branch| branch.to == node);
    let mut after = plumbing.branches.iter().filter(|branch| branch.from == node);
    match (before.next(), before.next(), after.next(), after.next()) {
        (Some(before), None, Some(after), None) => {
            format!("{name}, between {} and {}", before.name, after.name)
        }
        _ => name.clone(),
    }
}

impl State {
    /// The pressure the machine holds in this state by its own gauge, Pa gauge, if it holds one.
    pub fn held_pa(&self) -> Option<f64> {
        self.controls.iter().find_map(|control| match control.held {
            Held::Pressure { pa, .. } => Some(pa),
            Held::Flow { .. } => None,
        })
    }
}

/// Factors on what a scenario says of a healthy machine, found from readings of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Overlay {
    /// On the wall roughness of every line, > 0.
    pub roughness: f64,
    /// On loss coefficients of the lines from tank to pump, > 0.
    pub suction_losses: f64,
    /// On loss coefficients of the lines from pump to header, > 0.
    pub main_losses: f64,
    /// On loss coefficients of the section hoses, > 0.
    pub hose_losses: f64,
    /// On loss coefficients of the return lines, > 0.
    pub return_losses: f64,
    /// On the loss of valves, strainers and flow meters at equal flow, > 0.
    pub part_losses: f64,
}

impl Default for Overlay {
    fn default() -> Self {
        Self {
            roughness: 1.0,
            suction_losses: 1.0,
            main_losses: 1.0,
            hose_losses: 1.0,
            return_losses: 1.0,
            part_losses: 1.0,
        }
    }
}
