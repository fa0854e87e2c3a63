//! Checks against the world outside: one file a subject, the source named beside each check.

mod air_flow;
mod air_supply;
mod controls;
mod diagnosis;
mod films;
mod fluids;
mod friction;
mod laterals;
mod layer;
mod low_spots;
mod networks;
mod nose;
mod properties;
mod pumps;
mod purge;
mod purge_rig;
mod random_networks;
mod rates;
mod receivers;
mod settling;
mod stratified;
mod support;
mod tees;
mod transport;
mod unsteady;
mod valves;
