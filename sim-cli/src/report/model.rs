//! What the figures assume, and what they leave out.

use super::html::escaped;
use crate::words::LIMITS_OF_THE_MODEL;
use sim_core::scenario::Scenario;

/// What holds for every run.
const ALWAYS: [&str; 8] = [
    "Lines are full from the start unless a step says otherwise; no pressure waves, no pulses, no foam.",
    "Losses by Darcy and Weisbach with Colebrook's friction; between Reynolds numbers of 2000 and 4000 \
     friction is uncertain by half.",
    "Handbooks differ by 30 to 40 % on fittings: a gauge before and after a part knows better.",
    "Tips follow the square root of pressure from their table and are new unless wear is stated.",
    "Liquid mixes completely where lines meet; tanks are well mixed.",
    "How fast dead legs exchange with the stream is an assumption, good to several times.",
    "Nothing clings to walls, soaks into hoses or stays in strainers.",
    "The drawing keeps places along the boom to scale; hoses, pump and tank are laid out to be read, not to \
     length. Within a line it puts the front where the line's mean concentration has it.",
];

/// The assumptions of a run of `scenario`.
pub(super) fn html(scenario: &Scenario) -> String {
    let model = &scenario.course.model;
    let switch =
        |on: bool, counted: &str, left_out: &str| (if on { counted } else { left_out }).to_owned();
    let liquid = &scenario.course.liquid;
    let chosen = [
        format!(
            "Liquid: {}, {:.1} kg/m3, {:.3} mPa s, of one temperature.",
            liquid.name,
            liquid.density_kg_m3,
            1e3 * liquid.viscosity_pa_s
        ),
        format!(
            "At the start the concentration is {:.0} % in lines and {:.0} % in tanks; a tip counts as full from {:.0} % of what \
             the tank gives.",
            100.0 * scenario.course.start.lines_hold,
            100.0 * scenario.course.start.tanks_hold,
            100.0 * scenario.course.start.full_from
        ),
        switch(
            model.velocity_head,
            "Velocity head, and what tees make of it, is counted.",
            "Velocity head is left out.",
        ),
        switch(
            model.dispersion,
            "Turbulent fronts are dispersed as measured in smooth pipes (Wen & Fan 1975), good to a quarter above Reynolds \
             numbers of 10 000 and to a factor of 1.5 below 5000.",
            "Turbulent fronts do not disperse in this run.",
        ),
        switch(
            model.laminar_tail,
            "Laminar lines keep their parabolic profile up to the next node.",
            "Laminar lines move like plugs in this run.",
        ),
    ];
    let always = ALWAYS.iter().map(|text| (*text).to_owned());
    let items: Vec<String> = chosen
        .into_iter()
        .chain(always)
        .map(|text| format!("<li>{}</li>", escaped(&text)))
        .collect();
    format!("<p>{}</p>\n<ul>{}</ul>", escaped(LIMITS_OF_THE_MODEL), items.join("\n"))
}
