//! What the flow needs to know of the contents, and what it may do to them in one step.

use super::super::state::Contents;
use super::Airy;
use crate::air::density;
use crate::fluids::ATMOSPHERE_PA;
use crate::hydraulics::{Filling, InletLaw, Instant, Mixed, PocketLaw, SpringLaw, Store};
use crate::two_phase::{Regime, butterworth_parameter, gas_multiplier};

/// Speed at which pressure waves run in lines that yield as hose does, m/s (from memory: rubber hose 300 to
/// 600); liquid and lines yield by the density times its square.
const WAVE_M_S: f64 = 500.0;
/// Liquid that any node holds beside that of its lines, m3.
const NODE_LIQUID_M3: f64 = 1e-5;
/// Holdup from which a layer makes air flow harder.
const LAYER_COUNTS: f64 = 0.002;
/// Highest holdup whose effect on the air is told by the law; beyond it, it stays as it is.
const MOST_HOLDUP: f64 = 0.8;

impl Contents<'_> {
    /// Writes into `mixed` what every branch and node holds for a step of `dt_s`; `inlet` is the node where
    /// compressed air comes in. `before` tells which way parts were passed.
    pub fn describe(&self, before: &Instant, inlet: Option<usize>, dt_s: f64, mixed: &mut Mixed) {
        let Some(airy) = &self.airy else { return };
        mixed.filling.clear();
        mixed
            .filling
            .extend((0..self.plumbing.branches.len()).map(|i| self.filling(airy, i, before)));
        mixed.airy.clone_from(&airy.airy);
        mixed.stores.clear();
        mixed.stores.extend((0..self.plumbing.nodes.len()).map(|node| {
            let holds_air = airy.airy[node] || inlet == Some(node);
            let store = || self.store(airy, node, holds_air, dt_s);
            self.plumbing.nodes[node].tank.is_none().then(store)
        }));
        mixed.inlet = inlet.zip(airy.supply.as_ref()).map(|(node, supply)| {
            (
                node,
                InletLaw {
                    upstream_abs_pa: supply.upstream_pa(),
                    valve: supply.valve,
                    most_m3_s: supply.most_m3_s(),
                },
            )
        });
    }

    fn store(&self, airy: &Airy, node: usize, holds_air: bool, dt_s: f64) -> Store {
        let absolute_pa = airy.absolute_pa[node];
        if holds_air {
            let volume_m3 = airy.node_air_m3(node, &self.arms[node], self.plumbing);
            return Store::Air(PocketLaw { volume_m3, absolute_pa, dt_s });
        }
        let half = |i: &usize| {
            self.plumbing.branches[*i].part.line().map_or(0.0, |line| 0.5 * line.volume_m3())
        };
        let volume = NODE_LIQUID_M3 + self.arms[node].iter().map(half).sum::<f64>();
        let stiffness = airy.liquid.density_kg_m3 * WAVE_M_S * WAVE_M_S / volume;
        Store::Liquid(SpringLaw {
            gauge_pa: absolute_pa - ATMOSPHERE_PA,
            slope: stiffness * dt_s,
            vapour_pa: airy.liquid.vapour_pressure_pa - ATMOSPHERE_PA,
        })
    }

    fn filling(&self, airy: &Airy, i: usize, before: &Instant) -> Filling {
        let branch = &self.plumbing.branches[i];
        let (from, to) = (branch.from.index(), branch.to.index());
        if branch.part.line().is_none() {
            let flow = before.flow_m3_s[i];
            let upstream = if flow >= 0.0 { from } else { to };
            if !airy.airy[upstream] {
                return Filling::Liquid;
            }
            let liquid_share = airy.liquid_share[upstream].clamp(0.0, 1.0);
            let air_kg_m3 = density(airy.absolute_pa[upstream]);
            return Filling::Mixture { liquid_share, air_kg_m3 };
        }
        let Some(part) = &airy.part[i] else { return Filling::Liquid };
        if !part.airy {
            let (length_m, rise_m) = part.column();
            return Filling::Column { length_m, rise_m };
        }
        let holdup = part.holdup().min(MOST_HOLDUP);
        let multiplier = if holdup > LAYER_COUNTS {
            gas_multiplier(butterworth_parameter(holdup), Regime::LaminarLiquid)
        } else {
            1.0
        };
        let mean = 0.5 * (airy.absolute_pa[from] + airy.absolute_pa[to]);
        Filling::Air { density_kg_m3: density(mean), multiplier }
    }

    /// How long until a front reaches the end of its line at the flows of `instant`, s, or something else
    /// changes by so much that flows must be found anew.
    pub fn until_front_s(&self, instant: &Instant) -> f64 {
        let Some(airy) = &self.airy else { return f64::INFINITY };
        let mut soonest = f64::INFINITY;
        for (i, part) in airy.part.iter().enumerate() {
            let Some(part) = part.as_ref().filter(|part| !part.airy) else { continue };
            let flow = instant.flow_m3_s[i];
            let (inlet, outlet) = if flow >= 0.0 { (0, 1) } else { (1, 0) };
            let flow = flow.abs();
            if flow <= super::super::state::STILL_M3_S {
                continue;
            }
            if part.gap_m3[outlet] > 0.0 {
                soonest = soonest.min(part.free_m3(outlet) / flow);
            } else if self.is_airy_end(airy, i, inlet) {
                let nose = self.nose(airy, i, flow, inlet);
                soonest = soonest.min(part.column_m3 * (1.0 - nose) / flow);
            }
        }
        soonest
    }

    /// Longest step in which no front runs farther than `most_m`, s.
    pub fn front_step_s(&self, instant: &Instant, most_m: f64) -> f64 {
        let Some(airy) = &self.airy else { return f64::INFINITY };
        let steps = airy.part.iter().enumerate().filter_map(|(i, part)| {
            let part = part.as_ref().filter(|part| !part.airy)?;
            Some(most_m * part.area_m2 / instant.flow_m3_s[i].abs().max(1e-12))
        });
        steps.fold(f64::INFINITY, f64::min)
    }

    pub(super) fn is_airy_end(&self, airy: &Airy, i: usize, end: usize) -> bool {
        let branch = &self.plumbing.branches[i];
        let node = if end == 0 { branch.from } else { branch.to };
        airy.airy[node.index()]
    }

    /// Share of the bore that the front of air entering line `i` at `inlet` leaves as liquid.
    pub(super) fn nose(&self, airy: &Airy, i: usize, flow_m3_s: f64, inlet: usize) -> f64 {
        if !airy.use_holdup {
            return 0.0;
        }
        if let Some(ratio) = airy.fixed_front {
            return 1.0 - 1.0 / ratio;
        }
        let Some(part) = &airy.part[i] else { return 0.0 };
        let flux = flow_m3_s.abs() / part.area_m2;
        let slope = part.slope_at_gap(inlet);
        crate::two_phase::left_behind(
            flux,
            part.bore_m,
            slope,
            &airy.liquid,
            crate::two_phase::WATER_SURFACE_TENSION_N_M,
        )
        .left_behind
    }
}
