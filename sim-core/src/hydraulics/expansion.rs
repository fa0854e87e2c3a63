//! Newton's system where air expands on its way: a link's flow takes more room at one end than at the other.
//!
//! The balance of a node that holds air counts volumes at its own pressure, so the matrix is not symmetric.

use super::circuit::Circuit;
use crate::fluids::{AbsolutePressure, GaugePressure};
use crate::linear::{Singular, SparseLu};

/// Lowest pressure at which air counts as giving way.
const LEAST: AbsolutePressure = AbsolutePressure { pa: 1e3 };

/// How the flow of each link counts at its ends.
#[derive(Clone, Debug)]
pub(super) struct Expansion {
    /// Volume of each link's flow at its `from` and `to` end over the flow itself: 1 but where air expands.
    weight: Vec<[f64; 2]>,
    /// The same for a little more flow, which is air where liquid passes beside it.
    margin: Vec<[f64; 2]>,
    matrix: SparseLu,
}

impl Expansion {
    /// For `links` between `unknowns`, of which air may run on any if the network is one `with_air`.
    pub(super) fn new(unknowns: usize, links: &[[Option<usize>; 2]], with_air: bool) -> Self {
        let even = vec![[1.0; 2]; links.len()];
        let matrix = if with_air {
            SparseLu::with_pattern(unknowns, links)
        } else {
            SparseLu::with_pattern(0, &[])
        };
        Self { weight: even.clone(), margin: even, matrix }
    }

    /// Volume at either end of link `i` of its flow and a little `more` of it.
    pub(super) fn ends(&self, i: usize, flow: f64, more: f64) -> [f64; 2] {
        let ([from, to], [more_from, more_to]) = (self.weight[i], self.margin[i]);
        [flow * from + more * more_from, flow * to + more * more_to]
    }

    /// Takes up how far air expands at these pressures and flows, by the share `relaxation` of the change: near vacuum all of it
    /// can lead to and fro.
    pub(super) fn weigh(
        &mut self,
        circuit: &Circuit,
        pressure: &[f64],
        flow: &[f64],
        relaxation: f64,
    ) {
        for expanding in &circuit.expanding {
            let (i, link) = (expanding.link, &circuit.links[expanding.link]);
            let at = |end: Option<usize>| end.map_or(0.0, |unknown| pressure[unknown]);
            let ends = [link.from, link.to].map(|end| {
                let pressure = GaugePressure { pa: at(end) };
                (expanding.weight(flow[i], pressure), expanding.margin(flow[i], pressure))
            });
            for (end, (weight, margin)) in ends.into_iter().enumerate() {
                self.weight[i][end] += relaxation * (weight - self.weight[i][end]);
                self.margin[i][end] += relaxation * (margin - self.margin[i][end]);
            }
        }
    }

    /// Forgets that air expands anywhere.
    pub(super) fn forget(&mut self) {
        self.weight.fill([1.0; 2]);
        self.margin.fill([1.0; 2]);
    }
}

/// The state of an iteration.
#[derive(Clone, Copy)]
pub(super) struct Iterate<'a> {
    pub(super) pressure: &'a [f64],
    pub(super) flow: &'a [f64],
    /// Open links.
    pub(super) open: &'a [usize],
    /// Flow per pressure of each link, m3/s per Pa.
    pub(super) conductance: &'a [f64],
    /// Whether it is near the solution.
    pub(super) near: bool,
}

impl Expansion {
    /// Factors the matrix of a network that holds air.
    pub(super) fn factor(&mut self, circuit: &Circuit, at: Iterate<'_>) -> Result<(), Singular> {
        let Self { weight, margin, matrix } = self;
        matrix.clear();
        for &i in at.open {
            let (link, conductance) = (&circuit.links[i], at.conductance[i]);
            let at_ends = margin[i].map(|margin| conductance * margin);
            for (end, value) in [link.from, link.to].into_iter().zip(at_ends) {
                if let Some(unknown) = end {
                    matrix.add_diagonal(unknown, value);
                }
            }
            matrix.add_pair(i, at_ends.map(|value| -value));
        }
        for expanding in &circuit.expanding {
            let (i, link) = (expanding.link, &circuit.links[expanding.link]);
            let air = expanding.air_m3_s(at.flow[i]);
            for (end, inward) in [(link.from, -1.0), (link.to, 1.0)] {
                let Some(unknown) = end else { continue };
                // What leaves works against the rest, which far from the solution would lead astray.
                if !at.near && inward * air < 0.0 {
                    continue;
                }
                // A pascal more makes the air take less room.
                let weight = weight[i][usize::from(inward > 0.0)];
                let volume = inward * air * expanding.air_weight(weight, at.flow[i]);
                let pressure = GaugePressure { pa: at.pressure[unknown] };
                matrix.add_diagonal(unknown, volume / pressure.absolute().max(LEAST).pa);
            }
        }
        for (unknown, cut_off) in circuit.cut_off.iter().enumerate() {
            if *cut_off {
                matrix.add_diagonal(unknown, 1.0);
            }
        }
        matrix.factor()
    }

    /// Replaces the balance in `change` by the change of pressures that closes it.
    pub(super) fn solve_in_place(&mut self, change: &mut [f64]) {
        self.matrix.solve_in_place(change);
    }
}
