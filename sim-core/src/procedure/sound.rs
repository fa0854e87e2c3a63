//! Does what a step sets fit the plumbing it is set for?

use super::{Actuator, Control, Held, Settings};
use crate::plumbing::{Part, Plumbing, Unsound, figure};

impl Settings {
    /// Whether there is an entry for each branch and tip of `plumbing`, and each a number from 0 on.
    ///
    /// # Errors
    /// The first thing found that does not fit.
    pub fn check(&self, plumbing: &Plumbing) -> Result<(), Unsound> {
        let (branches, tips) = (plumbing.branches.len(), plumbing.tips.len());
        for (list, values, needed) in [
            ("opening", &self.opening, branches),
            ("speed", &self.speed, branches),
            ("tip_opening", &self.tip_opening, tips),
        ] {
            if values.len() != needed {
                return Err(Unsound::Length { list, given: values.len(), needed });
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
    pub fn check(&self, plumbing: &Plumbing) -> Result<(), Unsound> {
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
        Err(Unsound::Kind { thing: branch.name.clone(), kind: branch.part.kind(), needed })
    }
}
