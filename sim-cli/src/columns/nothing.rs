//! Figures that round to nothing.

/// `figure` without its sign where it has no digit but 0: nothing is neither more nor less.
pub(crate) fn signless_nothing(figure: String) -> String {
    let is_nothing = !figure.bytes().any(|byte| (b'1'..=b'9').contains(&byte));
    match figure.strip_prefix(['-', '+']) {
        Some(size) if is_nothing => size.to_owned(),
        _ => figure,
    }
}

#[cfg(test)]
mod tests {
    use super::signless_nothing;

    #[test]
    fn what_rounds_to_nothing_has_no_sign() {
        let shown = |number: f64| signless_nothing(format!("{number:+.1}"));
        assert_eq!(
            [-0.04, 0.0, 0.04, -0.06, 0.3].map(shown),
            ["0.0", "0.0", "0.0", "-0.1", "+0.3"]
        );
    }
}
