//! Does what is set, held and done fit the plumbing it is meant for?

use super::{Actuator, Control, Course, Held, ProbePlace, RecordOptions, Settings, Step};
use crate::plumbing::{BranchId, Invalid, Part, Plumbing, TankId, figure, refers};

impl Settings {
    /// Whether there is an entry for each branch and tip of `plumbing`, and each a number from 0 on.
    ///
    /// # Errors
    /// The first thing found that does not fit.
    pub fn check(&self, plumbing: &Plumbing) -> Result<(), Invalid> {
        let (branches, tips) = (plumbing.branches.len(), plumbing.tips.len());
        for (list, values, needed) in [
            ("opening", &self.opening, branches),
            ("speed", &self.speed, branches),
            ("tip_opening", &self.tip_opening, tips),
        ] {
            if values.len() != needed {
                return Err(Invalid::Length { list, given: values.len(), needed });
            }
            for value in values {
                let thing = || "the settings".to_owned();
                figure(thing, list, *value, "a number from 0 on", *value >= 0.0)?;
            }
        }
        Ok(())
    }
}

impl Control {
    /// Whether what it holds and moves is there in `plumbing`, of the right kind, and its figures in their range.
    ///
    /// # Errors
    /// The first thing found that is not.
    pub fn check(&self, plumbing: &Plumbing) -> Result<(), Invalid> {
        let thing = || "a control".to_owned();
        let (name, value) = match self.held {
            Held::Pressure { node, pa } => {
                plumbing.has_node(thing, node)?;
                ("pressure", pa)
            }
            Held::Flow { branch, m3_s } => {
                plumbing.has_branch(thing, branch)?;
                ("flow", m3_s)
            }
        };
        figure(thing, name, value, "a number above 0", value > 0.0)?;
        let response_s = self.response_s;
        figure(thing, "response_s", response_s, "a number from 0 on", response_s >= 0.0)?;
        let (Actuator::PumpSpeed(id) | Actuator::ValveOpening(id)) = self.by;
        plumbing.has_branch(thing, id)?;
        let branch = plumbing.branch(id);
        let needed = match (self.by, &branch.part) {
            (Actuator::PumpSpeed(_), Part::Pump(_))
            | (Actuator::ValveOpening(_), Part::Valve(_)) => {
                return Ok(());
            }
            (Actuator::PumpSpeed(_), _) => "a pump",
            (Actuator::ValveOpening(_), _) => "a valve",
        };
        Err(Invalid::Kind { thing: branch.name.clone(), kind: branch.part.kind(), needed })
    }
}

impl Course {
    /// Whether steps, start, product, travel and model can be computed on `plumbing`.
    ///
    /// # Errors
    /// The first thing found that cannot.
    pub fn check(&self, plumbing: &Plumbing) -> Result<(), Invalid> {
        self.steps.iter().try_for_each(|step| step.check(plumbing))?;
        let start = || "the start".to_owned();
        share(start, "lines_hold", self.start.lines_hold)?;
        share(start, "tanks_hold", self.start.tanks_hold)?;
        share(start, "full_from", self.start.full_from)?;
        let rinsed_to = self.rinsed_to.unwrap_or(0.0);
        figure(start, "rinsed_to", rinsed_to, "a number from 0 on", rinsed_to >= 0.0)?;
        for (line, holds) in &self.start.own {
            has_branch(plumbing, *line)?;
            share(start, "own", holds.unwrap_or(0.0))?;
        }
        for (line, air_pa) in &self.start.air_pa {
            has_branch(plumbing, *line)?;
            figure(start, "air_pa", *air_pa, "a number from 0 on", *air_pa >= 0.0)?;
        }
        let speed_m_s = self.travel.map_or(1.0, |travel| travel.speed_m_s);
        above_0(|| "the travel".to_owned(), "speed_m_s", speed_m_s)?;
        let model = || "the model".to_owned();
        above_0(model, "longest_move_s", self.model.longest_move_s)?;
        above_0(model, "air_tolerance", self.model.air_tolerance)?;
        let front = self.model.fixed_front.unwrap_or(1.0);
        figure(model, "fixed_front", front, "a number from 1 on", front >= 1.0)?;
        self.record.check(plumbing)?;
        let Some(particles) = &self.product.particles else { return Ok(()) };
        let thing = || "the particles".to_owned();
        above_0(thing, "diameter_m", particles.diameter_m)?;
        above_0(thing, "density_kg_m3", particles.density_kg_m3)?;
        share(thing, "share", particles.share)
    }
}

impl RecordOptions {
    /// Whether what is watched is there in `plumbing`.
    ///
    /// # Errors
    /// The first thing found that is not.
    pub fn check(&self, plumbing: &Plumbing) -> Result<(), Invalid> {
        self.lines.iter().try_for_each(|line| has_branch(plumbing, *line))?;
        let most = self.most_moments.unwrap_or(2);
        figure(|| "the record".to_owned(), "most_moments", most as f64, "2 or more", most >= 2)?;
        for probe in &self.probes {
            let thing = || format!("probe {}", probe.name);
            let (line, distance_m) = match probe.place {
                ProbePlace::Node(node) => {
                    plumbing.has_node(thing, node)?;
                    continue;
                }
                ProbePlace::Along { line, distance_m } => (line, distance_m),
            };
            plumbing.has_branch(thing, line)?;
            let branch = plumbing.branch(line);
            let Some(part) = branch.part.line() else {
                let (thing, kind) = (branch.name.clone(), branch.part.kind());
                return Err(Invalid::Kind { thing, kind, needed: "a line" });
            };
            let within = (0.0..=part.length_m).contains(&distance_m);
            figure(thing, "distance_m", distance_m, "from 0 to the length of its line", within)?;
        }
        Ok(())
    }
}

impl Step {
    /// Whether what it sets, holds and does can be computed on `plumbing`.
    ///
    /// # Errors
    /// The first thing found that cannot.
    pub fn check(&self, plumbing: &Plumbing) -> Result<(), Invalid> {
        let thing = || format!("step {}", self.name);
        self.settings.check(plumbing)?;
        self.controls.iter().try_for_each(|control| control.check(plumbing))?;
        self.lasts.map_or(Ok(()), |lasts| above_0(thing, "most_s", lasts.most_s))?;
        let ramp_s = self.change.ramp_s;
        figure(thing, "ramp_s", ramp_s, "a number from 0 on", ramp_s >= 0.0)?;
        for (branch, delay_s) in &self.change.delays_s {
            has_branch(plumbing, *branch)?;
            figure(thing, "delay", *delay_s, "a number from 0 on", *delay_s >= 0.0)?;
        }
        for load in &self.loads {
            has_tank(plumbing, load.tank)?;
            share(thing, "concentration of a load", load.concentration)?;
            let holds = load.holds_m3.unwrap_or(0.0);
            figure(thing, "holds_m3", holds, "a number from 0 on", holds >= 0.0)?;
        }
        for transfer in &self.transfers {
            has_tank(plumbing, transfer.from)?;
            has_tank(plumbing, transfer.to)?;
            above_0(thing, "flow_m3_s", transfer.flow_m3_s)?;
        }
        let Some(purge) = self.purge else { return Ok(()) };
        plumbing.has_node(thing, purge.node)?;
        let Some(pulse) = purge.pulse else { return Ok(()) };
        above_0(thing, "on_s", pulse.on_s)?;
        above_0(thing, "off_s", pulse.off_s)
    }
}

fn has_branch(plumbing: &Plumbing, branch: BranchId) -> Result<(), Invalid> {
    plumbing.has_branch(|| "the course".to_owned(), branch)
}

fn has_tank(plumbing: &Plumbing, tank: TankId) -> Result<(), Invalid> {
    refers(|| "the course".to_owned(), "tank", tank.index(), plumbing.tanks.len())
}

fn above_0(thing: impl FnOnce() -> String, name: &'static str, value: f64) -> Result<(), Invalid> {
    figure(thing, name, value, "a number above 0", value > 0.0)
}

fn share(thing: impl FnOnce() -> String, name: &'static str, value: f64) -> Result<(), Invalid> {
    figure(thing, name, value, "from 0 to 1", (0.0..=1.0).contains(&value))
}
