//! The sheet of any machine.

use super::air_arrows::air_arrows;
use super::boom;
#[cfg(feature = "networks")]
use super::network::layers;
use super::rows::rows;
use super::sheet::Sheet;
use sim_core::plumbing::{Machine, Plumbing};

/// The sheet of `machine`: of a boom with what is joined to it, else of a network.
pub fn sheet_of(machine: &Machine) -> Sheet {
    boom::sheet(machine).unwrap_or_else(|| network(&machine.plumbing))
}

fn network(plumbing: &Plumbing) -> Sheet {
    let mut sheet = layers(plumbing).unwrap_or_else(|| rows(plumbing));
    sheet.air = air_arrows(plumbing, &sheet);
    sheet
}

/// Without the crate that finds layers there are none.
#[cfg(not(feature = "networks"))]
fn layers(_: &Plumbing) -> Option<Sheet> {
    None
}
