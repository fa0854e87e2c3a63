//! A diagnosis as one page to print: self-contained HTML.

use crate::columns::{Table, escaped, policy};
use crate::results::Diagnosed;
use crate::tables::sheets::sheets;
use crate::words::diagnosis::{CAUTIONS, answer};
use std::fmt::Write as _;

const STYLE: &str = "\
@page { size: A4; margin: 9mm 11mm }
body { font: 9.5px/1.3 sans-serif; color: #222; max-width: 186mm; margin: 0 auto }
h1 { font-size: 17px; margin: 0 0 2px } caption { font-size: 11px; font-weight: bold; text-align: left; padding: 6px 0 1px }
p { margin: 2px 0 } p.answer { font-size: 12.5px; font-weight: bold }
p.warning { border: 1.5px solid #d55e00; padding: 4px }
table { border-collapse: collapse; width: 100% } th { text-align: left; border-bottom: 1px solid #222 }
td, th { padding: 0 5px 0 0; vertical-align: top } td.n, th.n { text-align: right }
td.bad { font-weight: bold }
tr:nth-child(even) td { background: #f5f4f0 }
svg { width: 100%; height: auto; max-height: 72mm }
ul { border: 1.5px solid #222; margin: 6px 0 0; padding: 3px 5px 3px 20px }
.faint { color: #666 }";

/// The page of `diagnosed` with its picture.
pub(crate) fn page(diagnosed: &Diagnosed, svg: &str) -> String {
    let title = format!("{}: {}", diagnosed.scenario.title, diagnosed.readings.title);
    let mut out = String::new();
    let paragraphs = answer(diagnosed);
    let first = paragraphs.iter().position(|text| !text.starts_with('!')).unwrap_or(0);
    for (i, text) in paragraphs.iter().enumerate() {
        let class = match i {
            i if i < first => " class=\"warning\"",
            i if i == first => " class=\"answer\"",
            _ => "",
        };
        // Writing to a String cannot fail.
        let _ = writeln!(out, "<p{class}>{}</p>", escaped(text.trim_start_matches("! ")));
    }
    out.push_str(inline(svg));
    out.extend(sheets(diagnosed).iter().map(Table::to_html));
    out.push_str("<ul>");
    CAUTIONS.iter().for_each(|caution| {
        let _ = write!(out, "<li>{}</li>", escaped(caution));
    });
    out.push_str("</ul>\n");
    let _ = writeln!(
        out,
        "<p class=\"faint\">Machine ________________ &nbsp; Read by ________________ &nbsp; Date ____________ \
         &nbsp; Made by millstream {}.</p>\n</body></html>",
        env!("CARGO_PKG_VERSION")
    );
    let (title, (policy, nonce)) = (escaped(&title), policy(&[&title, &out]));
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\"><head><meta charset=\"utf-8\">{policy}<title>{title}</title>\n\
         <style nonce=\"{nonce}\">{STYLE}</style></head>\n<body><h1>{title}</h1>\n{out}"
    )
}

/// The drawing without what stands before its first element.
fn inline(svg: &str) -> &str {
    svg.find("<svg").map_or(svg, |at| &svg[at..])
}
