//! From a picture to SVG and PNG bytes. The only file that names what draws them.

use super::picture::{Picture, SIZE, Shape};
use crate::output::OutputFile;
use plotters::backend::{BitMapBackend, SVGBackend};
use plotters::coord::Shift;
use plotters::drawing::{DrawingArea, DrawingAreaErrorKind, IntoDrawingArea};
use plotters::element::{
    Circle, DashedPathElement, PathElement, Polygon, Rectangle, Text, TriangleMarker,
};
use plotters::prelude::DrawingBackend;
use plotters::style::{Color as _, WHITE};

/// Size of every picture, px.
const PX: (u32, u32) = (SIZE.0.unsigned_abs(), SIZE.1.unsigned_abs());
/// Size of a triangle, px.
const TRIANGLE: i32 = 11;

/// `picture` as the files `NAME.svg` and `NAME.png`.
pub(crate) fn render(name: &str, picture: &Picture) -> Result<[OutputFile; 2], String> {
    let mut svg = String::new();
    draw(picture, &SVGBackend::with_string(&mut svg, PX).into_drawing_area())
        .map_err(|error| error.to_string())?;
    let mut pixels = vec![0; 3 * PX.0 as usize * PX.1 as usize];
    draw(picture, &BitMapBackend::with_buffer(&mut pixels, PX).into_drawing_area())
        .map_err(|error| error.to_string())?;
    let png = png(&pixels).map_err(|error| error.to_string())?;
    let png = OutputFile { name: format!("{name}.png"), bytes: png };
    Ok([OutputFile::text(format!("{name}.svg"), svg), png])
}

fn draw<DB: DrawingBackend>(
    picture: &Picture,
    area: &DrawingArea<DB, Shift>,
) -> Result<(), DrawingAreaErrorKind<DB::ErrorType>> {
    area.fill(&WHITE)?;
    for shape in &picture.shapes {
        match shape {
            Shape::Line { path, style } => area.draw(&PathElement::new(path.clone(), *style))?,
            Shape::Dashes { path, dash, gap, style } => {
                area.draw(&DashedPathElement::new(path.clone(), *dash, *gap, *style))?;
            }
            Shape::Area { corners, style } => area.draw(&Polygon::new(corners.clone(), *style))?,
            Shape::Box { corners, style } => area.draw(&Rectangle::new(*corners, *style))?,
            Shape::Circle { at, radius, style } => area.draw(&Circle::new(*at, *radius, *style))?,
            Shape::Triangle { at, style } => {
                area.draw(&TriangleMarker::new(*at, TRIANGLE, *style))?;
            }
            Shape::Words { words, at, style } => {
                area.draw(&Text::new(words.as_str(), *at, style.clone()))?;
            }
            Shape::Label { words, at: (x, y), style } => {
                let (width, height) = area.estimate_text_size(words, style)?;
                let corner = (x - 4 - width as i32, y - 1 - height as i32);
                let faded = WHITE.mix(0.92).filled();
                area.draw(&Rectangle::new([corner, (x + 4, y + 2)], faded))?;
                area.draw(&Text::new(words.as_str(), (*x, *y), style.clone()))?;
            }
        }
    }
    area.present()
}

fn png(pixels: &[u8]) -> Result<Vec<u8>, png::EncodingError> {
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, PX.0, PX.1);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    encoder.set_compression(png::Compression::Balanced);
    // Line art packs best without a row filter.
    encoder.set_filter(png::Filter::NoFilter);
    let mut writer = encoder.write_header()?;
    writer.write_image_data(pixels)?;
    writer.finish()?;
    Ok(bytes)
}
