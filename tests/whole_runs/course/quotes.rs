//! Figures that a lesson quotes: whether its commands print or write them.

use crate::once;
use std::collections::BTreeSet;

/// A figure of a lesson.
#[derive(Clone, Debug)]
pub(crate) struct Quote {
    /// As the lesson shows it.
    pub(crate) shown: String,
    kind: Kind,
}

#[derive(Clone, Debug)]
enum Kind {
    /// This number beside this unit is in what a command of the lesson prints or writes.
    Printed { number: String, unit: String },
    /// A number there, rounded to two figures, is this one.
    Roughly { number: f64, unit: String },
    /// Worked out from figures that are printed.
    WorkedOut,
}

/// A figure as it is printed: number, space, unit.
pub(crate) fn printed(shown: impl Into<String>) -> Quote {
    let shown = shown.into();
    let (number, unit) = shown.split_once(' ').unwrap();
    let (number, unit) = (number.to_owned(), unit.to_owned());
    Quote { shown, kind: Kind::Printed { number, unit } }
}

/// A figure that is printed with `unit` behind it and shown as `shown`, which begins with the number.
pub(crate) fn printed_with(shown: impl Into<String>, unit: &str) -> Quote {
    let shown = shown.into();
    let number = shown.split(' ').next().unwrap().to_owned();
    Quote { shown, kind: Kind::Printed { number, unit: unit.into() } }
}

/// `value` to two figures, for what is known no better.
pub(crate) fn roughly(value: f64, unit: &str) -> Quote {
    let number = two_figures(value);
    Quote { shown: format!("{number} {unit}"), kind: Kind::Roughly { number, unit: unit.into() } }
}

/// A figure that follows from others.
pub(crate) fn worked_out(shown: impl Into<String>) -> Quote {
    Quote { shown: shown.into(), kind: Kind::WorkedOut }
}

/// `value` to two figures.
fn two_figures(value: f64) -> f64 {
    format!("{value:.1e}").parse().unwrap()
}

/// Every command that `page` tells its reader to type.
pub(crate) fn commands(page: &str) -> BTreeSet<&str> {
    page.lines()
        .filter_map(|line| line.strip_prefix("    "))
        .filter(|line| line.starts_with("millstream "))
        .collect()
}

/// Numbers with the unit behind each, as commands print and write them.
#[derive(Default)]
pub(crate) struct Pool(Vec<(f64, String)>);

impl Pool {
    /// What `commands` print, and the tables they write.
    pub(crate) fn of(commands: &BTreeSet<&str>) -> Self {
        let mut pool = Self::default();
        for command in commands {
            once::with(command, |outcome| {
                assert_eq!(outcome.printed.code, 0, "{command}: {}", outcome.printed.err);
                pool.add_text(&outcome.printed.out);
                for (name, _) in outcome.files.iter().filter(|(name, _)| name.ends_with(".csv")) {
                    pool.add_table(outcome.text(name));
                }
            });
        }
        pool
    }

    fn add_text(&mut self, text: &str) {
        let words: Vec<&str> = text.split_whitespace().map(bare).collect();
        for pair in words.windows(2) {
            if let Ok(number) = pair[0].parse() {
                self.0.push((number, pair[1].to_owned()));
            }
        }
    }

    fn add_table(&mut self, text: &str) {
        let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(text.as_bytes());
        let rows: Vec<csv::StringRecord> = reader.records().map(Result::unwrap).collect();
        for row in &rows[1..] {
            for (head, cell) in rows[0].iter().zip(row) {
                let unit = head.rsplit(' ').next().unwrap_or(head);
                self.0.extend(cell.parse().ok().map(|number: f64| (number, unit.to_owned())));
            }
        }
    }

    /// Says where `quote`, called `key`, is not in it.
    pub(crate) fn holds(&self, key: &str, quote: &Quote) -> Result<(), String> {
        let of_unit = |unit: &str| {
            self.0.iter().filter(move |(_, own)| own == unit).map(|(n, _)| *n).collect::<Vec<_>>()
        };
        let found = match &quote.kind {
            Kind::WorkedOut => true,
            Kind::Printed { number, unit } => {
                let decimals = number.split_once('.').map_or(0, |(_, digits)| digits.len());
                of_unit(unit).iter().any(|other| format!("{other:.decimals$}") == *number)
            }
            Kind::Roughly { number, unit } => {
                of_unit(unit).iter().any(|other| two_figures(*other) == *number)
            }
        };
        if found {
            Ok(())
        } else {
            Err(format!("{key}: no command of the lesson gives {:?}", quote.shown))
        }
    }
}

/// `word` without the marks around it.
fn bare(word: &str) -> &str {
    let word = word.trim_start_matches(['(', '"']).trim_end_matches([';', ':', ',', '"']);
    let word = word.strip_suffix('.').unwrap_or(word);
    word.trim_end_matches([')', ','])
}

#[test]
fn a_figure_that_is_not_printed_is_missed() {
    let mut pool = Pool::default();
    pool.add_text("half is back after 22.7 s, 90 % after 56.9 s (84 %).");
    pool.add_table("tip,pressure bar\n1-01,2.76512\n");
    for quote in [printed("22.7 s"), printed("84 %"), printed("2.765 bar"), roughly(23.1, "s")] {
        assert_eq!(pool.holds("good", &quote), Ok(()));
    }
    for quote in [printed("22.7 L"), printed("22.8 s"), printed("2.764 bar"), roughly(24.4, "s")] {
        assert!(pool.holds("bad", &quote).is_err(), "{quote:?}");
    }
}
