//! Checks against the world outside: one file a subject, the source named beside each check.

mod fluids;
mod laterals;
mod random_networks;
mod support;
