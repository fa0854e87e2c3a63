//! Can a scenario that was put together in code be run?

use super::model::Scenario;
use crate::plumbing::{BranchId, TankId, Unsound, figure, refers};
use crate::procedure::Step;

impl Scenario {
    /// Whether plumbing, steps, start and model can be computed. What [`read`](super::read) returns can.
    ///
    /// # Errors
    /// The first thing found that cannot.
    pub fn check(&self) -> Result<(), Unsound> {
        self.plumbing.check()?;
        self.steps.iter().try_for_each(|step| self.step(step))?;
        let start = || "the start".to_owned();
        share(start, "lines_hold", self.start.lines_hold)?;
        share(start, "tanks_hold", self.start.tanks_hold)?;
        share(start, "full_from", self.start.full_from)?;
        for (line, holds) in &self.start.own {
            self.has_branch(*line)?;
            share(start, "own", holds.unwrap_or(0.0))?;
        }
        let model = || "the model".to_owned();
        above_0(model, "longest_move_s", self.model.longest_move_s)?;
        let front = self.model.fixed_front.unwrap_or(1.0);
        figure(model, "fixed_front", front, "a number from 1 on", front >= 1.0)?;
        if let Some(particles) = &self.product.particles {
            let thing = || "the particles".to_owned();
            above_0(thing, "diameter_m", particles.diameter_m)?;
            above_0(thing, "density_kg_m3", particles.density_kg_m3)?;
            share(thing, "share", particles.share)?;
        }
        let speed = self.travel.map_or(1.0, |travel| travel.speed_m_s);
        above_0(|| "the travel".to_owned(), "speed_m_s", speed)
    }

    fn step(&self, step: &Step) -> Result<(), Unsound> {
        let thing = || format!("step {}", step.name);
        step.settings.check(&self.plumbing)?;
        step.controls.iter().try_for_each(|control| control.check(&self.plumbing))?;
        step.lasts.map_or(Ok(()), |lasts| above_0(thing, "most_s", lasts.most_s))?;
        let ramp_s = step.change.ramp_s;
        figure(thing, "ramp_s", ramp_s, "a number from 0 on", ramp_s >= 0.0)?;
        for (branch, delay_s) in &step.change.delays_s {
            self.has_branch(*branch)?;
            figure(thing, "delay", *delay_s, "a number from 0 on", *delay_s >= 0.0)?;
        }
        for load in &step.loads {
            self.has_tank(load.tank)?;
            share(thing, "strength of a load", load.strength)?;
            let holds = load.holds_m3.unwrap_or(0.0);
            figure(thing, "holds_m3", holds, "a number from 0 on", holds >= 0.0)?;
        }
        for transfer in &step.transfers {
            self.has_tank(transfer.from)?;
            self.has_tank(transfer.to)?;
            above_0(thing, "flow_m3_s", transfer.flow_m3_s)?;
        }
        let Some(purge) = step.purge else { return Ok(()) };
        self.plumbing.has_node(thing, purge.node)?;
        let Some(pulse) = purge.pulse else { return Ok(()) };
        above_0(thing, "on_s", pulse.on_s)?;
        above_0(thing, "off_s", pulse.off_s)
    }

    fn has_branch(&self, branch: BranchId) -> Result<(), Unsound> {
        self.plumbing.has_branch(|| "the scenario".to_owned(), branch)
    }

    fn has_tank(&self, tank: TankId) -> Result<(), Unsound> {
        refers(|| "the scenario".to_owned(), "tank", tank.index(), self.plumbing.tanks.len())
    }
}

fn above_0(thing: impl FnOnce() -> String, name: &'static str, value: f64) -> Result<(), Unsound> {
    figure(thing, name, value, "a number above 0", value > 0.0)
}

fn share(thing: impl FnOnce() -> String, name: &'static str, value: f64) -> Result<(), Unsound> {
    figure(thing, name, value, "from 0 to 1", (0.0..=1.0).contains(&value))
}
