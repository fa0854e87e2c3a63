//! Compressed air for purging.

use super::shared::{BORE, GIVEN_LENGTH, KV, OPENS_AT, WALL};
use super::{Kind, NOT_NEGATIVE, POSITIVE, bounds, of};
use crate::units::Quantity as Q;

tables! {
    /// Compressed air for purging: compressor, receiver, regulator and valve, in that order. What a line may be blown
    /// with is its maker's and the law's to say; rigid PVC is not made for compressed air.
    pub(super) AIR {
        regulated: of(Q::Pressure, POSITIVE), required, "Pressure that the regulator lets through at most.";
        receiver: of(Q::Volume, NOT_NEGATIVE), or "0 L",
            "Volume of the receiver; 0: none, the compressor feeds the regulator.";
        charged_to: of(Q::Pressure, POSITIVE),
            "Pressure of the receiver at the start, at which the compressor stops; a receiver needs it.";
        compressor: of(Q::Flow, NOT_NEGATIVE), or "0 L/min",
            "Free air delivery of the compressor (ISO 1217): volume at the surrounding air's state; 0: none, the \
             receiver alone gives air.";
        valve: Kind::Table(&AIR_VALVE), required, "The valve that lets the air in, wide open.";
        relief: of(Q::Pressure, POSITIVE), "Pressure at which its relief valve opens, if fitted.";
        at: Kind::Entries,
            "Nodes where air can enter: a list of nodes, each an entry of its own name, or a table from names of \
             entries to nodes. A short-form machine has the entries `feed side` (node `air-inlet`, the start of \
             the main) and, with `back`, `return side` (node `return-header`) ahead of them.";
        check: Kind::Table(&AIR_CHECK),
            "The non-return valve `air-check` between pump side and main, which keeps air from pump and \
             agitation; a short-form machine needs it.";
        back: Kind::Table(&BACK),
            "The way back to the tank of a short-form machine from `air-inlet` for liquid that air from the return side \
             pushes: valve `back-valve`, open in such a purge alone, and line `back`.";
    }

    /// A valve that lets air through (ISO 6358).
    AIR_VALVE {
        conductance: of(Q::Conductance, POSITIVE), required, "Sonic conductance.";
        critical_ratio: Kind::Number(bounds(None, Some(0.0), Some(0.99))), or "0.3",
            "Ratio of pressures up to which flow is choked; real valves lie between 0.2 and 0.5, from memory.";
    }

    /// A non-return valve ahead of the main.
    AIR_CHECK {
        ..KV, OPENS_AT;
    }

    /// A line with a valve from the start of the main to the tank.
    BACK {
        ..KV, BORE, GIVEN_LENGTH, WALL;
    }
}
