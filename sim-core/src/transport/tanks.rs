//! What tanks hold: well mixed, drawn down, filled, passed from one to another.

use super::stream::{self, Stream};
use crate::hydraulics::FlowState;
use crate::plumbing::{Plumbing, TankId};
use crate::procedure::{Load, Transfer};

/// Every tank, and where branches open into it.
#[derive(Clone, Debug)]
pub(super) struct Tanks {
    each: Vec<Tank>,
    /// Branch, tank, and whether a positive flow runs into it.
    mouths: Vec<(usize, usize, bool)>,
    /// Tips that draw from a tank directly.
    tips: Vec<(usize, usize)>,
    /// What came through mouths in the last exchange, less what they gave.
    came: Amount,
}

#[derive(Clone, Copy, Debug)]
struct Tank {
    /// `None`: so large that nothing changes it.
    volume_m3: Option<f64>,
    heel_m3: f64,
    concentration: f64,
}

/// Liquid, and the product in it as m3 of full strength.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Amount {
    /// Liquid, m3.
    pub liquid_m3: f64,
    /// Product, m3 of full strength.
    pub product_m3: f64,
}

impl Amount {
    /// Adds `liquid_m3` of `strength`.
    pub fn add(&mut self, liquid_m3: f64, concentration: f64) {
        self.liquid_m3 += liquid_m3;
        self.product_m3 += liquid_m3 * concentration;
    }
}

impl std::ops::AddAssign for Amount {
    fn add_assign(&mut self, other: Self) {
        self.liquid_m3 += other.liquid_m3;
        self.product_m3 += other.product_m3;
    }
}

impl Tanks {
    pub(super) fn new(plumbing: &Plumbing, tanks_hold: f64) -> Self {
        let tank = |tank: &crate::plumbing::Tank| Tank {
            volume_m3: tank.holds_m3,
            heel_m3: tank.heel_m3,
            concentration: tank.concentration.unwrap_or(tanks_hold),
        };
        let at = |node: crate::plumbing::NodeId| plumbing.node(node).tank.map(|c| c.tank.index());
        let mut mouths = Vec::new();
        for (i, branch) in plumbing.branches.iter().enumerate() {
            mouths.extend(at(branch.to).map(|tank| (i, tank, true)));
            mouths.extend(at(branch.from).map(|tank| (i, tank, false)));
        }
        let tips = plumbing.tips.iter().enumerate();
        let tips = tips.filter_map(|(i, tip)| Some((i, at(tip.node)?))).collect();
        Self {
            each: plumbing.tanks.iter().map(tank).collect(),
            mouths,
            tips,
            came: Amount::default(),
        }
    }

    /// What came through mouths in the last exchange, less what they gave.
    pub(super) fn came(&self) -> Amount {
        self.came
    }

    pub(super) fn concentration(&self, tank: TankId) -> f64 {
        self.each[tank.index()].concentration
    }

    pub(super) fn volume_m3(&self, tank: TankId) -> Option<f64> {
        self.each[tank.index()].volume_m3
    }

    /// All that tanks of known volume hold.
    pub(super) fn amount(&self) -> Amount {
        let mut amount = Amount::default();
        for tank in &self.each {
            amount.add(tank.volume_m3.unwrap_or(0.0), tank.concentration);
        }
        amount
    }

    /// Fills a tank anew; returns what came with it and what went.
    pub(super) fn load(&mut self, load: &Load) -> Amount {
        let before = self.amount();
        let tank = &mut self.each[load.tank.index()];
        tank.volume_m3 = load.holds_m3.or(tank.volume_m3);
        tank.concentration = load.concentration;
        let after = self.amount();
        Amount {
            liquid_m3: after.liquid_m3 - before.liquid_m3,
            product_m3: after.product_m3 - before.product_m3,
        }
    }

    /// How long until a tank that flow or a transfer draws on is down to its heel, s, and which it is.
    pub(super) fn until_empty_s(
        &self,
        instant: &FlowState,
        transfers: &[Transfer],
    ) -> Option<(f64, TankId)> {
        let mut net = vec![0.0; self.each.len()];
        for &(branch, tank, into) in &self.mouths {
            let flow = instant.flow_m3_s[branch];
            net[tank] += if into { flow } else { -flow };
        }
        self.tips.iter().for_each(|&(tip, tank)| net[tank] -= instant.tip_flow_m3_s[tip]);
        for transfer in transfers {
            net[transfer.from.index()] -= transfer.flow_m3_s;
            net[transfer.to.index()] += transfer.flow_m3_s;
        }
        let empty = |(i, net): (usize, &f64)| {
            let volume = self.each[i].volume_m3.filter(|_| *net < -1e-12)?;
            Some(((volume - self.each[i].heel_m3).max(0.0) / -net, TankId::at(i)))
        };
        net.iter().enumerate().filter_map(empty).min_by(|a, b| a.0.total_cmp(&b.0))
    }

    /// Lets in and out what passed the ends of branches at tanks (`at_mouth_m3`, positive along the branch) and tips,
    /// and what transfers bring in `dt_s`; returns what tanks of unknown volume gave.
    pub(super) fn exchange(
        &mut self,
        at_mouth_m3: impl Fn(usize) -> f64,
        sprayed_m3: &[f64],
        outflow: &[Stream],
        transfers: &[Transfer],
        dt_s: f64,
    ) -> Amount {
        let mut change = vec![Amount::default(); self.each.len()];
        for &(branch, tank, into) in &self.mouths {
            let volume = at_mouth_m3(branch);
            let inward = if into { volume } else { -volume };
            if inward > 0.0 {
                change[tank].add(inward, stream::mean(&outflow[branch]));
            } else {
                change[tank].add(inward, self.each[tank].concentration);
            }
        }
        self.came = Amount::default();
        change.iter().for_each(|change| self.came += *change);
        for &(tip, tank) in &self.tips {
            change[tank].add(-sprayed_m3[tip], self.each[tank].concentration);
        }
        for transfer in transfers {
            let (volume, concentration) =
                (transfer.flow_m3_s * dt_s, self.each[transfer.from.index()].concentration);
            change[transfer.from.index()].add(-volume, concentration);
            change[transfer.to.index()].add(volume, concentration);
        }
        let mut endless = Amount::default();
        for (tank, change) in self.each.iter_mut().zip(change) {
            match tank.volume_m3 {
                None => {
                    endless.liquid_m3 -= change.liquid_m3;
                    endless.product_m3 -= change.product_m3;
                }
                Some(held) => {
                    let left = held + change.liquid_m3;
                    let product = held * tank.concentration + change.product_m3;
                    tank.concentration = if left > 0.0 { product / left } else { 0.0 };
                    tank.volume_m3 = Some(left);
                }
            }
        }
        endless
    }
}
