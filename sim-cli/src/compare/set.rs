//! One setting of a scenario and the values it is to take.

use sim_core::units::suggestion;
use toml_edit::{DocumentMut, Item, TableLike, Value};

/// Most values of one setting.
const MOST_VALUES: usize = 64;

/// A setting and its values, as typed.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Setting {
    /// Names from the top of the file down.
    path: Vec<String>,
    pub(crate) values: Vec<String>,
}

impl Setting {
    /// Reads `KEY=VALUE,VALUE,...`; commas within brackets, braces and quotes part nothing.
    ///
    /// # Errors
    /// A sentence that says what is wrong with it.
    pub(crate) fn parse(text: &str) -> Result<Self, String> {
        let (key, values) = text
            .split_once('=')
            .ok_or_else(|| format!("\"{text}\" has no \"=\" between setting and values"))?;
        let path: Vec<String> = key.trim().split('.').map(|name| name.trim().to_owned()).collect();
        if path.iter().any(String::is_empty) {
            return Err(format!("\"{}\" is no name of a setting", key.trim()));
        }
        let values = parted(values);
        if values.iter().any(String::is_empty) {
            return Err(format!("a value of \"{}\" is empty", key.trim()));
        }
        if values.len() < 2 || values.len() > MOST_VALUES {
            return Err(format!("a setting takes 2 to {MOST_VALUES} values, not {}", values.len()));
        }
        Ok(Self { path, values })
    }

    /// The setting's name, as typed.
    pub(crate) fn name(&self) -> String {
        self.path.join(".")
    }

    /// The scenario `text`, which is valid, with the setting at `value`; all else stays as it was.
    ///
    /// # Errors
    /// A sentence that says where the scenario has no place for it.
    pub(crate) fn applied(&self, text: &str, value: &str) -> Result<String, String> {
        let mut document: DocumentMut = text.parse().map_err(|error| format!("{error}"))?;
        let mut place: &mut dyn TableLike = document.as_table_mut();
        let (last, above) = self.path.split_last().ok_or("a setting has a name")?;
        let mut rest = above.iter();
        while let Some(name) = rest.next() {
            // What the file leaves out is given; whether there is such a thing the reading of it says.
            let item = place.entry(name).or_insert_with(toml_edit::table);
            place = if item.is_array_of_tables() {
                let which = rest
                    .next()
                    .ok_or_else(|| format!("say which {name}: by its name or number"))?;
                let known = names_of(item);
                let known = known.iter().map(String::as_str);
                let list = format!("Known: {}", known.clone().collect::<Vec<_>>().join(", "));
                let help = suggestion(which, known, '"', &list);
                one_of(item, which)
                    .ok_or_else(|| format!("there is no {name} {which}\nhelp: {help}"))?
            } else {
                item.as_table_like_mut()
                    .ok_or_else(|| format!("{name} of {} holds no settings", self.name()))?
            };
        }
        let is_text = place.get(last).is_some_and(Item::is_str);
        place.insert(last, Item::Value(written(value, is_text)));
        Ok(document.to_string())
    }
}

/// What the tables of an array are called; their numbers, from 1, where they have no name.
fn names_of(item: &Item) -> Vec<String> {
    let tables = item.as_array_of_tables().into_iter().flatten().enumerate();
    let name =
        |table: &toml_edit::Table| table.get("name").and_then(Item::as_str).map(str::to_owned);
    tables.map(|(i, table)| name(table).unwrap_or_else(|| (i + 1).to_string())).collect()
}

/// The table of an array that is called `which`, or whose number, from 1, it is.
fn one_of<'d>(item: &'d mut Item, which: &str) -> Option<&'d mut dyn TableLike> {
    let tables = item.as_array_of_tables_mut()?;
    let named = |table: &toml_edit::Table| table.get("name").and_then(Item::as_str) == Some(which);
    let number = which.parse::<usize>().ok().and_then(|number| number.checked_sub(1));
    let at = tables.iter().position(named).or(number)?;
    Some(tables.get_mut(at)?)
}

/// `value` as a scenario writes it: text where text stood before or where it is nothing else.
fn written(value: &str, is_text: bool) -> Value {
    let quoted = value.starts_with(['"', '\'']);
    if is_text && !quoted {
        return Value::from(value);
    }
    value.parse().unwrap_or_else(|_| Value::from(value))
}

/// `text` parted at commas that are in no bracket, brace or quotes.
fn parted(text: &str) -> Vec<String> {
    let (mut values, mut depth, mut quote) = (vec![String::new()], 0usize, None);
    for letter in text.chars() {
        match (letter, quote) {
            ('"' | '\'', None) => quote = Some(letter),
            (_, Some(open)) if letter == open => quote = None,
            ('[' | '{', None) => depth += 1,
            (']' | '}', None) => depth = depth.saturating_sub(1),
            _ => {}
        }
        match (letter, depth, quote, values.last_mut()) {
            (',', 0, None, _) => values.push(String::new()),
            (_, _, _, Some(value)) => value.push(letter),
            _ => {}
        }
    }
    values.into_iter().map(|value| value.trim().to_owned()).collect()
}

#[cfg(test)]
mod tests {
    use super::{Setting, parted};

    #[test]
    fn commas_within_brackets_and_quotes_part_nothing() {
        assert_eq!(parted("1 bar, [\"a\", \"b\"],\"x,y\""), ["1 bar", "[\"a\", \"b\"]", "\"x,y\""]);
    }

    #[test]
    fn a_setting_changes_and_everything_else_stays() {
        let text = "a = 1 # note\n[supply]\nhose = { bore = \"25 mm\" }\n[[step]]\nname = \"spray\"\npump = \"40 %\"\n";
        let set = |key: &str, value: &str| {
            Setting::parse(&format!("{key}={value},{value}")).unwrap().applied(text, value)
        };
        let bore = set("supply.hose.bore", "19 mm").unwrap();
        assert_eq!(bore, text.replace("25 mm", "19 mm"));
        assert_eq!(set("step.spray.pump", "50 %").unwrap(), text.replace("40", "50"));
        assert_eq!(set("step.1.pump", "50 %").unwrap(), text.replace("40", "50"));
        assert!(set("supply.losses", "2").unwrap().contains("losses = 2\n"));
        assert!(set("step.2.pump", "50 %").unwrap_err().contains("no step 2"));
        let given = set("model.dispersion", "false").unwrap();
        assert!(given.contains("[model]\ndispersion = false\n"), "{given}");
        assert!(set("a.b", "1").unwrap_err().contains("holds no settings"));
        for wrong in ["supply", "=1,2", "a..b=1,2", "a=1", "a=1,,2"] {
            assert!(Setting::parse(wrong).is_err(), "{wrong}");
        }
    }
}
