//! What is read: regular files alone, those of a scenario in its own folder, and text that steers nothing.

use checks::command::{Printed, millstream};
use checks::root;
use std::path::Path;

const SECRET: &str = "owner:$6$salt$hidden:19000:0\npassword = \"hunter2\"\n";

fn text_of(path: &Path) -> String {
    path.to_string_lossy().into_owned()
}

fn larkfield() -> String {
    text_of(&root().join("scenarios/larkfield-12m.toml"))
}

/// A scenario whose pump curve and liquid are the file called `name`, checked with `options`.
fn naming(folder: &Path, name: &str, options: &[&str]) -> Printed {
    let scenario = folder.join("naming.toml");
    let text = format!(
        "[pump.p]\nfrom = \"a\"\nto = \"b\"\ncurve = \"{name}\"\n[liquid]\nnamed = \"{name}\"\n"
    );
    std::fs::write(&scenario, text).unwrap();
    millstream(&[&["check", &text_of(&scenario)], options].concat())
}

/// A refusal in which `why` is found so often, and nothing of the secret.
fn refused(printed: &Printed, why: &str, times: usize) {
    assert_eq!((printed.code, printed.out.as_str()), (2, ""), "{}", printed.err);
    assert_eq!(printed.err.matches(why).count(), times, "{}", printed.err);
    for word in ["owner", "hidden", "password", "hunter2"] {
        assert!(!printed.err.contains(word), "{}", printed.err);
    }
}

#[cfg(unix)]
#[test]
fn devices_and_pipes_are_refused_at_once_wherever_a_file_is_read() {
    let place = tempfile::tempdir().unwrap();
    let pipe = place.path().join("pipe");
    let made = std::process::Command::new("mkfifo").arg(&pipe).status();
    assert!(made.unwrap().success());
    let (pipe, larkfield) = (text_of(&pipe), larkfield());
    let why = "it is a device or a pipe; only regular files are read";
    let overlay = format!("--overlay={pipe}");
    let readings = text_of(&root().join("demo-data/readings/larkfield-middle-heavy.csv"));
    for endless in ["/dev/zero", pipe.as_str()] {
        for args in [
            &["run", endless][..],
            &["check", endless],
            &["compare", &larkfield, endless],
            &["diagnose", &larkfield, endless],
        ] {
            refused(&millstream(args), &format!("{endless} cannot be read: {why}"), 1);
        }
        let anywhere = ["--files-from-anywhere"];
        refused(&naming(place.path(), endless, &anywhere), why, 2);
    }
    refused(&millstream(&["diagnose", &larkfield, &readings, &overlay]), why, 1);
    refused(&naming(place.path(), "pipe", &[]), why, 2);
}

#[test]
fn a_file_that_is_too_large_is_refused_by_what_is_read_of_it() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("large.toml");
    std::fs::File::create(&path).unwrap().set_len(65 << 20).unwrap();
    refused(&millstream(&["check", &text_of(&path)]), "it is larger than 64 MiB", 1);
}

#[test]
fn a_scenario_names_no_file_outside_its_folder_unless_it_is_allowed_to() {
    let place = tempfile::tempdir().unwrap();
    let folder = place.path().join("scenario");
    std::fs::create_dir_all(folder.join("below")).unwrap();
    let secret = place.path().join("secret");
    std::fs::write(&secret, SECRET).unwrap();
    let mut outside =
        vec!["../secret".to_owned(), "below/../../secret".into(), "../not-there".into()];
    outside.push(text_of(&secret).replace('\\', "/"));
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink(&secret, folder.join("link")).unwrap();
        outside.push("link".into());
    }
    for name in &outside {
        refused(&naming(&folder, name, &[]), "it is outside the scenario's folder", 2);
    }
    // Allowed, it is read, and its faults have their places; what is in it stays there.
    let allowed = naming(&folder, "../secret", &["--files-from-anywhere"]);
    refused(&allowed, "../secret, line 1, column ", 2);
    refused(&allowed, "this is no column of a pump curve", 1);
    refused(&allowed, "this is nothing a liquid file has", 1);
}

#[test]
fn files_in_the_folder_are_read_and_the_faults_of_a_liquid_are_quoted() {
    let place = tempfile::tempdir().unwrap();
    std::fs::create_dir(place.path().join("below")).unwrap();
    std::fs::write(place.path().join("below/mine"), "densety = \"1 kg/L\"\n").unwrap();
    let printed = naming(place.path(), "below/../below/mine", &[]);
    assert_eq!(printed.code, 2);
    let wanted = "below/../below/mine, line 1, column 1: unknown key `densety`";
    assert!(printed.err.contains(wanted), "{}", printed.err);
}

#[test]
fn letters_that_steer_are_refused_at_their_place_in_scenarios_and_readings() {
    let place = tempfile::tempdir().unwrap();
    let path = place.path().join("x.toml");
    for (text, at, code) in [
        ("title = \"a\\u001b[2Jb\"\n", "1:9", "001B"),
        ("title = \"a\\u0000b\"\n", "1:9", "0000"),
        ("title = \"two\\nlines\"\n", "1:9", "000A"),
        ("[node.\"met\\u202e\"]\n", "1:7", "202E"),
        ("[[section]]\nname = \"\u{2066}1\"\n", "2:8", "2066"),
        ("[[step]]\nclosed_tips = [\"1\", \"\\u009b\"]\n", "2:21", "009B"),
    ] {
        std::fs::write(&path, text).unwrap();
        let printed = millstream(&["check", &text_of(&path)]);
        let wanted = format!("x.toml:{at}: this text has a control character, U+{code}\n");
        assert!(printed.code == 2 && printed.err.contains(&wanted), "{wanted}{}", printed.err);
        assert!(!printed.err.contains(['\u{1b}', '\0', '\u{202e}', '\u{2066}', '\u{9b}']));
    }
    let readings = place.path().join("r.csv");
    std::fs::write(&readings, "state,kind,at,reads\na,gauge,bo\u{1b}om,1 bar\n").unwrap();
    let printed = millstream(&["diagnose", &larkfield(), &text_of(&readings)]);
    let wanted = "r.csv:2:9: this text has a control character, U+001B\n";
    assert!(printed.err.contains(wanted), "{}", printed.err);
}

#[test]
fn what_is_about_a_scenario_may_have_lines_and_a_comment_turns_no_writing_on_the_page() {
    let place = tempfile::tempdir().unwrap();
    let shipped = std::fs::read_to_string(larkfield()).unwrap();
    let text = format!("# not \u{202e}what it seems\n{shipped}");
    let path = checks::put_beside_data(&text, place.path());
    let out = place.path().join("out");
    let printed = millstream(&["run", &text_of(&path), "--out", &text_of(&out)]);
    assert_eq!(printed.code, 0, "{}", printed.err);
    let page = std::fs::read_to_string(out.join("report.html")).unwrap();
    assert!(page.contains("# not \u{fffd}what it seems") && !page.contains('\u{202e}'));
}

#[cfg(unix)]
#[test]
fn a_name_of_a_file_steers_nothing() {
    let place = tempfile::tempdir().unwrap();
    let path =
        checks::put_beside_data(&std::fs::read_to_string(larkfield()).unwrap(), place.path());
    let odd = path.with_file_name("odd\u{1b}[2J.toml");
    std::fs::rename(path, &odd).unwrap();
    let missing = text_of(&odd) + "missing";
    for args in [&["check", &text_of(&odd)][..], &["run", &text_of(&odd)], &["run", &missing]] {
        let printed = millstream(args);
        assert!(!(printed.out + &printed.err).contains('\u{1b}'), "{args:?}");
    }
}
