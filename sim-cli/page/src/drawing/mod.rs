//! Where lines, parts and names of a machine are on a drawing.

mod air_arrows;
mod boom;
mod laid_out;
mod maze;
pub mod names;
#[cfg(feature = "networks")]
mod network;
mod rows;
mod scale;
pub mod sheet;
mod strangers;
pub mod strokes;

pub use laid_out::sheet_of;
pub use scale::{LEAST_SPAN, pressure_scale};
