//! The answer on one screen, what else can be asked for, and what a terminal is given.

use crate::once::{self, each_shipped};
use checks::command::{Printed, files, millstream};
use checks::root;
use serde_json::Value;
use sim_cli::Streams;
use std::collections::BTreeSet;
use std::ffi::OsString;

/// Names that `--show` takes.
const NAMES: [&str; 12] = [
    "figures",
    "limits",
    "warnings",
    "sentences",
    "pump",
    "priming",
    "sections",
    "losses",
    "filling",
    "purge",
    "tips",
    "lines",
];

fn shipped(name: &str) -> String {
    root().join(format!("scenarios/{name}.toml")).to_string_lossy().into_owned()
}

fn run(name: &str, options: &[&str]) -> Printed {
    let printed = millstream(&[&["run", &shipped(name)], options].concat());
    assert_eq!((printed.code, printed.err.as_str()), (0, ""), "{options:?}");
    printed
}

/// What a run prints on a terminal of `width` columns, with colour or without.
fn on_a_terminal(name: &str, options: &[&str], width: usize, accent: bool) -> String {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let mut streams = Streams { accent, width, ..Streams::unwatched(&mut out, &mut err) };
    let file = shipped(name);
    let args = ["millstream", "run", &file].into_iter().chain(options.iter().copied());
    assert_eq!(sim_cli::run(args.map(OsString::from), &mut streams), 0);
    String::from_utf8(out).unwrap()
}

/// Limits that some step of a run does not meet: their measures and what they allow.
fn unmet(summary: &Value) -> BTreeSet<String> {
    let steps = summary["steps"].as_array().unwrap().iter();
    let verdicts = steps.flat_map(|step| step["findings"]["verdicts"].as_array().unwrap());
    let unmet = verdicts.filter(|verdict| verdict["met"] == false);
    let limit = |v: &Value| format!("{} {} {}", v["measure"], v["at_most"], v["at_least"]);
    unmet.map(limit).collect()
}

#[test]
fn every_answer_is_one_screen_that_begins_with_what_is_not_met() {
    each_shipped(|path, outcome| {
        let (out, name) = (&outcome.printed.out, path.display());
        let lines: Vec<&str> = out.lines().collect();
        assert!(lines.len() <= 45, "{name}: {} lines", lines.len());
        assert!(lines.iter().all(|line| line.chars().count() <= 100), "{name}:\n{out}");
        let summary = outcome.summary();
        assert_eq!(summary["scenario"]["title"].as_str().unwrap(), lines[0]);
        let count = lines.iter().filter(|line| line.starts_with("NOT MET  ")).count();
        assert_eq!(count, unmet(&summary).len(), "{name}:\n{out}");
        assert!(count == 0 || lines[1].starts_with("NOT MET  "), "{name}:\n{out}");
        for part in
            ["\nWatch out\n", "Caution: ", "Model: ", "\nThe rest: --full", "\nWritten into out: "]
        {
            assert!(out.contains(part), "{name}: no {part:?} in\n{out}");
        }
    });
}

/// Each warning of a run is on its screen as the first step that has it words it, and no more often.
#[test]
fn a_warning_of_several_steps_is_there_once() {
    let printed = run("sableflat-132ft-one-end", &[]);
    assert_eq!(printed.out.matches("Return hoses join the sections").count(), 1, "{}", printed.out);
    let full = run("sableflat-132ft-one-end", &["--full"]);
    assert_eq!(full.out.matches("Return hoses join the sections").count(), 2, "{}", full.out);
}

#[test]
fn what_is_shown_by_name_is_part_of_everything() {
    let everything = |name| run(name, &["--full"]).out;
    for name in ["heron-36m-prime-one-end", "heron-36m-fill-empty", "heron-36m-purge-together"] {
        let full = everything(name);
        let full: BTreeSet<&str> = full.lines().collect();
        for piece in [
            "limits",
            "warnings",
            "sentences",
            "pump",
            "priming",
            "sections",
            "losses",
            "filling",
            "purge",
        ] {
            let shown = run(name, &["--show", piece]).out;
            let nothing = shown.starts_with("Nothing of that");
            assert!(
                nothing || shown.lines().all(|line| full.contains(line)),
                "{name} {piece}:\n{shown}"
            );
        }
    }
    let shown = run("heron-36m-prime-one-end", &["--show", "losses,limits"]).out;
    for (title, times) in [("\nLimits\n", 2), ("\nLosses\n", 2), ("\nSections\n", 0)] {
        assert_eq!(shown.matches(title).count(), times, "{title}:\n{shown}");
    }
    let tips = run("larkfield-12m", &["--show", "tips"]).out;
    // Blank, title, three rules and the heads over two lines: then a tip a line.
    assert_eq!(tips.lines().count(), 2 * (6 + 24), "24 tips in each of two steps:\n{tips}");
    let figures = run("larkfield-12m", &["--show", "figures"]).out;
    assert!(figures.contains("tip pressure variation") && figures.contains("all sections"));
}

#[test]
fn a_wrong_name_gets_the_valid_ones() {
    let printed = millstream(&["run", &shipped("larkfield-12m"), "--show", "sections,loses"]);
    assert_eq!((printed.code, printed.out.as_str()), (2, ""));
    let help = millstream(&["run", "--help"]).out;
    for name in NAMES {
        assert!(printed.err.contains(name), "{name}: {}", printed.err);
        assert!(help.contains(&format!("- {name}:")), "{name}: {help}");
    }
    assert!(printed.err.contains("losses"));
}

#[test]
fn a_quiet_run_prints_what_is_not_met_and_nothing_else() {
    assert_eq!(run("heron-36m-one-end", &["--quiet"]).out, "");
    let quiet = run("otterbend-90ft-nitrogen", &["--quiet"]).out;
    let screen = run("otterbend-90ft-nitrogen", &[]).out;
    let unmet: String = screen
        .lines()
        .skip(1)
        .take_while(|line| !line.starts_with("met"))
        .map(|line| format!("{line}\n"))
        .collect();
    assert!(quiet.starts_with("NOT MET  ") && quiet == unmet, "{quiet}");
    let place = tempfile::tempdir().unwrap();
    let out = place.path().join("out");
    assert_eq!(run("larkfield-12m", &["--quiet", "--out", &out.to_string_lossy()]).out, "");
    assert!(out.join("report.html").is_file());
    let missing = millstream(&["run", "no-such-file.toml", "--quiet"]);
    assert_eq!((missing.code, missing.out.as_str()), (2, ""));
    assert!(missing.err.contains("no-such-file.toml"));
}

/// A key that changes nothing is noted, but not by a quiet run.
#[test]
fn a_quiet_run_keeps_its_notes_to_itself() {
    let text = std::fs::read_to_string(shipped("larkfield-12m")).unwrap();
    let place = tempfile::tempdir().unwrap();
    let noted = format!("{text}\n[limits]\npurge_residual = \"1 L\"\n")
        .replace("[limits]\n\n[limits]", "[limits]");
    let file = checks::put_beside_data(&noted, place.path());
    let file = file.to_string_lossy();
    assert!(millstream(&["run", &file]).err.contains("says nothing"));
    assert_eq!(millstream(&["run", &file, "--quiet"]).err, "");
}

#[test]
fn colour_is_on_what_is_not_met_and_nowhere_else() {
    let name = "heron-36m-prime-one-end";
    for options in [&[][..], &["--full"], &["--quiet"], &["--show", "limits"]] {
        let (plain, coloured) =
            (on_a_terminal(name, options, 100, false), on_a_terminal(name, options, 100, true));
        assert!(!plain.contains('\u{1b}'), "{plain}");
        let taken_off = coloured.replace("\u{1b}[1;31m", "").replace("\u{1b}[0m", "");
        assert_eq!(taken_off, plain);
        let marked = coloured.split("\u{1b}[1;31m").skip(1).map(|rest| &rest[..7]);
        let marked: BTreeSet<&str> = marked.collect();
        assert!(marked.iter().all(|mark| mark.eq_ignore_ascii_case("not met")), "{marked:?}");
        assert!(!marked.is_empty(), "{coloured}");
    }
    let json = on_a_terminal(name, &["--json"], 100, true);
    assert!(!json.contains('\u{1b}'));
}

#[test]
fn lines_keep_to_the_width_of_the_terminal() {
    for path in files("scenarios", ".toml") {
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        // Hours of field work and long purges say nothing that shorter ones do not.
        if ["heron-36m-field-hour", "sableflat-132ft-purge-check-valves"].contains(&name.as_str()) {
            continue;
        }
        for width in [72, 90] {
            let out = on_a_terminal(&name, &[], width, false);
            let wide = out.lines().find(|line| line.chars().count() > width);
            assert!(wide.is_none(), "{name} at {width}: {wide:?}");
        }
    }
}

#[test]
fn the_name_alone_says_what_to_do_next() {
    let printed = millstream(&[]);
    assert_eq!((printed.code, printed.out.as_str()), (2, ""));
    let lines: Vec<&str> = printed.err.lines().collect();
    assert_eq!(lines.len(), 5);
    for line in &lines[1..] {
        let (_, command) = line.split_once(": ").or(line.split_once("? ")).unwrap();
        assert!(command.trim().starts_with("millstream "), "{line}");
    }
    assert!(lines.iter().all(|line| line.chars().count() <= 100));
}

/// Completions and manual name every command that the help does.
#[test]
fn completions_and_manual_know_every_command() {
    let help = millstream(&["--help"]).out;
    let listed = help.lines().skip_while(|line| *line != "Commands:").skip(1);
    let listed = listed.take_while(|line| !line.is_empty());
    let named = listed.filter(|line| line.starts_with("  ") && !line.starts_with("   "));
    let names: Vec<&str> = named.filter_map(|line| line.split_whitespace().next()).collect();
    assert!(names.contains(&"run") && names.contains(&"manual"));
    let manual = millstream(&["manual"]).out;
    for shell in ["bash", "zsh", "fish", "powershell", "elvish"] {
        let script = once::with(&format!("millstream completions {shell}"), |outcome| {
            assert_eq!((outcome.printed.code, outcome.printed.err.as_str()), (0, ""));
            outcome.printed.out.clone()
        });
        assert!(names.iter().all(|name| script.contains(name)), "{shell}");
        assert!(script.contains("enforce"), "{shell}");
    }
    for name in names {
        assert!(manual.contains(&format!("millstream\\-{name}(1)")), "{name}: {manual}");
        let page = millstream(&["manual", name]);
        assert!(name == "help" || page.out.contains(".TH"), "{name}");
    }
    let wrong = millstream(&["manual", "walk"]);
    assert_eq!((wrong.code, wrong.out.as_str()), (2, ""));
    assert!(wrong.err.contains("there is no command \"walk\"; there are new, "), "{}", wrong.err);
}
