//! Things by number.

/// `1 tip`, `3 tips`.
pub fn count_of(count: usize, one: &str) -> String {
    format!("{count} {one}{}", if count == 1 { "" } else { "s" })
}

#[cfg(test)]
mod tests {
    use super::count_of;

    #[test]
    fn one_thing_is_no_plural() {
        assert_eq!(
            [0, 1, 2].map(|count| count_of(count, "dead leg")),
            ["0 dead legs", "1 dead leg", "2 dead legs"]
        );
    }
}
