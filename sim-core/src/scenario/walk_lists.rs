//! Reading lists and tables of values of a scenario file.

use super::spec::Key;
use super::value::{Data, Name, SectionOrder};
use super::walk::Walk;
use crate::units::Quantity;
use toml::Spanned;
use toml::de::DeValue;

impl Walk {
    pub(super) fn names(&mut self, key: &Key, value: &Spanned<DeValue<'_>>) -> Option<Vec<Name>> {
        let Some(items) = value.get_ref().as_array() else {
            return self.wrong_kind(key, value, "a list of names");
        };
        let name = |item: &Spanned<DeValue<'_>>| {
            item.get_ref().as_str().map(|text| Name { text: text.to_owned(), span: item.span() })
        };
        let names: Option<Vec<Name>> = items.iter().map(name).collect();
        if names.is_none() {
            return self.wrong_kind(key, value, "a list of names in quotes");
        }
        names
    }

    /// A list of whole numbers, one or more.
    pub(super) fn counts(
        &mut self,
        key: &Key,
        value: &Spanned<DeValue<'_>>,
        most: u32,
    ) -> Option<Data> {
        let items = value.get_ref().as_array().filter(|items| !items.is_empty());
        let Some(items) = items else {
            return self.wrong_kind(key, value, "a list of whole numbers");
        };
        let read: Vec<Option<Data>> =
            items.iter().map(|item| self.count(key, item, most)).collect();
        let count = |data: Option<Data>| match data {
            Some(Data::Count(count)) => Some(count),
            _ => None,
        };
        read.into_iter().map(count).collect::<Option<Vec<usize>>>().map(Data::Counts)
    }

    /// A table from names to values that `read` reads.
    pub(super) fn settings(
        &mut self,
        key: &Key,
        value: &Spanned<DeValue<'_>>,
        mut read: impl FnMut(&mut Self, &Spanned<DeValue<'_>>) -> Option<f64>,
    ) -> Option<Data> {
        let Some(table) = value.get_ref().as_table() else {
            return self.wrong_kind(key, value, "a table of names");
        };
        let mut settings = Vec::new();
        for (name, item) in table {
            let name = Name { text: name.get_ref().to_string(), span: name.span() };
            if !self.left_out(item) {
                settings.extend(read(self, item).map(|number| (name, number)));
            }
        }
        Some(Data::Settings(settings))
    }

    pub(super) fn points(
        &mut self,
        key: &Key,
        value: &Spanned<DeValue<'_>>,
        x: Quantity,
        ys: &[Quantity],
    ) -> Option<Data> {
        let Some(items) = value.get_ref().as_array() else {
            return self.wrong_kind(key, value, "a list of pairs");
        };
        let mut points = Vec::new();
        let mut second: Option<Quantity> = None;
        for item in items.iter() {
            let pair = item.get_ref().as_array().filter(|pair| pair.len() == 2);
            let Some(pair) = pair else {
                let _: Option<()> = self.wrong_kind(key, item, "pairs of two values");
                continue;
            };
            let at = self.quantity(&pair[0], x);
            let value = match second {
                Some(quantity) => {
                    self.quantity(&pair[1], quantity).map(|number| (quantity, number))
                }
                None => self.any_of(&pair[1], ys),
            };
            second = value.map(|(quantity, _)| quantity).or(second);
            points.extend(at.zip(value.map(|(_, number)| number)));
        }
        (points.len() == items.len()).then(|| Data::Points(second.unwrap_or(ys[0]), points))
    }

    pub(super) fn pair(
        &mut self,
        key: &Key,
        value: &Spanned<DeValue<'_>>,
        quantity: Quantity,
    ) -> Option<Data> {
        let pair = value.get_ref().as_array().filter(|pair| pair.len() == 2);
        let Some(pair) = pair else {
            return self.wrong_kind(key, value, "a list of two values");
        };
        let (low, high) = (self.quantity(&pair[0], quantity), self.quantity(&pair[1], quantity));
        let (low, high) = (low?, high?);
        if low < high {
            return Some(Data::Pair(low, high));
        }
        let message = format!("`{}` must give the lower value first", key.name);
        self.refuse(value.span(), message, "exchange the two values")
    }

    /// A list of nodes, or a table from names to nodes, in the order of the file.
    pub(super) fn entries(
        &mut self,
        key: &Key,
        value: &Spanned<DeValue<'_>>,
    ) -> Option<Vec<(Name, Name)>> {
        let Some(table) = value.get_ref().as_table() else {
            let names = self.names(key, value)?;
            return Some(names.into_iter().map(|name| (name.clone(), name)).collect());
        };
        let mut entries = Vec::new();
        for (name, item) in table {
            let node = Name { text: self.text(key, item)?, span: item.span() };
            entries.push((Name { text: name.get_ref().to_string(), span: name.span() }, node));
        }
        entries.sort_by_key(|(name, _)| name.span.start);
        Some(entries)
    }

    /// `"together"`, `"one at a time"`, or a list of sections and lists of sections.
    pub(super) fn order(
        &mut self,
        key: &Key,
        value: &Spanned<DeValue<'_>>,
    ) -> Option<SectionOrder> {
        let Some(items) = value.get_ref().as_array() else {
            const WORDS: &[&str] = &["together", "one at a time"];
            let text = self.text(key, value)?;
            let word = self.choice(value.span(), text, WORDS)?;
            return Some(if word == WORDS[0] {
                SectionOrder::Together
            } else {
                SectionOrder::OneAtATime
            });
        };
        let mut parts = Vec::new();
        for item in items.iter() {
            let part = match item.get_ref().as_str() {
                Some(text) => vec![Name { text: text.to_owned(), span: item.span() }],
                None => self.names(key, item)?,
            };
            if part.is_empty() {
                self.fault(item.span(), "a part of an order opens no section", "");
            }
            parts.push(part);
        }
        if parts.is_empty() {
            let help = "such as [[\"1\", \"6\"], [\"2\", \"5\"]]";
            self.fault(value.span(), "an order needs a part or more", help);
        }
        Some(SectionOrder::Parts(parts))
    }
}
