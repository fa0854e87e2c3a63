//! Pieces and parts with what they cost, as tables and in sentences.

use super::build_input::BuildInput;
use super::parts_list::PartCount;
use super::pieces::CutPiece;
use super::quantities::{mass_unit, on_tape, whole_volume_m3};
use crate::columns::Columns;
use crate::words::count_of;
use sim_core::plumbing::Plumbing;
use sim_core::units::{Quantity as Q, UnitSystem, show};

/// Pieces and parts with what they cost.
pub(super) struct Priced<'a> {
    pub(super) input: &'a BuildInput<'a>,
    pub(super) pieces: &'a [CutPiece],
    pub(super) parts: &'a [PartCount],
}

impl<'a> Priced<'a> {
    pub(super) fn has_prices(&self) -> bool {
        !self.input.catalogue.is_empty()
    }

    pub(super) fn cut_m(&self, piece: &CutPiece) -> f64 {
        piece.length_m + self.input.trim_m
    }

    pub(super) fn price_of_piece(&self, piece: &CutPiece) -> Option<f64> {
        self.input.catalogue.price_of_piece(piece, self.cut_m(piece))
    }

    pub(super) fn price_head(&self) -> String {
        format!("price {}", self.input.catalogue.currency).trim_end().to_owned()
    }

    /// The cut list; with all that is known of a piece where it is for `spreadsheets`.
    pub(super) fn cut_list(&'a self, spreadsheets: bool) -> Columns<'a, CutPiece> {
        let mut columns = Columns::new()
            .plain("number", 0, |piece: &CutPiece| piece.number as f64)
            .words("piece", |piece| piece.name.clone())
            .words("of", |piece| piece.material)
            .words("from", |piece| piece.from.clone())
            .words("to", |piece| piece.to.clone())
            .under("bore", Q::Bore, |piece| piece.bore_m)
            .under("length", Q::Length, |piece| piece.length_m);
        let units = self.input.units;
        columns = on_tape(columns, "cut at", units, |piece| Some(self.cut_m(piece)));
        let any = |has: fn(&CutPiece) -> bool| spreadsheets || self.pieces.iter().any(has);
        if any(|piece| piece.rating_pa.is_some()) {
            columns = columns.under("rating", Q::Pressure, |piece| piece.rating_pa).or("");
        }
        if spreadsheets {
            columns = columns.under("holds", Q::Volume, CutPiece::volume_m3);
        }
        if self.has_prices() {
            let price = |piece: &CutPiece| self.price_of_piece(piece);
            columns = columns.plain(&self.price_head(), 2, price).or("not listed");
        }
        if spreadsheets {
            columns = columns
                .plain("bodies", 0, |piece| piece.tips.len() as f64)
                .words("for tips", CutPiece::carries);
            columns = bodies(columns, ["first body at", "bodies apart"], units);
        }
        if any(|piece| piece.note.is_some()) {
            columns = columns.words("note", |piece| piece.note.clone()).or("");
        }
        columns
    }

    pub(super) fn parts_table(&'a self) -> Columns<'a, PartCount> {
        let columns = Columns::new()
            .plain("count", 0, |part: &PartCount| part.count as f64)
            .words("part", |part| part.kind.clone())
            .words("size", |part| part.words.clone())
            .words("where", PartCount::places);
        if !self.has_prices() {
            return columns;
        }
        let each = |part: &PartCount| self.input.catalogue.price_of_part(part);
        columns
            .plain(&format!("{} each", self.price_head()), 2, each)
            .or("not listed")
            .plain(&self.price_head(), 2, move |part| Some(each(part)? * part.count as f64))
            .or("")
    }

    /// Length to buy of each bore and material.
    pub(super) fn by_bore(&self) -> Vec<Metres> {
        let mut rows: Vec<Metres> = Vec::new();
        for piece in self.pieces {
            let key = (piece.bore_m, piece.material);
            let at = rows.iter().position(|row| (row.bore_m, row.material) == key);
            let at = at.unwrap_or(rows.len());
            if at == rows.len() {
                let (bore_m, material) = key;
                rows.push(Metres { bore_m, material, count: 0, length_m: 0.0, cut_m: 0.0 });
            }
            rows[at].count += 1;
            rows[at].length_m += piece.length_m;
            rows[at].cut_m += self.cut_m(piece);
        }
        rows
    }

    /// What all of it comes to.
    pub(super) fn totals(&self, plumbing: &Plumbing) -> String {
        let units = self.input.units;
        let length: f64 = self.pieces.iter().map(|piece| piece.length_m).sum();
        let cut: f64 = self.pieces.iter().map(|piece| self.cut_m(piece)).sum();
        let volume = whole_volume_m3(plumbing);
        let (weight, factor) = mass_unit(units);
        let mass = volume * self.input.loaded.scenario.course.liquid.density_kg_m3 * factor;
        let each =
            |part: &PartCount| Some(self.input.catalogue.price_of_part(part)? * part.count as f64);
        let prices = self.price_words(
            self.pieces.iter().map(|piece| self.price_of_piece(piece)),
            self.parts.iter().map(each),
        );
        format!(
            "{} of hose and tube, {} in all, {} to cut; {}. Lines hold {}, which weighs {mass:.1} {weight}.{prices}",
            count_of(self.pieces.len(), "piece"),
            show(length, Q::Length, units),
            show(cut, Q::Length, units),
            count_of(self.parts.iter().map(|part| part.count).sum(), "part"),
            show(volume, Q::Volume, units),
        )
    }

    /// What things cost, and for how many there is no price; nothing without a catalogue.
    pub(super) fn price_words(
        &self,
        pieces: impl Iterator<Item = Option<f64>>,
        parts: impl Iterator<Item = Option<f64>>,
    ) -> String {
        if !self.has_prices() {
            return String::new();
        }
        let (pieces, parts): (Vec<_>, Vec<_>) = (pieces.collect(), parts.collect());
        let sum: f64 = pieces.iter().chain(&parts).flatten().sum();
        let unpriced = |list: &[Option<f64>]| list.iter().filter(|price| price.is_none()).count();
        let currency = &self.input.catalogue.currency;
        let missing = match (unpriced(&pieces), unpriced(&parts)) {
            (0, 0) => String::new(),
            (pieces, parts) => format!(
                "; the catalogue has no price for {} and {} of parts",
                count_of(pieces, "piece"),
                count_of(parts, "kind")
            ),
        };
        format!(" That costs {sum:.2} {currency}").trim_end().to_owned() + &missing + "."
    }
}

/// Where bodies sit on the pieces that have any.
pub(super) fn bodies_table(units: UnitSystem) -> Columns<'static, CutPiece> {
    let columns = Columns::new()
        .plain("number", 0, |piece: &CutPiece| piece.number as f64)
        .words("piece", |piece| piece.name.clone())
        .plain("bodies", 0, |piece| piece.tips.len() as f64)
        .words("for tips", CutPiece::carries)
        .words("measured from", |piece| piece.from.clone());
    bodies(columns, ["first at", "apart"], units)
}

/// Adds to `columns` where the first body sits and how far apart they are.
fn bodies<'a>(
    columns: Columns<'a, CutPiece>,
    [first, apart]: [&str; 2],
    units: UnitSystem,
) -> Columns<'a, CutPiece> {
    let columns =
        on_tape(columns, first, units, |piece: &CutPiece| piece.bodies_m.first().copied());
    on_tape(columns, apart, units, CutPiece::bodies_apart_m)
}

/// Length of one bore and material.
pub(super) struct Metres {
    bore_m: f64,
    material: &'static str,
    count: usize,
    length_m: f64,
    cut_m: f64,
}

pub(super) fn metres_table() -> Columns<'static, Metres> {
    Columns::new()
        .under("bore", Q::Bore, |row: &Metres| row.bore_m)
        .words("of", |row| row.material)
        .plain("pieces", 0, |row| row.count as f64)
        .under("length", Q::Length, |row| row.length_m)
        .under("to cut", Q::Length, |row| row.cut_m)
}
