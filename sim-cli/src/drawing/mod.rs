//! Where lines, parts and names of a machine are on a drawing, and the colours of concentration.

mod air_arrows;
mod boom;
mod colour;
mod laid_out;
mod maze;
pub(crate) mod names;
mod network;
pub(crate) mod sheet;
mod strangers;
pub(crate) mod strokes;

pub(crate) use colour::{LEAST_SPAN, map_colour, pressure_scale};
pub(crate) use laid_out::sheet_of;
