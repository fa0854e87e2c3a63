//! Values of settings as they are written.

/// The number that `text` starts with, and what is behind it, such as a space and a unit; `None` where it starts with none.
pub(crate) fn number_and_rest(text: &str) -> Option<(f64, String)> {
    let end = text.find(|c: char| !(c.is_ascii_digit() || "+-.".contains(c))).unwrap_or(text.len());
    let number = text[..end].parse::<f64>().ok().filter(|number| number.is_finite())?;
    Some((number, text[end..].to_owned()))
}
