//! The name that was probably meant.

/// Similarity (Jaro-Winkler) from which a name is suggested.
const NEAR: f64 = 0.75;

/// The most similar of `known` to `text`, if any is near.
pub(super) fn nearest<'a>(text: &str, known: impl Iterator<Item = &'a str>) -> Option<&'a str> {
    let lower = text.to_lowercase();
    let scored = known.map(|name| (strsim::jaro_winkler(&lower, &name.to_lowercase()), name));
    let near = scored.filter(|(score, _)| *score >= NEAR);
    near.max_by(|a, b| a.0.total_cmp(&b.0)).map(|(_, name)| name)
}
