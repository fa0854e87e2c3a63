//! From a picture to SVG and PNG bytes.

use crate::output::OutputFile;
use plotters::backend::{BitMapBackend, SVGBackend};
use plotters::coord::Shift;
use plotters::drawing::{DrawingArea, IntoDrawingArea};

/// Size of every picture, px.
pub(super) const SIZE: (u32, u32) = (1600, 900);

/// Where vectors are drawn.
pub(super) type Svg<'a> = DrawingArea<SVGBackend<'a>, Shift>;
/// Where pixels are drawn.
pub(super) type Bitmap<'a> = DrawingArea<BitMapBackend<'a>, Shift>;

/// Something that can be drawn as vectors and as pixels.
pub(super) trait Picture {
    fn draw_svg(&self, area: &Svg<'_>) -> Result<(), String>;
    fn draw_bitmap(&self, area: &Bitmap<'_>) -> Result<(), String>;
}

/// Lets a picture with one generic `draw` be drawn on both kinds of area.
macro_rules! picture {
    ($type:ty) => {
        impl $crate::plots::render::Picture for $type {
            fn draw_svg(&self, area: &$crate::plots::render::Svg<'_>) -> Result<(), String> {
                self.draw(area).map_err(|error| error.to_string())
            }
            fn draw_bitmap(&self, area: &$crate::plots::render::Bitmap<'_>) -> Result<(), String> {
                self.draw(area).map_err(|error| error.to_string())
            }
        }
    };
}
pub(super) use picture;

/// `picture` as the files `NAME.svg` and `NAME.png`.
pub(super) fn render(name: &str, picture: &dyn Picture) -> Result<[OutputFile; 2], String> {
    let mut svg = String::new();
    {
        let area = SVGBackend::with_string(&mut svg, SIZE).into_drawing_area();
        picture.draw_svg(&area)?;
        area.present().map_err(|error| error.to_string())?;
    }
    let mut pixels = vec![0; 3 * SIZE.0 as usize * SIZE.1 as usize];
    {
        let area = BitMapBackend::with_buffer(&mut pixels, SIZE).into_drawing_area();
        picture.draw_bitmap(&area)?;
        area.present().map_err(|error| error.to_string())?;
    }
    let png = OutputFile { name: format!("{name}.png"), bytes: png(&pixels)? };
    Ok([OutputFile::text(format!("{name}.svg"), svg), png])
}

fn png(pixels: &[u8]) -> Result<Vec<u8>, String> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, SIZE.0, SIZE.1);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_compression(png::Compression::Balanced);
    // Line art packs best without a row filter.
    encoder.set_filter(png::Filter::NoFilter);
    let mut writer = encoder.write_header().map_err(|error| error.to_string())?;
    writer.write_image_data(pixels).map_err(|error| error.to_string())?;
    writer.finish().map_err(|error| error.to_string())?;
    Ok(bytes)
}
