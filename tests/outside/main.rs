//! Checks against the world outside: one file a subject, the source named beside each check.

mod controls;
mod diagnosis;
mod fluids;
mod friction;
mod laterals;
mod networks;
mod properties;
mod pumps;
mod random_networks;
mod rates;
mod settling;
mod support;
mod tees;
mod transport;
mod unsteady;
mod valves;
