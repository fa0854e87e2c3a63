//! The build sheet: what is cut, what is counted, what it holds, weighs and costs, and what a retrofit changes.

use super::build_input::BuildInput;
use super::numbered_sketch::numbered_sketch;
use super::paper_page::PaperPage;
use super::paper_set::PaperSet;
use super::parts_list::{parts_list, without_fittings};
use super::pieces::pieces as all_pieces;
use super::priced::{Priced, bodies_table, metres_table};
use super::quantities::{mass_unit, whole_volume_m3};
use super::retrofit::{RetrofitPlan, retrofit};
use super::retrofit_section::{retrofit_csv, retrofit_section};
use crate::columns::Columns;
use crate::output::OutputFile;
use crate::words::side_words;
use sim_core::plumbing::Plumbing;
use sim_core::units::{Quantity as Q, show};

/// What a builder needs to know before the first cut.
const BEFORE_CUTTING: &str = "Measure every run on the machine, folded and unfolded, before cutting: a length that the \
    scenario takes from geometry is the distance from the centre to where the hose enters, and the extra that it adds to each.";
const CAUTIONS: [&str; 2] = [
    "Lines, fittings, strainer bowls and bodies must be rated for the highest pressure they can see, air included where it is \
     used; the weakest of them counts. Where no rating is shown the scenario states none.",
    "On a machine that has sprayed, residues in lines and on tips are pesticide: rinse it, let the pressure fall to nothing \
     before a line is opened, and wear what the product label asks for. The label, local rules and licensed practice decide.",
];

/// The sheet and its tables as files.
pub(crate) fn build_sheet(input: &BuildInput<'_>) -> PaperSet {
    let plumbing = &input.loaded.scenario.machine.plumbing;
    let pieces = all_pieces(plumbing);
    let parts = parts_list(plumbing, &pieces, input.units);
    let old = input.against.map(|old| {
        let plumbing = &old.scenario.machine.plumbing;
        let pieces = all_pieces(plumbing);
        let parts = parts_list(plumbing, &pieces, input.units);
        (old.scenario.title.as_str(), pieces, parts)
    });
    let change = old.as_ref().map(|(title, old_pieces, old_parts)| {
        (*title, retrofit((old_pieces, old_parts), (&pieces, &parts)))
    });
    let priced = Priced { input, pieces: &pieces, parts: &parts };
    let mut files = vec![
        OutputFile::text("build.html", page(&priced, plumbing, change.as_ref())),
        OutputFile::text("cut-list.csv", priced.cut_list(true).csv(&pieces, input.units)),
        OutputFile::text("parts.csv", priced.parts_table().csv(&parts, input.units)),
    ];
    let changes = change.as_ref().map(|(_, change)| retrofit_csv(change, input.units));
    files.extend(changes.map(|text| OutputFile::text("retrofit.csv", text)));
    PaperSet { title: "Build sheet", answer: priced.totals(plumbing), files }
}

fn page(
    priced: &Priced<'_>,
    plumbing: &Plumbing,
    change: Option<&(&str, RetrofitPlan<'_>)>,
) -> String {
    let (input, mut sheet) = (priced.input, PaperPage::default());
    let units = input.units;
    sheet.paragraph(&priced.totals(plumbing));
    sheet.element(&numbered_sketch(&input.loaded.scenario.machine, priced.pieces));
    sheet.cautions(CAUTIONS);
    sheet.heading("Cut list");
    sheet.paragraph(&format!(
        "Cut at: the length and {} of allowance for trimming each piece. {BEFORE_CUTTING}",
        input.trim
    ));
    sheet.table(&priced.cut_list(false).table("Pieces, the widest first", priced.pieces, units));
    let drilled = priced.pieces.iter().filter(|piece| !piece.tips.is_empty());
    sheet.table(&bodies_table(units).table(
        "Bodies on them, allowance not counted",
        drilled,
        units,
    ));
    sheet.table(&metres_table().table("By bore and material", priced.by_bore(), units));
    sheet.heading("Parts by count");
    sheet.table(&priced.parts_table().table("Parts", priced.parts, units));
    let unnamed = without_fittings(plumbing, priced.pieces);
    if !unnamed.is_empty() {
        let numbers: Vec<String> = unnamed.iter().map(usize::to_string).collect();
        sheet.note(&format!(
            "Fittings of {} are not counted: the scenario states their loss as one number, not by name.",
            pieces_words(&numbers)
        ));
    }
    sheet.note("Clamps, mounts, cables and what holds the boom are not in the scenario and not on this list.");
    volumes(input, &mut sheet, plumbing);
    if let Some((old, change)) = change {
        retrofit_section(priced, &mut sheet, (old, change));
    }
    sheet.page("Build sheet", input.loaded)
}

/// What the lines hold and what that weighs.
fn volumes(input: &BuildInput<'_>, sheet: &mut PaperPage, plumbing: &Plumbing) {
    let density = input.loaded.scenario.course.liquid.density_kg_m3;
    sheet.heading("Volume and weight of the liquid");
    let on_sections = plumbing.branches.iter().filter(|branch| branch.section.is_some());
    let on_sections: f64 =
        on_sections.filter_map(|b| b.part.line()).map(|line| line.volume_m3()).sum();
    let mut rows: Vec<(String, f64)> = plumbing
        .volume_by_side()
        .into_iter()
        .map(|(side, m3)| (side_words(side).to_owned(), m3))
        .collect();
    rows.push(("all lines".into(), whole_volume_m3(plumbing)));
    rows.push(("of it in hoses and tubes of sections".into(), on_sections));
    let (weight, factor) = mass_unit(input.units);
    let table = Columns::new()
        .words("in", |(name, _): &(String, f64)| name.clone())
        .under("volume", Q::Volume, |(_, m3)| *m3)
        .plain(&format!("weight {weight}"), 1, move |(_, m3)| m3 * density * factor);
    let units = input.units;
    sheet.table(&table.table("Full of liquid", &rows, units));
    sheet.note(&format!(
        "The liquid is {} of {}. Hoses, tubes and parts themselves come on top: the scenario does not know what they weigh.",
        input.loaded.scenario.course.liquid.name,
        show(density, Q::Density, units)
    ));
}

fn pieces_words(numbers: &[String]) -> String {
    let noun = if numbers.len() == 1 { "piece" } else { "pieces" };
    format!("{noun} {}", numbers.join(", "))
}
