//! Checks against the world outside: one file a subject, the source named beside each check.

mod fluids;
mod friction;
mod laterals;
mod networks;
mod pumps;
mod random_networks;
mod support;
mod tees;
mod valves;
