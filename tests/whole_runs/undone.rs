//! Steps that cannot do what their action says: a warning says what cannot happen and what would be needed.

use checks::command::millstream;
use checks::{put_beside_data, root};
use serde_json::Value;

/// The last step's warnings of the shipped scenario `name` with `steps` instead of its own: their codes, and what the screen
/// says.
fn warned(name: &str, change: impl Fn(String) -> String, steps: &str) -> (Vec<String>, String) {
    let text = std::fs::read_to_string(root().join(format!("scenarios/{name}.toml"))).unwrap();
    let machine = text.split("[[step]]").next().unwrap().to_owned();
    let place = tempfile::tempdir().unwrap();
    let file = put_beside_data(&format!("{}\n{steps}", change(machine)), place.path());
    let printed = millstream(&["run", &file.to_string_lossy(), "--json"]);
    assert_eq!(printed.code, 0, "{}", printed.err);
    let summary: Value = serde_json::from_str(&printed.out).unwrap();
    let last = summary["steps"].as_array().unwrap().last().unwrap();
    let warnings = last["findings"]["warnings"].as_array().unwrap().iter();
    let codes = warnings.map(|warning| warning["code"].as_str().unwrap().to_owned()).collect();
    let screen = millstream(&["run", &file.to_string_lossy()]).out;
    (codes, screen.split_whitespace().collect::<Vec<_>>().join(" "))
}

/// The warning `code` is there, in these `words`; the same step that can do it has none.
fn warns((codes, screen): (Vec<String>, String), code: &str, words: &str) {
    assert!(codes.iter().any(|other| other == code), "{code}: {codes:?}");
    assert!(screen.contains(words), "{words}: {screen}");
}

fn as_it_is(text: String) -> String {
    text
}

const CIRCULATE: &str = "[[step]]\nname = \"circulate\"\ndo = \"circulate\"\npump = \"45 %\"\n";

#[test]
fn a_boom_without_return_cannot_circulate() {
    let dead_ended = warned("heron-36m-centre", as_it_is, CIRCULATE);
    warns(dead_ended, "nothing_circulates", "Nothing circulates: the sections end dead");
    let (codes, _) = warned("heron-36m-one-end", as_it_is, CIRCULATE);
    assert!(!codes.iter().any(|code| code.contains("circulate")), "{codes:?}");
}

#[test]
fn nothing_circulates_through_a_closed_valve() {
    let closed = format!("{CIRCULATE}valves = {{ return-valve = \"closed\" }}\n");
    let closed = warned("heron-36m-one-end", as_it_is, &closed);
    warns(closed, "nothing_circulates", "no liquid comes through it");
}

#[test]
fn nothing_sprays_without_a_pump() {
    let rests = "[[step]]\nname = \"spray\"\ndo = \"spray\"\npumps = { pump = \"0 %\" }\n";
    warns(
        warned("larkfield-12m", as_it_is, rests),
        "nothing_sprays",
        "No tip sprays: no pump runs",
    );
    let (codes, _) =
        warned("larkfield-12m", as_it_is, "[[step]]\nname = \"spray\"\ndo = \"spray\"\n");
    assert!(!codes.contains(&"nothing_sprays".into()), "{codes:?}");
}

#[test]
fn lines_full_of_the_tanks_mix_need_no_priming() {
    let full = |text: String| format!("{text}\n[start]\nlines_hold = \"100 %\"\n");
    let prime = "[[step]]\nname = \"prime\"\ndo = \"prime\"\n";
    let (codes, screen) = warned("heron-36m-one-end", full, prime);
    warns((codes.clone(), screen.clone()), "nothing_to_prime", "Nothing is primed");
    // It ends once its flows are there, and is not judged by those of its first millisecond.
    assert!(!codes.contains(&"tip_below_window".into()), "{codes:?}");
    assert!(screen.contains("application rate 18"), "{screen}");
}

/// Rinsed with what the tank holds at full strength, no tip becomes clean; rinsed through the tips alone, the return hoses keep
/// what they held.
#[test]
fn a_rinse_with_mix_is_none_and_one_through_the_tips_leaves_the_return() {
    let rinse = "[start]\nlines_hold = \"100 %\"\n[limits]\nrinsed_to = \"2 %\"\n[[step]]\nname = \"rinse\"\ndo = \"rinse\"\nfor = \"30 s\"\n";
    let bare = |text: String| {
        let limits = text.find("[limits]").unwrap_or(text.len());
        text[..limits].to_owned()
    };
    let dirty = warned("heron-36m-one-end", bare, rinse);
    warns(dirty.clone(), "rinse_not_clean", "This rinse does not bring the tips to 2.0 %");
    warns(dirty, "not_rinsed", "circulate with water as well");
}

/// Sections 1 and 6 return, the others end dead: what circulates goes past four of them.
#[test]
fn sections_without_return_are_not_circulated() {
    let some = |text: String| {
        let sections = (1..=6).map(|i| {
            let returns = i == 1 || i == 6;
            format!("[[section]]\nname = \"{i}\"\ntips = 12\nreturn = {returns}\n")
        });
        let counted = "sections = 6\ntips_per_section = 12\n";
        assert!(text.contains(counted));
        text.replace(counted, "") + &sections.collect::<String>()
    };
    let (codes, screen) = warned("heron-36m-one-end", some, CIRCULATE);
    warns((codes, screen), "sections_not_circulated", "2, 3, 4, 5");
    let (codes, _) = warned("heron-36m-one-end", as_it_is, CIRCULATE);
    assert!(!codes.contains(&"sections_not_circulated".into()), "{codes:?}");
}

/// Check valves that open at 0.5 bar do not keep tips closed where circulating brings more than that to them; at a tenth of
/// that speed it does not.
#[test]
fn tips_with_check_valves_would_open_where_the_pressure_of_circulating_lifts_them() {
    let with_check_valves = |text: String| {
        let start = text.find("[tips]").unwrap();
        let end = start + text[start..].find("\n\n").unwrap();
        let tips = "[tips]\nsize = \"04\"\nshut_off = \"check valve\"\nopens_at = \"0.5 bar\"\n\
                    reseats_at = \"0.4 bar\"";
        format!("{}{tips}{}", &text[..start], &text[end..])
    };
    let fast = CIRCULATE.replace("45 %", "90 %");
    warns(
        warned("heron-36m-one-end", with_check_valves, &fast),
        "tips_would_open",
        "above the opening pressure of the check valve",
    );
    let slow = CIRCULATE.replace("45 %", "9 %");
    let (codes, _) = warned("heron-36m-one-end", with_check_valves, &slow);
    assert!(!codes.contains(&"tips_would_open".into()), "{codes:?}");
}

/// A purge of a twentieth of a second ends before anything is back.
#[test]
fn a_purge_that_is_too_short_returns_nothing() {
    let purge = "[[step]]\nname = \"purge\"\ndo = \"purge\"\nfor = \"0.05 s\"\n";
    let short = warned("heron-36m-purge-together", as_it_is, purge);
    warns(short, "nothing_returned", "The purge brings nothing back");
    let longer = purge.replace("0.05 s", "20 s");
    let (codes, _) = warned("heron-36m-purge-together", as_it_is, &longer);
    assert!(!codes.contains(&"nothing_returned".into()), "{codes:?}");
}
