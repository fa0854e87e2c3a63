//! The name that was probably meant.

/// Similarity (Jaro-Winkler) from which a name is suggested.
const NEAR: f64 = 0.75;
/// Length up to which names are compared, bytes: the work grows with the lengths of both.
const LONGEST: usize = 200;

/// The most similar of `known` to `text`, if any is near.
pub(crate) fn nearest<'a>(text: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    if text.len() > LONGEST {
        return None;
    }
    let lower = text.to_lowercase();
    let known = known.filter(|name| name.len() <= LONGEST);
    let scored = known.map(|name| (strsim::jaro_winkler(&lower, &name.to_lowercase()), name));
    let near = scored.filter(|(score, _)| *score >= NEAR);
    near.max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, name)| name)
}

/// What would be right instead of `text`: the nearest of `known` between two marks, if any is near, and `list`, which tells
/// them all and starts small where it comes first.
pub fn suggestion<'a>(
    text: &str,
    known: impl Iterator<Item = &'a str>,
    mark: char,
    list: &str,
) -> String {
    match nearest(text, known) {
        Some(near) => format!("did you mean {mark}{near}{mark}? {list}"),
        None => lower_first(list),
    }
}

/// `text` with a small first letter.
pub(crate) fn lower_first(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_lowercase().chain(chars).collect())
}
