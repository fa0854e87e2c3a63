//! Nodes that only closed one-way parts join to the rest: their pressures nothing determines.

use super::STILL_M3_S;
use super::circuit::{Circuit, Law};
use super::controls::Loop;
use super::newton::{NoSolution, StartFrom};
use super::solver::Solver;

/// Driving pressure beyond that of its first drop from which a part counts as one that would open, Pa.
const OPENS_PA: f64 = 1.0;

impl Solver<'_> {
    /// Solves again with one-way parts closed that pass nothing, after the system has been found `singular`: what only they
    /// join to the rest is cut off.
    ///
    /// A leak through a closed part ties such nodes to the rest by less than rounding. The solution is valid if no
    /// part that has been closed would open.
    pub(super) fn split_islands_off(
        &mut self,
        loops: &mut [Loop],
        singular: NoSolution,
    ) -> Result<(), NoSolution> {
        let passes_nothing = |(i, law): (usize, &Law)| {
            let flow = self.newton.flow[i];
            // A pump at rest or at its shut-off head gives what is behind it a pressure.
            let gives_pressure = matches!(law, Law::Pump(_)) && flow >= 0.0;
            (self.circuit.open[i] && law.one_way() && flow <= STILL_M3_S && !gives_pressure)
                .then_some(i)
        };
        let shut: Vec<usize> =
            self.circuit.laws.iter().enumerate().filter_map(passes_nothing).collect();
        if shut.is_empty() {
            return Err(singular);
        }
        self.circuit.shut(&self.plumbing, &shut);
        self.newton.start_cold(&self.circuit);
        self.newton.run(&mut self.circuit, &self.splits, loops, StartFrom::Cold)?;
        let opens = |i: &usize| would_open(&self.circuit, *i, &self.newton.pressure);
        if shut.iter().any(opens) { Err(singular) } else { Ok(()) }
    }
}

/// Whether closed link `i` would pass something at these pressures, if those of both its ends are known.
fn would_open(circuit: &Circuit, i: usize, pressure: &[f64]) -> bool {
    let link = &circuit.links[i];
    let known = |end: Option<usize>| end.is_none_or(|unknown| !circuit.cut_off[unknown]);
    let first_drop = circuit.laws[i].loss_at(STILL_M3_S, 0.0).pa;
    known(link.from) && known(link.to) && circuit.driving(i, pressure) > first_drop + OPENS_PA
}
