//! What a retrofit changes, on the build sheet.

use super::paper_page::PaperPage;
use super::pieces::CutPiece;
use super::priced::Priced;
use super::retrofit::{PartChange, RetrofitPlan, Reused};
use crate::columns::Columns;
use crate::words::count_of;
use sim_core::units::{Quantity as Q, UnitSystem, show};

/// Adds `change` to `sheet`, which leads from the machine called `old` to that of `priced`.
pub(super) fn retrofit_section(
    priced: &Priced<'_>,
    sheet: &mut PaperPage,
    (old, change): (&str, &RetrofitPlan<'_>),
) {
    let units = priced.input.units;
    sheet.heading(&format!("Retrofit from: {old}"));
    sheet.paragraph(&retrofit_words(priced, change));
    sheet.table(&priced.cut_list(false).table("Buy and cut", change.buy.iter().copied(), units));
    sheet.table(&reuse_table().table("Use again", &change.reuse, units));
    let removed = Columns::new()
        .words("piece", |piece: &CutPiece| piece.name.clone())
        .words("of", |piece| piece.material)
        .under("bore", Q::Bore, |piece| piece.bore_m)
        .under("length", Q::Length, |piece| piece.length_m)
        .plain("bodies", 0, |piece| piece.tips.len() as f64);
    sheet.table(&removed.table("Remove", change.remove.iter().copied(), units));
    sheet.table(&parts_change(priced).table("Parts", &change.parts, units));
    sheet.note(
        "A piece is used again where the old machine has one of the same bore and material that is long enough and rated \
             for as much; a tube with bodies only where as many sit on it. Use again only what is sound: no cracks, no \
             bulges, no corrosion, ends cut clean.",
        );
}

/// What is bought, used again and removed.
fn retrofit_words(priced: &Priced<'_>, change: &RetrofitPlan<'_>) -> String {
    let metres = |pieces: &mut dyn Iterator<Item = f64>| {
        show(pieces.sum::<f64>(), Q::Length, priced.input.units)
    };
    let bought = metres(&mut change.buy.iter().map(|piece| priced.cut_m(piece)));
    let again = metres(&mut change.reuse.iter().map(|reused| reused.new.length_m));
    let removed = metres(&mut change.remove.iter().map(|piece| piece.length_m));
    let parts = |of: fn(&PartChange<'_>) -> usize| change.parts.iter().map(of).sum::<usize>();
    let prices =
        priced.price_words(
            change.buy.iter().map(|piece| priced.price_of_piece(piece)),
            change.parts.iter().filter(|part| part.buy() > 0).map(|part| {
                Some(priced.input.catalogue.price_of_part(part.part)? * part.buy() as f64)
            }),
        );
    format!(
        "Buy {} ({bought} cut) and {}; use {} again ({again}) and {}; remove {} ({removed}) and {}.{prices}",
        count_of(change.buy.len(), "piece"),
        count_of(parts(|part| part.buy()), "part"),
        count_of(change.reuse.len(), "piece"),
        count_of(parts(|part| part.reuse()), "part"),
        count_of(change.remove.len(), "piece"),
        count_of(parts(|part| part.remove()), "part"),
    )
}

fn parts_change<'a>(priced: &'a Priced<'_>) -> Columns<'a, PartChange<'a>> {
    let columns = Columns::new()
        .words("part", |change: &PartChange<'_>| change.part.kind.clone())
        .words("size", |change| change.part.words.clone())
        .plain("has", 0, |change| change.had as f64)
        .plain("needs", 0, |change| change.needs as f64)
        .plain("buy", 0, |change| change.buy() as f64)
        .plain("remove", 0, |change| change.remove() as f64);
    if !priced.has_prices() {
        return columns;
    }
    columns
        .plain(&priced.price_head(), 2, |change| {
            let each = priced.input.catalogue.price_of_part(change.part)?;
            (change.buy() > 0).then_some(each * change.buy() as f64)
        })
        .or("")
}

fn reuse_table<'a>() -> Columns<'a, Reused<'a>> {
    Columns::new()
        .plain("no.", 0, |reused: &Reused<'_>| reused.new.number as f64)
        .words("piece", |reused| reused.new.name.clone())
        .words("from the old", |reused| reused.old.name.clone())
        .under("old length", Q::Length, |reused| reused.old.length_m)
        .under("new length", Q::Length, |reused| reused.new.length_m)
        .words("how", Reused::how)
}

/// One thing that a retrofit does.
struct ChangeRow<'a> {
    action: &'static str,
    what: &'a str,
    size: String,
    count: usize,
    piece: Option<&'a CutPiece>,
    old: Option<&'a CutPiece>,
}

/// `change` for spreadsheets, a row for every piece and every kind of part.
pub(super) fn retrofit_csv<'a>(change: &'a RetrofitPlan<'a>, units: UnitSystem) -> String {
    let of_piece = |action, piece: &'a CutPiece, old| ChangeRow {
        action,
        what: piece.material,
        size: String::new(),
        count: 1,
        piece: Some(piece),
        old,
    };
    let buy = change.buy.iter().map(|piece| of_piece("buy", piece, None));
    let reuse = change.reuse.iter().map(|one| of_piece("use again", one.new, Some(one.old)));
    let remove = change.remove.iter().map(|piece| of_piece("remove", piece, None));
    let parts = change.parts.iter().flat_map(|change| {
        let counts =
            [("buy", change.buy()), ("use again", change.reuse()), ("remove", change.remove())];
        let counts = counts.into_iter().filter(|(_, count)| *count > 0);
        counts.map(|(action, count)| ChangeRow {
            action,
            what: &change.part.kind,
            size: change.part.words.clone(),
            count,
            piece: None,
            old: None,
        })
    });
    let rows: Vec<ChangeRow<'_>> = buy.chain(reuse).chain(remove).chain(parts).collect();
    Columns::new()
        .words("action", |row: &ChangeRow<'_>| row.action)
        .words("of", |row| row.what)
        .words("size", |row| row.size.clone())
        .plain("count", 0, |row| row.count as f64)
        .words("piece", |row| row.piece.map(|piece| piece.name.clone()))
        .under("bore", Q::Bore, |row| row.piece.map(|piece| piece.bore_m))
        .under("length", Q::Length, |row| row.piece.map(|piece| piece.length_m))
        .words("from the old", |row| row.old.map(|piece| piece.name.clone()))
        .under("old length", Q::Length, |row| row.old.map(|piece| piece.length_m))
        .csv(rows, units)
}
