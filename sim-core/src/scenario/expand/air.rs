//! Compressed air and where it enters.

use super::writer::{Writer, key, quoted};
use crate::plumbing::{AirSupply, Plumbing};
use crate::procedure::{Purge, Until};
use crate::units::{Quantity as Q, write_exact};

/// Writes the supply of compressed air.
pub(super) fn air(out: &mut Writer, plumbing: &Plumbing, air: &AirSupply) {
    out.table("air");
    out.quantity("regulated", air.regulated_pa, Q::Pressure);
    out.quantity("receiver", air.receiver_m3, Q::Volume);
    if air.receiver_m3 > 0.0 {
        out.quantity("charged_to", air.charged_to_pa, Q::Pressure);
    }
    out.quantity("compressor", air.free_air_m3_s, Q::Flow);
    let conductance = write_exact(air.conductance_m3_s_pa, Q::Conductance);
    let ratio = air.critical_ratio;
    out.plain(
        "valve",
        &format!("{{ conductance = \"{conductance}\", critical_ratio = {ratio:?} }}"),
    );
    out.optional("relief", air.relief_pa, Q::Pressure);
    let entry = |name: &str, node: &str| format!("{} = {}", key(name), quoted(node));
    let entries: Vec<String> = air
        .entries
        .iter()
        .map(|place| entry(&place.name, &plumbing.node(place.node).name))
        .collect();
    out.plain("at", &format!("{{ {} }}", entries.join(", ")));
}

/// Writes where a purge's air enters, how it pulses, and what of its end no other step has.
pub(super) fn purge(out: &mut Writer, plumbing: &Plumbing, purge: &Purge, until: Option<Until>) {
    let mut entries = plumbing.air.iter().flat_map(|air| &air.entries);
    if let Some(entry) = entries.find(|entry| entry.node == purge.node) {
        out.text("air", &entry.name);
    }
    match until {
        Some(Until::NoLiquid(quiet_s)) => out.quantity("quiet_for", quiet_s, Q::Duration),
        Some(Until::ReceiverDown(pa)) => out.quantity("receiver_at", pa, Q::Pressure),
        _ => {}
    }
    if let Some(pulse) = purge.pulse {
        let [on, off] = [pulse.on_s, pulse.off_s].map(|s| write_exact(s, Q::Duration));
        out.plain("pulse", &format!("{{ on = \"{on}\", off = \"{off}\" }}"));
    }
}
