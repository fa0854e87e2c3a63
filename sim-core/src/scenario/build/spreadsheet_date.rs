//! Names of tips that a spreadsheet took for dates: `1-03` becomes `3-Jan`, `01.03.2026`, `46025`.

/// The first letters of months as spreadsheets show them in English, German, French and Spanish.
const MONTHS: [&[&str]; 12] = [
    &["jan", "ene"],
    &["feb", "fev", "f\u{e9}v"],
    &["mar", "mrz", "m\u{e4}r"],
    &["apr", "avr", "abr"],
    &["may", "mai"],
    &["jun", "juin"],
    &["jul", "juil"],
    &["aug", "ao\u{fb}", "aou", "ago"],
    &["sep"],
    &["oct", "okt"],
    &["nov"],
    &["dec", "dez", "d\u{e9}c", "dic"],
];
/// Days since the end of 1899, from 1990 to 2080: what a date is as a plain number.
const SERIAL: std::ops::Range<u32> = 32_874..65_746;

/// The two numbers that `text`, a date, may have been made of, in both orders; nothing where it is no date.
pub(super) fn names_behind(text: &str) -> Vec<String> {
    let Some((a, b)) = numbers(text) else { return Vec::new() };
    let mut names = vec![format!("{a}-{b:02}"), format!("{b}-{a:02}")];
    names.dedup();
    names
}

fn numbers(text: &str) -> Option<(u32, u32)> {
    // A time of day may follow.
    let text =
        text.split_whitespace().filter(|word| !word.contains(':')).collect::<Vec<_>>().join(" ");
    if let Some(serial) = text.parse().ok().filter(|serial| SERIAL.contains(serial)) {
        return Some(month_and_day(serial));
    }
    let pieces = text.split(['-', '/', '.', ' ', ',']).filter(|piece| !piece.is_empty());
    let pieces: Vec<&str> = pieces.collect();
    let months: Vec<u32> = pieces.iter().filter_map(|piece| month(piece)).collect();
    let plain: Vec<u32> = pieces.iter().filter_map(|piece| piece.parse().ok()).collect();
    if months.len() + plain.len() != pieces.len() {
        return None;
    }
    let years = plain.iter().filter(|number| **number >= 1900).count();
    let small: Vec<u32> =
        months.iter().chain(&plain).copied().filter(|number| *number < 100).collect();
    // Of two plain numbers only a date's own signs make a date: tips are called `1-03`.
    let dated =
        !months.is_empty() || years > 0 || (!text.contains('-') && text.contains(['/', '.']));
    match small[..] {
        [a, b] if dated && a > 0 && b > 0 => Some((a, b)),
        _ => None,
    }
}

/// The number of the month that `word` names.
fn month(word: &str) -> Option<u32> {
    let word = word.to_lowercase();
    let letters = word.chars().all(char::is_alphabetic);
    let is = |names: &&&[&str]| letters && names.iter().any(|name| word.starts_with(name));
    let at = MONTHS.iter().position(|names| is(&names))?;
    Some(at as u32 + 1)
}

/// Month and day of the day `serial` (days since 1899-12-30), by counting years and months.
fn month_and_day(serial: u32) -> (u32, u32) {
    // Of the years up to 2080 that four divides, all but 1900 are leap years.
    let leap = |year: u32| year.is_multiple_of(4) && year != 1900;
    let (mut year, mut left) = (1900, serial - 2);
    while left >= 365 + u32::from(leap(year)) {
        left -= 365 + u32::from(leap(year));
        year += 1;
    }
    let days = [31, 28 + u32::from(leap(year)), 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
    let mut month = 0;
    while left >= days[month] {
        left -= days[month];
        month += 1;
    }
    (month as u32 + 1, left + 1)
}

#[cfg(test)]
mod tests {
    use super::names_behind;

    /// Serial numbers: 2026-01-03 is day 46025 (36526 is 2000-01-01 in every common spreadsheet, from memory; 26 years of
    /// 365 days, 7 leap days and 2 days later).
    #[test]
    fn a_date_leads_back_to_the_name_it_was_made_of() {
        for date in [
            "3-Jan",
            "03. Jan",
            "Jan-03",
            "01/03/2026",
            "2026-01-03",
            "2026-01-03 00:00:00",
            "46025",
            "3-janv",
        ] {
            assert!(
                names_behind(date).contains(&"1-03".to_owned()),
                "{date}: {:?}",
                names_behind(date)
            );
        }
        assert_eq!(36526 + 26 * 365 + 7 + 2, 46025);
        for name in ["1-03", "left-03", "S1-03", "12", "mar-boom", "header", "1-03-B", "1.5 bar"] {
            assert_eq!(names_behind(name), Vec::<String>::new(), "{name}");
        }
    }
}
