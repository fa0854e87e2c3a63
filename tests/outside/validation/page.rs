//! The page of the table.

use super::cells::{deviation, names, values, wrapped};
use super::figures::{self, Figure};
use super::opening::opening;
use super::row::{Basis, Row, Standing};
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
    text.push_str(&programs(rows));
    text
}

/// Rows, sources and the largest deviation of each subject.
fn summary(rows: &[(Subject, Row)]) -> String {
    let mut text = String::from(
        "## Summary\n\n| subject | rows | printed | guards | values | sources | largest deviation | of |\n\
         | --- | ---: | ---: | ---: | ---: | ---: | ---: | --- |\n",
    );
    for subject in Subject::ALL {
        let own: Vec<&Row> = of_subject(rows, subject).collect();
        let values: usize = own.iter().map(|row| row.points).sum();
        let printed = own.iter().filter(|row| row.standing == Standing::Printed).count();
        let guards = own.iter().filter(|row| row.basis == Basis::Guard).count();
        let names: BTreeSet<&str> = own
            .iter()
            .flat_map(|row| row.sources)
            .filter(|source| source.kind.is_outside())
            .map(|source| source.name)
            .collect();
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
            "| [{title}](#{anchor}) | {} | {printed} | {guards} | {values} | {} | {deviation} | {of} |",
            own.len(),
            names.len(),
        );
    }
    text.push_str(
        "\nPrinted: rows whose figure is printed in the source. Guards: rows whose limit is no claim. Sources: without\n\
         closed forms and programs. Deviations are shares of the published value; rows with an absolute tolerance\n\
         (factors near zero, tables printed to so many decimals) do not count here.\n\n",
    );
    text
}

/// Where published figures and ours differ by more than rounding, and why.
fn disagreements(rows: &[(Subject, Row)]) -> String {
    let mut text = String::from(
        "## Where published figures and ours disagree\n\n\
         Rows off by more than 1 % and by more than the source leaves open, and rows with an absolute tolerance that is\n\
         no rounding, the largest share first.\n\n\
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
        "## Sources\n\nRows: how many lean on it, by mark.\n\n\
         | source | kind | rows | reference |\n| --- | --- | --- | --- |\n",
    );
    let all = sources(rows);
    let mut sorted: Vec<&(Source, [usize; 3])> = all.values().collect();
    sorted.sort_by_key(|(source, _)| (source.kind, source.name));
    for (source, counts) in sorted.into_iter().filter(|(source, _)| source.kind != Kind::Library) {
        let _ = writeln!(
            text,
            "| {} | {} | {} | {} |",
            source.name,
            source.kind.word(),
            marked(*counts),
            source.reference
        );
    }
    text.push('\n');
    text
}

/// Numbers of rows by mark: `3 + 2 *c* + 1 *m*`.
fn marked(counts: [usize; 3]) -> String {
    let marks = ["", " *c*", " *m*"];
    let parts: Vec<String> = counts
        .into_iter()
        .zip(marks)
        .filter(|(count, _)| *count > 0)
        .map(|(count, mark)| format!("{count}{mark}"))
        .collect();
    parts.join(" + ").replace(' ', "\u{a0}")
}

/// What did the computing of figures marked as computed.
fn programs(rows: &[(Subject, Row)]) -> String {
    let mut text = String::from(
        "## Programs\n\nWhat computed figures marked *c* apart from this product. They are no sources and are not counted \
         as such.\n\n",
    );
    for (source, counts) in sources(rows).values().filter(|(of, _)| of.kind == Kind::Library) {
        let count: usize = counts.iter().sum();
        let _ = writeln!(text, "- {}: {} ({count} rows)", source.name, source.reference);
    }
    text
}

/// Sources of `rows` by name, with the number of rows of each: printed, computed, from memory.
fn sources(rows: &[(Subject, Row)]) -> BTreeMap<&'static str, (Source, [usize; 3])> {
    let mut found = BTreeMap::new();
    for (row, source) in
        rows.iter().flat_map(|(_, row)| row.sources.iter().map(move |of| (row, of)))
    {
        let (_, counts) = found.entry(source.name).or_insert((*source, [0; 3]));
        counts[row.standing as usize] += 1;
    }
    found
}

fn of_subject(rows: &[(Subject, Row)], subject: Subject) -> impl Iterator<Item = &Row> {
    rows.iter().filter(move |(of, _)| *of == subject).map(|(_, row)| row)
}
