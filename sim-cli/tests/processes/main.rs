//! What only a process of its own shows: signals, limits of the system, two commands at once.

#![cfg(unix)]
#![allow(clippy::unwrap_used, reason = "a test that cannot go on fails")]

mod at_once;
mod disk;
mod interrupted;
mod long;
mod support;
