//! Steps by what they do: what each action means on a machine.
//!
//! ```
//! use sim_core::plumbing::boom::{Feed, build, example};
//! use sim_core::procedure::{Control, Step, Until};
//! let machine = build(&example(6, 12, Feed::Centre, true));
//! let hold = Control::pressure(&machine, 3e5).expect("a pump and a boom gauge");
//! let prime = Step::prime(&machine).holds(hold);
//! let wait = Step::stand(&machine).lasts(600.0);
//! let rinse = Step::rinse(&machine).holds(hold).until(Until::TankEmpty, 300.0);
//! assert!([prime, wait, rinse].iter().all(|step| step.check(&machine.plumbing).is_ok()));
//! ```

use super::{
    Action, AirPurge, Change, Control, Lasts, Load, Pulse, Settings, Step, Transfer, Until,
};
use crate::plumbing::connect::reaches;
use crate::plumbing::{BranchId, Machine, NodeId, Part, Plumbing, SectionId, ShutOff, TipId};

/// How long priming may take where nothing else is said, s.
const PRIMES_WITHIN_S: f64 = 300.0;

impl Step {
    /// Every section sprays.
    pub fn spray(machine: &Machine) -> Self {
        Self::of(Action::Spray, machine)
    }

    /// Every section sprays until every tip has full strength, for five minutes at most.
    pub fn prime(machine: &Machine) -> Self {
        Self::of(Action::Prime, machine).until(Until::FullStrength, PRIMES_WITHIN_S)
    }

    /// Tips are closed, the return valve is open.
    pub fn circulate(machine: &Machine) -> Self {
        Self::of(Action::Circulate, machine)
    }

    /// Every section sprays, to wash product out.
    pub fn rinse(machine: &Machine) -> Self {
        Self::of(Action::Rinse, machine)
    }

    /// Pumps rest, tips are closed.
    pub fn stand(machine: &Machine) -> Self {
        Self::of(Action::Stand, machine)
    }

    /// Air enters at `node` of `machine`: pumps rest, tips are closed where they can be, and one way back to the tank is open: through
    /// the return valve, or through the back valve for air that enters at the return header.
    pub fn purge(machine: &Machine, node: NodeId) -> Self {
        let mut step = Self::of(Action::Purge, machine);
        let (roles, back) = (&machine.roles, machine.roles.goes_back(node));
        for (valve, open) in [(roles.return_valve, !back), (roles.back_valve, back)] {
            if let Some(valve) = valve {
                step.settings.opening[valve.index()] = f64::from(open);
            }
        }
        Self { purge: Some(AirPurge { node, pulse: None }), ..step }
    }

    /// A step of `action` on `machine` that lasts no time: valves and pumps as the plumbing states them but for what the
    /// action opens, closes or rests; nothing held. A purge lets no air in yet: [`Step::purge`] does.
    pub fn of(action: Action, machine: &Machine) -> Self {
        let plumbing = &machine.plumbing;
        let mut settings = Settings::of(plumbing);
        if let Some(valve) = machine.roles.return_valve.map(BranchId::index) {
            // A valve that is throttled to begin with circulates as it is; one that is closed opens wide.
            let own = if settings.opening[valve] > 0.0 { settings.opening[valve] } else { 1.0 };
            settings.opening[valve] = if action == Action::Circulate { own } else { 0.0 };
        }
        if matches!(action, Action::Stand | Action::Purge) {
            settings.speed.fill(0.0);
        }
        for (tip, opening) in plumbing.tips.iter().zip(&mut settings.tip_opening) {
            // A check valve opens by the pressure of the air, whatever is commanded.
            let by_air = action == Action::Purge && tip.shut_off != ShutOff::Each;
            *opening = f64::from(tip.in_use && (action.sprays() || by_air));
        }
        Self {
            name: action.word().to_owned(),
            action,
            settings,
            controls: Vec::new(),
            lasts: None,
            change: Change::default(),
            loads: Vec::new(),
            transfers: Vec::new(),
            pass: None,
            purge: None,
        }
    }

    /// The same, called `name`.
    pub fn named(self, name: impl Into<String>) -> Self {
        Self { name: name.into(), ..self }
    }

    /// The same for `most_s`, s, > 0, unless what it waits for comes before.
    pub fn lasts(self, most_s: f64) -> Self {
        let until = self.lasts.map_or(Until::Time, |lasts| lasts.until);
        self.until(until, most_s)
    }

    /// The same until something comes, for `most_s`, s, > 0, at most.
    pub fn until(self, until: Until, most_s: f64) -> Self {
        Self { lasts: Some(Lasts { most_s, until }), ..self }
    }

    /// The same with one more control at work.
    pub fn holds(mut self, control: Control) -> Self {
        self.controls.push(control);
        self
    }

    /// The same with valves, tips and pumps moving over `ramp_s`, s, >= 0, as it begins.
    pub fn ramp(mut self, ramp_s: f64) -> Self {
        self.change.ramp_s = ramp_s;
        self
    }

    /// The same with valve `valve` at `opening`, 0 to 1.
    pub fn valve(mut self, valve: BranchId, opening: f64) -> Self {
        self.settings.opening[valve.index()] = opening;
        self
    }

    /// The same with pump `pump` at `speed` as a share of its curve's, >= 0.
    pub fn pump(mut self, pump: BranchId, speed: f64) -> Self {
        self.settings.speed[pump.index()] = speed;
        self
    }

    /// The same with tip `tip` closed by command.
    pub fn close(mut self, tip: TipId) -> Self {
        self.settings.tip_opening[tip.index()] = 0.0;
        self
    }

    /// The same with the valve of every section but `open` closed, and its tips with it. Where a section returns, nothing
    /// closes tips without a shut-off of their own: they spray if liquid comes through the return. The tips of a purge stay
    /// as they are.
    pub fn only(mut self, machine: &Machine, open: impl IntoIterator<Item = SectionId>) -> Self {
        let plumbing = &machine.plumbing;
        let mut closed = vec![true; plumbing.sections.len()];
        open.into_iter().for_each(|section| closed[section.index()] = false);
        for (section, closed) in plumbing.sections.iter().zip(&closed) {
            if let Some(valve) = section.valve.filter(|_| *closed) {
                self.settings.opening[valve.index()] = 0.0;
            }
        }
        if self.action != Action::Purge {
            for (tip, opening) in plumbing.tips.iter().zip(&mut self.settings.tip_opening) {
                let Some(section) = tip.section.filter(|section| closed[section.index()]) else {
                    continue;
                };
                if tip.shut_off == ShutOff::Each || !plumbing.section_returns(section) {
                    *opening = 0.0;
                }
            }
        }
        self
    }

    /// The same with a tank filled anew as it begins.
    pub fn loads(mut self, load: Load) -> Self {
        self.loads.push(load);
        self
    }

    /// The same with a flow from tank to tank while it lasts.
    pub fn transfers(mut self, transfer: Transfer) -> Self {
        self.transfers.push(transfer);
        self
    }

    /// The same with the air of a purge let in for a while and held back for a while.
    pub fn pulsed(mut self, pulse: Pulse) -> Self {
        if let Some(purge) = &mut self.purge {
            purge.pulse = Some(pulse);
        }
        self
    }

    /// The same as pass number `pass`, from 1, of `times`.
    pub(crate) fn nth_pass(&self, pass: usize, times: usize) -> Self {
        let name = match pass {
            1 => self.name.clone(),
            _ => format!("{} ({pass})", self.name),
        };
        Self { name, pass: Some((pass, times)), ..self.clone() }
    }

    /// Whether liquid that the air of a purge pushes can come to a tank of `plumbing`.
    pub(crate) fn has_way_back(&self, plumbing: &Plumbing) -> bool {
        let Some(purge) = self.purge else { return false };
        let passes = |id: BranchId| match plumbing.branch(id).part {
            Part::Valve(_) => [self.settings.opening[id.index()] > 0.0; 2],
            Part::CheckValve(_) | Part::Pump(_) => [true, false],
            Part::Line(_) | Part::Strainer(_) | Part::Meter(_) | Part::Orifice(_) => [true; 2],
        };
        reaches(plumbing, purge.node, passes, |node| plumbing.node(node).tank.is_some())
    }
}
