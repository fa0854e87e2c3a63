//! The perceptual map.

use plotters::prelude::ColorMap as _;
use plotters::style::RGBColor;
use plotters::style::colors::colormaps::ViridisRGB;

/// Colour of `share` (0 to 1) on the perceptual map.
pub(crate) fn map_colour(share: f64) -> RGBColor {
    ViridisRGB.get_color(share.clamp(0.0, 1.0) as f32)
}
