//! What only a process of its own shows: signals, limits of the system, two commands at once.

#![cfg(unix)]

mod at_once;
mod disk;
mod interrupted;
mod support;
