//! A setting and the values it is to take.

use super::error::{MOST_VALUES, SettingError};
use super::path::SettingPath;

/// A setting and its values, as typed.
#[derive(Clone, Debug, PartialEq)]
pub struct Setting {
    /// Which setting.
    pub path: SettingPath,
    /// What it is to be, one after the other.
    pub values: Vec<String>,
}

impl Setting {
    /// Reads `KEY=VALUE,VALUE,...`; commas within brackets, braces and quotes part nothing.
    ///
    /// # Errors
    /// A [`SettingError`] that says what is wrong with it.
    pub fn parse(text: &str) -> Result<Self, SettingError> {
        let no_equals = || SettingError::NoEquals(text.to_owned());
        let (key, values) = text.split_once('=').ok_or_else(no_equals)?;
        let path = SettingPath::parse(key)?;
        let values = parted(values);
        if values.iter().any(String::is_empty) {
            return Err(SettingError::EmptyValue(key.trim().to_owned()));
        }
        if values.len() < 2 || values.len() > MOST_VALUES {
            return Err(SettingError::ValueCount(values.len()));
        }
        Ok(Self { path, values })
    }
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
            let setting = Setting::parse(&format!("{key}={value},{value}")).unwrap();
            setting.path.applied(text, value).map_err(|why| why.to_string())
        };
        let bore = set("supply.hose.bore", "19 mm").unwrap();
        assert_eq!(bore, text.replace("25 mm", "19 mm"));
        assert_eq!(set("step.spray.pump", "50 %").unwrap(), text.replace("40", "50"));
        assert_eq!(set("step.1.pump", "50 %").unwrap(), text.replace("40", "50"));
        assert!(set("supply.losses", "2").unwrap().contains("losses = 2\n"));
        assert!(set("step.2.pump", "50 %").unwrap_err().contains("no step 2"));
        let given = set("model.dispersion", "false").unwrap();
        assert!(given.contains("[model]\ndispersion = false\n"), "{given}");
        let value = |key: &str| Setting::parse(&format!("{key}=1,2")).unwrap().path.value(text);
        assert_eq!(value("supply.hose.bore").as_deref(), Some("25 mm"));
        assert_eq!(value("step.spray.pump").as_deref(), Some("40 %"));
        assert_eq!(value("a").as_deref(), Some("1"));
        assert_eq!(value("supply.hose.kv"), None);
        assert!(set("a.b", "1").unwrap_err().contains("holds no settings"));
        for wrong in ["supply", "=1,2", "a..b=1,2", "a=1", "a=1,,2"] {
            assert!(Setting::parse(wrong).is_err(), "{wrong}");
        }
    }
}
