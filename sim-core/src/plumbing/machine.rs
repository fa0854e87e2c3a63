//! A machine: plumbing, and which of its parts play the roles that steps, controls and findings speak of.

use super::validity::refers;
use super::{Branch, BranchId, Invalid, NodeId, Part, Plumbing, TankId};

/// A machine's plumbing and the roles its parts play in it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Machine {
    /// The network.
    pub plumbing: Plumbing,
    /// Which of its parts play which role.
    pub roles: Roles,
}

/// Which part of a plumbing plays which role; `None` where none does.
///
/// Roles are what makes a network a sprayer: a step that circulates opens [`Roles::return_valve`], a pressure is held at
/// [`Roles::gauge`] unless a control says otherwise. [`super::boom::build`] knows them all; [`Roles::by_name`] finds them
/// in any network whose parts carry the usual names.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Roles {
    /// The pump that a step or a control means where it names none.
    pub pump: Option<BranchId>,
    /// The line from the pump side to the header: what feeds the boom passes it.
    pub main: Option<BranchId>,
    /// Where the section valves meet.
    pub header: Option<NodeId>,
    /// Where a pressure is held unless a control says otherwise: the boom gauge.
    pub gauge: Option<NodeId>,
    /// The valve from pump outlet to tank.
    pub bypass: Option<BranchId>,
    /// The recirculation valve: open while the machine circulates, closed in every other step.
    pub return_valve: Option<BranchId>,
    /// Where the return hoses meet.
    pub return_header: Option<NodeId>,
    /// Where compressed air enters unless a step says otherwise.
    pub air_inlet: Option<NodeId>,
    /// The valve to the tank that opens for air that enters at the return header.
    pub back_valve: Option<BranchId>,
    /// The tank that a load or a transfer means where it names none.
    pub tank: Option<TankId>,
}

/// Nothing in a machine plays a role that is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("nothing in the machine is its {0}")]
pub struct NoRole(pub &'static str);

impl From<Plumbing> for Machine {
    /// `plumbing` with the roles of its parts by their names.
    fn from(plumbing: Plumbing) -> Self {
        let roles = Roles::by_name(&plumbing);
        Self { plumbing, roles }
    }
}

impl Machine {
    /// Whether the plumbing can be computed, and every role is played by a part of the right kind.
    ///
    /// # Errors
    /// The first thing found that is not so.
    pub fn check(&self) -> Result<(), Invalid> {
        let (plumbing, roles) = (&self.plumbing, &self.roles);
        plumbing.check()?;
        let pump: fn(&Part) -> bool = |part| part.pump().is_some();
        let valve: fn(&Part) -> bool = |part| matches!(part, Part::Valve(_));
        for (role, id, needed, fits) in [
            ("pump", roles.pump, "a pump", pump),
            ("main", roles.main, "a line or part", |_| true),
            ("bypass", roles.bypass, "a valve", valve),
            ("return valve", roles.return_valve, "a valve", valve),
            ("back valve", roles.back_valve, "a valve", valve),
        ] {
            let Some(id) = id else { continue };
            plumbing.has_branch(|| role_of(role), id)?;
            let branch = plumbing.branch(id);
            if !fits(&branch.part) {
                let (thing, kind) = (branch.name.clone(), branch.part.kind());
                return Err(Invalid::Kind { thing, kind, needed });
            }
        }
        for (role, id) in [
            ("header", roles.header),
            ("gauge", roles.gauge),
            ("return header", roles.return_header),
            ("air inlet", roles.air_inlet),
        ] {
            id.map_or(Ok(()), |id| plumbing.has_node(|| role_of(role), id))?;
        }
        let tanks = plumbing.tanks.len();
        roles.tank.map_or(Ok(()), |id| refers(|| role_of("tank"), "tank", id.index(), tanks))
    }
}

fn role_of(role: &str) -> String {
    format!("the role of the {role}")
}

impl Roles {
    /// Roles of the parts of `plumbing` that carry the usual names: gauge or node `boom`, line or part `main`, valve
    /// `bypass`, tank `tank` or the only one. The pump is the first; the header is where the first section's valve
    /// starts; air enters at the first entry of its supply. What steps open and close by themselves is found by no
    /// name.
    pub fn by_name(plumbing: &Plumbing) -> Self {
        let position = |fits: &dyn Fn(&Branch) -> bool| {
            plumbing.branches.iter().position(fits).map(BranchId::at)
        };
        let valve = plumbing.sections.first().and_then(|section| section.valve);
        let tank = plumbing.tanks.iter().position(|tank| tank.name == "tank");
        let only_tank = (plumbing.tanks.len() == 1).then_some(0);
        Self {
            pump: position(&|branch| branch.part.pump().is_some()),
            main: plumbing.branch_named("main"),
            header: valve
                .and_then(|valve| plumbing.branches.get(valve.index()))
                .map(|valve| valve.from),
            gauge: plumbing.gauge_or_node("boom"),
            bypass: position(&|b| b.name == "bypass" && matches!(b.part, Part::Valve(_))),
            air_inlet: plumbing.air.as_ref().and_then(|air| air.entries.first()).map(|at| at.node),
            tank: tank.or(only_tank).map(TankId::at),
            return_valve: None,
            return_header: None,
            back_valve: None,
        }
    }

    /// Whether air that enters at `node` pushes liquid back through the back valve.
    pub fn goes_back(&self, node: NodeId) -> bool {
        self.back_valve.is_some() && self.return_header == Some(node)
    }
}
