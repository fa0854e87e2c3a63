//! Fonts, colours and sizes that every picture shares.

pub(super) use plotters::style::text_anchor::{HPos, VPos};
pub(super) use plotters::style::{RGBColor, WHITE};

use plotters::style::text_anchor::Pos;
use plotters::style::{
    Color as _, FontDesc, FontFamily, FontStyle, ShapeStyle, TextStyle, register_font,
};
use std::sync::Once;

/// Family under which the fonts are registered; SVG viewers take their own of that name.
const FAMILY: &str = "sans-serif";

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

/// Colours of curves, in the order in which they are taken.
pub(super) const CURVES: [RGBColor; 6] = [BLUE, VERMILION, GREEN, ORANGE, PURPLE, SKY];

static REGULAR: &[u8] = include_bytes!("../../fonts/Roboto-Regular.ttf");
static BOLD: &[u8] = include_bytes!("../../fonts/Roboto-Bold.ttf");

/// Registers the fonts, once a process; where they cannot be read, whatever is drawn with them says so.
fn register_fonts() {
    static DONE: Once = Once::new();
    DONE.call_once(|| {
        let _ = register_font(FAMILY, FontStyle::Normal, REGULAR);
        let _ = register_font(FAMILY, FontStyle::Bold, BOLD);
    });
}

/// Text of `size` px in the ink colour.
pub(super) fn text(size: u32) -> TextStyle<'static> {
    styled(size, FontStyle::Normal)
}

/// Bold text of `size` px.
pub(super) fn bold(size: u32) -> TextStyle<'static> {
    styled(size, FontStyle::Bold)
}

fn styled(size: u32, style: FontStyle) -> TextStyle<'static> {
    register_fonts();
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

/// A round step for about `count` ticks over `span`.
pub(super) fn tick_step(span: f64, count: f64) -> f64 {
    let raw = span / count;
    let power = 10f64.powf(raw.log10().floor());
    let step = [1.0, 2.0, 2.5, 5.0, 10.0].into_iter().find(|m| m * power >= raw);
    step.unwrap_or(10.0) * power
}

/// Decimals that show a tick of `step`.
pub(super) fn decimals(step: f64) -> usize {
    let mut digits = 0;
    while digits < 6 {
        let scaled = step * 10f64.powi(digits);
        if (scaled - scaled.round()).abs() < 1e-6 * scaled {
            break;
        }
        digits += 1;
    }
    digits as usize
}
