//! What do the colours of pressure and the widths of lines mean?

use super::map_colour::map_colour;
use super::picture::{Picture, SIZE};
use super::theme::{FAINT, HPos, INK, VPos, anchored, filled, level, stroke, text};
use super::ticks::ticks;
use sim_core::units::{Quantity as Q, UnitSystem, display_unit, show};

/// Where the bar of colours is, px: left, right, top, bottom.
const BAR: (i32, i32, i32, i32) = (60, 560, SIZE.1 - 84, SIZE.1 - 60);
/// Width of its pieces, px.
const PIECE: usize = 4;
/// Left end of what shows the largest flow, and its length, px.
const WIDEST_AT: i32 = 1130;
const WIDEST_LONG: i32 = 70;

/// The bar of pressures from the lower to the upper end of `range_pa`, and how much that is.
pub(super) fn pressure_bar(picture: &mut Picture, range_pa: (f64, f64), units: UnitSystem) {
    let (left, right, top, bottom) = BAR;
    // Each piece reaches to the end under the next ones: no ground shows between them.
    for x in (left..right).step_by(PIECE) {
        let colour = map_colour(f64::from(x - left) / f64::from(right - left));
        picture.rectangle([(x, top), (right, bottom)], filled(colour));
    }
    picture.rectangle([(left, top), (right, bottom)], stroke(FAINT, 1));
    let unit = display_unit(Q::Pressure, units);
    let (low, high) = (unit.from_si(range_pa.0), unit.from_si(range_pa.1));
    for (value, words) in ticks((low, high), 5.0) {
        let share = (value - low) / (high - low);
        let x = left + (share * f64::from(right - left)).round() as i32;
        picture.line([(x, bottom), (x, bottom + 6)], INK, 1);
        picture.words((x, bottom + 9), words, anchored(text(20), HPos::Center, VPos::Top));
    }
    let span = show(range_pa.1 - range_pa.0, Q::Pressure, units);
    let words = format!("static pressure, {}; from end to end {span}", unit.symbol);
    picture.words((right + 18, (top + bottom) / 2), words, level(22, HPos::Left));
}

/// A piece of the widest line, of `width` px, and the flow that it stands for, in words; or that there is none.
pub(super) fn widest(picture: &mut Picture, flow: Option<String>, width: u32) {
    let y = (BAR.2 + BAR.3) / 2;
    let Some(flow) = flow else {
        picture.words((WIDEST_AT, y), "nothing flows", level(22, HPos::Left));
        return;
    };
    picture.line([(WIDEST_AT, y), (WIDEST_AT + WIDEST_LONG, y)], FAINT, width);
    let words = format!("{flow} (the largest flow)");
    picture.words((WIDEST_AT + WIDEST_LONG + 16, y), words, level(22, HPos::Left));
}
