//! Values as a scenario writes them: a number and its unit.

use sim_core::units::{Quantity, UnitSystem, display_unit, units_of};
use toml_edit::{DocumentMut, Item, TableLike};

/// A number with a unit, such as `25 mm`.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Written {
    pub(crate) number: f64,
    pub(crate) unit: String,
}

impl Written {
    /// Reads `text`; `None` where it is no number with a unit of `quantity`.
    pub(crate) fn read(text: &str, quantity: Quantity) -> Option<Self> {
        let text = text.trim();
        let ends = |letter: char| !(letter.is_ascii_digit() || ".+-".contains(letter));
        let (number, unit) = text.split_at(text.find(ends).unwrap_or(text.len()));
        let unit = unit.trim();
        factor(unit, quantity)?;
        Some(Self { number: number.parse().ok()?, unit: unit.to_owned() })
    }

    /// `value_si` in the unit that `units` show.
    pub(crate) fn shown(value_si: f64, quantity: Quantity, units: UnitSystem) -> Self {
        let unit = display_unit(quantity, units);
        let scale = 10f64.powi(unit.decimals() as i32);
        let number = (unit.from_si(value_si) * scale).round() / scale;
        Self { number, unit: unit.symbol.to_owned() }
    }

    /// `value_si` in this unit; temperatures are in degrees Celsius inside.
    pub(crate) fn in_unit(&self, value_si: f64, quantity: Quantity) -> f64 {
        let (factor, offset) = factor(&self.unit, quantity).unwrap_or((1.0, 0.0));
        (value_si - offset) / factor
    }
}

/// SI value of one `unit` of `quantity`, and what is added.
fn factor(unit: &str, quantity: Quantity) -> Option<(f64, f64)> {
    let known = units_of(quantity).iter().find(|known| known.spellings.contains(&unit))?;
    Some((known.factor, known.offset))
}

/// What is at `path`, names with points between them, in `document`; a table of a list goes by its number from 1.
pub(crate) fn at<'d>(document: &'d DocumentMut, path: &str) -> Option<&'d Item> {
    let mut names = path.split('.');
    let mut item = document.get(names.next()?)?;
    for name in names {
        item = match item.as_array_of_tables() {
            Some(tables) => {
                let number: usize = name.parse().ok()?;
                let table = tables.get(number.checked_sub(1)?)?;
                return in_table(table, path.splitn(3, '.').nth(2)?);
            }
            None => item.as_table_like()?.get(name)?,
        };
    }
    Some(item)
}

fn in_table<'d>(table: &'d dyn TableLike, path: &str) -> Option<&'d Item> {
    let (first, rest) = path.split_once('.').map_or((path, None), |(a, b)| (a, Some(b)));
    let item = table.get(first)?;
    match rest {
        Some(rest) => in_table(item.as_table_like()?, rest),
        None => Some(item),
    }
}
