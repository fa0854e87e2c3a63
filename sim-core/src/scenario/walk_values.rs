//! Reading single values of a scenario file.

use super::kinds::{limit_example, limit_value};
use super::spec::{Bounds, Key};
use super::value::{Data, LimitText, Span};
use super::walk::Walk;
use crate::measures::{Better, Measure};
use crate::plumbing::{FITTINGS, fitting_named};
use crate::units::{Quantity, parse, suggestion};
use toml::Spanned;
use toml::de::DeValue;

impl Walk {
    pub(super) fn text(&mut self, key: &Key, value: &Spanned<DeValue<'_>>) -> Option<String> {
        match value.get_ref().as_str() {
            Some(text) => Some(text.to_owned()),
            None => self.wrong_kind(key, value, "a text in quotes"),
        }
    }

    pub(super) fn number(&mut self, key: &Key, value: &Spanned<DeValue<'_>>) -> Option<f64> {
        let Some(number) = plain_number(value.get_ref()) else {
            return self.wrong_kind(key, value, "a plain number");
        };
        if number.is_finite() {
            return Some(number);
        }
        self.refuse(value.span(), format!("`{}` must be a finite number", key.name), "")
    }

    pub(super) fn count(
        &mut self,
        key: &Key,
        value: &Spanned<DeValue<'_>>,
        most: u32,
    ) -> Option<Data> {
        let Some(number) = plain_number(value.get_ref()) else {
            return self.wrong_kind(key, value, "a whole number");
        };
        if number.fract() == 0.0 && number >= 1.0 && number <= f64::from(most) {
            return Some(Data::Count(number as usize));
        }
        let message = format!("`{}` must be a whole number from 1 to {most}", key.name);
        self.refuse(value.span(), message, "")
    }

    /// A text with a value of one of `quantities`.
    pub(super) fn any_of(
        &mut self,
        value: &Spanned<DeValue<'_>>,
        quantities: &[Quantity],
    ) -> Option<(Quantity, f64)> {
        let (text, bare) = match value.get_ref() {
            DeValue::String(text) => (text.to_string(), false),
            DeValue::Integer(number) => (number.to_string(), true),
            DeValue::Float(number) => (number.to_string(), true),
            _ => (String::new(), false),
        };
        if !bare {
            for quantity in quantities {
                if let Ok(number) = parse(&text, *quantity) {
                    return Some((*quantity, number));
                }
            }
        }
        if let Err(error) = parse(&text, quantities[0]) {
            let help = match quantities {
                [_] => error.help(self.units),
                _ => {
                    let ways: Vec<String> = quantities
                        .iter()
                        .map(|q| format!("{} (\"{}\")", q.name(), q.example(self.units)))
                        .collect();
                    format!("write {}", ways.join(" or "))
                }
            };
            self.fault(value.span(), error.to_string(), help);
        }
        None
    }

    pub(super) fn choice(
        &mut self,
        span: Span,
        text: String,
        words: &'static [&'static str],
    ) -> Option<String> {
        if words.contains(&text.as_str()) {
            return Some(text);
        }
        let list = format!("Possible: {}", quoted(words.iter().copied()));
        let help = suggestion(&text, words.iter().copied(), '"', &list);
        self.refuse(span, format!("\"{text}\" is not possible here"), help)
    }

    /// A loss coefficient, or the sum of named fittings.
    pub(super) fn losses(&mut self, key: &Key, value: &Spanned<DeValue<'_>>) -> Option<f64> {
        let Some(items) = value.get_ref().as_array() else {
            let number = self.number(key, value)?;
            let bounds = Bounds { above: None, least: Some(0.0), most: Some(1e6) };
            return self.within(key, value.span(), number, bounds, None);
        };
        let mut sum = 0.0;
        for item in items.iter() {
            let Some(name) = self.text(key, item) else { continue };
            let Some(fitting) = fitting_named(&name) else {
                let known = FITTINGS.iter().map(|fitting| fitting.name);
                let list = format!("Known fittings: {}", quoted(known.clone()));
                let help = suggestion(&name, known, '"', &list);
                self.fault(item.span(), format!("unknown fitting \"{name}\""), help);
                continue;
            };
            sum += fitting.losses;
        }
        Some(sum)
    }

    pub(super) fn opening(&mut self, value: &Spanned<DeValue<'_>>) -> Option<f64> {
        let help = "write \"open\", \"closed\" or a share from \"0 %\" to \"100 %\"";
        match value.get_ref().as_str() {
            Some("open") => Some(1.0),
            Some("closed" | "shut") => Some(0.0),
            _ => self.share(value, "this is not an opening", help),
        }
    }

    /// `"air"` (none) or a concentration.
    pub(super) fn contents(&mut self, value: &Spanned<DeValue<'_>>) -> Option<Option<f64>> {
        let help = "write \"air\" or a concentration from \"0 %\" to \"100 %\"";
        match value.get_ref().as_str() {
            Some("air") => Some(None),
            _ => self.share(value, "this is nothing a line can hold", help).map(Some),
        }
    }

    /// A share from 0 to 1, or the fault that `message` and `help` tell.
    fn share(&mut self, value: &Spanned<DeValue<'_>>, message: &str, help: &str) -> Option<f64> {
        let share = value.get_ref().as_str().and_then(|text| parse(text, Quantity::Share).ok());
        let share = share.filter(|share| (0.0..=1.0).contains(share));
        share.or_else(|| self.refuse(value.span(), message, help))
    }

    pub(super) fn limit(
        &mut self,
        value: &Spanned<DeValue<'_>>,
        measure: Measure,
    ) -> Option<LimitText> {
        if value.get_ref().as_str() == Some("off") {
            return Some(LimitText::Off);
        }
        let (mut at_most, mut at_least, mut source) = (None, None, None);
        let Some(table) = value.get_ref().as_table() else {
            let bound = self.positive(value, measure.quantity())?;
            match measure.better() {
                Better::Less => at_most = Some(bound),
                Better::More => at_least = Some(bound),
                Better::Neither => {
                    let help = format!("write `{}`", limit_example(measure, self.units));
                    let message = "neither more nor less of this is better: say which is meant";
                    self.fault(value.span(), message, help);
                }
            }
            return Some(LimitText::Within { at_most, at_least, source });
        };
        let mut wrong = false;
        for (key, item) in table {
            match (key.get_ref().as_ref(), item.get_ref().as_str()) {
                ("at_most", _) => at_most = Some(self.positive_or_one(item, measure.quantity())),
                ("at_least", _) => at_least = Some(self.positive_or_one(item, measure.quantity())),
                ("source", Some(text)) => source = Some(text.to_owned()),
                _ => {
                    let help = "a limit has `at_most`, `at_least` and `source`, all texts";
                    let message = format!("unknown key `{}` of a limit", key.get_ref());
                    self.fault(key.span(), message, help);
                    wrong = true;
                }
            }
        }
        if wrong {
            return None;
        }
        if at_most.or(at_least).is_none() {
            let help = format!("add `at_most = \"{}\"`", limit_value(measure, self.units));
            let message = "this limit has neither `at_most` nor `at_least`";
            self.fault(value.span(), message, help);
        }
        if at_most.zip(at_least).is_some_and(|(most, least)| most < least) {
            self.fault(value.span(), "`at_least` is more than `at_most`", "");
        }
        Some(LimitText::Within { at_most, at_least, source })
    }

    /// The same; 1 where it is at fault, which is reported.
    fn positive_or_one(&mut self, value: &Spanned<DeValue<'_>>, quantity: Quantity) -> f64 {
        self.positive(value, quantity).unwrap_or(1.0)
    }

    fn positive(&mut self, value: &Spanned<DeValue<'_>>, quantity: Quantity) -> Option<f64> {
        let number = self.quantity(value, quantity)?;
        if number > 0.0 {
            return Some(number);
        }
        self.refuse(value.span(), "a limit must be greater than 0", "")
    }
}

/// The value of a plain TOML number.
fn plain_number(value: &DeValue<'_>) -> Option<f64> {
    match value {
        DeValue::Integer(number) => i64::from_str_radix(number.as_str(), number.radix())
            .ok()
            .map(|number| number as f64)
            .or(Some(f64::INFINITY)),
        DeValue::Float(number) => number.as_str().parse().ok(),
        _ => None,
    }
}

/// `words` in quotes, parted by commas.
fn quoted(words: impl Iterator<Item = &'static str>) -> String {
    words.map(|word| format!("\"{word}\"")).collect::<Vec<_>>().join(", ")
}
