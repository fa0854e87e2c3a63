//! Compressed air for purging.

use super::shared::{KV, LINE_KEYS, OPENS_AT};
use super::{Kind, NOT_NEGATIVE, POSITIVE, TableSpec, bounds, key};
use crate::units::Quantity as Q;

pub(super) static AIR: TableSpec = TableSpec {
    doc: "Compressed air for purging: compressor, receiver, regulator and valve, in that order. What a \
          line may be blown with is its maker's and the law's to say; rigid PVC is not made for \
          compressed air.",
    keys: &[
        key(
            "regulated",
            Kind::Quantity(Q::Pressure, POSITIVE),
            "Pressure that the regulator lets through at most.",
        )
        .required(),
        key(
            "receiver",
            Kind::Quantity(Q::Volume, NOT_NEGATIVE),
            "Volume of the receiver; 0: none, the compressor feeds the regulator.",
        )
        .or("0 L"),
        key(
            "charged_to",
            Kind::Quantity(Q::Pressure, POSITIVE),
            "Pressure of the receiver at the start, at which the compressor stops; a receiver needs it.",
        ),
        key(
            "compressor",
            Kind::Quantity(Q::Flow, NOT_NEGATIVE),
            "Free air delivery of the compressor (ISO 1217): volume at the surrounding air's state; 0: \
             none, the receiver alone gives air.",
        )
        .or("0 L/min"),
        key("valve", Kind::Table(&AIR_VALVE), "The valve that lets the air in, wide open.")
            .required(),
        key(
            "relief",
            Kind::Quantity(Q::Pressure, POSITIVE),
            "Pressure at which its relief valve opens, if fitted.",
        ),
        key(
            "at",
            Kind::Entries,
            "Nodes where air can enter: a list of nodes, each an entry of its own name, or a table \
             from names of entries to nodes. A short-form machine has the entries `feed side` (node \
             `air-inlet`, the start of the main) and, with `back`, `return side` (node \
             `return-header`) ahead of them.",
        ),
        key(
            "check",
            Kind::Table(&AIR_CHECK),
            "The non-return valve `air-check` between pump side and main, which keeps air from pump \
             and agitation; a short-form machine needs it.",
        ),
        key(
            "back",
            Kind::Table(&BACK),
            "The way back to the tank of a short-form machine from `air-inlet` for liquid that air from the return \
             side pushes: valve `back-valve`, open in such a purge alone, and line `back`.",
        ),
    ],
};

static AIR_VALVE: TableSpec = TableSpec {
    doc: "A valve that lets air through (ISO 6358).",
    keys: &[
        key("conductance", Kind::Quantity(Q::Conductance, POSITIVE), "Sonic conductance.")
            .required(),
        key(
            "critical_ratio",
            Kind::Number(bounds(None, Some(0.0), Some(0.99))),
            "Ratio of pressures up to which flow is choked; real valves lie between 0.2 and \
             0.5, from memory.",
        )
        .or("0.3"),
    ],
};

static AIR_CHECK: TableSpec =
    TableSpec { doc: "A non-return valve ahead of the main.", keys: &[KV, OPENS_AT] };

static BACK: TableSpec = TableSpec {
    doc: "A line with a valve from the start of the main to the tank.",
    keys: &{
        let [bore, mut length, losses, material, roughness, rating, sag] = LINE_KEYS;
        (length.required, length.doc) = (true, "Length.");
        [KV, bore, length, losses, material, roughness, rating, sag]
    },
};
