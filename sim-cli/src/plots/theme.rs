//! Fonts, colours and sizes that every picture shares.

pub(super) use plotters::style::text_anchor::{HPos, VPos};
pub(super) use plotters::style::{RGBColor, WHITE};

use plotters::style::text_anchor::Pos;
use plotters::style::{Color as _, FontDesc, FontFamily, FontStyle, ShapeStyle, TextStyle};

pub(super) const INK: RGBColor = RGBColor(34, 34, 34);
pub(super) const FAINT: RGBColor = RGBColor(140, 140, 140);
pub(super) const GRID: RGBColor = RGBColor(224, 224, 224);
pub(super) const BAND: RGBColor = RGBColor(245, 244, 240);
// Okabe & Ito's set, distinguishable by colour-blind readers.
pub(super) const BLUE: RGBColor = RGBColor(0, 114, 178);
pub(super) const VERMILION: RGBColor = RGBColor(213, 94, 0);
pub(super) const GREEN: RGBColor = RGBColor(0, 158, 115);
pub(super) const ORANGE: RGBColor = RGBColor(230, 159, 0);
pub(super) const PURPLE: RGBColor = RGBColor(204, 121, 167);
pub(super) const SKY: RGBColor = RGBColor(86, 180, 233);

/// Liquid across a line, and on its wall, where no concentration is told apart.
pub(super) const LIQUID: RGBColor = BLUE;
pub(super) const WALL_FILM: RGBColor = SKY;

/// Colours of curves, in the order in which they are taken.
pub(super) const CURVES: [RGBColor; 6] = [BLUE, VERMILION, GREEN, ORANGE, PURPLE, SKY];

/// Text of `size` px in the ink colour.
pub(super) fn text(size: u32) -> TextStyle<'static> {
    styled(size, FontStyle::Normal)
}

/// Bold text of `size` px.
pub(super) fn bold(size: u32) -> TextStyle<'static> {
    styled(size, FontStyle::Bold)
}

fn styled(size: u32, style: FontStyle) -> TextStyle<'static> {
    TextStyle::from(FontDesc::new(FontFamily::SansSerif, f64::from(size), style)).color(&INK)
}

/// The same text with its anchor where `horizontal` and `vertical` say.
pub(super) fn anchored(
    style: TextStyle<'static>,
    horizontal: HPos,
    vertical: VPos,
) -> TextStyle<'static> {
    style.pos(Pos::new(horizontal, vertical))
}

/// Text of `size` px at the height of its point.
pub(super) fn level(size: u32, horizontal: HPos) -> TextStyle<'static> {
    anchored(text(size), horizontal, VPos::Center)
}

/// A shape filled with `colour`.
pub(super) fn filled(colour: RGBColor) -> ShapeStyle {
    colour.filled()
}

/// A full line of `width` px.
pub(super) fn stroke(colour: RGBColor, width: u32) -> ShapeStyle {
    colour.stroke_width(width)
}
