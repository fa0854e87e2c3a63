//! The engine of the live page: a machine that a browser asks, changes and plays.
//!
//! The page keeps one text, a scenario. Every slider is a change of that text, and every change is read, checked and solved
//! anew, which takes a thousandth of a second. [`Live::ask`] takes a question and gives an answer, both JSON; what is drawn
//! at each moment is in [`Live::frame`] as plain numbers. In WebAssembly `exports` hands both over.

pub mod exports;

mod answer;
mod control_rows;
mod controls;
mod faults;
mod frame;
mod live;
mod machine;
mod played;
mod question;
mod written;

pub use live::Live;
