//! What a run leaves in a folder.

use crate::failure::Failure;
use crate::output::OutputFile;
use crate::plots::Plot;
use crate::results::Finished;
use crate::summary::Summary;
use crate::{plots, report, series, tables};

/// Every file of the run; the page shows the picture `first` before the others.
pub(super) fn files(
    finished: &Finished,
    summary: &Summary<'_>,
    first: Option<Plot>,
) -> Result<Vec<OutputFile>, Failure> {
    let mut files = vec![
        OutputFile::json("summary.json", summary),
        OutputFile::text("tips.csv", tables::lists::tips_csv(finished)),
        OutputFile::text("lines.csv", tables::lists::lines_csv(finished)),
    ];
    files.extend(series::series(finished).map(|text| OutputFile::text("series.csv", text)));
    let plots = plots::all(finished).map_err(Failure::Untrusted)?;
    let plots: Vec<Plot> = first.into_iter().chain(plots).collect();
    files.push(OutputFile::text("report.html", report::html(finished, &plots)));
    files.extend(plots.into_iter().flat_map(|plot| plot.files));
    Ok(files)
}
