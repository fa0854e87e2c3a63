//! What do the colours of concentration mean?

use super::map_colour::map_colour;
use super::picture::{Picture, Pixel};
use super::theme::{FAINT, HPos, filled, level, stroke};

/// Length and half the height of the bar, px.
const LENGTH: i32 = 384;
const HALF: i32 = 11;

/// Steps of colour that concentrations are told apart by.
pub(super) const LEVELS: i32 = 64;

/// The bar of concentrations from none to full, its left end at a point.
pub(super) fn concentration_bar(picture: &mut Picture, (left, y): Pixel) {
    let piece = LENGTH / LEVELS;
    for k in 0..LEVELS {
        let x = left + k * piece;
        let colour = map_colour(f64::from(k) / f64::from(LEVELS - 1));
        // Each piece reaches to the end under the next ones: no ground shows between them.
        picture.rectangle([(x, y - HALF), (left + LENGTH, y + HALF)], filled(colour));
    }
    picture.rectangle([(left, y - HALF), (left + LENGTH, y + HALF)], stroke(FAINT, 1));
    picture.words((left - 12, y), "concentration 0 %", level(26, HPos::Right));
    picture.words((left + LENGTH + 12, y), "100 %", level(26, HPos::Left));
}
