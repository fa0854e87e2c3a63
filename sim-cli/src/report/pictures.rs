//! The plots of a run as they are in the page.

use super::html::escaped;
use crate::output::OutputFile;
use sim_core::scenario::Scenario;

/// Plots of a step, and of the whole run, with what each shows in words. The plumbing and the frames of
/// concentration are left out: the drawing of the boom shows more.
const KINDS: [(&str, &str); 6] = [
    ("front-map", "Concentration along the boom over time: across, the tips; upward, time."),
    ("concentration-over-time", "Concentration at the first and the last tips over time."),
    ("flow-and-pressure", "Flows and gauge pressures over time."),
    ("pressure-along-boom", "Pressure at every tip along the boom."),
    ("tip-flow", "Flow of every tip against its nominal flow."),
    ("pump-curve", "The pump's curve with the operating point."),
];

/// Largest picture that is in the page.
const MOST_BYTES: usize = 500_000;

/// Every plot of the page.
pub(super) fn html(files: &[OutputFile], scenario: &Scenario) -> String {
    let mut out = String::new();
    for (kind, meaning) in KINDS {
        for file in files.iter().filter(|file| file.name.ends_with(".svg")) {
            let name = file.name.trim_end_matches(".svg");
            let (number, rest) = match name.split_once('-') {
                Some((number, rest)) if number.bytes().all(|b| b.is_ascii_digit()) => {
                    (number.parse::<usize>().ok(), rest)
                }
                _ => (None, name),
            };
            if rest == kind || rest.strip_prefix(kind).is_some_and(|more| more.starts_with('-')) {
                let step = number.and_then(|n| scenario.course.steps.get(n.wrapping_sub(1)));
                let step = step.map(|step| format!(" Step \u{201c}{}\u{201d}.", step.name));
                out.push_str(&figure(file, &format!("{meaning}{}", step.unwrap_or_default())));
            }
        }
    }
    out
}

/// What stands for the moving drawing where nothing moves: on paper, and without scripts.
pub(super) fn still(files: &[OutputFile]) -> String {
    let named = |ending: &str| files.iter().find(|file| file.name.ends_with(ending));
    match (named("concentration-frames.svg"), named("plumbing.svg")) {
        (Some(frames), _) => figure(frames, "Concentration in the lines at chosen moments."),
        (_, Some(plumbing)) => figure(plumbing, "Flow and pressure in the lines."),
        _ => String::new(),
    }
}

/// A plot with its caption.
pub(crate) fn figure(file: &OutputFile, caption: &str) -> String {
    let caption = escaped(caption);
    if file.bytes.len() > MOST_BYTES {
        let name = escaped(&file.name);
        return format!("<p>{caption} It is too large for this page: {name}, beside it.</p>\n");
    }
    let svg = String::from_utf8_lossy(&file.bytes);
    format!(
        "<figure class=\"plot\"><div class=\"paper\" role=\"img\" aria-label=\"{caption}\" tabindex=\"0\">{}</div>\
         <figcaption>{caption}</figcaption></figure>\n",
        svg.trim()
    )
}
