//! Faults made up, read with noise, and found again.

mod answers;
mod booms;
mod calibration;
mod cases;
mod edge;
mod outcome;
mod page;
mod priors;
mod study;
mod threads;
mod workshop;
