//! What a hard-handed user must not break. Signals, full disks and two commands at once need processes of their own:
//! they are in `sim-cli/tests`.

mod absurd;
mod all_at_once;
mod corpus;
mod live_texts;
mod many_faults;
mod new;
mod reading;
mod states;
mod threads;
mod writing;
