//! The frame of every paper: head, cautions, foot, style.

use super::numbered_sketch::SKETCH_STYLE;
use crate::columns::{Table, escaped, policy};
use crate::results::{Loaded, PROGRAM, Source};
use std::fmt::Write as _;

/// A paper under way.
#[derive(Debug, Default)]
pub(super) struct PaperPage {
    body: String,
}

impl PaperPage {
    /// Adds a heading.
    pub(super) fn heading(&mut self, text: &str) {
        // Writing to a String cannot fail.
        let _ = writeln!(self.body, "<h2>{}</h2>", escaped(text));
    }

    /// Adds sentences; none where `text` is empty.
    pub(super) fn paragraph(&mut self, text: &str) {
        if !text.is_empty() {
            let _ = writeln!(self.body, "<p>{}</p>", escaped(text));
        }
    }

    /// Adds sentences that explain a figure.
    pub(super) fn note(&mut self, text: &str) {
        let _ = writeln!(self.body, "<p class=\"soft\">{}</p>", escaped(text));
    }

    /// Adds a box of cautions.
    pub(super) fn cautions<'a>(&mut self, texts: impl IntoIterator<Item = &'a str>) {
        let texts: Vec<&str> = texts.into_iter().collect();
        let headed = texts.first().is_some_and(|text| text.starts_with("Caution"));
        let head = if headed { "" } else { "<p><b>Caution</b></p>" };
        let texts = texts.into_iter().map(|text| format!("<p>{}</p>", escaped(text)));
        let texts: String = texts.collect();
        let _ = writeln!(self.body, "<div class=\"cautions\">{head}{texts}</div>");
    }

    /// Adds a table; none where it has no rows.
    pub(super) fn table(&mut self, table: &Table) {
        if !table.rows.is_empty() {
            self.body.push_str(&table.to_html());
        }
    }

    /// Adds elements that are safe as they are.
    pub(super) fn element(&mut self, html: &str) {
        self.body.push_str(html);
    }

    /// The whole page of a paper of `kind` on what was `loaded`.
    pub(super) fn page(self, kind: &str, loaded: &Loaded) -> String {
        let (title, source) = (&loaded.scenario.title, Source::of(loaded));
        let heading = format!("{kind}: {title}");
        let (policy, nonce) = policy(&[&heading, &self.body]);
        format!(
            "<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n{policy}\n\
             <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<title>{}</title>\n\
             <link rel=\"icon\" href=\"data:,\">\n<style nonce=\"{nonce}\">\n{SKETCH_STYLE}{}</style>\n</head>\n<body>\n<main>\n\
             <p class=\"kicker\">{}</p>\n<h1>{}</h1>\n{}</main>\n\
             <footer><p>{} from {}, SHA-256 <span class=\"hash\">{}</span></p></footer>\n</body>\n</html>\n",
            escaped(&heading),
            include_str!("paper.css"),
            escaped(kind),
            escaped(title),
            self.body,
            PROGRAM,
            escaped(&source.file),
            source.sha256
        )
    }
}
