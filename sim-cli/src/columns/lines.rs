//! Text in lines that a terminal shows.

/// Columns that a line takes at most.
pub(crate) const WIDTH: usize = 100;

/// `text` broken into lines of [`WIDTH`], each after the first behind `indent`.
pub(crate) fn wrapped(text: &str, indent: &str) -> String {
    broken(text, indent, WIDTH)
}

/// `text` broken into lines of `width` columns, each after the first behind `indent`.
pub(crate) fn broken(text: &str, indent: &str, width: usize) -> String {
    let (mut out, mut line) = (String::new(), String::new());
    for word in text.split_whitespace() {
        if !line.is_empty() && line.chars().count() + 1 + word.chars().count() > width {
            out.push_str(line.trim_end());
            out.push('\n');
            line = indent.to_owned();
        } else if !line.is_empty() {
            line.push(' ');
        }
        line.push_str(word);
    }
    if !line.is_empty() {
        out.push_str(&line);
        out.push('\n');
    }
    out
}
