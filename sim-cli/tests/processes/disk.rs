//! Folders that cannot be written and disks that are full.

use crate::support::{contents, message, run, scenario};
use std::os::unix::fs::PermissionsExt as _;
use std::path::Path;
use std::process::{Command, Output};

/// Runs a scenario into `out`, in a shell that first carries out `prepare`.
fn run_after(prepare: &str, out: &Path) -> Output {
    let command = run(&scenario("larkfield-12m.toml"), out);
    let script = format!("{prepare}\nexec \"$@\"");
    let mut shell = Command::new("sh");
    shell.args(["-c", &script, "sh"]).arg(command.get_program()).args(command.get_args());
    shell.output().unwrap()
}

/// Whether `output` is a refusal to write into `out` because of `why`.
fn refused(output: &Output, out: &Path, why: &str) {
    let said = message(output);
    assert_eq!(output.status.code(), Some(2), "{said}");
    assert_eq!(said, format!("error: cannot write into {}: {why}\n", out.display()));
    assert!(output.stdout.is_empty());
}

#[test]
fn a_file_that_grows_too_large_leaves_a_new_folder_unmade_and_an_old_one_as_it_was() {
    // Blocks of 512 bytes: some files fit, others do not. Shells pass on that the signal is ignored.
    let limited = "trap '' XFSZ; ulimit -f 40";
    let why = "a file would be larger than is allowed here";
    let place = tempfile::tempdir().unwrap();
    let new = place.path().join("new/out");
    refused(&run_after(limited, &new), &new, why);
    assert!(!place.path().join("new").exists());
    let old = place.path().join("old");
    assert!(run_after("", &old).status.success());
    let before = contents(&old);
    refused(&run_after(limited, &old), &old, why);
    assert!(contents(&old) == before);
}

#[test]
fn a_full_disk_is_named_and_nothing_stays_on_it() {
    let place = tempfile::tempdir().unwrap();
    let mount = place.path().join("disk");
    std::fs::create_dir(&mount).unwrap();
    let small = ["-t", "tmpfs", "-o", "size=128k", "tmpfs"];
    let mounted = Command::new("mount").args(small).arg(&mount).output();
    if !mounted.is_ok_and(|output| output.status.success()) {
        println!("skipped: no small disk can be mounted here");
        return;
    }
    let out = mount.join("out");
    let output = run_after("", &out);
    let left = contents(&mount);
    let unmounted = Command::new("umount").arg(&mount).status();
    assert!(unmounted.unwrap().success());
    refused(&output, &out, "the disk is full");
    assert!(left.is_empty(), "{left:?}");
}

#[test]
fn a_file_or_a_folder_in_the_way_is_named_and_nothing_is_written() {
    let place = tempfile::tempdir().unwrap();
    let file = place.path().join("file");
    std::fs::write(&file, "in the way").unwrap();
    refused(&run_after("", &file), &file, "something that is no folder is in its place");
    let below = file.join("out");
    refused(&run_after("", &below), &below, "something that is no folder is in its place");
    assert_eq!(std::fs::read(&file).unwrap(), b"in the way");
    // A folder that has the name of the last file of many.
    let out = place.path().join("out");
    std::fs::create_dir_all(out.join("tips.csv")).unwrap();
    refused(&run_after("", &out), &out, "a folder is where a file belongs");
    assert_eq!(contents(&out).into_keys().collect::<Vec<_>>(), ["tips.csv"]);
}

#[test]
fn a_folder_without_permission_is_named_and_nothing_is_written() {
    let place = tempfile::tempdir().unwrap();
    let closed = place.path().join("closed");
    std::fs::create_dir(&closed).unwrap();
    let allow =
        |mode| std::fs::set_permissions(&closed, std::fs::Permissions::from_mode(mode)).unwrap();
    allow(0o555);
    let bound = std::fs::write(closed.join("try"), "").is_err();
    let (output, out) = (run_after("", &closed), closed.join("out"));
    let below = run_after("", &out);
    allow(0o755);
    if !bound {
        println!("skipped: permissions do not bind this user");
        return;
    }
    refused(&output, &closed, "permission is denied");
    refused(&below, &out, "permission is denied");
    assert!(contents(&closed).is_empty());
}
