//! What a run prints, set as a page.

use crate::columns::escaped;
use crate::results::Finished;
use crate::tables::{Block, Page};
use crate::words::{CAUTION, LIMITS_OF_THE_MODEL, sentence};

/// Findings step by step: sentences and tables.
pub(crate) fn findings(page: &Page) -> String {
    let mut out = String::new();
    let mut open = false;
    for block in &page.blocks {
        match block {
            Block::Step(heading) => {
                out.push_str(if open { "</section>\n" } else { "" });
                open = true;
                out.push_str(&format!("<section class=\"found\"><h3>{}</h3>\n", escaped(heading)));
            }
            Block::Sentences(text) if [CAUTION, LIMITS_OF_THE_MODEL].contains(&text.as_str()) => {}
            Block::Sentences(text) => out.push_str(&format!("<p>{}</p>\n", escaped(text))),
            // These stand elsewhere on the page.
            Block::Answer(_) | Block::Warning(_) => {}
            Block::Table(_, table) => out.push_str(&table.to_html()),
            Block::Whole => {
                out.push_str(if open { "</section>\n" } else { "" });
                open = false;
            }
        }
    }
    out.push_str(if open { "</section>\n" } else { "" });
    out
}

/// What every reader is told, and what this run has to say beside its numbers.
pub(super) fn cautions(finished: &Finished) -> String {
    let loaded = &finished.loaded;
    let ignored = loaded.ignored.iter().map(|key| {
        let help = key.help.as_ref().map(|help| format!(": {help}")).unwrap_or_default();
        let text = format!("{}{help}.", key.message);
        format!(
            "<li><b>Line {} of the scenario:</b> {}</li>",
            key.place(&loaded.text).0,
            escaped(&text)
        )
    });
    let list: Vec<String> = finished
        .steps()
        .flat_map(|of| of.findings.warnings.iter().map(move |warning| (of.step, warning)))
        .map(|(step, warning)| {
            let text = escaped(&sentence(warning, finished.units));
            format!("<li><b>{}:</b> {text}</li>", escaped(&step.name))
        })
        .chain(ignored)
        .collect();
    let list =
        if list.is_empty() { String::new() } else { format!("<ul>{}</ul>", list.join("\n")) };
    format!("<p>{}</p>\n{list}", escaped(CAUTION))
}
