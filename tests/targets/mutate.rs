//! Shipped scenarios with some of their lines and values changed, as bytes say.

/// The shipped scenarios, but for the one that simulates an hour.
const SHIPPED: [&str; 17] = [
    include_str!("../../scenarios/heron-36m-centre.toml"),
    include_str!("../../scenarios/heron-36m-fill-empty.toml"),
    include_str!("../../scenarios/heron-36m-one-end.toml"),
    include_str!("../../scenarios/heron-36m-prime-centre.toml"),
    include_str!("../../scenarios/heron-36m-prime-one-end.toml"),
    include_str!("../../scenarios/heron-36m-purge-one-at-a-time.toml"),
    include_str!("../../scenarios/heron-36m-purge-together.toml"),
    include_str!("../../scenarios/heron-36m-stand.toml"),
    include_str!("../../scenarios/larkfield-12m.toml"),
    include_str!("../../scenarios/otterbend-90ft-nitrogen.toml"),
    include_str!("../../scenarios/quill-loop.toml"),
    include_str!("../../scenarios/sableflat-132ft-centre.toml"),
    include_str!("../../scenarios/sableflat-132ft-one-end.toml"),
    include_str!("../../scenarios/sableflat-132ft-purge-check-valves.toml"),
    include_str!("../../scenarios/sableflat-132ft-recirculate.toml"),
    include_str!("../../scenarios/willowsink-80ft-rinse.toml"),
    include_str!("../../scenarios/willowsink-80ft-sag.toml"),
];

/// Numbers to put in place of one.
const NUMBERS: [&str; 24] = [
    "0", "1", "2", "3", "7", "12", "30", "64", "100", "250", "1000", "5000", "1e5", "1e7", "1e12",
    "0.5", "0.1", "0.02", "0.001", "1e-5", "1e-9", "-1", "-0.3", "1e300",
];
/// Factors on a number.
const FACTORS: [f64; 8] = [0.01, 0.1, 0.5, 0.9, 1.1, 2.0, 10.0, 100.0];
/// Longest time a step may be given, s, over the byte that says how long.
const SECONDS_A_BYTE: f64 = 0.004;

/// The scenario that `input` spells: the first byte picks a shipped one, the second the length of its steps, and
/// every four more change a line each.
pub(super) fn scenario(input: &[u8]) -> Option<String> {
    let (&[pick, seconds], edits) = input.split_first_chunk()?;
    let text = SHIPPED[usize::from(pick) % SHIPPED.len()];
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let most = 24;
    for edit in edits.as_chunks::<4>().0.iter().take(most) {
        change(&mut lines, *edit);
    }
    let seconds = 0.02 + SECONDS_A_BYTE * f64::from(seconds);
    let lines: Vec<String> = lines.iter().map(|line| shortened(line, seconds)).collect();
    Some(lines.join("\n"))
}

/// Changes one line: where is said by two bytes, what by the first and last.
fn change(lines: &mut Vec<String>, [how, high, low, what]: [u8; 4]) {
    if lines.is_empty() {
        return;
    }
    let place = u16::from_be_bytes([high, low]);
    let at = usize::from(place) % lines.len();
    match how % 8 {
        0..=2 => lines[at] = renumbered(&lines[at], usize::from(place) / lines.len(), what),
        3 => drop(lines.remove(at)),
        4 => lines.insert(at, lines[at].clone()),
        5 | 6 => {
            let other = SHIPPED[usize::from(what) % SHIPPED.len()];
            let count = other.lines().count();
            let line = other.lines().nth(usize::from(place) % count).unwrap_or_default();
            if how % 8 == 5 {
                lines.insert(at, line.to_owned())
            } else {
                lines[at] = line.to_owned()
            }
        }
        _ => {
            // A whole table of another scenario.
            let other = SHIPPED[usize::from(what) % SHIPPED.len()];
            let tables: Vec<&str> = other.split("\n\n").collect();
            let table = tables[usize::from(place) % tables.len()];
            lines.extend(table.lines().map(str::to_owned));
        }
    }
}

/// `line` with its number `which`, counted around, changed as `what` says; itself where it has none.
fn renumbered(line: &str, which: usize, what: u8) -> String {
    let value_from = line.find('=').unwrap_or(line.len());
    let part_of_number = |c: char| c.is_ascii_digit() || c == '.';
    let mut places: Vec<(usize, usize)> = Vec::new();
    for (at, c) in line.char_indices().filter(|(at, c)| *at > value_from && part_of_number(*c)) {
        match places.last_mut() {
            Some((_, end)) if *end == at => *end = at + c.len_utf8(),
            _ => places.push((at, at + c.len_utf8())),
        }
    }
    // Dots alone are no number, and paths stay what they are.
    places.retain(|(start, end)| line[*start..*end].contains(|c: char| c.is_ascii_digit()));
    if line.contains("pumps/") || line.contains("liquids/") {
        return line.to_owned();
    }
    let Some(&(start, end)) = places.get(which % places.len().max(1)) else {
        return line.to_owned();
    };
    let what = usize::from(what);
    let number = match NUMBERS.get(what % 32) {
        Some(number) => (*number).to_owned(),
        None => {
            let now: f64 = line[start..end].parse().unwrap_or(1.0);
            (now * FACTORS[what % FACTORS.len()]).to_string()
        }
    };
    format!("{}{number}{}", &line[..start], &line[end..])
}

/// `line`, in which every time that a step lasts is made `seconds`.
pub fn shortened(line: &str, seconds: f64) -> String {
    let mut text = line.to_owned();
    for key in ["for", "each", "quiet_for"] {
        if line.trim_start().starts_with(&format!("{key} =")) {
            text = format!("{key} = \"{seconds:.3} s\"");
        }
    }
    text
}
