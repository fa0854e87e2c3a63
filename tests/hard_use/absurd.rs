//! Scenarios beyond all measure: refused, or run to their end.

use checks::command::{Printed, millstream};
use checks::targets::not_finite;
use checks::{put_beside_data, root};

/// Runs the shipped scenario `name` with `edits` (what, by what) made and `more` behind it.
fn run(name: &str, edits: &[(&str, &str)], more: &str) -> Printed {
    let mut text = std::fs::read_to_string(root().join("scenarios").join(name)).unwrap();
    for (what, by) in edits {
        assert!(text.contains(what), "{what}");
        text = text.replace(what, by);
    }
    let place = tempfile::tempdir().unwrap();
    let path = put_beside_data(&(text + more), place.path());
    millstream(&["run", &path.to_string_lossy(), "--json"])
}

/// A refusal that says `why`.
fn refused(printed: &Printed, why: &str) {
    assert_eq!((printed.code, printed.out.as_str()), (2, ""), "{}", printed.err);
    assert!(printed.err.contains(why), "{}", printed.err);
}

#[test]
fn a_million_tips_are_refused_and_tens_of_thousands_run() {
    let boom = |sections: &str, width: &str| {
        let edits = [
            ("sections = 6", sections),
            ("tips_per_section = 12", "tips_per_section = 100"),
            ("width = \"36 m\"", width),
        ];
        run("heron-36m-centre.toml", &edits, "")
    };
    let million = boom("sections = 10000", "width = \"100000 m\"");
    refused(&million, "1000000 tips are more than the 200000 a boom may have");
    let many = boom("sections = 300", "width = \"15000 m\"");
    assert_eq!(many.code, 0, "{}", many.err);
    assert_eq!(not_finite("summary.json", &many.out), None);
}

#[test]
fn bores_of_micrometres_give_a_result_or_a_reason() {
    let rough = run("heron-36m-prime-one-end.toml", &[("\"22 mm\"", "\"5 um\"")], "");
    refused(&rough, "the wall is too rough for its bore");
    for (bore, code) in [("0.3 mm", 0), ("1 um", 3)] {
        let tube = format!("bore = \"{bore}\", roughness = \"0 um\"");
        let edits = [("bore = \"22 mm\", material = \"stainless\"", tube.as_str())];
        let smooth = run("heron-36m-prime-one-end.toml", &edits, "");
        assert_eq!(smooth.code, code, "{bore}: {}", smooth.err);
        assert_eq!(not_finite("message", &smooth.err), None);
        if code == 0 {
            assert_eq!(not_finite("summary.json", &smooth.out), None);
        }
    }
}

#[test]
fn more_than_a_year_and_more_steps_than_can_be_kept_are_refused() {
    let stand = |seconds: &str, times: &str| {
        let more = format!(
            "\n[[step]]\nname = \"stand\"\ndo = \"stand\"\nfor = \"{seconds} s\"\nrepeat = {{ times = {times} }}\n"
        );
        run("larkfield-12m.toml", &[], &more)
    };
    refused(&stand("100000", "317"), "all steps together would last 367 days");
    let most = "\n[[step]]\nname = \"a\"\ndo = \"stand\"\nrepeat = { times = 10000 }\n\
                [[step]]\nname = \"b\"\ndo = \"stand\"\nrepeat = { times = 10000 }\n";
    refused(&run("larkfield-12m.toml", &[], most), "that makes 20002 steps");
    let large = "\n[[step]]\nname = \"a\"\ndo = \"stand\"\nrepeat = { times = 10000 }\n";
    let edits = [
        ("sections = 6", "sections = 30"),
        ("tips_per_section = 12", "tips_per_section = 100"),
        ("width = \"36 m\"", "width = \"1500 m\""),
    ];
    let large = run("heron-36m-centre.toml", &edits, large);
    refused(&large, "lines and parts");
    let year = stand("100000", "316");
    assert_eq!(year.code, 0, "{}", year.err);
    assert_eq!(not_finite("summary.json", &year.out), None);
}

#[test]
fn moves_too_short_to_be_followed_are_refused() {
    let model = "\n[model]\nlongest_move = \"1e-9 s\"\n";
    refused(&run("larkfield-12m.toml", &[], model), "`longest_move` must be at least 0.001 s");
}

#[test]
fn parts_in_a_circle_without_a_line_are_named() {
    let circle = "\n[valve.short-cut]\nfrom = \"pump-out\"\nto = \"pump-in\"\nkv = \"1 m3/h\"\n\
                  [[step]]\nname = \"round\"\ndo = \"spray\"\nfor = \"2 s\"\n";
    let printed = run("larkfield-12m.toml", &[], circle);
    assert_eq!((printed.code, printed.out.as_str()), (3, ""), "{}", printed.err);
    let said = "step \"round\": liquid goes round in a loop of parts alone";
    assert!(printed.err.contains(said), "{}", printed.err);
    // With the line that joins them it runs.
    let joined = circle.replace("to = \"pump-in\"", "to = \"elbow\"")
        + "[line.short]\nfrom = \"elbow\"\nto = \"pump-in\"\nbore = \"20 mm\"\nlength = \"0.3 m\"\n";
    let printed = run("larkfield-12m.toml", &[], &joined);
    assert_eq!(printed.code, 0, "{}", printed.err);
}

#[test]
fn a_purge_whose_flow_cannot_be_found_ends_with_a_reason() {
    let reasons =
        [("1e9 m", "did not settle"), ("1e12 m", "no figure of this step can be trusted")];
    for (height, reason) in reasons {
        let height = format!("inlet_above_boom = \"{height}\"");
        let up = [("inlet_above_boom = \"0.9 m\"", height.as_str())];
        let printed = run("heron-36m-purge-one-at-a-time.toml", &up, "");
        assert_eq!((printed.code, printed.out.as_str()), (3, ""), "{}", printed.err);
        assert!(printed.err.contains(reason), "{}", printed.err);
    }
    // A check valve that leads nowhere beside a pump that draws air.
    let nowhere = "\n[check_valve.nowhere]\nfrom = \"dead-end\"\nto = \"pump-in\"\nkv = \"8 m3/h\"\n\
                   opens_at = \"0.1 bar\"\n";
    let printed = run("heron-36m-fill-empty.toml", &[], nowhere);
    assert!(printed.code == 0 || printed.err.contains("did not settle"), "{}", printed.err);
}
