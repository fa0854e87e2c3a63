//! Tables, and words, as a page shows them.

use super::printable::kept_on_lines;
use super::table::Table;
use crate::digest::sha256;

/// `text` as HTML shows it, within elements and within quoted attributes; nothing in it turns the direction of writing.
pub(crate) fn escaped(text: &str) -> String {
    let mut safe = String::with_capacity(text.len() + text.len() / 16);
    for letter in text.chars() {
        match letter {
            '&' => safe.push_str("&amp;"),
            '<' => safe.push_str("&lt;"),
            '>' => safe.push_str("&gt;"),
            '"' => safe.push_str("&quot;"),
            '\'' => safe.push_str("&#39;"),
            '\r' => safe.push('\r'),
            other => safe.push(kept_on_lines(other)),
        }
    }
    safe
}

/// The content security policy of a page that holds `content`, as an element of its head, and the word by which the
/// page's own style and script are known: nothing else runs, and nothing is fetched or sent. The word comes from all that
/// the page holds, so no text in a page can know it.
pub(crate) fn policy(content: &[&str]) -> (String, String) {
    policy_of(content, "")
}

/// The same for a page whose script `may` do more, in the words of the policy, a space ahead of each.
pub(crate) fn policy_of(content: &[&str], may: &str) -> (String, String) {
    let word = sha256(content.concat().as_bytes());
    let policy = format!(
        "default-src 'none'; style-src 'nonce-{word}'; script-src 'nonce-{word}'{may}; img-src data:; base-uri 'none'; \
         form-action 'none'"
    );
    (format!("<meta http-equiv=\"Content-Security-Policy\" content=\"{policy}\">"), word)
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
