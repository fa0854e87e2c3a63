//! The network as flat arrays where part of it holds air.

use super::air::VentLaw;
use super::circuit::{Circuit, Law, Link};
use super::expanding::Expanding;
use super::filling::{BranchFilling, Fillings};
use super::line::LineLaw;
use crate::air::{AirRestriction, REFERENCE_DENSITY_KG_M3, VISCOSITY_PA_S};
use crate::fluids::{GRAVITY_M_S2, Liquid, TIP_DENSITY_KG_M3};
use crate::plumbing::{Line, Plumbing, ShutOff, Tip};

/// Shortest column whose friction and inertia are counted, in bores.
const LEAST_COLUMN_BORES: f64 = 1.0;

impl Circuit {
    /// Adds a link for air held at each unknown and one for its supply, all closed.
    pub(super) fn add_air_links(&mut self) {
        let alone = |unknown: usize| Link { from: Some(unknown), to: None, drive_pa: 0.0 };
        self.pocket_from = self.links.len();
        self.links.extend((0..self.node.len()).map(alone));
        self.links.push(Link { from: None, to: None, drive_pa: 0.0 });
        self.laws.resize(self.links.len(), Law::Quadratic(1.0));
        self.open.resize(self.links.len(), false);
    }

    /// Takes up what branches and nodes hold, after [`Circuit::set`] has put the settings in place.
    pub(super) fn fill(&mut self, plumbing: &Plumbing, liquid: &Liquid, fillings: &Fillings) {
        self.expanding.clear();
        for (i, branch) in plumbing.branches.iter().enumerate() {
            match (branch.part.line(), fillings.branches[i]) {
                (Some(line), filling) => self.fill_line(plumbing, liquid, i, line, filling),
                (None, BranchFilling::Mixture { liquid_m3_s, air_kg_m3 }) => {
                    self.laws[i].pass_beside_air(liquid_m3_s, air_kg_m3 / liquid.density_kg_m3);
                    self.expanding.push(Expanding {
                        link: i,
                        density_kg_m3: air_kg_m3,
                        liquid_m3_s,
                    });
                }
                (None, _) => {}
            }
        }
        let branches = plumbing.branches.len();
        for (i, tip) in plumbing.tips.iter().enumerate() {
            if fillings.air_at[tip.node.index()] {
                self.laws[branches + i] = Law::Vent(vent(tip));
                self.expand_free(branches + i);
            }
        }
        for (unknown, &node) in self.node.iter().enumerate() {
            let link = self.pocket_from + unknown;
            self.open[link] = fillings.stores[node].is_some();
            if let Some(store) = fillings.stores[node] {
                self.laws[link] = Law::Store(store);
            }
        }
        let inlet = self.links.len() - 1;
        let entry = fillings.inlet.and_then(|(node, law)| Some((self.unknown[node.index()]?, law)));
        self.open[inlet] = entry.is_some();
        if let Some((unknown, law)) = entry {
            self.links[inlet].to = Some(unknown);
            self.laws[inlet] = Law::Inlet(law);
            self.expand_free(inlet);
        }
        self.has_air = true;
        self.cut_nothing_off();
    }

    fn expand_free(&mut self, link: usize) {
        self.expanding.push(Expanding {
            link,
            density_kg_m3: REFERENCE_DENSITY_KG_M3,
            liquid_m3_s: 0.0,
        });
    }

    fn fill_line(
        &mut self,
        plumbing: &Plumbing,
        liquid: &Liquid,
        i: usize,
        line: &Line,
        filling: BranchFilling,
    ) {
        let branch = &plumbing.branches[i];
        let (from, to) = (branch.from.index(), branch.to.index());
        let given = self.given_pa[from] - self.given_pa[to];
        match filling {
            BranchFilling::Column { length_m, rise_m } => {
                let length_m = length_m.max(LEAST_COLUMN_BORES * line.bore_m);
                self.laws[i] = Law::Line(LineLaw::new(line, liquid, length_m));
                self.links[i].drive_pa = given - liquid.density_kg_m3 * GRAVITY_M_S2 * rise_m;
            }
            BranchFilling::Air { density_kg_m3, multiplier, lift } => {
                let (density, viscosity) =
                    (density_kg_m3 * multiplier, VISCOSITY_PA_S * multiplier);
                let law = LineLaw::of(line, density, viscosity, line.length_m);
                self.laws[i] = Law::AirLine(law, lift);
                self.links[i].drive_pa = given;
                self.expanding.push(Expanding { link: i, density_kg_m3, liquid_m3_s: 0.0 });
            }
            BranchFilling::Liquid | BranchFilling::Mixture { .. } => {
                let height = |node: usize| plumbing.nodes[node].elevation_m;
                let fall = height(from) - height(to);
                self.laws[i] = Law::Line(LineLaw::new(line, liquid, line.length_m));
                self.links[i].drive_pa = given + liquid.density_kg_m3 * GRAVITY_M_S2 * fall;
            }
        }
    }
}

/// What `tip` is to air: its orifice as a hole that passes its rated flow of water.
fn vent(tip: &Tip) -> VentLaw {
    let rated = tip.rated_flow_m3_s * (1.0 + tip.wear);
    let effective_m2 = rated / (2.0 * tip.rated_at_pa / TIP_DENSITY_KG_M3).sqrt();
    let spring_pa = match tip.shut_off {
        ShutOff::CheckValve { opens_at_pa, .. } => opens_at_pa,
        ShutOff::Open | ShutOff::Each => 0.0,
    };
    let hole = AirRestriction::ideal(effective_m2 * tip.duty);
    VentLaw { hole, spring_pa }
}
