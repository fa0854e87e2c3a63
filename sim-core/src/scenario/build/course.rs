//! How steps go on: how long they last, how the machine comes to them, what fills the tanks.

use super::super::value::{Checked, Name};
use super::Build;
use crate::measures::Measure;
use crate::plumbing::TankId;
use crate::procedure::{Action, Change, Lasts, Load, Transfer, Until};

/// How long priming may take where the scenario does not say, s.
const PRIMES_WITHIN_S: f64 = 300.0;

impl Build<'_> {
    pub(super) fn lasts(
        &mut self,
        top: &Checked,
        table: &Checked,
        action: Action,
    ) -> Option<Lasts> {
        let until = match table.text("until") {
            Some("full strength") => Until::FullStrength,
            Some("rinsed") => Until::Rinsed,
            Some("tank empty") => Until::TankEmpty,
            Some("filled") if action != Action::Stand => Until::Filled,
            Some(word @ ("filled" | "no liquid" | "receiver down")) => {
                let message =
                    format!("\"{word}\" ends no step that says do = \"{}\"", action.word());
                let help = match word {
                    "filled" => {
                        "nothing fills while the pump rests: spray, prime, circulate or rinse"
                    }
                    _ => "it ends a purge",
                };
                self.fault(table.span_of("until"), message, help);
                Until::Time
            }
            None if action == Action::Prime => Until::FullStrength,
            _ => Until::Time,
        };
        let keys = [
            Measure::HighestTipConcentration.limit_key(),
            Measure::HighestTipConcentration.earlier_key(),
        ];
        let said = |limits: &Checked| keys.iter().flatten().any(|key| limits.has(key));
        let demands = top.table("limits").is_some_and(said);
        if until == Until::Rinsed && !demands {
            let help = "add `rinsed_to = \"1 %\"` to [limits]";
            self.fault(table.span_of("until"), "nothing says when it is rinsed", help);
        }
        let priming = (action == Action::Prime).then_some(PRIMES_WITHIN_S);
        match table.number("for").or(priming) {
            Some(most_s) => Some(Lasts { most_s, until }),
            None if table.has("until") => {
                let help = "add `for = \"5 min\"`, the longest it may take";
                self.refuse(table.span_of("until"), "`until` needs `for` beside it", help)
            }
            None => {
                let needs = ["transfer", "repeat", "delays"];
                for key in needs.into_iter().filter(|key| table.has(key)) {
                    let help = "add `for = \"30 s\"`: a step without it lasts no time";
                    self.fault(table.span_of(key), format!("`{key}` needs `for` beside it"), help);
                }
                None
            }
        }
    }

    pub(super) fn change(&mut self, table: &Checked) -> Change {
        let delays_s = self.settings_of(table, "delays", "line or part", |_| true);
        Change { ramp_s: table.number("ramp").unwrap_or(0.0), delays_s }
    }

    pub(super) fn loads(&mut self, table: &Checked) -> Vec<Load> {
        let mut loads = Vec::new();
        for load in table.tables("load") {
            let tank = self.tank_or_machines(load, "tank");
            if let (Some(tank), Some(concentration)) = (tank, load.number("concentration")) {
                loads.push(Load { tank, holds_m3: load.number("holds"), concentration });
            }
        }
        loads
    }

    pub(super) fn transfers(&mut self, table: &Checked) -> Vec<Transfer> {
        let mut transfers = Vec::new();
        for transfer in table.tables("transfer") {
            let [from, to] = ["from", "to"].map(|key| self.tank_or_machines(transfer, key));
            let (Some(from), Some(to)) = (from, to) else { continue };
            if from == to {
                self.fault(transfer.span_of("from"), "the tank would give to itself", "");
            }
            if let Some(flow_m3_s) = transfer.number("flow") {
                transfers.push(Transfer { from, to, flow_m3_s });
            }
        }
        transfers
    }

    /// The tank that `key` of `table` names, or the machine's.
    fn tank_or_machines(&mut self, table: &Checked, key: &str) -> Option<TankId> {
        if let Some(tank) = self.machine.roles.tank.filter(|_| !table.has(key)) {
            return Some(tank);
        }
        let usual = || Name { text: "tank".to_owned(), span: table.span.clone() };
        self.find(&self.tanks(), &table.name(key).unwrap_or_else(usual))
    }
}
