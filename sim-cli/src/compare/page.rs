//! `compare.html`: the layouts drawn in step under one slider.

use super::Comparison;
use super::letters::{LETTERS, MOST_LAYOUTS};
use crate::report::{self, PageData, fill};
use crate::results::Finished;
use crate::tables::Page;

/// The page of `comparison`, which is of `runs`; `payback` is what prices have to say.
pub(crate) fn html(comparison: &Comparison, runs: &[Finished], payback: Option<&Page>) -> String {
    let units = runs[0].units;
    let machines = runs.iter().map(|run| report::machine(run, runs.len())).collect();
    let data = PageData::new(machines, units);
    let numbers: Vec<String> = (0..runs.len().min(MOST_LAYOUTS)).map(|i| i.to_string()).collect();
    let titles: Vec<String> = comparison
        .layouts
        .iter()
        .zip(runs)
        .map(|(layout, run)| {
            let title = report::escaped(&run.scenario().title);
            format!("<li><b>{}</b>: {title} <span class=\"what\">{}</span></li>", layout.letter, {
                report::escaped(&layout.source.file)
            })
        })
        .collect();
    let explained =
        comparison.explained.iter().map(|text| format!("<p>{}</p>", report::escaped(text)));
    let mut tables = Page::default();
    tables.blocks.extend(payback.iter().flat_map(|page| page.blocks.clone()));
    let letters = &LETTERS[..runs.len()];
    comparison.findings.iter().for_each(|block| block.table(&mut tables, letters, units));
    tables.paragraph(comparison.alone_in_words());
    let inputs = comparison.layouts.iter().zip(runs).map(|(layout, run)| {
        format!(
            "<h3>{}: {}</h3><p class=\"hash\">SHA-256 {}</p><pre tabindex=\"0\">{}</pre>",
            layout.letter,
            report::escaped(&layout.source.file),
            layout.source.sha256,
            report::escaped(&run.loaded.text)
        )
    });
    let heading = format!("{} layouts compared", report::counted(runs.len()));
    let files: Vec<String> =
        comparison.layouts.iter().map(|layout| report::escaped(&layout.source.file)).collect();
    let body = fill(
        include_str!("../report/page/compare.html"),
        &[
            ("title", &heading),
            ("layouts", &titles.join("\n")),
            ("explained", &explained.collect::<String>()),
            ("machines", &numbers.join(" ")),
            ("findings", &report::findings::findings(&tables)),
            ("caution", &report::escaped(crate::words::CAUTION)),
            ("model", &report::escaped(crate::words::LIMITS_OF_THE_MODEL)),
            ("inputs", &inputs.collect::<String>()),
            ("program", crate::results::PROGRAM),
            ("files", &files.join(" ")),
        ],
    );
    report::shell(&heading, &body, &report::embedded(&data))
}
