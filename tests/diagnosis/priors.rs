//! The table of priors on the page is that of the code.

use sim_core::diagnosis::{KIND_PRIORS, KindPrior};
use std::fmt::Write as _;

const BEGIN: &str = "<!-- priors: from the code -->\n";
const END: &str = "<!-- end of priors -->";

fn table() -> String {
    let mut text = String::from(
        "\n| kind | weight | severity | typical | factor | least, most |\n| --- | --- | --- | --- | --- | --- |\n",
    );
    let row = |prior: &KindPrior| match &prior.severity {
        Some(s) => format!("{} | {} | {}, {}", s.typical, s.factor, s.least, s.most),
        None => " | | ".to_owned(),
    };
    for prior in &KIND_PRIORS {
        // Writing to a String cannot fail.
        let (name, weight, meaning) = (prior.kind.name(), prior.weight, prior.meaning);
        let _ = writeln!(text, "| `{name}` | {weight} | {meaning} | {} |", row(prior));
    }
    text + "\n"
}

#[test]
fn the_page_lists_every_kind_with_its_prior() {
    let path = checks::root().join("docs/diagnosing.md");
    let page = std::fs::read_to_string(&path).unwrap();
    let (before, rest) = page.split_once(BEGIN).unwrap();
    let (found, after) = rest.split_once(END).unwrap();
    if std::env::var_os("MILLSTREAM_REWRITE").is_some() {
        std::fs::write(path, format!("{before}{BEGIN}{}{END}{after}", table())).unwrap();
    } else {
        assert_eq!(found, table());
    }
}
