//! The sheet of any machine.

use super::sheet::Sheet;
use super::{boom, network};
use sim_core::plumbing::Machine;

/// The sheet of `machine`: of a boom with what is joined to it, else of a network.
pub(crate) fn sheet_of(machine: &Machine) -> Sheet {
    boom::sheet(machine).unwrap_or_else(|| network::sheet(machine))
}
