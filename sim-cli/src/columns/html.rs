//! Tables, and words, as a page shows them.

use super::table::Table;

/// `text` as HTML shows it, within elements and within quoted attributes.
pub(crate) fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len() + text.len() / 16);
    for letter in text.chars() {
        match letter {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            other => safe.push(other),
        }
    }
    safe
}

impl Table {
    /// The table in a frame that moves sideways where a screen is too narrow.
    pub(crate) fn to_html(&self) -> String {
        let class =
            |(_, to_the_left): &(String, bool)| if *to_the_left { "" } else { " class=\"n\"" };
        let heads = self.heads.iter();
        let heads: String = heads
            .map(|head| format!("<th scope=\"col\"{}>{}</th>", class(head), escaped(&head.0)))
            .collect();
        let cell = |(text, head): (&String, &(String, bool))| match text.as_str() {
            "NOT met" | "NOT held" => format!("<td class=\"bad\">\u{2717} {text}</td>"),
            "met" | "held" => format!("<td class=\"good\">\u{2713} {text}</td>"),
            _ => format!("<td{}>{}</td>", class(head), escaped(text)),
        };
        let row = |cells: &Vec<String>| {
            let cells: String = cells.iter().zip(&self.heads).map(cell).collect();
            format!("<tr>{cells}</tr>")
        };
        let rows: Vec<String> = self.rows.iter().map(row).collect();
        format!(
            "<div class=\"table\" tabindex=\"0\" role=\"region\" aria-label=\"{title}\"><table><caption>{title}</caption>\
             <thead><tr>{heads}</tr></thead><tbody>{}</tbody></table></div>\n",
            rows.join("\n"),
            title = escaped(&self.title)
        )
    }
}
