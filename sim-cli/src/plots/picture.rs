//! What a picture is made of, in the order in which it is drawn.

pub(super) use page_model::drawing::strokes::Pixel;

use super::theme::{bold, filled, stroke, text};
use plotters::style::{RGBColor, ShapeStyle, TextStyle};

/// Size of every picture, px.
pub(super) const SIZE: (i32, i32) = (1600, 900);

/// One thing that is drawn.
pub(super) enum Shape {
    Line {
        path: Vec<Pixel>,
        style: ShapeStyle,
    },
    Dashes {
        path: Vec<Pixel>,
        dash: u32,
        gap: u32,
        style: ShapeStyle,
    },
    Area {
        corners: Vec<Pixel>,
        style: ShapeStyle,
    },
    Box {
        corners: [Pixel; 2],
        style: ShapeStyle,
    },
    Circle {
        at: Pixel,
        radius: i32,
        style: ShapeStyle,
    },
    Triangle {
        at: Pixel,
        style: ShapeStyle,
    },
    Words {
        words: String,
        at: Pixel,
        style: TextStyle<'static>,
    },
    /// Words that end at a point above a line, whatever lies behind them faded.
    Label {
        words: String,
        at: Pixel,
        style: TextStyle<'static>,
    },
}

/// What stands for a value, in a frame and in its legend.
#[derive(Clone, Copy)]
pub(super) enum Mark {
    /// A circle of so many px.
    Dot(i32, ShapeStyle),
    /// A square of half so many px.
    Square(i32, ShapeStyle),
    Triangle(RGBColor),
    /// A piece of line: half its length and its width, px.
    Line(i32, RGBColor, u32),
    Dashes(RGBColor),
}

/// A picture on white ground.
pub(crate) struct Picture {
    pub(super) shapes: Vec<Shape>,
}

impl Picture {
    /// A picture with its title, which begins at `left`, and a line of explanation below.
    pub(super) fn new(left: i32, title: impl Into<String>, below: impl Into<String>) -> Self {
        let mut picture = Self { shapes: Vec::new() };
        picture.words((left, 26), title, bold(34));
        picture.words((left, 72), below, text(24));
        picture
    }

    pub(super) fn words(&mut self, at: Pixel, words: impl Into<String>, style: TextStyle<'static>) {
        self.shapes.push(Shape::Words { words: words.into(), at, style });
    }

    pub(super) fn line(&mut self, path: impl Into<Vec<Pixel>>, colour: RGBColor, width: u32) {
        self.shapes.push(Shape::Line { path: path.into(), style: stroke(colour, width) });
    }

    /// A dashed line; `pieces` are the lengths of its dashes and gaps.
    pub(super) fn dashes(
        &mut self,
        path: impl Into<Vec<Pixel>>,
        pieces: (u32, u32),
        style: ShapeStyle,
    ) {
        self.shapes.push(Shape::Dashes { path: path.into(), dash: pieces.0, gap: pieces.1, style });
    }

    /// A filled shape.
    pub(super) fn area(&mut self, corners: impl Into<Vec<Pixel>>, colour: RGBColor) {
        self.shapes.push(Shape::Area { corners: corners.into(), style: filled(colour) });
    }

    pub(super) fn rectangle(&mut self, corners: [Pixel; 2], style: ShapeStyle) {
        self.shapes.push(Shape::Box { corners, style });
    }

    pub(super) fn circle(&mut self, at: Pixel, radius: i32, style: ShapeStyle) {
        self.shapes.push(Shape::Circle { at, radius, style });
    }

    /// `mark` at a point.
    pub(super) fn mark(&mut self, (x, y): Pixel, mark: Mark) {
        match mark {
            Mark::Dot(radius, style) => self.circle((x, y), radius, style),
            Mark::Square(half, style) => {
                self.rectangle([(x - half, y - half), (x + half, y + half)], style);
            }
            Mark::Triangle(colour) => {
                self.shapes.push(Shape::Triangle { at: (x, y), style: filled(colour) });
            }
            Mark::Line(half, colour, width) => {
                self.line([(x - half, y), (x + half, y)], colour, width);
            }
            Mark::Dashes(colour) => {
                for x in [x - 12, x + 4] {
                    self.rectangle([(x, y - 2), (x + 8, y + 1)], filled(colour));
                }
            }
        }
    }
}
