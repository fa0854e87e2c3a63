//! The plots of a run as they are in the page.

use super::html::escaped;
use crate::output::OutputFile;
use crate::plots::Plot;

/// Largest picture that is in the page.
const MOST_BYTES: usize = 500_000;

/// Most plots that a printed page has room for, and those that it leaves out where there are more.
const MOST_PRINTED: usize = 8;
const ON_SCREEN: [&str; 2] = ["pump-curve", "tip-flow"];

/// Every plot of the page.
pub(super) fn html(plots: &[Plot]) -> String {
    let shown: Vec<&Plot> = plots.iter().filter(|plot| !plot.caption.is_empty()).collect();
    let many = shown.len() > MOST_PRINTED;
    let html = |plot: &&Plot| {
        let [svg, _] = &plot.files;
        let left_out = many && ON_SCREEN.iter().any(|name| svg.name.contains(name));
        of_class(if left_out { "plot more" } else { "plot" }, svg, &plot.caption)
    };
    let note = if many { LEFT_OUT } else { "" };
    shown.iter().map(html).collect::<String>() + note
}

/// What a printed page says of the plots it leaves out.
const LEFT_OUT: &str = "<p class=\"printed\">Flows of tips and curves of pumps are on the page and in the files beside it.</p>\n";

/// What stands for the moving drawing where nothing moves: on paper, and without scripts.
pub(super) fn still(plots: &[Plot]) -> String {
    let files = || plots.iter().map(|plot| &plot.files[0]);
    let named = |ending: &str| files().find(|file| file.name.ends_with(ending));
    match (named("concentration-frames.svg"), named("plumbing.svg")) {
        (Some(frames), _) => figure(frames, "Concentration in the lines at chosen moments."),
        (_, Some(plumbing)) => figure(plumbing, "Flow and pressure in the lines."),
        _ => String::new(),
    }
}

/// A plot with its caption.
pub(crate) fn figure(file: &OutputFile, caption: &str) -> String {
    of_class("plot", file, caption)
}

fn of_class(class: &str, file: &OutputFile, caption: &str) -> String {
    let caption = escaped(caption);
    if file.bytes.len() > MOST_BYTES {
        let name = escaped(&file.name);
        return format!("<p>{caption} It is too large for this page: {name}, beside it.</p>\n");
    }
    let svg = String::from_utf8_lossy(&file.bytes);
    format!(
        "<figure class=\"{class}\"><div class=\"paper\" role=\"img\" aria-label=\"{caption}\" tabindex=\"0\">{}</div>\
         <figcaption>{caption}</figcaption></figure>\n",
        svg.trim()
    )
}
