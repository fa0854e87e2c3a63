//! The peer: a program of its own in another language, on general-purpose solvers, that must come to the same numbers.
//! See `README.md` beside this file. Without an interpreter that has the packages this check says so and passes:
//! `.ci/run` installs them.

mod studies;

use checks::command::millstream;
use checks::root;
use serde_json::Value;
use std::io::Write;
use std::process::Command;

/// Variable that names the interpreter; `python3` where it is not set.
const PYTHON: &str = "MILLSTREAM_PEER_PYTHON";

/// Ends well if every requirement in the file named first is installed at its version.
const HAS_ALL: &str = "
import importlib.metadata as installed, sys
for line in open(sys.argv[1]):
    name, version = line.strip().split('==')
    found = installed.version(name)
    assert found == version, f'{name} is {found}, not {version}'
";

/// Which of the packages in the file `requirements` `python` lacks, if any.
fn lacks(python: &str, requirements: &str) -> Option<String> {
    let requirements = root().join(requirements);
    let tried = Command::new(python).args(["-c", HAS_ALL]).arg(requirements).output();
    let why = match tried {
        Ok(output) if output.status.success() => return None,
        Ok(output) => String::from_utf8_lossy(&output.stderr).trim().to_string(),
        Err(error) => error.to_string(),
    };
    Some(why.lines().last().unwrap_or("no reason given").to_string())
}

#[test]
fn the_peer_comes_to_the_same_numbers() {
    let named = std::env::var(PYTHON).ok();
    let python = named.clone().unwrap_or_else(|| "python3".into());
    if let Some(why) = lacks(&python, "tests/peer/requirements.txt") {
        assert!(named.is_none(), "{python}, named by {PYTHON}, cannot run the peer: {why}");
        // Past the test's own capture: whoever reads the log must see it.
        writeln!(
            std::io::stderr(),
            "skipped: the peer ({python}: {why}); see tests/peer/README.md"
        )
        .unwrap();
        return;
    }
    let output = Command::new(python)
        .arg(root().join("tests/peer/compare.py"))
        .env("MILLSTREAM", env!("CARGO_BIN_EXE_millstream-for-checks"))
        .env("PYTHONDONTWRITEBYTECODE", "1")
        .output()
        .unwrap();
    let (out, err) =
        (String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr));
    println!("{out}");
    assert!(output.status.success(), "{out}\n{err}");
}

#[test]
fn a_section_without_lines_of_boom_or_return_tells_no_time_at_which_air_comes_through() {
    let text = std::fs::read_to_string(root().join("tests/peer/one-line.toml")).unwrap();
    let folder = tempfile::tempdir().unwrap();
    let through = |text: &str| {
        let path = folder.path().join("line.toml");
        std::fs::write(&path, text).unwrap();
        let printed = millstream(&["run", &path.to_string_lossy(), "--json"]);
        assert_eq!(printed.code, 0, "{}", printed.err);
        let summary: Value = serde_json::from_str(&printed.out).unwrap();
        let purge = &summary["steps"][0]["findings"]["purge"];
        purge["sections"][0]["breakthrough_s"].as_f64()
    };
    assert!(through(&text).is_some());
    assert_eq!(through(&text.replace("side = \"return\"", "side = \"other\"")), None);
}
