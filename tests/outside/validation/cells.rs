//! Figures and words of the page.

use super::row::{Basis, Published, Row, Standing, Tolerance};
use std::borrow::Cow;

/// Letters of a line.
const LINE: usize = 120;

/// Short names of a row's sources.
pub(super) fn names(row: &Row) -> String {
    row.sources.iter().map(|source| source.name).collect::<Vec<_>>().join("; ")
}

/// Cells of a row: published, ours, off by, allowed.
pub(super) fn values(row: &Row) -> [String; 4] {
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
    let allowed = match row.basis {
        Basis::Source => allowed,
        Basis::Guard => allowed + " *g*",
    };
    [published + mark, with_unit(&figure(worst.ours), row.unit), deviation(row), allowed].map(whole)
}

/// A cell that does not break before its unit or mark.
fn whole(cell: String) -> String {
    cell.replace(' ', "\u{a0}").replace("\u{a0}to\u{a0}", " to ")
}

/// How far off the row's value is, signed.
pub(super) fn deviation(row: &Row) -> String {
    let Some(worst) = row.worst else { return String::new() };
    match (worst.share_off(), worst.off()) {
        (Some(share), _) if share.abs() < 1e-6 => "< 0.0001 %".into(),
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
        .filter(|head: &Cow<'_, str>| !head.is_empty())
        .chain(groups)
        .collect();
    all.join(" ") + rest
}

/// `paragraph` in lines of at most 120 letters.
pub(super) fn wrapped(paragraph: &str) -> String {
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
