//! Where lines, parts and names are on a drawing of a machine, and the colours of concentration.

mod colour;
pub(crate) mod layered;
pub(crate) mod route;
pub(crate) mod strokes;

pub(crate) use colour::{LEAST_SPAN, map_colour, pressure_scale};
