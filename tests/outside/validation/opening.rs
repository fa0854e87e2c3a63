//! The first lines of the page: what is not known, then what is compared with what.

use super::cells::{deviation, names, wrapped};
use super::row::{Basis, Row, Standing};
use super::source::Kind;
use super::subject::Subject;
use std::collections::BTreeSet;

/// What a row of computed figures rests on.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Ground {
    /// A source's equation.
    Source,
    /// A closed form that any textbook has.
    ClosedForm,
    /// The equations of this product, by another program.
    Program,
}

impl Ground {
    fn of(row: &Row) -> Self {
        let any = |is: fn(Kind) -> bool| row.sources.iter().any(|source| is(source.kind));
        if any(Kind::is_outside) {
            Self::Source
        } else if any(|kind| kind == Kind::Analytic) {
            Self::ClosedForm
        } else {
            Self::Program
        }
    }
}

const NOT_KNOWN: &str = "What is not known: nothing on this page was measured on a sprayer. No measurement of a purge of \
    a whole boom, of the time a dead leg takes to wash out, of concentration over time at each tip of a boom, or of the \
    viscosity of liquid fertiliser was found; how fast a dead leg exchanges with the stream beside it is an assumption. \
    A boom as a whole is checked through its pieces, against other solvers and by balances of mass and energy. Test \
    with clean water before you rely on a figure.";

const MADE_BY: &str = "Made by `MILLSTREAM_REWRITE=1 cargo test -p checks --test outside validation`; the first column \
    leads to the file that holds the check. Every value lies within the limit beside it: where one does not, the tests \
    fail and this page is not made. Of a row that stands for several values the one that uses most of its limit is \
    shown, and how many there are.";

/// The page up to its summary.
pub(super) fn opening(rows: &[(Subject, Row)]) -> String {
    let rows: Vec<&Row> = rows.iter().map(|(_, row)| row).collect();
    let values: usize = rows.iter().map(|row| row.points).sum();
    let mut paragraphs = vec![NOT_KNOWN.into()];
    paragraphs.push(format!(
        "What is known: **{} rows compare {values} values** with something outside this project. How the published \
         value came here is marked:",
        rows.len(),
    ));
    paragraphs.extend(marks(&rows));
    paragraphs.push("The limit of each row is of one of two kinds:".into());
    paragraphs.extend(limits(&rows));
    paragraphs.push(farthest(&rows));
    paragraphs.push(MADE_BY.into());
    let mut text = String::from("# Validation\n\n");
    for paragraph in paragraphs {
        text.push_str(&wrapped(&paragraph));
        text.push_str("\n\n");
    }
    text
}

/// One item a mark.
fn marks(rows: &[&Row]) -> [String; 3] {
    let with = |standing| rows.iter().copied().filter(move |row: &&Row| row.standing == standing);
    let printed: Vec<&Row> = with(Standing::Printed).collect();
    let remembered: Vec<&Row> = with(Standing::FromMemory).collect();
    let on = |ground| with(Standing::Computed).filter(move |row| Ground::of(row) == ground);
    let by_source: Vec<&Row> = on(Ground::Source).collect();
    let closed: Vec<&Row> = on(Ground::ClosedForm).collect();
    let kinds: Vec<String> = Kind::OUTSIDE
        .into_iter()
        .map(|kind| (count(&printed, |of| of == kind), kind))
        .filter(|(count, _)| *count > 0)
        .map(|(count, kind)| format!("{count} {}", word(kind, count)))
        .collect();
    [
        format!(
            "- no mark: printed in the source, {} rows, figures of {} sources ({});",
            printed.len(),
            count(&printed, Kind::is_outside),
            kinds.join(", "),
        ),
        format!(
            "- *c*: computed apart from this product, {} rows: {} by the equations of {} sources, {} by {} closed forms \
             that any textbook has, {} by the same equations in another program. Such a row shows that an equation is \
             solved correctly; whether nature follows it is for the printed rows and for the limits in \
             [theory.md](theory.md);",
            with(Standing::Computed).count(),
            by_source.len(),
            count(&by_source, Kind::is_outside),
            closed.len(),
            count(&closed, |kind| kind == Kind::Analytic),
            on(Ground::Program).count(),
        ),
        format!(
            "- *m*: value or formula from memory of the source, {} rows, {} sources. Read the source before you rely on \
             them.",
            remembered.len(),
            count(&remembered, Kind::is_outside),
        ),
    ]
}

/// One item a kind of limit.
fn limits(rows: &[&Row]) -> [String; 2] {
    let with = |basis| rows.iter().filter(|row| row.basis == basis).count();
    [
        format!(
            "- no mark: the source's own uncertainty, {} rows: its printed digits, the error or the scatter that it \
             states. Such a row claims that accuracy;",
            with(Basis::Source)
        ),
        format!(
            "- *g*: a guard, {} rows: a limit chosen near what the product gives, which notices a change and claims \
             nothing. The column before it shows how far off the product is.",
            with(Basis::Guard)
        ),
    ]
}

/// Different sources of `rows` of the kinds asked for.
fn count(rows: &[&Row], is: impl Fn(Kind) -> bool) -> usize {
    let sources = rows.iter().flat_map(|row| row.sources).filter(|source| is(source.kind));
    sources.map(|source| source.name).collect::<BTreeSet<_>>().len()
}

/// The printed figure that is missed by the largest share.
fn farthest(rows: &[&Row]) -> String {
    let share = |row: &Row| row.worst.and_then(|worst| worst.share_off()).map_or(0.0, f64::abs);
    let printed = rows.iter().filter(|row| row.standing == Standing::Printed);
    printed.max_by(|a, b| share(a).total_cmp(&share(b))).map_or_else(String::new, |row| {
        format!(
            "Of the figures that a source prints, and that are not near zero, the one missed by most is {}, {} \
             ({}): {}.",
            deviation(row),
            row.quantity.to_lowercase(),
            names(row),
            row.why
        )
    })
}

/// What so many sources of a kind are called.
const fn word(kind: Kind, count: usize) -> &'static str {
    match (kind, count) {
        (Kind::Standard, 1) => "standard",
        (Kind::Standard, _) => "standards",
        (Kind::Handbook, 1) => "handbook or textbook",
        (Kind::Handbook, _) => "handbooks, textbooks and guides",
        (Kind::Paper, 1) => "paper",
        (Kind::Paper, _) => "papers",
        (Kind::OpenData, 1) => "open data set",
        (Kind::OpenData, _) => "open data sets and pages",
        (Kind::Analytic, _) => "closed forms",
        (Kind::Library, _) => "programs",
    }
}
