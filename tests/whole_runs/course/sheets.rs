//! Student sheets: a page with formulas and blanks for each lesson, and one with the answers.
//!
//! `docs/course/text/sheets/LESSON.txt` is the sheet: HTML, but for lines `? KEY: what :: how`, which are its rows.

use super::by_hand::{self, SheetFigures, Worked};
use super::quotes::{Pool, commands};
use checks::{matches_file, root};
use sha2::{Digest as _, Sha256};
use std::fmt::Write as _;

type StudentSheet = (&'static str, fn() -> SheetFigures);

const SHEETS: [StudentSheet; 6] = [
    ("1-friction", by_hand::friction),
    ("2-last-tip", by_hand::last_tip),
    ("3-dead-legs", by_hand::dead_legs),
    ("4-recirculation", by_hand::recirculation),
    ("5-purge", by_hand::purge),
    ("6-diagnosing", by_hand::diagnosing),
];
const BLANK: &str = "____________";

/// `text` as HTML shows it.
fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

/// A page with the style of the papers, which nothing but itself can change.
fn page(title: &str, kicker: &str, body: &str) -> String {
    let style = std::fs::read_to_string(root().join("sim-cli/src/papers/paper.css")).unwrap();
    let digest = Sha256::digest(body.as_bytes());
    let word: String = digest.iter().map(|byte| format!("{byte:02x}")).collect();
    format!(
        "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta http-equiv=\"Content-Security-Policy\" \
         content=\"default-src 'none'; style-src 'nonce-{word}'; img-src data:; base-uri 'none'; form-action 'none'\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>{title}: {kicker}</title>\n\
         <link rel=\"icon\" href=\"data:,\">\n<style nonce=\"{word}\">\n{style}</style>\n</head>\n<body>\n<main>\n\
         <p class=\"kicker\">{kicker}</p>\n<h1>{title}</h1>\n{body}</main>\n</body>\n</html>\n"
    )
}

/// The rows of a sheet, with answers or with blanks.
fn table(text: &str, rows: &[Worked], with_answers: bool) -> String {
    let mut body = String::new();
    let asked = text.lines().filter_map(|line| line.strip_prefix("? "));
    for (number, line) in asked.enumerate() {
        let (key, rest) = line.split_once(": ").unwrap();
        let (what, how) = rest.split_once(" :: ").unwrap();
        let row = rows.iter().find(|row| row.key == key).unwrap_or_else(|| panic!("no {key}"));
        let (hand, program) = match with_answers {
            true => (row.by_hand.as_str(), row.program.shown.as_str()),
            false => (BLANK, BLANK),
        };
        // Writing to a String cannot fail.
        let _ = writeln!(
            body,
            "<tr{}><td class=\"n\">{}</td><td class=\"wrap\">{what}<br><span class=\"soft\">{how}</span></td><td>{hand}</td><td>{program}</td></tr>",
            if with_answers { "" } else { " class=\"work\"" },
            number + 1
        );
    }
    assert_eq!(text.lines().filter(|line| line.starts_with("? ")).count(), rows.len());
    format!(
        "<div class=\"table\" tabindex=\"0\" role=\"region\" aria-label=\"Figures\"><table><thead><tr><th class=\"n\">no.</th>\
         <th>what</th><th>by hand</th><th>by the program</th></tr></thead><tbody>\n{body}</tbody></table></div>\n"
    )
}

#[test]
fn student_sheets_have_the_figures_of_hand_and_program_and_the_commands_beside_them() {
    let mut wrong = Vec::new();
    for (name, figures) in SHEETS {
        let read = |path: String| std::fs::read_to_string(root().join(path)).unwrap();
        let lesson = read(format!("docs/course/text/{name}.md"));
        let mut text = read(format!("docs/course/text/sheets/{name}.txt"));
        let (given, rows) = figures();
        let typed = commands(&lesson);
        let pool = Pool::of(&typed);
        for (key, quote) in &given {
            assert!(text.contains(&format!("{{{{{key}}}}}")), "{name} does not ask for {key}");
            text = text.replace(&format!("{{{{{key}}}}}"), &quote.shown);
        }
        assert!(!text.contains("{{"), "{name} asks for more");
        let quotes = given.iter().map(|(key, quote)| (*key, quote));
        let quotes = quotes.chain(rows.iter().map(|row| (row.key, &row.program)));
        wrong.extend(
            quotes.filter_map(|(key, quote)| pool.holds(&format!("{name}, {key}"), quote).err()),
        );
        let intro: String = text
            .lines()
            .filter(|line| !line.starts_with("? "))
            .fold(String::new(), |all, line| all + line + "\n");
        let word = |word: &str| format!("<span>{}</span>", escaped(word));
        let words = |line: &&str| line.split(' ').map(word).collect::<Vec<_>>().join(" ");
        let commands: String =
            typed.iter().map(|line| format!("<pre>{}</pre>\n", words(line))).collect();
        let commands = format!(
            "<h2>What the program says</h2>\n<p>Type, in the folder of the repository:</p>\n{commands}"
        );
        let title = lesson.lines().next().unwrap().trim_start_matches("# ");
        for (suffix, kicker, with_answers) in
            [("", "Student sheet", false), ("-answers", "Answers for the instructor", true)]
        {
            let names = if with_answers {
                ""
            } else {
                "<p>Name ____________________  Date ____________</p>\n"
            };
            let body = format!("{names}{intro}{}{commands}", table(&text, &rows, with_answers));
            let file = root().join(format!("docs/course/sheets/{name}{suffix}.html"));
            wrong.extend(
                matches_file(&page(title, kicker, &body), &file)
                    .err()
                    .map(|why| why.lines().next().unwrap_or_default().to_owned()),
            );
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
