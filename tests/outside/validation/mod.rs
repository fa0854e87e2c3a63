//! The validation table: checks that compare with published values, what they give, and the page that shows it.

pub(crate) mod row;
pub(crate) mod source;
pub(crate) mod sources;

mod cells;
mod figures;
mod opening;
mod page;
mod subject;

pub(crate) use row::Row;
pub(crate) use row::Tolerance::{By, Either, Share};
pub(crate) use subject::Subject;

use rayon::prelude::*;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::OnceLock;

/// A check that gives rows. It runs once a process, whoever asks first: its own test or the table.
#[derive(Debug)]
pub(crate) struct Check {
    subject: Subject,
    name: &'static str,
    run: fn() -> Vec<Row>,
    rows: OnceLock<Vec<Row>>,
}

impl Check {
    pub(crate) const fn new(subject: Subject, name: &'static str, run: fn() -> Vec<Row>) -> Self {
        Self { subject, name, run, rows: OnceLock::new() }
    }

    fn rows(&self) -> &[Row] {
        self.rows.get_or_init(|| {
            let rows = (self.run)();
            assert!(!rows.is_empty(), "{} gives no row", self.name);
            rows
        })
    }
}

/// Runs the check `name` of `checks`.
pub(crate) fn run(checks: &[Check], name: &str) {
    let check = checks.iter().find(|check| check.name == name).unwrap();
    check.rows();
}

/// The checks of a file that give rows, by subject. Each becomes a test of its name; a function left out of the list
/// is dead code.
macro_rules! validated {
    ($($subject:ident: $($check:ident),+ $(,)?);+ $(;)?) => {
        pub(crate) static CHECKS: [$crate::validation::Check;
            [$($(stringify!($check)),+),+].len()] = [$($(
            $crate::validation::Check::new(
                $crate::validation::Subject::$subject,
                stringify!($check),
                $check,
            )
        ),+),+];

        mod checked {
            $($(
                #[test]
                fn $check() {
                    $crate::validation::run(&super::CHECKS, stringify!($check));
                }
            )+)+
        }
    };
}
pub(crate) use validated;

/// The lists of every file that has one.
static FILES: &[&[Check]] = &[
    &crate::air_flow::CHECKS,
    &crate::air_supply::CHECKS,
    &crate::diagnosis::CHECKS,
    &crate::fed_lines::CHECKS,
    &crate::films::CHECKS,
    &crate::fluids::CHECKS,
    &crate::friction::CHECKS,
    &crate::large_rig::CHECKS,
    &crate::laterals::CHECKS,
    &crate::layer::CHECKS,
    &crate::low_spots::CHECKS,
    &crate::networks::CHECKS,
    &crate::nose::CHECKS,
    &crate::open_lines::CHECKS,
    &crate::pockets::CHECKS,
    &crate::pumps::CHECKS,
    &crate::purge::CHECKS,
    &crate::purge_low_spots::CHECKS,
    &crate::rates::CHECKS,
    &crate::receivers::CHECKS,
    &crate::settling::CHECKS,
    &crate::stirred_tanks::CHECKS,
    &crate::stratified::CHECKS,
    &crate::tees::CHECKS,
    &crate::transport::CHECKS,
    &crate::dispersion::CHECKS,
    &crate::chains::CHECKS,
    &crate::two_branches::CHECKS,
    &crate::unsteady::CHECKS,
    &crate::valves::CHECKS,
];

/// Rows of every check, by subject, in the order of [`FILES`].
fn all_rows() -> Result<Vec<(Subject, Row)>, String> {
    let checks: Vec<&Check> = FILES.iter().copied().flatten().collect();
    let run: Vec<_> = checks
        .par_iter()
        .map(|check| {
            // Its own test says what went wrong.
            let rows = catch_unwind(AssertUnwindSafe(|| check.rows()));
            rows.map_err(|_| check.name).map(|rows| (check.subject, rows))
        })
        .collect();
    let failed: Vec<&str> = run.iter().filter_map(|rows| rows.as_ref().err().copied()).collect();
    if !failed.is_empty() {
        return Err(format!("these checks fail: {}", failed.join(", ")));
    }
    let mut rows: Vec<(Subject, Row)> = run
        .into_iter()
        .flatten()
        .flat_map(|(subject, rows)| rows.iter().map(move |row| (subject, row.clone())))
        .collect();
    rows.sort_by_key(|(subject, _)| *subject);
    Ok(rows)
}

#[test]
fn shipped_validation_page_is_current() {
    let page = page::page(&all_rows().unwrap());
    let path = checks::root().join("docs/validation.md");
    let shipped = checks::matches_bytes(page.as_bytes(), &path);
    assert_eq!(shipped, Ok(()), "set MILLSTREAM_REWRITE=1 to write it, and read the difference");
}

#[test]
fn shipped_pictures_of_validation_are_current() {
    let folder = checks::root().join("docs/pictures/validation");
    let pictures = figures::all();
    let wrong: Vec<String> = pictures
        .par_iter()
        .filter_map(|picture| {
            let png = sim_cli::plots::against_published(&picture.plot).unwrap();
            checks::matches_bytes(&png, &folder.join(format!("{}.png", picture.name))).err()
        })
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    let shipped = std::fs::read_dir(&folder).unwrap().count();
    assert_eq!(shipped, pictures.len(), "a picture in {} belongs to no check", folder.display());
}

#[test]
fn every_file_with_rows_is_in_the_table() {
    let folder = checks::root().join("tests/outside");
    let files = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let has_list = |path: &std::path::PathBuf| {
        path.extension().is_some_and(|extension| extension == "rs")
            && std::fs::read_to_string(path).unwrap().contains("\nvalidated! {")
    };
    assert_eq!(files.filter(has_list).count(), FILES.len());
}

#[test]
fn rows_that_are_off_by_more_than_a_hundredth_say_why() {
    for (_, row) in all_rows().unwrap() {
        assert!(!row.why.is_empty(), "{} says nothing", row.quantity);
        let worst = row.worst.unwrap();
        let off = worst.share_off().is_some_and(|share| share.abs() > 0.01);
        assert!(
            !off || row.disagrees || row.basis == row::Basis::Source,
            "{} is off by more than 1 % and does not say why",
            row.quantity
        );
    }
}
