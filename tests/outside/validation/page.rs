//! The page of the table.

use super::cells::{deviation, names, values, wrapped};
use super::figures::{self, Figure};
use super::row::{Row, Standing};
use super::source::{Kind, Source};
use super::subject::Subject;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

/// Rows below this share off are rounding and need no list.
const WORTH_A_WORD: f64 = 0.01;

/// The whole page.
pub(super) fn page(rows: &[(Subject, Row)]) -> String {
    let mut text = opening(rows);
    text.push_str(&summary(rows));
    text.push_str(&disagreements(rows));
    let figures = figures::all();
    for subject in Subject::ALL {
        text.push_str(&section(subject, rows, &figures));
    }
    text.push_str(&bibliography(rows));
    text
}

fn opening(rows: &[(Subject, Row)]) -> String {
    let values: usize = rows.iter().map(|(_, row)| row.points).sum();
    let sources = sources(rows);
    let of_kind = |kind: Kind| sources.values().filter(|(source, _)| source.kind == kind).count();
    let independent = sources.len() - of_kind(Kind::Analytic);
    let kinds: Vec<String> = Kind::ALL
        .into_iter()
        .filter(|kind| *kind != Kind::Analytic)
        .map(|kind| format!("{} {}", of_kind(kind), plural(kind)))
        .collect();
    let with =
        |standing| rows.iter().map(|(_, row)| row).filter(move |row| row.standing == standing);
    let printing: BTreeSet<&str> = with(Standing::Printed)
        .flat_map(|row| row.sources)
        .filter(|source| source.kind != Kind::Analytic)
        .map(|source| source.name)
        .collect();
    let paragraphs = [
        format!(
            "What the figures of Millstream rest on. **{} rows compare {values} values with {independent} independent \
             sources** ({}), and with {} closed forms. Every value lies within the tolerance beside it: where one does \
             not, the tests fail and this page is not made. {}",
            rows.len(),
            kinds.join(", "),
            of_kind(Kind::Analytic),
            farthest(with(Standing::Printed)),
        ),
        "Of a row that stands for several values the one that uses most of its tolerance is shown, and how many there \
         are. How the published value came here is marked:"
            .into(),
        format!(
            "- no mark: printed in the source, {} rows, figures of {} sources;",
            with(Standing::Printed).count(),
            printing.len()
        ),
        format!(
            "- *c*: computed from the source's equation, or by the library, apart from this product, {} rows. Such a \
             row shows that the equation is solved correctly; whether nature follows it is for the printed rows and \
             for the limits in [theory.md](theory.md);",
            with(Standing::Computed).count()
        ),
        format!(
            "- *m*: value or formula from memory of the source, {} rows. Read the source before you rely on them.",
            with(Standing::FromMemory).count()
        ),
        "What is not checked: no measurement of a purge of a whole boom, of the wash-out of dead legs, or of the \
         viscosity of liquid fertiliser was found. A boom as a whole is checked through its pieces, against other \
         solvers and by balances of mass and energy. Test with clean water before you rely on a figure."
            .into(),
        "Made by `MILLSTREAM_REWRITE=1 cargo test -p checks --test outside validation`; the first column leads to the \
         file that holds the check."
            .into(),
    ];
    let mut text = String::from("# Validation\n\n");
    for paragraph in paragraphs {
        text.push_str(&wrapped(&paragraph));
        text.push_str("\n\n");
    }
    text
}

/// The printed figure that is missed by the largest share.
fn farthest<'r>(printed: impl Iterator<Item = &'r Row>) -> String {
    let share = |row: &Row| row.worst.and_then(|worst| worst.share_off()).map_or(0.0, f64::abs);
    let row = printed.max_by(|a, b| share(a).total_cmp(&share(b)));
    row.map_or_else(String::new, |row| {
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

const fn plural(kind: Kind) -> &'static str {
    match kind {
        Kind::Standard => "standards",
        Kind::Handbook => "handbooks, textbooks and guides",
        Kind::Paper => "papers",
        Kind::OpenData => "open data sets and pages",
        Kind::Library => "general-purpose libraries",
        Kind::Analytic => "closed forms",
    }
}

/// Rows, sources and the largest deviation of each subject.
fn summary(rows: &[(Subject, Row)]) -> String {
    let mut text = String::from(
        "## Summary\n\n| subject | rows | values | sources | largest deviation | of |\n\
         | --- | ---: | ---: | ---: | ---: | --- |\n",
    );
    for subject in Subject::ALL {
        let own: Vec<&Row> = of_subject(rows, subject).collect();
        let values: usize = own.iter().map(|row| row.points).sum();
        let names: BTreeSet<&str> =
            own.iter().flat_map(|row| row.sources).map(|source| source.name).collect();
        let share = |row: &&&Row| row.worst.and_then(|worst| worst.share_off()).map(f64::abs);
        let largest = own
            .iter()
            .filter(|row| share(row).is_some())
            .max_by(|a, b| share(a).unwrap_or(0.0).total_cmp(&share(b).unwrap_or(0.0)));
        let (deviation, of) =
            largest.map_or((String::from("-"), "-"), |row| (deviation(row), row.quantity));
        let title = subject.title();
        let anchor = title.to_lowercase().replace([':', ','], "").replace(' ', "-");
        let _ = writeln!(
            text,
            "| [{title}](#{anchor}) | {} | {values} | {} | {deviation} | {of} |",
            own.len(),
            names.len(),
        );
    }
    text.push_str(
        "\nDeviations are shares of the published value; rows with an absolute tolerance (factors near zero, tables\n\
         printed to so many decimals) do not count here.\n\n",
    );
    text
}

/// Where published figures and ours differ by more than rounding, and why.
fn disagreements(rows: &[(Subject, Row)]) -> String {
    let mut text = String::from(
        "## Where published figures and ours disagree\n\n\
         Rows off by more than 1 %, and rows with an absolute tolerance that is no rounding, the largest share first.\n\n\
         | quantity | source | published | ours | off by | why |\n| --- | --- | ---: | ---: | ---: | --- |\n",
    );
    let share = |row: &Row| row.worst.and_then(|worst| worst.share_off()).map(f64::abs);
    let mut own: Vec<&Row> = rows
        .iter()
        .map(|(_, row)| row)
        .filter(|row| row.disagrees && share(row).is_none_or(|share| share > WORTH_A_WORD))
        .collect();
    own.sort_by(|a, b| share(b).unwrap_or(0.0).total_cmp(&share(a).unwrap_or(0.0)));
    for row in own {
        let [published, ours, off, _] = values(row);
        let _ = writeln!(
            text,
            "| {}: {} | {} | {published} | {ours} | {off} | {} |",
            row.quantity,
            row.conditions,
            names(row),
            row.why
        );
    }
    text.push('\n');
    text
}

fn section(subject: Subject, rows: &[(Subject, Row)], figures: &[Figure]) -> String {
    let mut text = format!(
        "## {}\n\n| | quantity | conditions | source | published | ours | off by | allowed | why |\n\
         | --- | --- | --- | --- | ---: | ---: | ---: | ---: | --- |\n",
        subject.title()
    );
    let first = rows.iter().take_while(|(of, _)| *of != subject).count();
    for (k, row) in of_subject(rows, subject).enumerate() {
        let [published, ours, off, allowed] = values(row);
        let several =
            if row.points > 1 { format!(" ({} values)", row.points) } else { String::new() };
        let _ = writeln!(
            text,
            "| [{}](../{}) | {} | {}{several} | {} | {published} | {ours} | {off} | {allowed} | {} |",
            first + k + 1,
            row.file,
            row.quantity,
            row.conditions,
            names(row),
            row.why
        );
    }
    text.push('\n');
    for figure in figures.iter().filter(|figure| figure.subject == subject) {
        let _ = writeln!(
            text,
            "![{}](pictures/validation/{}.png)\n\n{}\n",
            figure.plot.title,
            figure.name,
            wrapped(figure.caption)
        );
    }
    text
}

/// One line a source, by kind and name, with the rows that lean on it.
fn bibliography(rows: &[(Subject, Row)]) -> String {
    let mut text = String::from(
        "## Sources\n\n| source | kind | rows | reference |\n| --- | --- | ---: | --- |\n",
    );
    let all = sources(rows);
    let mut sorted: Vec<&(Source, usize)> = all.values().collect();
    sorted.sort_by_key(|(source, _)| (source.kind, source.name));
    for (source, count) in sorted {
        let _ = writeln!(
            text,
            "| {} | {} | {count} | {} |",
            source.name,
            source.kind.word(),
            source.reference
        );
    }
    text
}

/// Sources of `rows` by name, with the number of rows of each.
fn sources(rows: &[(Subject, Row)]) -> BTreeMap<&'static str, (Source, usize)> {
    let mut found = BTreeMap::new();
    for source in rows.iter().flat_map(|(_, row)| row.sources) {
        found.entry(source.name).or_insert((*source, 0)).1 += 1;
    }
    found
}

fn of_subject(rows: &[(Subject, Row)], subject: Subject) -> impl Iterator<Item = &Row> {
    rows.iter().filter(move |(of, _)| *of == subject).map(|(_, row)| row)
}
