//! Controls border the network's system: one row for what each holds, one column for what it moves.

use super::circuit::Circuit;
use super::controls::{Loop, Target};
use super::newton::Newton;
use super::splits::Splits;
use crate::procedure::MOST_CONTROLS;
use nalgebra::{SMatrix, SVector};

impl Newton {
    /// Moves the actuators so that they hold what they should, and adds the response of pressures
    /// and flows to `change` and `step`.
    pub(super) fn move_actuators(
        &mut self,
        circuit: &mut Circuit,
        splits: &Splits,
        loops: &mut [Loop],
    ) {
        for (k, control) in loops.iter().enumerate() {
            self.respond(circuit, control, k);
        }
        let wanted = self.actuator_moves(circuit, splits, loops);
        let mut moves = wanted;
        for (k, control) in loops.iter_mut().enumerate() {
            moves[k] = control.make_move(wanted[k]);
            control.apply(circuit);
            for (change, response) in self.change.iter_mut().zip(&self.response[k]) {
                *change += moves[k] * response;
            }
            self.step[control.link] -= self.conductance[control.link] * self.by_value[k] * moves[k];
        }
    }

    /// Solves for the response of the pressures to a move of `control`, number `k`.
    fn respond(&mut self, circuit: &Circuit, control: &Loop, k: usize) {
        let (i, link) = (control.link, &circuit.links[control.link]);
        self.by_value[k] = control.drop_by_value(circuit, self.flow[i], self.drop[i]);
        let pull = self.conductance[i] * self.by_value[k];
        self.response[k].fill(0.0);
        if let Some(from) = link.from {
            self.response[k][from] = pull;
        }
        if let Some(to) = link.to {
            self.response[k][to] = -pull;
        }
        self.matrix.solve_in_place(&mut self.response[k]);
    }

    /// Moves that the actuators wish to make to bring what they hold to its value: those that would go
    /// too far are stopped and the others solved again.
    fn actuator_moves(
        &self,
        circuit: &Circuit,
        splits: &Splits,
        loops: &[Loop],
    ) -> SVector<f64, MOST_CONTROLS> {
        let mut moves = SVector::zeros();
        let mut wishes = moves;
        if loops.is_empty() {
            return moves;
        }
        // A stopped actuator's row says what it does instead of what it should hold.
        let mut stopped: [Option<f64>; MOST_CONTROLS] = [None; MOST_CONTROLS];
        for _ in 0..=loops.len() {
            let mut system = SMatrix::<f64, MOST_CONTROLS, MOST_CONTROLS>::identity();
            let mut right = SVector::<f64, MOST_CONTROLS>::zeros();
            for (row, control) in loops.iter().enumerate() {
                right[row] = stopped[row].unwrap_or_else(|| self.missing(circuit, splits, control));
                for k in (0..loops.len()).filter(|_| stopped[row].is_none()) {
                    system[(row, k)] = self.held_by_actuator(circuit, control, &loops[k], k);
                }
            }
            let Some(solution) = system.lu().solve(&right) else { return wishes };
            moves = solution;
            let too_far =
                |k: &usize| stopped[*k].is_none() && loops[*k].allowed(moves[*k]) != moves[*k];
            let Some(k) = (0..loops.len()).find(too_far) else { break };
            (stopped[k], wishes[k]) = (Some(loops[k].allowed(moves[k])), moves[k]);
        }
        // Where an actuator is stopped, its wish tells that it would go further.
        (0..loops.len()).filter(|k| stopped[*k].is_none()).for_each(|k| wishes[k] = moves[k]);
        wishes
    }

    /// What `control` holds still misses after the step with its actuator at rest.
    fn missing(&self, circuit: &Circuit, splits: &Splits, control: &Loop) -> f64 {
        match control.held {
            Target::Pressure { node, pa } => {
                let head = splits.velocity_head(node, circuit, &self.flow);
                let total = circuit.unknown[node]
                    .map_or(circuit.given_pa[node], |u| self.pressure[u] + self.change[u]);
                pa + head - total
            }
            Target::Flow { link, m3_s } => {
                let ends = &circuit.links[link];
                let at = |end: Option<usize>| end.map_or(0.0, |unknown| self.change[unknown]);
                let driven = self.conductance[link] * (at(ends.from) - at(ends.to));
                m3_s - (self.flow[link] + self.step[link] + driven)
            }
        }
    }

    /// Derivative of what `control` holds by the actuator of `mover`, number `k`.
    fn held_by_actuator(&self, circuit: &Circuit, control: &Loop, mover: &Loop, k: usize) -> f64 {
        match control.held {
            Target::Pressure { node, .. } => {
                circuit.unknown[node].map_or(0.0, |u| self.response[k][u])
            }
            Target::Flow { link, .. } => {
                let ends = &circuit.links[link];
                let at = |end: Option<usize>| end.map_or(0.0, |unknown| self.response[k][unknown]);
                let own = if mover.link == link { self.by_value[k] } else { 0.0 };
                self.conductance[link] * (at(ends.from) - at(ends.to) - own)
            }
        }
    }

    /// Relative error of what `control` holds; 0 where its actuator can do no more.
    pub(super) fn off(&self, circuit: &Circuit, splits: &Splits, control: &Loop) -> f64 {
        let (wanted, got) = self.held(circuit, splits, control);
        if control.pinned { 0.0 } else { ((got - wanted) / wanted).abs() }
    }

    /// What `control` should hold and what it holds.
    pub(super) fn held(&self, circuit: &Circuit, splits: &Splits, control: &Loop) -> (f64, f64) {
        match control.held {
            Target::Pressure { node, pa } => {
                let total =
                    circuit.unknown[node].map_or(circuit.given_pa[node], |u| self.pressure[u]);
                (pa, total - splits.velocity_head(node, circuit, &self.flow))
            }
            Target::Flow { link, m3_s } => (m3_s, self.flow[link]),
        }
    }
}
