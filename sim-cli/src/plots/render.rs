//! From a picture to SVG and PNG bytes. The only file that names what draws them.

use super::lettering;
use super::picture::{Picture, Pixel, SIZE, Shape};
use crate::output::OutputFile;
use plotters::backend::{BitMapBackend, SVGBackend};
use plotters::coord::Shift;
use plotters::drawing::{DrawingArea, DrawingAreaErrorKind, IntoDrawingArea};
use plotters::element::{
    Circle, DashedPathElement, PathElement, Polygon, Rectangle, Text, TriangleMarker,
};
use plotters::prelude::DrawingBackend;
use plotters::style::{Color as _, RGBColor, TextStyle, WHITE};

/// Size of every picture, px.
const PX: (u32, u32) = (SIZE.0.unsigned_abs(), SIZE.1.unsigned_abs());
/// Size of a triangle, px.
const TRIANGLE: i32 = 11;

/// `picture` as the files `NAME.svg` and `NAME.png`.
pub(crate) fn render(name: &str, picture: &Picture) -> Result<[OutputFile; 2], String> {
    let mut svg = String::new();
    draw(picture, &SVGBackend::with_string(&mut svg, PX).into_drawing_area(), |area, words| {
        area.draw(&Text::new(words.words, words.at, words.style.clone()))
    })
    .map_err(|error| error.to_string())?;
    // Letters keep the gaps of their font at any size on the screen.
    let svg = svg.replacen("<svg ", "<svg text-rendering=\"geometricPrecision\" ", 1);
    let mut pixels = vec![0; 3 * PX.0 as usize * PX.1 as usize];
    draw(picture, &BitMapBackend::with_buffer(&mut pixels, PX).into_drawing_area(), letter)
        .map_err(|error| error.to_string())?;
    let png = png(&pixels).map_err(|error| error.to_string())?;
    let png = OutputFile { name: format!("{name}.png"), bytes: png };
    Ok([OutputFile::text(format!("{name}.svg"), svg), png])
}

/// Words at a point.
struct Placed<'w> {
    words: &'w str,
    at: Pixel,
    style: &'w TextStyle<'static>,
}

/// What drawing on an area comes to.
type DrawResult<DB> = Result<(), DrawingAreaErrorKind<<DB as DrawingBackend>::ErrorType>>;

/// Words as pixels.
fn letter<DB: DrawingBackend>(area: &DrawingArea<DB, Shift>, placed: Placed<'_>) -> DrawResult<DB> {
    let (r, g, b) = placed.style.color.rgb;
    let inside = |(x, y): Pixel| (0..SIZE.0).contains(&x) && (0..SIZE.1).contains(&y);
    let pixels = lettering::pixels(placed.words, placed.at, placed.style);
    pixels.into_iter().filter(|(at, _)| inside(*at)).try_for_each(|(at, covered)| {
        area.draw_pixel(at, &RGBColor(r, g, b).mix(covered * placed.style.color.alpha))
    })
}

/// Every shape of `picture`; `write` sets words.
fn draw<DB: DrawingBackend>(
    picture: &Picture,
    area: &DrawingArea<DB, Shift>,
    write: impl Fn(&DrawingArea<DB, Shift>, Placed<'_>) -> DrawResult<DB>,
) -> DrawResult<DB> {
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
            Shape::Words { words, at, style } => write(area, Placed { words, at: *at, style })?,
            Shape::Label { words, at, style } => {
                let height = style.font.get_size() as i32;
                let corner = (at.0 - 4 - lettering::width(words, style), at.1 - height);
                let faded = WHITE.mix(0.92).filled();
                area.draw(&Rectangle::new([corner, (at.0 + 4, at.1 + 2)], faded))?;
                write(area, Placed { words, at: *at, style })?;
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
