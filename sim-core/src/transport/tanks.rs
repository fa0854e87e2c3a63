//! What tanks hold: well mixed, drawn down, filled, passed from one to another.

use super::stirred::Stirred;
use crate::hydraulics::FlowState;
use crate::plumbing::{Plumbing, TankId};
use crate::procedure::{Load, Transfer};

/// Every tank, and where branches open into it.
#[derive(Clone, Debug)]
pub(super) struct Tanks {
    each: Vec<TankState>,
    /// Branch, tank, and whether a positive flow runs into it.
    mouths: Vec<(usize, usize, bool)>,
    /// Tips that draw from a tank directly.
    tips: Vec<(usize, usize)>,
    /// What came through mouths in the last exchange, less what they gave.
    came: Amount,
}

#[derive(Clone, Copy, Debug)]
struct TankState {
    /// `None`: so large that nothing changes it.
    volume_m3: Option<f64>,
    heel_m3: f64,
    concentration: f64,
    /// Mean concentration of what it gives in the move under way.
    gives: f64,
    /// Product beyond volume times concentration, m3 of full strength: what a tank gives rests on the concentration that was
    /// expected to come in, and one that is all but empty may not make up for the difference at once.
    owed_m3: f64,
}

impl TankState {
    fn amount(&self) -> Amount {
        let liquid_m3 = self.volume_m3.unwrap_or(0.0);
        Amount { liquid_m3, product_m3: liquid_m3 * self.concentration + self.owed_m3 }
    }

    /// Takes in what `came` and lets out `gone_m3` at the concentration it gives; its concentration stays between those of what it
    /// held and what came.
    fn mix(&mut self, held_m3: f64, came: Amount, gone_m3: f64) {
        let product = self.amount().product_m3 + came.product_m3 - gone_m3 * self.gives;
        let left = held_m3 + came.liquid_m3 - gone_m3;
        if came.liquid_m3 > 0.0 {
            let entering = came.product_m3 / came.liquid_m3;
            let (low, high) = (self.concentration.min(entering), self.concentration.max(entering));
            self.concentration =
                if left > 0.0 { (product / left).clamp(low, high) } else { entering };
        }
        self.volume_m3 = Some(left);
        self.owed_m3 = product - left * self.concentration;
    }
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
        let tank = |tank: &crate::plumbing::Tank| TankState {
            volume_m3: tank.holds_m3,
            heel_m3: tank.heel_m3,
            concentration: tank.concentration.unwrap_or(tanks_hold),
            gives: tank.concentration.unwrap_or(tanks_hold),
            owed_m3: 0.0,
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

    /// Mean concentration of what a tank gives in the move under way.
    pub(super) fn gives(&self, tank: TankId) -> f64 {
        self.each[tank.index()].gives
    }

    pub(super) fn volume_m3(&self, tank: TankId) -> Option<f64> {
        self.each[tank.index()].volume_m3
    }

    /// All that tanks of known volume hold.
    pub(super) fn amount(&self) -> Amount {
        let mut amount = Amount::default();
        self.each.iter().for_each(|tank| amount += tank.amount());
        amount
    }

    /// Fills a tank anew; returns what came with it and what went.
    pub(super) fn load(&mut self, load: &Load) -> Amount {
        let before = self.amount();
        let tank = &mut self.each[load.tank.index()];
        tank.volume_m3 = load.holds_m3.or(tank.volume_m3);
        tank.concentration = load.concentration;
        tank.owed_m3 = 0.0;
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

    /// Sets what tanks give in a move of `dt_s`, where branches and tips flow as `instant` says and what branches bring is
    /// `expected` to have this concentration.
    pub(super) fn look_ahead(
        &mut self,
        instant: &FlowState,
        expected: impl Fn(usize) -> Option<f64>,
        transfers: &[Transfer],
        dt_s: f64,
    ) {
        let mut comes = vec![Amount::default(); self.each.len()];
        let mut goes = vec![0.0; self.each.len()];
        for &(branch, tank, into) in &self.mouths {
            let volume = instant.flow_m3_s[branch] * dt_s;
            let inward = if into { volume } else { -volume };
            if inward > 0.0 {
                comes[tank].add(inward, expected(branch).unwrap_or(self.each[tank].concentration));
            } else {
                goes[tank] -= inward;
            }
        }
        self.tips.iter().for_each(|&(tip, tank)| goes[tank] += instant.tip_flow_m3_s[tip] * dt_s);
        for transfer in transfers {
            let (from, to) = (transfer.from.index(), transfer.to.index());
            goes[from] += transfer.flow_m3_s * dt_s;
            comes[to].add(transfer.flow_m3_s * dt_s, self.each[from].concentration);
        }
        for (tank, (comes, goes_m3)) in self.each.iter_mut().zip(comes.iter().zip(goes)) {
            tank.gives = match tank.volume_m3 {
                Some(holds_m3) if comes.liquid_m3 > 0.0 => {
                    let stirred = Stirred { holds_m3, comes_m3: comes.liquid_m3, goes_m3 };
                    stirred
                        .mean_concentration(tank.concentration, comes.product_m3 / comes.liquid_m3)
                }
                _ => tank.concentration,
            };
        }
    }

    /// Lets in and out what passed the ends of branches at tanks (`at_mouth_m3` of a branch, and whether its `to` end is meant,
    /// positive along the branch; `leaving`, its concentration where it came in) and tips, and what transfers bring in `dt_s`; returns what tanks of unknown volume
    /// gave.
    pub(super) fn exchange(
        &mut self,
        at_mouth_m3: impl Fn(usize, bool) -> f64,
        leaving: impl Fn(usize) -> f64,
        sprayed_m3: &[f64],
        transfers: &[Transfer],
        dt_s: f64,
    ) -> Amount {
        let mut came = vec![Amount::default(); self.each.len()];
        let mut gone = vec![0.0; self.each.len()];
        self.came = Amount::default();
        for &(branch, tank, into) in &self.mouths {
            let volume = at_mouth_m3(branch, into);
            let inward = if into { volume } else { -volume };
            if inward > 0.0 {
                came[tank].add(inward, leaving(branch));
                self.came.add(inward, leaving(branch));
            } else {
                gone[tank] -= inward;
                self.came.add(inward, self.each[tank].gives);
            }
        }
        self.tips.iter().for_each(|&(tip, tank)| gone[tank] += sprayed_m3[tip]);
        for transfer in transfers {
            let (from, to) = (transfer.from.index(), transfer.to.index());
            gone[from] += transfer.flow_m3_s * dt_s;
            came[to].add(transfer.flow_m3_s * dt_s, self.each[from].gives);
        }
        let mut endless = Amount::default();
        for (tank, (came, gone_m3)) in self.each.iter_mut().zip(came.into_iter().zip(gone)) {
            match tank.volume_m3 {
                None => {
                    endless.liquid_m3 += gone_m3 - came.liquid_m3;
                    endless.product_m3 += gone_m3 * tank.gives - came.product_m3;
                }
                Some(held_m3) => tank.mix(held_m3, came, gone_m3),
            }
        }
        endless
    }
}
