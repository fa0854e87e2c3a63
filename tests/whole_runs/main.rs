//! Whole runs of the command, as its user sees them.

mod command;
mod diagnose;
mod documents;
mod faults;
mod scenarios;
mod time;
