//! The network as flat arrays: what the solver sees.

use super::air::{InletLaw, VentLaw};
use super::check_valve::CheckLaw;
use super::expanding::Expanding;
use super::filling::Store;
use super::law::{Loss, coefficient_of_kv, quadratic};
use super::lift::Lift;
use super::line::LineLaw;
use super::mixture::Seat;
use super::pump::PumpLaw;
use super::tip::TipLaw;
use super::valve;
use crate::fluids::{GRAVITY_M_S2, Liquid};
use crate::plumbing::{Branch, Node, Part, Plumbing, connect};
use crate::procedure::Settings;

/// The law of one link.
#[derive(Clone, Debug)]
pub(super) enum Law {
    /// A line.
    Line(LineLaw),
    /// A fixed coefficient, Pa s2/m6.
    Quadratic(f64),
    /// A check or relief valve.
    Check(CheckLaw),
    /// A pump.
    Pump(Box<PumpLaw>),
    /// A tip.
    Tip(TipLaw),
    /// A part that takes the square of its flow, passing air beside liquid.
    Mixture(Seat),
    /// A line that holds air, and the weight of its liquid.
    AirLine(LineLaw, Lift),
    /// What a node stores.
    Store(Store),
    /// A tip that passes air.
    Vent(VentLaw),
    /// The supply of compressed air.
    Inlet(InletLaw),
}

impl Law {
    /// Loss and slope at `flow_m3_s`; flow against a one-way part meets `reverse_slope`.
    pub(super) fn loss_at(&self, flow_m3_s: f64, reverse_slope: f64) -> Loss {
        match self {
            Self::Line(line) => line.loss_at(flow_m3_s),
            Self::AirLine(line, lift) => lift.on(line.loss_at(flow_m3_s), flow_m3_s),
            Self::Tip(tip) => tip.loss_at(flow_m3_s, reverse_slope),
            Self::Quadratic(coefficient) => quadratic(*coefficient, flow_m3_s),
            Self::Mixture(seat) => seat.loss_at(flow_m3_s),
            Self::Check(check) => check.loss_at(flow_m3_s, reverse_slope),
            Self::Pump(pump) => pump.loss_at(flow_m3_s, reverse_slope),
            Self::Store(Store::Air(pocket)) => pocket.loss_at(flow_m3_s),
            Self::Store(Store::Liquid(spring)) => spring.loss_at(flow_m3_s),
            Self::Vent(vent) => vent.loss_at(flow_m3_s, reverse_slope),
            Self::Inlet(inlet) => inlet.loss_at(flow_m3_s, reverse_slope),
        }
    }

    /// Pressure that accelerates its liquid by 1 m3/s each second, Pa s2/m3.
    pub(super) fn inertance(&self) -> f64 {
        match self {
            Self::Line(line) => line.inertance(),
            _ => 0.0,
        }
    }

    /// Whether it passes one way only.
    pub(super) fn one_way(&self) -> bool {
        match self {
            Self::Check(_) | Self::Pump(_) | Self::Tip(_) | Self::Inlet(_) => true,
            Self::Vent(vent) => vent.spring_pa > 0.0,
            _ => false,
        }
    }

    /// A flow of the right order to start from, m3/s.
    fn first_guess(&self) -> f64 {
        match self {
            Self::Line(line) | Self::AirLine(line, _) => {
                line.flow_at_velocity_head(FIRST_VELOCITY_HEAD_PA)
            }
            Self::Tip(tip) => tip.open_flow(FIRST_DROP_PA),
            Self::Quadratic(coefficient) => (FIRST_VELOCITY_HEAD_PA / coefficient).sqrt(),
            Self::Check(_) => 1e-5,
            Self::Pump(pump) => pump.middle_flow(),
            Self::Store(_) | Self::Mixture(_) | Self::Vent(_) | Self::Inlet(_) => 0.0,
        }
    }

    /// Makes a part that takes the square of its flow pass `liquid_m3_s` beside air of `air_ratio` times the density.
    pub(super) fn pass_beside_air(&mut self, liquid_m3_s: f64, air_ratio: f64) {
        match self {
            Self::Quadratic(coefficient) => {
                *self =
                    Self::Mixture(Seat::of_liquid(*coefficient).with_air(liquid_m3_s, air_ratio));
            }
            Self::Check(check) => check.seat = check.seat.with_air(liquid_m3_s, air_ratio),
            _ => {}
        }
    }
}

/// Velocity head of the first guess in lines, Pa (about 1 m/s of water).
const FIRST_VELOCITY_HEAD_PA: f64 = 500.0;
/// Pressure of the first guess at tips, Pa.
const FIRST_DROP_PA: f64 = 2e5;

/// Share of its full flow coefficient below which a valve counts as closed.
const CLOSED_BELOW: f64 = 1e-4;

/// One link between two ends, each an unknown pressure or a given one.
#[derive(Clone, Copy, Debug)]
pub(super) struct Link {
    /// Unknown at the end where positive flow starts, if its pressure is unknown.
    pub(super) from: Option<usize>,
    /// Unknown at the other end.
    pub(super) to: Option<usize>,
    /// Given pressures of the ends and the weight of the liquid between them, Pa, driving positive
    /// flow.
    pub(super) drive_pa: f64,
}

/// Links, laws and unknowns of a network: first its branches, then its tips.
#[derive(Clone, Debug)]
pub(super) struct Circuit {
    pub(super) links: Vec<Link>,
    pub(super) laws: Vec<Law>,
    /// Whether anything can pass each link.
    pub(super) open: Vec<bool>,
    /// Whether each link is open by its own setting, cut off or not.
    wanted: Vec<bool>,
    set_before: bool,
    /// Unknown number of each node, `None` where a tank gives the pressure.
    pub(super) unknown: Vec<Option<usize>>,
    /// Node of each unknown.
    pub(super) node: Vec<usize>,
    /// Pressure a tank gives each node, Pa gauge; 0 elsewhere.
    pub(super) given_pa: Vec<f64>,
    /// Whether each unknown is cut off from every given pressure.
    pub(super) cut_off: Vec<bool>,
    /// First of the links for air held at unknowns; as many as links where there are none.
    pub(super) pocket_from: usize,
    /// Links whose flow expands on its way.
    pub(super) expanding: Vec<Expanding>,
    /// Whether laws and links are not those of lines full of liquid.
    pub(super) has_air: bool,
}

impl Circuit {
    /// The arrays of `plumbing` with every line full of `liquid`; all is closed until [`Circuit::set`].
    pub(super) fn new(plumbing: &Plumbing, liquid: &Liquid) -> Self {
        let weight = liquid.density_kg_m3 * GRAVITY_M_S2;
        let in_tank = |node: &Node| node.tank.map(|c| plumbing.tank(c.tank).surface_m);
        let depth = |node: &Node| in_tank(node).map(|surface| surface - node.elevation_m);
        let given = |node: &Node| depth(node).map(|depth| weight * depth.max(0.0));
        let mut node = Vec::new();
        let mut number = |(i, given): (usize, &Option<f64>)| {
            given.is_none().then(|| {
                node.push(i);
                node.len() - 1
            })
        };
        let given: Vec<Option<f64>> = plumbing.nodes.iter().map(given).collect();
        let unknown: Vec<Option<usize>> = given.iter().enumerate().map(&mut number).collect();
        let given_pa: Vec<f64> = given.iter().map(|pa| pa.unwrap_or(0.0)).collect();
        let branch = |b: &Branch| {
            let (from, to) = (b.from.index(), b.to.index());
            let fall = plumbing.nodes[from].elevation_m - plumbing.nodes[to].elevation_m;
            let drive_pa = given_pa[from] - given_pa[to] + weight * fall;
            Link { from: unknown[from], to: unknown[to], drive_pa }
        };
        let tip = |node: usize| Link { from: unknown[node], to: None, drive_pa: given_pa[node] };
        let mut links: Vec<Link> = plumbing.branches.iter().map(branch).collect();
        links.extend(plumbing.tips.iter().map(|t| tip(t.node.index())));
        let laws = laws(plumbing, liquid);
        let (open, cut_off) = (vec![false; links.len()], vec![false; node.len()]);
        let wanted = open.clone();
        Self {
            pocket_from: links.len(),
            links,
            laws,
            open,
            wanted,
            set_before: false,
            unknown,
            node,
            given_pa,
            cut_off,
            expanding: Vec::new(),
            has_air: false,
        }
    }

    /// Sets openings and speeds as `settings` say; a valve that `moves` under a control counts as open.
    pub(super) fn set(
        &mut self,
        plumbing: &Plumbing,
        liquid: &Liquid,
        settings: &Settings,
        moves: impl Fn(usize) -> bool,
    ) {
        if self.set_openings(plumbing, liquid, settings, moves) {
            self.close_what_is_cut_off(plumbing);
        }
    }

    /// The same, without a look at what is cut off; returns whether that may have changed.
    pub(super) fn set_openings(
        &mut self,
        plumbing: &Plumbing,
        liquid: &Liquid,
        settings: &Settings,
        moves: impl Fn(usize) -> bool,
    ) -> bool {
        if std::mem::take(&mut self.has_air) {
            self.fill_with_liquid(plumbing, liquid);
        }
        let mut changed = !self.set_before;
        self.set_before = true;
        let mut want = |link: usize, open: bool, wanted: &mut [bool]| {
            changed |= wanted[link] != open;
            wanted[link] = open;
        };
        for (i, branch) in plumbing.branches.iter().enumerate() {
            let mut open = true;
            match (&branch.part, &mut self.laws[i]) {
                (Part::Valve(valve), Law::Quadratic(coefficient)) => {
                    let kv = valve::kv_at(valve, settings.opening[i]);
                    // On its way to close, a valve ties what lies behind it to the rest by less than rounding.
                    let passes = kv > CLOSED_BELOW * valve.kv_si;
                    open = passes || moves(i);
                    if passes {
                        *coefficient = coefficient_of_kv(kv, liquid.density_kg_m3);
                    }
                }
                (_, Law::Pump(pump)) => pump.set_speed(settings.speed[i]),
                _ => {}
            }
            want(i, open, &mut self.wanted);
        }
        let branches = plumbing.branches.len();
        for (i, opening) in settings.tip_opening.iter().enumerate() {
            if let Law::Tip(tip) = &mut self.laws[branches + i] {
                tip.set_opening(*opening);
            }
            want(branches + i, *opening > 0.0, &mut self.wanted);
        }
        changed
    }

    /// Takes every line for full of liquid and every node for free of air again.
    fn fill_with_liquid(&mut self, plumbing: &Plumbing, liquid: &Liquid) {
        self.set_before = false;
        self.expanding.clear();
        let fresh = laws(plumbing, liquid);
        self.laws[..fresh.len()].clone_from_slice(&fresh);
        self.open[self.pocket_from..].fill(false);
        let weight = liquid.density_kg_m3 * GRAVITY_M_S2;
        for (link, branch) in self.links.iter_mut().zip(&plumbing.branches) {
            let (from, to) = (branch.from.index(), branch.to.index());
            let fall = plumbing.nodes[from].elevation_m - plumbing.nodes[to].elevation_m;
            link.drive_pa = self.given_pa[from] - self.given_pa[to] + weight * fall;
        }
    }

    /// Takes every unknown for held by what its node stores.
    pub(super) fn cut_nothing_off(&mut self) {
        self.cut_off.fill(false);
        self.open[..self.wanted.len()].copy_from_slice(&self.wanted);
    }

    /// Closes `links` until something else is set, and what only they join to a given pressure.
    pub(super) fn shut(&mut self, plumbing: &Plumbing, links: &[usize]) {
        links.iter().for_each(|link| self.wanted[*link] = false);
        self.close_what_is_cut_off(plumbing);
        self.set_before = false;
    }

    /// Marks unknowns that no open way joins to a given pressure and closes the links among them.
    fn close_what_is_cut_off(&mut self, plumbing: &Plumbing) {
        let mut grounded: Vec<bool> = self.unknown.iter().map(Option::is_none).collect();
        let open_tips = plumbing.tips.iter().zip(&self.wanted[plumbing.branches.len()..]);
        open_tips.filter(|(_, open)| **open).for_each(|(tip, _)| grounded[tip.node.index()] = true);
        let islands =
            connect::cut_off(plumbing, |id| self.wanted[id.index()], |node| grounded[node.index()]);
        self.cut_off.fill(false);
        for node in islands.iter().flatten() {
            if let Some(unknown) = self.unknown[node.index()] {
                self.cut_off[unknown] = true;
            }
        }
        for (i, link) in self.links[..self.wanted.len()].iter().enumerate() {
            let isolated = link.from.or(link.to).is_some_and(|unknown| self.cut_off[unknown]);
            self.open[i] = self.wanted[i] && !isolated;
        }
    }

    /// Difference of total pressure along link `i` that drives its flow, Pa.
    pub(super) fn driving(&self, i: usize, pressure: &[f64]) -> f64 {
        let link = &self.links[i];
        let at = |end: Option<usize>| end.map_or(0.0, |unknown| pressure[unknown]);
        at(link.from) - at(link.to) + link.drive_pa
    }

    /// A flow of the right order for each link to start from, m3/s.
    pub(super) fn first_guess(&self, i: usize) -> f64 {
        self.laws[i].first_guess()
    }
}

/// The law of every link with everything open and every line full.
fn laws(plumbing: &Plumbing, liquid: &Liquid) -> Vec<Law> {
    let branches = plumbing.branches.iter().map(|branch| law_of(&branch.part, liquid));
    let tips = plumbing.tips.iter().map(|tip| Law::Tip(TipLaw::new(tip, liquid)));
    branches.chain(tips).collect()
}

fn law_of(part: &Part, liquid: &Liquid) -> Law {
    let quadratic = |kv| Law::Quadratic(coefficient_of_kv(kv, liquid.density_kg_m3));
    match part {
        Part::Line(line) => Law::Line(LineLaw::new(line, liquid, line.length_m)),
        Part::Valve(valve) => quadratic(valve.kv_si),
        Part::Strainer(part) | Part::Meter(part) => quadratic(part.kv_si),
        Part::Orifice(orifice) => Law::Quadratic(valve::orifice_coefficient(orifice, liquid)),
        Part::CheckValve(check) => Law::Check(CheckLaw::new(check, liquid)),
        Part::Pump(pump) => Law::Pump(Box::new(PumpLaw::new(pump, liquid, pump.speed))),
    }
}
