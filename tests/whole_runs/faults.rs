//! Broken scenarios: each has one clear message, kept beside it.

use checks::command::{files, millstream};
use checks::{matches_file, put_beside_data, root};

#[test]
fn every_broken_scenario_gives_its_message_and_exit_code() {
    let folder = root().join("tests/faults");
    let mut wrong = Vec::new();
    let paths = files("tests/faults", ".toml");
    assert!(paths.len() >= 40);
    for path in paths {
        let output = tempfile::tempdir().unwrap();
        let target = output.path().join("out");
        let printed =
            millstream(&["run", &path.to_string_lossy(), "--out", &target.to_string_lossy()]);
        assert_eq!(printed.code, 2, "{}: {}", path.display(), printed.err);
        assert_eq!(printed.out, "", "{}", path.display());
        assert!(!target.exists(), "{} wrote something", path.display());
        let here = format!("{}/", folder.display());
        let message = printed.err.replace(&here, "");
        wrong.extend(matches_file(&message, &path.with_extension("txt")).err());
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn missing_files_and_folders_are_named() {
    let printed = millstream(&["run", "no-such-file.toml"]);
    assert_eq!(printed.code, 2);
    assert_eq!(printed.err, "error: no-such-file.toml cannot be read: there is no such file\n");
    let folder = root().join("scenarios");
    let printed = millstream(&["check", &folder.to_string_lossy()]);
    assert_eq!(printed.code, 2);
    assert!(printed.err.ends_with("it is a folder, not a file\n"), "{}", printed.err);
}

#[test]
fn a_folder_that_cannot_be_made_is_named_and_nothing_is_written() {
    let scenario = root().join("scenarios/larkfield-12m.toml");
    let place = tempfile::tempdir().unwrap();
    let file = place.path().join("file");
    std::fs::write(&file, "in the way").unwrap();
    let target = file.join("out");
    let printed =
        millstream(&["run", &scenario.to_string_lossy(), "--out", &target.to_string_lossy()]);
    assert_eq!(printed.code, 2);
    assert!(printed.err.contains("cannot write into"), "{}", printed.err);
    assert_eq!(printed.out, "");
}

#[test]
fn a_suction_that_would_boil_gives_no_result() {
    let text = std::fs::read_to_string(root().join("scenarios/larkfield-12m.toml")).unwrap();
    let place = tempfile::tempdir().unwrap();
    let starved =
        text.replace("bore = \"45 mm\", length = \"1.2 m\"", "bore = \"9 mm\", length = \"8 m\"");
    assert_ne!(text, starved);
    let path = put_beside_data(&starved, place.path());
    let printed = millstream(&["run", &path.to_string_lossy()]);
    assert_eq!(printed.code, 3, "{}{}", printed.out, printed.err);
    assert_eq!(printed.out, "");
    assert!(printed.err.contains("at pump-in the absolute pressure would fall"), "{}", printed.err);
}
