//! How a fault is drawn: its place, the line with a mark under it, what would be right.

use sim_core::scenario::InputFault;
use std::ops::Range;
use std::path::Path;

/// The drawing of one fault at `span` of `text`, without the line that counts.
fn drawn_at(text: &str, span: Range<usize>, help: Option<&str>) -> String {
    let fault = InputFault { span, message: "this is wrong".into(), help: help.map(str::to_owned) };
    let drawn = sim_cli::draw::faults(Path::new("x.toml"), text, &[fault], false);
    drawn.strip_suffix("\nx.toml: 1 fault; nothing was written\n").unwrap().to_owned()
}

/// The drawing of a fault at the first `marked` in `text`.
fn drawn(text: &str, marked: &str) -> String {
    let start = text.find(marked).unwrap();
    drawn_at(text, start..start + marked.len(), None)
}

/// Lines under the headline: the excerpt and its mark.
fn excerpt(drawn: &str) -> (&str, &str) {
    let mut lines = drawn.lines().skip(1);
    (lines.next().unwrap(), lines.next().unwrap())
}

#[test]
fn place_excerpt_and_what_would_be_right_follow_each_other() {
    let text = "[boom]\nwidth = 36\n";
    assert_eq!(
        drawn_at(text, 15..17, Some("write the unit, for example \"36 m\"")),
        "x.toml:2:9: this is wrong\n    width = 36\n            --\n  Write the unit, for example \"36 m\".\n"
    );
}

#[test]
fn what_would_be_right_is_broken_at_80_columns_but_never_within_quotes() {
    let help = "add `compressor = \"70 L/min\"` and so on, until the end of the line: `a = \"1 L\"`, or \"a b\", or \"open";
    assert_eq!(
        drawn_at("", 0..0, Some(help)),
        "x.toml: this is wrong\n  Add `compressor = \"70 L/min\"` and so on, until the end of the line:\n  \
         `a = \"1 L\"`, or \"a b\", or \"open.\n"
    );
}

#[test]
fn every_fault_has_its_place_and_the_last_line_counts_them() {
    let fault = |span| InputFault { span, message: "wrong".into(), help: None };
    let faults = [fault(0..1), fault(2..3), fault(2..3)];
    assert_eq!(
        sim_cli::draw::faults(Path::new("x.toml"), "a\nb\n", &faults, false),
        "x.toml:1:1: wrong\n    a\n    -\n\nx.toml:2:1: wrong\n    b\n    -\n\n\
         x.toml:2:1: wrong\n    b\n    -\n\nx.toml: 3 faults; nothing was written\n"
    );
}

#[test]
fn columns_count_letters_and_the_mark_counts_the_width_they_take() {
    // A degree sign is two bytes and one column; a han letter three bytes and two columns; an accent of its own none.
    assert_eq!(
        drawn("t = \"°C\" x", "x"),
        "x.toml:1:10: this is wrong\n    t = \"°C\" x\n             -\n"
    );
    assert_eq!(
        drawn("水水 = 喷 # b", "喷"),
        "x.toml:1:6: this is wrong\n    水水 = 喷 # b\n           --\n"
    );
    assert_eq!(
        drawn("e\u{301} = x", "x"),
        "x.toml:1:6: this is wrong\n    e\u{301} = x\n        -\n"
    );
}

#[test]
fn a_place_within_a_letter_is_widened_to_the_letter() {
    assert_eq!(
        drawn_at("a = °C", 5..5, None),
        "x.toml:1:5: this is wrong\n    a = °C\n        -\n"
    );
}

#[test]
fn tabs_are_drawn_as_four_spaces() {
    assert_eq!(
        drawn("\ta\t= b", "b"),
        "x.toml:1:6: this is wrong\n        a    = b\n               -\n"
    );
}

#[test]
fn lines_may_end_in_carriage_return_and_line_feed() {
    assert_eq!(drawn("a\r\nb = c\r\n", "c"), "x.toml:2:5: this is wrong\n    b = c\n        -\n");
    assert_eq!(
        drawn_at("b = \"c\r\nd\r\n", 6..8, None),
        "x.toml:1:7: this is wrong\n    b = \"c\n          -\n"
    );
}

#[test]
fn a_place_over_several_lines_is_marked_on_its_first() {
    assert_eq!(
        drawn("a = [\n  b,\n]\n", "[\n  b,\n]"),
        "x.toml:1:5: this is wrong\n    a = [\n        -\n"
    );
}

#[test]
fn a_fault_at_the_end_of_the_file_is_placed_behind_its_last_letter() {
    assert_eq!(drawn_at("a =", 3..3, None), "x.toml:1:4: this is wrong\n    a =\n       -\n");
    assert_eq!(drawn_at("a =\n", 4..4, None), "x.toml:2:1: this is wrong\n");
    assert_eq!(drawn_at("a =", 90..99, None), "x.toml:1:4: this is wrong\n    a =\n       -\n");
}

#[test]
fn a_fault_of_the_whole_file_names_no_line() {
    assert_eq!(drawn_at("", 0..0, Some("write one")), "x.toml: this is wrong\n  Write one.\n");
}

#[test]
fn a_long_line_is_cut_around_the_place_to_80_columns() {
    let many = |word: &str| word.repeat(500);
    for (text, marked) in [
        (format!("{}WRONG{}", many("before "), many(" after")), "WRONG"),
        (format!("WRONG{}", many(" after")), "WRONG"),
        (format!("{}WRONG", many("before ")), "WRONG"),
        (format!("{}喷水{}", many("水"), many("°")), "喷水"),
    ] {
        let drawing = drawn(&text, marked);
        let (line, mark) = excerpt(&drawing);
        let columns: usize = line.chars().map(|c| if "喷水".contains(c) { 2 } else { 1 }).sum();
        assert!((76..=80).contains(&columns), "{columns}: {line}");
        assert_eq!(line.starts_with("    ..."), !text.starts_with(marked));
        assert_eq!(line.ends_with("..."), !text.ends_with(marked));
        let before = &line[..line.find(marked).unwrap()];
        let blank: usize = before.chars().map(|c| if c == '水' { 2 } else { 1 }).sum();
        let wide = if marked == "WRONG" { 5 } else { 4 };
        assert_eq!(mark, format!("{}{}", " ".repeat(blank), "-".repeat(wide)));
    }
}

#[test]
fn a_long_place_keeps_what_stands_before_it() {
    let text = format!("[boom]\nthe_list_of_points = [{}]\n", "\"1 bar\", ".repeat(60));
    let drawing = drawn_at(&text, 28..text.len() - 1, None);
    let (line, mark) = excerpt(&drawing);
    assert!(line.starts_with("    ...he_list_of_points = [\"1 bar\", "), "{line}");
    assert!(line.ends_with("..."), "{line}");
    assert_eq!((mark.find('-'), mark.len()), (line.find('['), line.len() - 3));
}

#[test]
fn nothing_in_a_file_can_steer_a_terminal() {
    let fault = InputFault {
        span: 4..8,
        message: "unknown word `\u{1b}[2J\u{9b}`".into(),
        help: Some("not \u{202e}that".into()),
    };
    let drawn =
        sim_cli::draw::faults(Path::new("\u{7}.toml"), "a = \u{1b}[2J\u{7f}", &[fault], false);
    assert_eq!(
        drawn,
        "\u{2407}.toml:1:5: unknown word `\u{241b}[2J\u{fffd}`\n    a = \u{241b}[2J\u{2421}\n        ----\n  \
         Not \u{fffd}that.\n\n\u{2407}.toml: 1 fault; nothing was written\n"
    );
}

#[test]
fn colour_adds_sequences_and_no_words() {
    let fault = InputFault { span: 4..5, message: "wrong".into(), help: Some("write c".into()) };
    let draw = |colour| {
        sim_cli::draw::faults(Path::new("x.toml"), "a = b", std::slice::from_ref(&fault), colour)
    };
    let coloured = draw(true);
    assert_ne!(coloured, draw(false));
    let plain = ["\u{1b}[1m", "\u{1b}[1;31m", "\u{1b}[0m"]
        .iter()
        .fold(coloured, |text, sequence| text.replace(sequence, ""));
    assert_eq!(plain, draw(false));
}
