//! Names of the parts and nodes that a boom is built of.

use super::tube::Point;

/// The name of the node at `point` of the tube of `section`.
pub(super) fn point_name(section: &str, point: Point, is_left: bool) -> String {
    let side = if is_left { "left" } else { "right" };
    match point {
        Point::Tip(i) => format!("{section}-{:02}", i + 1),
        Point::Feed => format!("{section}-feed"),
        Point::Return => format!("{section}-return-{side}"),
        Point::Cap => format!("{section}-cap-{side}"),
    }
}

/// Digits with which the lines of a tube of `count` points are numbered.
pub(super) fn digits(count: usize) -> usize {
    count.to_string().len().max(2)
}

/// `name` with everything but letters, digits, `-` and `_` turned into `-`.
pub(super) fn plain_name(name: &str) -> String {
    let keep = |c: char| c.is_ascii_alphanumeric() || matches!(c, '-' | '_');
    name.chars().map(|c| if keep(c) { c } else { '-' }).collect()
}

/// Numbers the repeats among `names`.
pub(super) fn make_unique(names: &mut [String]) {
    let mut seen = std::collections::BTreeSet::new();
    for name in names {
        let stem = name.clone();
        let mut count = 1;
        while !seen.insert(name.clone()) {
            count += 1;
            *name = format!("{stem}_{count}");
        }
    }
}
