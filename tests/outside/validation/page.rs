//! The page of the table.

use super::figures::{self, Figure};
use super::row::{Published, Row, Standing, Tolerance};
use super::source::{Kind, Source};
use super::subject::Subject;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

/// Letters of a line.
const LINE: usize = 120;
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
        "Made by `MILLSTREAM_BLESS=1 cargo test -p checks --test outside validation`; the first column leads to the \
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

/// `paragraph` in lines of at most 120 letters.
fn wrapped(paragraph: &str) -> String {
    let mut text = String::new();
    let mut room = LINE;
    for word in paragraph.split(' ') {
        let letters = word.chars().count();
        if !text.is_empty() {
            let breaks = letters + 1 > room;
            text.push(if breaks { '\n' } else { ' ' });
            room = if breaks { LINE } else { room - 1 };
        }
        text.push_str(word);
        room = room.saturating_sub(letters);
    }
    text
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

fn names(row: &Row) -> String {
    row.sources.iter().map(|source| source.name).collect::<Vec<_>>().join("; ")
}

/// Cells of a row: published, ours, off by, allowed.
fn values(row: &Row) -> [String; 4] {
    let Some(worst) = row.worst else { return [const { String::new() }; 4] };
    let mark = match row.standing {
        Standing::Printed => "",
        Standing::Computed => " *c*",
        Standing::FromMemory => " *m*",
    };
    let published = match worst.published {
        Published::Value(value) => with_unit(&figure(value), row.unit),
        Published::Range(low, high) if high.is_finite() => {
            with_unit(&format!("{} to {}", figure(low), figure(high)), row.unit)
        }
        Published::Range(low, _) => with_unit(&format!("above {}", figure(low)), row.unit),
    };
    let allowed = match worst.tolerance {
        Tolerance::Share(share) | Tolerance::Either(share, _) => percent(share),
        Tolerance::By(by) => with_unit(&rounded(by, 2), row.unit),
        Tolerance::Within => "the range".into(),
    };
    [published + mark, with_unit(&figure(worst.ours), row.unit), deviation(row), allowed]
}

fn deviation(row: &Row) -> String {
    let Some(worst) = row.worst else { return String::new() };
    match (worst.share_off(), worst.off()) {
        (Some(share), _) if share.abs() < 1e-6 => "below 0.0001 %".into(),
        (Some(share), _) => signed(share, &percent(share.abs())),
        (None, Some(off)) if off.abs() < 1e-9 => "0".into(),
        (None, Some(off)) => with_unit(&signed(off, &rounded(off.abs(), 2)), row.unit),
        (None, None) => "within".into(),
    }
}

fn signed(value: f64, size: &str) -> String {
    format!("{}{size}", if value < 0.0 { "-" } else { "+" })
}

fn with_unit(figure: &str, unit: &str) -> String {
    if unit.is_empty() { figure.into() } else { format!("{figure} {unit}") }
}

fn percent(share: f64) -> String {
    format!("{} %", rounded(100.0 * share, 2))
}

/// Five significant figures.
fn figure(value: f64) -> String {
    let size = rounded(value.abs(), 5);
    if value < 0.0 { format!("-{size}") } else { size }
}

/// `value`, not negative, to so many significant figures, without trailing zeros.
fn rounded(value: f64, figures: usize) -> String {
    if value == 0.0 {
        return "0".into();
    }
    let scientific = format!("{value:.*e}", figures - 1);
    let (mantissa, power) = scientific.split_once('e').unwrap_or((&scientific, "0"));
    let power: i32 = power.parse().unwrap_or(0);
    if !(-3..7).contains(&power) {
        return format!("{}e{power}", without_zeros(mantissa));
    }
    let decimals = usize::try_from(figures as i32 - 1 - power).unwrap_or(0);
    let value: f64 = scientific.parse().unwrap_or(value);
    grouped(without_zeros(&format!("{value:.decimals$}")))
}

fn without_zeros(digits: &str) -> &str {
    if digits.contains('.') { digits.trim_end_matches('0').trim_end_matches('.') } else { digits }
}

/// Whole numbers from ten thousand on in groups of three digits.
fn grouped(digits: &str) -> String {
    let (whole, rest) = digits.split_at(digits.find('.').unwrap_or(digits.len()));
    if whole.len() < 5 {
        return digits.into();
    }
    let (head, tail) = whole.split_at(whole.len() % 3);
    let groups = tail.as_bytes().chunks(3).map(String::from_utf8_lossy);
    let all: Vec<_> = std::iter::once(head.into())
        .filter(|head: &std::borrow::Cow<'_, str>| !head.is_empty())
        .chain(groups)
        .collect();
    all.join(" ") + rest
}
