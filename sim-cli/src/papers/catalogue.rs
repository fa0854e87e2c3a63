//! Prices from a table of the user's: one row for what is sold by the metre or by the piece.
//!
//! Columns `kind`, `size`, `rating`, `price` and `per`, in any order; `docs/papers.md` says what each takes.

use super::parts_list::{PartCount, Size};
use super::pieces::CutPiece;
use sim_core::plumbing::{FITTINGS, MATERIALS};
use sim_core::scenario::{CsvCell, InputFault, cells};
use sim_core::units::{Quantity as Q, UnitSystem, parse};

/// Columns that a catalogue must have.
const COLUMNS: [&str; 5] = ["kind", "size", "rating", "price", "per"];
/// Kinds beside materials and fittings.
const KINDS: [&str; 11] = [
    "line",
    "pump",
    "valve",
    "strainer",
    "meter",
    "orifice",
    "check valve",
    "tee or manifold",
    "cap",
    "nozzle body",
    "tip",
];
/// Share by which a size may be off the one wanted: rounding of inches and millimetres.
const ALIKE: f64 = 0.005;

/// What things cost.
#[derive(Debug, Default)]
pub(crate) struct Catalogue {
    /// What prices are in, if the head of their column says so.
    pub(super) currency: String,
    offers: Vec<Offer>,
}

/// One row.
#[derive(Debug)]
struct Offer {
    kind: String,
    /// None: any size.
    size: Option<Size>,
    rating_pa: Option<f64>,
    price: f64,
    by_the_metre: bool,
}

impl Catalogue {
    /// The catalogue that `text` holds.
    ///
    /// # Errors
    /// Every mistake, with its place.
    pub(crate) fn read(text: &str, units: UnitSystem) -> Result<Self, Vec<InputFault>> {
        let mut reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .comment(Some(b'#'))
            .trim(csv::Trim::All)
            .from_reader(text.as_bytes());
        let mut rows = Vec::new();
        for record in reader.records() {
            match record {
                Ok(record) => rows.push(cells(&record, text)),
                Err(error) => return Err(vec![fault(0..0, &format!("no CSV table: {error}"), "")]),
            }
        }
        let Some((head, rows)) = rows.split_first() else {
            let help = format!("begin with the line `{}`", COLUMNS.join(","));
            return Err(vec![fault(0..0, "the catalogue is empty", &help)]);
        };
        let head = Head::read(head)?;
        let mut catalogue = Self { currency: head.currency.clone(), offers: Vec::new() };
        let mut faults = Vec::new();
        for row in rows.iter().filter(|row| row.iter().any(|cell| !cell.0.is_empty())) {
            match head.offer(row, units) {
                Ok(offer) => catalogue.offers.push(offer),
                Err(mistakes) => faults.extend(mistakes),
            }
        }
        if faults.is_empty() { Ok(catalogue) } else { Err(faults) }
    }

    /// Whether it has no price of anything.
    pub(super) fn is_empty(&self) -> bool {
        self.offers.is_empty()
    }

    /// What `length_m` of the material of `piece` costs: the cheapest that fits and bears what the scenario asks for.
    pub(super) fn price_of_piece(&self, piece: &CutPiece, length_m: f64) -> Option<f64> {
        let bears = |offer: &&Offer| {
            piece.rating_pa.is_none_or(|asked| offer.rating_pa.is_some_and(|pa| pa >= asked))
        };
        let size = Size::Bore(piece.bore_m);
        let fitting = self.offers_of(piece.material, &size).filter(bears);
        cheapest(fitting.map(|o| if o.by_the_metre { o.price * length_m } else { o.price }))
    }

    /// What one of `part` costs.
    pub(super) fn price_of_part(&self, part: &PartCount) -> Option<f64> {
        let by_piece = self.offers_of(&part.kind, &part.size).filter(|offer| !offer.by_the_metre);
        cheapest(by_piece.map(|offer| offer.price))
    }

    fn offers_of<'a>(&'a self, kind: &'a str, size: &'a Size) -> impl Iterator<Item = &'a Offer> {
        let fits = move |offer: &&Offer| offer.size.as_ref().is_none_or(|own| same(own, size));
        self.offers.iter().filter(move |offer| offer.kind == kind).filter(fits)
    }
}

fn cheapest(prices: impl Iterator<Item = f64>) -> Option<f64> {
    prices.min_by(f64::total_cmp)
}

fn same(a: &Size, b: &Size) -> bool {
    match (a, b) {
        (Size::Bore(a), Size::Bore(b)) | (Size::FlowCoefficient(a), Size::FlowCoefficient(b)) => {
            (a - b).abs() <= ALIKE * b
        }
        (a, b) => a == b,
    }
}

/// Where each column is.
struct Head {
    at: [usize; COLUMNS.len()],
    currency: String,
}

impl Head {
    fn read(head: &[CsvCell]) -> Result<Self, Vec<InputFault>> {
        let (mut at, mut currency) = ([None; COLUMNS.len()], String::new());
        for (column, (text, _)) in head.iter().enumerate() {
            let (name, more) = text.split_once(' ').unwrap_or((text, ""));
            let Some(known) = COLUMNS.iter().position(|known| *known == name) else { continue };
            at[known] = Some(column);
            if name == "price" {
                currency = more.trim().to_owned();
            }
        }
        let whole = 0..head.last().map_or(0, |cell| cell.1.end);
        let missing = COLUMNS.iter().zip(at).filter(|(_, at)| at.is_none());
        let missing: Vec<InputFault> = missing
            .map(|(name, _)| {
                let help = format!("the head needs `{}`", COLUMNS.join(","));
                fault(whole.clone(), &format!("the catalogue has no column `{name}`"), &help)
            })
            .collect();
        if missing.is_empty() {
            // None is missing.
            return Ok(Self { at: at.map(|column| column.unwrap_or_default()), currency });
        }
        Err(missing)
    }

    /// The offer of a row.
    fn offer(&self, row: &[CsvCell], units: UnitSystem) -> Result<Offer, Vec<InputFault>> {
        let end = row.last().map_or(0, |cell| cell.1.end);
        let cell = |column: usize| {
            row.get(self.at[column]).cloned().unwrap_or_else(|| (String::new(), end..end))
        };
        let [kind, size, rating, price, per] = std::array::from_fn(cell);
        let mut faults = Vec::new();
        let mut take = |fault: InputFault| faults.push(fault);
        let known = known_kinds().any(|known| known == kind.0);
        if !known {
            let help = format!("known kinds: {}", known_kinds().collect::<Vec<_>>().join(", "));
            take(fault(kind.1.clone(), &format!("unknown kind \"{}\"", kind.0), &help));
        }
        let size = if known { read_size(&kind.0, &size, units) } else { Ok(None) };
        let size = size.map_err(&mut take).ok().flatten();
        let rating_pa = quantity(&rating, Q::Pressure, units).map_err(&mut take).ok().flatten();
        let number = price.0.parse::<f64>().ok().filter(|price| price.is_finite() && *price >= 0.0);
        if number.is_none() {
            let help = "write a number with a decimal point, such as 4.20";
            take(fault(price.1, &format!("\"{}\" is no price", price.0), help));
        }
        let by_the_metre = per.0 == "m";
        if !by_the_metre && per.0 != "piece" {
            let help = "write `m` for what is sold by the metre, `piece` for all else";
            take(fault(per.1, &format!("\"{}\" is not what a price can be for", per.0), help));
        }
        match number {
            Some(price) if faults.is_empty() => {
                Ok(Offer { kind: kind.0, size, rating_pa, price, by_the_metre })
            }
            _ => Err(faults),
        }
    }
}

fn known_kinds() -> impl Iterator<Item = &'static str> {
    let materials = MATERIALS.iter().map(|material| material.name);
    let fittings = FITTINGS.iter().map(|fitting| fitting.name);
    materials.chain(KINDS).chain(fittings)
}

/// The size in a cell, as things of `kind` have one.
fn read_size(kind: &str, cell: &CsvCell, units: UnitSystem) -> Result<Option<Size>, InputFault> {
    match kind {
        "valve" | "strainer" | "meter" | "check valve" => {
            Ok(quantity(cell, Q::FlowCoefficient, units)?.map(Size::FlowCoefficient))
        }
        "tip" | "nozzle body" | "tee or manifold" | "pump" => {
            Ok(Some(Size::Word(cell.0.clone())).filter(|_| !cell.0.is_empty()))
        }
        _ => Ok(quantity(cell, Q::Bore, units)?.map(Size::Bore)),
    }
}

/// The value in a cell, if it has one.
fn quantity(
    (text, span): &CsvCell,
    quantity: Q,
    units: UnitSystem,
) -> Result<Option<f64>, InputFault> {
    if text.is_empty() {
        return Ok(None);
    }
    let wrong = |error: sim_core::units::UnitError| {
        fault(span.clone(), &error.to_string(), &error.help(units))
    };
    parse(text, quantity).map(Some).map_err(wrong)
}

fn fault(span: std::ops::Range<usize>, message: &str, help: &str) -> InputFault {
    let help = Some(help.to_owned()).filter(|help| !help.is_empty());
    InputFault { span, message: message.to_owned(), help }
}

#[cfg(test)]
mod tests {
    use super::Catalogue;
    use sim_core::units::UnitSystem;

    #[test]
    fn every_mistake_of_a_catalogue_is_reported_with_its_place() {
        let text = "kind,size,rating,price EUR,per\nhose,25,10 bar,4.20,m\nhoze,25 mm,,1,m\n\
                    tip,04,,four,piece\nvalve,9 m3/h,,30,box\n";
        let faults = Catalogue::read(text, UnitSystem::Si).unwrap_err();
        let places: Vec<_> = faults.iter().map(|fault| fault.place(text)).collect();
        assert_eq!(places, [(2, 6), (3, 1), (4, 9), (5, 18)]);
    }

    #[test]
    fn the_head_says_what_prices_are_in_and_what_is_missing() {
        let good =
            Catalogue::read("per,price EUR,kind,size,rating\nm,4.2,hose,25 mm,\n", UnitSystem::Si)
                .unwrap();
        assert_eq!((good.currency.as_str(), good.offers.len()), ("EUR", 1));
        let faults = Catalogue::read("kind,size,price,per\n", UnitSystem::Si).unwrap_err();
        assert!(faults[0].message.contains("no column `rating`"), "{faults:?}");
    }
}
