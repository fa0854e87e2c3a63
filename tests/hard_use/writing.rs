//! What is written: nothing over what somebody else wrote, and no text that a spreadsheet computes.

use checks::command::{Printed, millstream};
use checks::{put_beside_data, root};
use std::path::Path;

fn text_of(path: &Path) -> String {
    path.to_string_lossy().into_owned()
}

fn run_into(out: &Path, options: &[&str]) -> Printed {
    let scenario = text_of(&root().join("scenarios/larkfield-12m.toml"));
    millstream(&[&["run", &scenario, "--out", &text_of(out)], options].concat())
}

/// Whether `printed` refuses to replace `name` in `out` and names the option that would.
fn refused(printed: &Printed, out: &Path, name: &str) {
    assert_eq!((printed.code, printed.out.as_str()), (2, ""), "{}", printed.err);
    let wanted = format!(
        "error: cannot write into {}: {name} is there, and millstream did not write it, or it was changed since\n\
         help: name another folder, or replace it with --overwrite\n",
        out.display()
    );
    assert_eq!(printed.err, wanted);
}

#[test]
fn a_file_of_somebody_else_or_one_changed_since_is_replaced_only_when_asked_to() {
    let place = tempfile::tempdir().unwrap();
    let out = place.path().join("out");
    std::fs::create_dir(&out).unwrap();
    std::fs::write(out.join("report.html"), "mine").unwrap();
    std::fs::write(out.join("notes.txt"), "mine, too").unwrap();
    refused(&run_into(&out, &[]), &out, "report.html");
    assert_eq!(std::fs::read_dir(&out).unwrap().count(), 2);
    assert_eq!(std::fs::read(out.join("report.html")).unwrap(), b"mine");
    assert_eq!(run_into(&out, &["--overwrite"]).code, 0);
    // What it wrote itself it replaces without a word.
    assert_eq!(run_into(&out, &[]).code, 0);
    let picture = std::fs::read_dir(&out).unwrap().map(|entry| entry.unwrap().path());
    let picture = picture.into_iter().find(|path| path.extension().is_some_and(|e| e == "svg"));
    let picture = picture.unwrap();
    let drawn = std::fs::read_to_string(&picture).unwrap();
    std::fs::write(&picture, drawn.clone() + "<!-- mine -->").unwrap();
    refused(&run_into(&out, &[]), &out, &picture.file_name().unwrap().to_string_lossy());
    assert!(std::fs::read_to_string(&picture).unwrap().ends_with("<!-- mine -->"));
    assert_eq!(run_into(&out, &["--overwrite"]).code, 0);
    assert_eq!(std::fs::read_to_string(&picture).unwrap(), drawn);
    assert_eq!(std::fs::read(out.join("notes.txt")).unwrap(), b"mine, too");
}

#[test]
fn a_forged_list_gives_nothing_away() {
    let place = tempfile::tempdir().unwrap();
    let out = place.path().join("out");
    std::fs::create_dir(&out).unwrap();
    for name in ["report.html", "other.txt"] {
        std::fs::write(out.join(name), "mine").unwrap();
    }
    std::fs::write(out.join(".millstream-files"), "00  report.html\n00  other.txt\n").unwrap();
    refused(&run_into(&out, &[]), &out, "report.html");
    assert_eq!(std::fs::read(out.join("other.txt")).unwrap(), b"mine");
}

#[test]
fn an_overlay_takes_no_place_of_a_file_unless_asked_to() {
    let place = tempfile::tempdir().unwrap();
    let overlay = place.path().join("overlay.toml");
    let calibrate = |options: &[&str]| {
        let scenario = text_of(&root().join("scenarios/heron-36m-centre.toml"));
        let readings = text_of(&root().join("demo-data/readings/heron-healthy.toml"));
        let args = ["diagnose", &scenario, &readings, "--calibrate", &text_of(&overlay)];
        millstream(&[&args, options].concat())
    };
    std::fs::write(&overlay, "mine").unwrap();
    refused(&calibrate(&[]), place.path(), "overlay.toml");
    assert_eq!(std::fs::read(&overlay).unwrap(), b"mine");
    assert_eq!(calibrate(&["--overwrite"]).code, 0);
    assert!(std::fs::read_to_string(&overlay).unwrap().contains("roughness"));
}

#[test]
fn names_that_read_as_formulas_are_text_in_every_table_for_spreadsheets() {
    let place = tempfile::tempdir().unwrap();
    let text = std::fs::read_to_string(root().join("scenarios/quill-loop.toml")).unwrap();
    let tank = text.find("[tank.").unwrap();
    let name = text[tank + 6..].split(']').next().unwrap().to_owned();
    let evil = "=HYPERLINK(\\\"x\\\")";
    let more = format!(
        "\n[gauge.\"@gauge\"]\nnode = \"+node\"\n[line.\"{evil}\"]\nfrom = \"+node\"\nto = \"-node\"\n\
         bore = \"20 mm\"\nlength = \"1 m\"\n[node.\"-node\"]\ntank = \"{name}\"\n"
    );
    let path = put_beside_data(&(text + &more), place.path());
    let out = place.path().join("out");
    let printed = millstream(&["run", &text_of(&path), "--out", &text_of(&out)]);
    assert_eq!(printed.code, 0, "{}", printed.err);
    let mut marked = 0;
    for name in ["tips.csv", "lines.csv", "series.csv"] {
        let Ok(table) = std::fs::read_to_string(out.join(name)) else { continue };
        let mut rows = csv::ReaderBuilder::new().has_headers(false).from_reader(table.as_bytes());
        for row in rows.records() {
            for cell in row.unwrap().iter() {
                let formula = cell.starts_with(['=', '+', '-', '@']);
                assert!(!formula || cell.parse::<f64>().is_ok(), "{name}: {cell}");
                marked += usize::from(cell.starts_with('\''));
            }
        }
    }
    assert!(marked >= 3, "{marked}");
    let template = millstream(&["diagnose", &text_of(&path), "--template", "csv"]);
    assert!(template.out.contains(",'@gauge,"), "{}", template.out);
    let readings = place.path().join("readings.csv");
    std::fs::write(&readings, template.out.replace("'@gauge,,", "'@gauge,1 bar,")).unwrap();
    let printed = millstream(&["diagnose", &text_of(&path), &text_of(&readings)]);
    assert_ne!(printed.code, 2, "{}", printed.err);
}
