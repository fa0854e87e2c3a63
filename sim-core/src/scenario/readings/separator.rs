//! What is between the cells of a table: spreadsheets of many countries write semicolons, and what is copied has tabs.

/// What is between the cells of a table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Separator {
    /// A comma.
    Comma,
    /// A semicolon; decimals may have a comma.
    Semicolon,
    /// A tab.
    Tab,
}

impl Separator {
    /// That of the table in `text`: what its first line has most of, comments apart.
    pub fn of(text: &str) -> Self {
        let head = text.lines().find(|line| {
            let bare = line.trim_start_matches('\u{feff}').trim_start_matches([' ', '"']);
            !bare.trim().is_empty() && !bare.starts_with('#')
        });
        let count = |one: Self| head.map_or(0, |line| line.matches(one.letter()).count());
        let others = [Self::Semicolon, Self::Tab].into_iter();
        others.fold(Self::Comma, |most, one| if count(one) > count(most) { one } else { most })
    }

    pub(super) fn letter(self) -> char {
        match self {
            Self::Comma => ',',
            Self::Semicolon => ';',
            Self::Tab => '\t',
        }
    }

    /// Several of it in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Comma => "commas",
            Self::Semicolon => "semicolons",
            Self::Tab => "tabs",
        }
    }

    /// A number in `text` with a point where it has a comma, if decimals may have one.
    pub(super) fn with_point(self, text: String) -> String {
        let bytes = text.as_bytes();
        let digit =
            |at: Option<usize>| at.and_then(|at| bytes.get(at)).is_some_and(u8::is_ascii_digit);
        match text.find(',') {
            Some(at)
                if self == Self::Semicolon && digit(at.checked_sub(1)) && digit(Some(at + 1)) =>
            {
                text.replacen(',', ".", 1)
            }
            _ => text,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Separator;

    #[test]
    fn the_head_says_what_is_between_cells() {
        for (text, separator) in [
            ("state,kind\n", Separator::Comma),
            ("# with, commas, more\nstate;kind;at\n", Separator::Semicolon),
            ("\"# quoted; by a spreadsheet\";;;;\nstate\tkind\tat\n", Separator::Tab),
            ("", Separator::Comma),
        ] {
            assert_eq!(Separator::of(text), separator, "{text}");
        }
        assert_eq!(Separator::Semicolon.with_point("2,95 bar".into()), "2.95 bar");
        assert_eq!(Separator::Tab.with_point("2,95 bar".into()), "2,95 bar");
    }
}
