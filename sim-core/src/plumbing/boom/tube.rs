//! The tube of one section: tips along x, fed and returned where the design says.

use super::design::{Feed, SectionDesign};

/// A point along a section's tube.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Point {
    /// A tip, numbered left to right from 0.
    Tip(usize),
    /// Where the hose comes in.
    Feed,
    /// Where a return hose leaves.
    Return,
    /// A capped end.
    Cap,
}

/// A section's tube, left to right.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct SectionTube {
    /// Points and where they is, m.
    pub(super) points: Vec<(Point, f64)>,
    /// Position of the feed among the points.
    pub(super) feed: usize,
}

/// The tube of `section`, whose swath starts at `left_m`.
pub(super) fn tube(section: &SectionDesign, left_m: f64) -> SectionTube {
    let (n, s) = (section.tips, section.spacing_m);
    let middle = left_m + 0.5 * n as f64 * s;
    let at = |i: usize| left_m + (i as f64 + 0.5) * s;
    let mut points: Vec<(Point, f64)> = (0..n).map(|i| (Point::Tip(i), at(i))).collect();
    let inner_is_left = middle >= -1e-9;
    let feed_left = match section.feed {
        Feed::Centre => None,
        Feed::InnerEnd => Some(inner_is_left),
        Feed::OuterEnd => Some(!inner_is_left),
        Feed::LeftEnd => Some(true),
        Feed::RightEnd => Some(false),
    };
    if feed_left.is_none() && n > 1 {
        let gap = centre_gap(n, inner_is_left);
        points.insert(gap, (Point::Feed, at(gap) - 0.5 * s));
    }
    let feed_left = if n == 1 { feed_left.or(Some(inner_is_left)) } else { feed_left };
    let end = |fed: bool| match (fed, section.returns) {
        (true, _) => (Point::Feed, section.lead_m),
        (false, true) => (Point::Return, section.lead_m),
        (false, false) => (Point::Cap, section.stub_m),
    };
    let (left, left_length) = end(feed_left == Some(true));
    let (right, right_length) = end(feed_left == Some(false));
    if left_length > 0.0 {
        points.insert(0, (left, at(0) - left_length));
    }
    if right_length > 0.0 {
        points.push((right, at(n - 1) + right_length));
    }
    let feed = points.iter().position(|(point, _)| *point == Point::Feed).unwrap_or(0);
    SectionTube { points, feed }
}

/// The gap, before tip number `gap`, where a centre feed enters: in the middle between two tips, or
/// half a spacing to the inner side of the middle tip where the number is odd.
fn centre_gap(tips: usize, inner_is_left: bool) -> usize {
    match (tips % 2, inner_is_left) {
        (0, _) | (_, true) => tips / 2,
        (_, false) => tips / 2 + 1,
    }
    .max(1)
}
