//! What stands out on a terminal.

/// Words that say that something is not as it should be.
const MARKS: [&str; 3] = ["NOT MET", "NOT met", "NOT held"];
/// Bold and red, and back.
const ACCENT: (&str, &str) = ("\u{1b}[1;31m", "\u{1b}[0m");

/// `text` with what is not met standing out.
pub(crate) fn accented(text: &str) -> String {
    let marked = |mark: &str| format!("{}{mark}{}", ACCENT.0, ACCENT.1);
    MARKS.iter().fold(text.to_owned(), |text, mark| text.replace(mark, &marked(mark)))
}
