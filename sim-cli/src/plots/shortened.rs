//! Names where room is short.

/// `name` cut to at most `letters`, at words where it has any; its end stays, for the number of a pass
/// is there.
pub(super) fn shortened(name: &str, letters: usize) -> String {
    let count = name.chars().count();
    if count <= letters {
        return name.to_owned();
    }
    let end = letters / 3;
    let start = letters.saturating_sub(end + 4);
    let head: String = name.chars().take(start).collect();
    let tail: String = name.chars().skip(count - end).collect();
    let head = head.rsplit_once(' ').map_or(head.as_str(), |(words, _)| words);
    let tail = tail.split_once(' ').map_or(tail.as_str(), |(_, words)| words);
    format!("{head} .. {tail}")
}

#[cfg(test)]
mod tests {
    use super::shortened;

    #[test]
    fn a_long_name_keeps_its_start_and_its_end() {
        assert_eq!(shortened("spray", 5), "spray");
        assert_eq!(shortened("spray the headland pass 12", 24), "spray the .. pass 12");
        assert!(shortened("\u{e9}\u{e9}\u{e9}\u{e9}\u{e9}\u{e9}\u{e9}", 6).chars().count() <= 6);
    }
}
