//! Words as pixels: every letter where the font has it, to a part of a pixel, so that gaps are even.

use super::picture::Pixel;
use super::theme::{HPos, VPos};
use ab_glyph::{Font as _, FontRef, PxScale, ScaleFont as _, point};
use plotters::style::{FontStyle, TextStyle};
use std::sync::LazyLock;

static REGULAR: LazyLock<Option<FontRef<'_>>> = LazyLock::new(|| {
    FontRef::try_from_slice(include_bytes!("../../fonts/Roboto-Regular.ttf")).ok()
});
static BOLD: LazyLock<Option<FontRef<'_>>> =
    LazyLock::new(|| FontRef::try_from_slice(include_bytes!("../../fonts/Roboto-Bold.ttf")).ok());

/// Size of a style over the length of the em that SVG files are given for it.
const SIZE_OF_EM: f64 = 1.24;
/// Baselines below the anchor for text at the top, the middle and the bottom of it, as in SVG files: 0.76 of an em, and half
/// the height of an x, which is 0.53 of an em in the font.
const BASELINES: [f32; 3] = [0.76, 0.264, -0.264];

/// The letters of a style.
struct Letters {
    font: &'static FontRef<'static>,
    scale: PxScale,
    /// Length of the em, px.
    em: f32,
}

impl Letters {
    /// `None` if the font in the program could not be read, which a test excludes.
    fn of(style: &TextStyle<'_>) -> Option<Self> {
        let bold = matches!(style.font.get_style(), FontStyle::Bold);
        let font = if bold { BOLD.as_ref() } else { REGULAR.as_ref() }?;
        let em = (style.font.get_size() / SIZE_OF_EM) as f32;
        // A scale is the height from the lowest to the highest letter.
        let scale = PxScale::from(em * font.height_unscaled() / font.units_per_em()?);
        Some(Self { font, scale, em })
    }

    /// Where each letter of `words` begins, and where the last one ends, px from the first.
    fn places(&self, words: &str) -> Vec<f32> {
        let font = self.font.as_scaled(self.scale);
        let mut places = vec![0.0];
        let (mut at, mut last) = (0.0, None);
        for id in words.chars().map(|letter| font.glyph_id(letter)) {
            if let (Some(before), Some(place)) = (last, places.last_mut()) {
                *place += font.kern(before, id);
                at = *place;
            }
            at += font.h_advance(id);
            places.push(at);
            last = Some(id);
        }
        places
    }
}

/// Width of `words`, px.
pub(super) fn width(words: &str, style: &TextStyle<'_>) -> i32 {
    let places = Letters::of(style).map(|letters| letters.places(words));
    places.and_then(|places| places.last().copied()).unwrap_or(0.0).ceil() as i32
}

/// Every pixel of `words` anchored at a point, and how much of it they cover, 0 to 1.
pub(super) fn pixels(words: &str, at: Pixel, style: &TextStyle<'_>) -> Vec<(Pixel, f64)> {
    let Some(letters) = Letters::of(style) else { return Vec::new() };
    let places = letters.places(words);
    let whole = places[places.len() - 1];
    let left = match style.pos.h_pos {
        HPos::Left => 0.0,
        HPos::Center => -0.5 * whole,
        HPos::Right => -whole,
    };
    let [top, middle, bottom] = BASELINES;
    let baseline = letters.em
        * match style.pos.v_pos {
            VPos::Top => top,
            VPos::Center => middle,
            VPos::Bottom => bottom,
        };
    let turned = style.font.get_transform();
    let mut pixels = Vec::new();
    for (letter, place) in words.chars().zip(&places) {
        let id = letters.font.glyph_id(letter);
        let glyph = id.with_scale_and_position(letters.scale, point(left + place, baseline));
        let Some(outline) = letters.font.outline_glyph(glyph) else { continue };
        let corner = outline.px_bounds().min;
        outline.draw(|x, y, covered| {
            let (x, y) = (corner.x as i32 + x as i32, corner.y as i32 + y as i32);
            let (x, y) = turned.transform(x, y);
            pixels.push(((at.0 + x, at.1 + y), f64::from(covered.clamp(0.0, 1.0))));
        });
    }
    pixels
}

#[cfg(test)]
mod tests {
    use super::{Letters, pixels, width};
    use crate::plots::theme::{HPos, bold, level, text};

    #[test]
    fn the_fonts_in_the_program_can_be_read() {
        assert!(Letters::of(&text(24)).is_some());
        assert!(Letters::of(&bold(24)).is_some());
    }

    /// The columns that hold ink, each once.
    fn inked(words: &str) -> Vec<i32> {
        let mut columns: Vec<i32> = pixels(words, (0, 0), &level(22, HPos::Left))
            .into_iter()
            .filter(|(_, covered)| *covered > 0.3)
            .map(|((x, _), _)| x)
            .collect();
        columns.sort_unstable();
        columns.dedup();
        columns
    }

    #[test]
    fn gaps_between_equal_letters_are_equal_to_a_pixel() {
        let columns = inked("llllllllll");
        let starts: Vec<i32> =
            columns.iter().filter(|x| !columns.contains(&(**x - 1))).copied().collect();
        assert_eq!(starts.len(), 10, "{columns:?}");
        let gaps: Vec<i32> = starts.windows(2).map(|pair| pair[1] - pair[0]).collect();
        let (least, most) = (gaps.iter().min().unwrap(), gaps.iter().max().unwrap());
        assert!(most - least <= 1, "{gaps:?}");
    }

    #[test]
    fn words_end_where_their_width_says() {
        let end = inked("header").into_iter().max().unwrap();
        let width = width("header", &level(22, HPos::Left));
        assert!((width - 4..=width).contains(&end), "{end} of {width}");
    }
}
