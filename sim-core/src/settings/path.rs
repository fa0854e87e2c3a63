//! Where a setting is in a scenario's text.

use super::error::SettingError;
use crate::units::suggestion;
use toml_edit::{ArrayOfTables, DocumentMut, Item, TableLike, Value};

/// The names of a setting from the top of the file down; a table of a list goes by its name or its number from 1.
#[derive(Clone, Debug, PartialEq)]
pub struct SettingPath(Vec<String>);

impl SettingPath {
    /// Reads names with points between them, such as `supply.hose.bore`.
    ///
    /// # Errors
    /// [`SettingError::NoName`] where one of them is empty.
    pub fn parse(text: &str) -> Result<Self, SettingError> {
        let names: Vec<String> =
            text.trim().split('.').map(|name| name.trim().to_owned()).collect();
        if names.iter().any(String::is_empty) {
            return Err(SettingError::NoName(text.trim().to_owned()));
        }
        Ok(Self(names))
    }

    /// The setting's name, as it is typed.
    pub fn name(&self) -> String {
        self.0.join(".")
    }

    /// What the scenario `text`, which is valid, has for the setting, a text without its quotes; `None` where it says nothing.
    pub fn value(&self, text: &str) -> Option<String> {
        let document = text.parse::<DocumentMut>().ok()?;
        let (first, rest) = self.0.split_first()?;
        let mut item = document.get(first)?;
        let mut rest = rest.iter();
        while let Some(name) = rest.next() {
            item = match item.as_array_of_tables() {
                Some(tables) => tables.get(number_of(tables, name)?)?.get(rest.next()?)?,
                None => item.as_table_like()?.get(name)?,
            };
        }
        // Without the comment after it.
        let plain = || item.as_value().map(|value| value.clone().decorated("", "").to_string());
        item.as_str().map(str::to_owned).or_else(plain)
    }

    /// The scenario `text`, which is valid, with the setting at `value`; all else stays as it was.
    ///
    /// # Errors
    /// A [`SettingError`] that says where the scenario has no place for it.
    pub fn applied(&self, text: &str, value: &str) -> Result<String, SettingError> {
        applied_all(text, &[(self.clone(), value.to_owned())])
    }

    /// Puts `value` in its place in `document`.
    fn set(&self, document: &mut DocumentMut, value: &str) -> Result<(), SettingError> {
        let mut place: &mut dyn TableLike = document.as_table_mut();
        // `parse` makes no path without a name.
        let Some((last, above)) = self.0.split_last() else { return Ok(()) };
        let mut rest = above.iter();
        while let Some(name) = rest.next() {
            // What the file leaves out is given; whether there is such a thing the reading of it says.
            let item = place.entry(name).or_insert_with(toml_edit::table);
            place = if item.is_array_of_tables() {
                let which = rest.next().ok_or_else(|| SettingError::Which(name.clone()))?;
                one_of(item, name, which)?
            } else {
                let none = || SettingError::NoTable { name: name.clone(), path: self.name() };
                item.as_table_like_mut().ok_or_else(none)?
            };
        }
        let is_text = place.get(last).is_some_and(Item::is_str);
        place.insert(last, Item::Value(written(value, is_text)));
        Ok(())
    }
}

/// The scenario `text`, which is valid, with each of `settings` at its value, one after the other; all else stays as it was.
///
/// # Errors
/// A [`SettingError`] that says where the scenario has no place for one of them.
pub(crate) fn applied_all(
    text: &str,
    settings: &[(SettingPath, String)],
) -> Result<String, SettingError> {
    let document = text.parse::<DocumentMut>();
    let mut document = document.map_err(|error| SettingError::NoToml(error.to_string()))?;
    settings.iter().try_for_each(|(path, value)| path.set(&mut document, value))?;
    Ok(document.to_string())
}

/// The table of `item`, an array called `list`, that is called `which`, or whose number, from 1, it is.
fn one_of<'d>(
    item: &'d mut Item,
    list: &str,
    which: &str,
) -> Result<&'d mut dyn TableLike, SettingError> {
    let known = names_of(item);
    let none = || {
        let names = known.iter().map(String::as_str);
        let help = suggestion(which, names, '"', &format!("Known: {}", known.join(", ")));
        SettingError::NoSuch { list: list.to_owned(), which: which.to_owned(), help }
    };
    let tables = item.as_array_of_tables_mut().ok_or_else(none)?;
    let at = number_of(tables, which).ok_or_else(none)?;
    Ok(tables.get_mut(at).ok_or_else(none)?)
}

/// Which of `tables`, from 0, is called `which`, or has that number, from 1.
fn number_of(tables: &ArrayOfTables, which: &str) -> Option<usize> {
    let named = |table: &toml_edit::Table| table.get("name").and_then(Item::as_str) == Some(which);
    let number = || which.parse::<usize>().ok().and_then(|number| number.checked_sub(1));
    tables.iter().position(named).or_else(number)
}

/// What the tables of an array are called; their numbers, from 1, where they have no name.
fn names_of(item: &Item) -> Vec<String> {
    let tables = item.as_array_of_tables().into_iter().flatten().enumerate();
    let name =
        |table: &toml_edit::Table| table.get("name").and_then(Item::as_str).map(str::to_owned);
    tables.map(|(i, table)| name(table).unwrap_or_else(|| (i + 1).to_string())).collect()
}

/// `value` as a scenario writes it: text where text stood before or where it is nothing else.
fn written(value: &str, is_text: bool) -> Value {
    let quoted = value.starts_with(['"', '\'']);
    if is_text && !quoted {
        return Value::from(value);
    }
    value.parse().unwrap_or_else(|_| Value::from(value))
}
