//! Compressed air and where it enters.

use super::writer::Writer;
use crate::plumbing::{AirSupply, Plumbing};
use crate::procedure::{AirPurge, Until};

/// Writes the supply of compressed air.
pub(super) fn air(out: &mut Writer, plumbing: &Plumbing, air: &AirSupply) {
    out.table("air");
    out.put("regulated", air.regulated_pa);
    out.put("receiver", air.receiver_m3);
    out.put("charged_to", (air.receiver_m3 > 0.0).then_some(air.charged_to_pa));
    out.put("compressor", air.free_air_m3_s);
    out.inline("valve", |out| {
        out.put("conductance", air.conductance_m3_s_pa);
        out.put("critical_ratio", air.critical_ratio);
    });
    out.put("relief", air.relief_pa);
    let entries = air.entries.iter();
    let entries = entries.map(|entry| (&entry.name[..], &plumbing.node(entry.node).name[..]));
    out.put("at", entries.collect::<Vec<_>>());
}

/// Writes where a purge's air enters, how it pulses, and what of its end no other step has.
pub(super) fn purge(out: &mut Writer, plumbing: &Plumbing, purge: &AirPurge, until: Option<Until>) {
    let mut entries = plumbing.air.iter().flat_map(|air| &air.entries);
    out.put("air", entries.find(|entry| entry.node == purge.node).map(|entry| &entry.name));
    match until {
        Some(Until::NoLiquid(quiet_s)) => out.put("quiet_for", quiet_s),
        Some(Until::ReceiverDown(pa)) => out.put("receiver_at", pa),
        _ => {}
    }
    if let Some(pulse) = purge.pulse {
        out.inline("pulse", |out| {
            out.put("on", pulse.on_s);
            out.put("off", pulse.off_s);
        });
    }
}
