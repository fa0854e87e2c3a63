//! What a season asks of a machine, and what things cost.

mod spec;

use super::fault::{InputFault, in_order};
use super::tree::parse;
use super::value::Checked;
use super::walk::{Mode, Walk};
use crate::units::Quantity;

/// Prices, in any one currency, and how much a season asks. The retrofits of a machine are named by scenario files.
#[derive(Clone, Debug, PartialEq)]
pub struct Prices {
    /// What prices are in; may be empty.
    pub currency: String,
    /// How often in a season the machine goes through its steps, > 0.
    pub fills: f64,
    /// Price of the product.
    pub product: ProductPrice,
    /// Price of water, per m3, >= 0.
    pub water_per_m3: f64,
    /// Price of time, per s, >= 0.
    pub time_per_s: f64,
    /// What it costs to turn the first layout into another.
    pub retrofits: Vec<Retrofit>,
}

/// Price of the product.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ProductPrice {
    /// Of tank mix at full strength, per m3.
    OfMix(f64),
    /// Of a field sprayed at the rate that is wanted, per m2.
    OfArea(f64),
}

/// What it costs to turn the first layout into another.
#[derive(Clone, Debug, PartialEq)]
pub struct Retrofit {
    /// Name of the other's file, without folder and ending.
    pub layout: String,
    /// Parts and labour, >= 0.
    pub cost: f64,
}

impl ProductPrice {
    /// The price of mix at full strength, per m3, where `rate_m` (m3 of mix on m2 of field) is wanted; `None` where that
    /// must be known and is not.
    pub fn per_m3(self, rate_m: Option<f64>) -> Option<f64> {
        match self {
            Self::OfMix(per_m3) => Some(per_m3),
            Self::OfArea(per_m2) => Some(per_m2 / rate_m.filter(|rate| *rate > 0.0)?),
        }
    }
}

/// Reads the prices in `text`.
///
/// # Errors
/// Every fault found, in the order of the file.
pub fn read_prices(text: &str) -> Result<Prices, Vec<InputFault>> {
    let mut walk = Walk::default();
    let checked = parse(text, &mut walk)
        .map(|(table, span)| walk.table(table.get_ref(), span, &spec::PRICES, Mode::Whole));
    let read = checked.filter(|_| walk.faults.is_empty()).map(|top| prices(&top, &mut walk));
    match read {
        Some(Some(prices)) if walk.faults.is_empty() => Ok(prices),
        _ => Err(in_order(walk.faults)),
    }
}

/// `None` where a required key is missing, which is a fault already.
fn prices(top: &Checked, walk: &mut Walk) -> Option<Prices> {
    let product = match top.of("product")? {
        (Quantity::PriceOfArea, per_m2) => ProductPrice::OfArea(per_m2),
        (_, per_m3) => ProductPrice::OfMix(per_m3),
    };
    let (ProductPrice::OfMix(price) | ProductPrice::OfArea(price)) = product;
    if price < 0.0 {
        walk.fault(top.span_of("product"), "a price must not be less than 0", "");
    }
    let mut retrofits: Vec<Retrofit> = Vec::new();
    for one in top.tables("retrofit") {
        let (layout, cost) = (one.text("layout")?.to_owned(), one.number("cost")?);
        if retrofits.iter().any(|other| other.layout == layout) {
            walk.fault(
                one.span.clone(),
                format!("there are two costs of {layout}"),
                "leave one of them",
            );
        }
        retrofits.push(Retrofit { layout, cost });
    }
    Some(Prices {
        currency: top.text("currency").unwrap_or_default().to_owned(),
        fills: top.number("fills")?,
        product,
        water_per_m3: top.number("water")?,
        time_per_s: top.number("hour")?,
        retrofits,
    })
}
