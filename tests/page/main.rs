//! Pages in a real browser, as their readers see them. Without a browser on the machine these checks say so
//! and pass: `.ci/run` installs one.

mod browser;
#[allow(dead_code, reason = "whole runs use the rest")]
#[path = "../whole_runs/command.rs"]
mod command;
mod looks;
mod moves;
mod paper;
