//! What a hard-handed user must not break. Signals, full disks and two commands at once need processes of their own:
//! they are in `sim-cli/tests`.

mod absurd;
#[path = "../whole_runs/command.rs"]
#[expect(dead_code, reason = "shared with the whole runs")]
mod command;
mod corpus;
mod threads;
