//! Cost against size on logarithmic axes.

use plotters::prelude::*;
use plotters::style::{FontStyle, register_font};
use std::path::Path;

const COLOURS: [RGBColor; 3] = [RGBColor(0, 90, 160), RGBColor(200, 80, 0), RGBColor(0, 120, 70)];

const SIZE: (u32, u32) = (1200, 760);

/// A line of the chart.
pub(crate) struct Series {
    pub(crate) name: String,
    pub(crate) points: Vec<(f64, f64)>,
}

/// Draws `series` into the file at `path`: `x` over sizes, `y` the cost.
pub(crate) fn draw(path: &Path, x: &str, y: &str, series: &[Series]) {
    let mut pixels = vec![0; 3 * SIZE.0 as usize * SIZE.1 as usize];
    paint(&mut pixels, x, y, series);
    let mut encoder = png::Encoder::new(std::fs::File::create(path).unwrap(), SIZE.0, SIZE.1);
    encoder.set_color(png::ColorType::Rgb);
    encoder.write_header().unwrap().write_image_data(&pixels).unwrap();
}

fn paint(pixels: &mut [u8], x: &str, y: &str, series: &[Series]) {
    let font = include_bytes!("../../fonts/Roboto-Regular.ttf");
    let _ = register_font("sans-serif", FontStyle::Normal, font);
    let all = || series.iter().flat_map(|one| &one.points);
    let span = |of: fn(&(f64, f64)) -> f64| {
        let (low, high) = all().map(of).fold((f64::MAX, 0.0f64), |(l, h), v| (l.min(v), h.max(v)));
        low / 1.6..high * 1.6
    };
    let area = BitMapBackend::with_buffer(pixels, SIZE).into_drawing_area();
    area.fill(&WHITE).unwrap();
    let mut chart = ChartBuilder::on(&area)
        .margin(24)
        .x_label_area_size(64)
        .y_label_area_size(104)
        .build_cartesian_2d(span(|p| p.0).log_scale(), span(|p| p.1).log_scale())
        .unwrap();
    chart
        .configure_mesh()
        .x_desc(x)
        .y_desc(y)
        .x_label_formatter(&|v| format!("{v:.0}"))
        .y_label_formatter(&|v| format!("{v:.0e}"))
        .label_style(("sans-serif", 22))
        .axis_desc_style(("sans-serif", 26))
        .light_line_style(RGBColor(235, 235, 235))
        .draw()
        .unwrap();
    for (one, colour) in series.iter().zip(COLOURS) {
        let style = colour.stroke_width(3);
        chart
            .draw_series(LineSeries::new(one.points.iter().copied(), style).point_size(5))
            .unwrap()
            .label(&one.name)
            .legend(move |(x, y)| PathElement::new([(x, y), (x + 22, y)], style));
    }
    chart
        .configure_series_labels()
        .position(SeriesLabelPosition::UpperLeft)
        .background_style(WHITE.mix(0.9))
        .border_style(RGBColor(200, 200, 200))
        .label_font(("sans-serif", 24))
        .draw()
        .unwrap();
    area.present().unwrap();
}
