//! What a study lets a scenario become.

use super::offer::{Assignment, Offered, UnitPrice, with};
use crate::scenario::{CatalogueEntry, Choices, InputFault, Study, Variable};
use crate::search::{Design, Gene, Space};
use crate::settings::SettingPath;
use crate::study::Reread;
use crate::units::suggestion;

/// A scenario with what varies in it.
pub struct Layouts<'a> {
    /// What is looked for.
    pub study: &'a Study,
    /// The base with the limits of the study.
    base: String,
    pub(super) reread: &'a Reread<'a>,
    /// For each variable, its levels: what each sets, and what it is called.
    levels: Vec<Vec<Offered>>,
    pub(super) spaces: Vec<Space>,
}

impl<'a> Layouts<'a> {
    /// What `study` lets the valid scenario of this `text` become, with parts of `catalogue`.
    ///
    /// # Errors
    /// What of the study does not fit scenario or catalogue.
    pub fn new(
        study: &'a Study,
        text: &str,
        catalogue: &[CatalogueEntry],
        reread: &'a Reread<'a>,
    ) -> Result<Self, Vec<InputFault>> {
        let goals = &study.goals;
        let mut faults = Vec::new();
        if goals.aims.is_empty() {
            faults.push(InputFault::new(
                0..0,
                "nothing is aimed at",
                "add `aims = [\"cost\", \"purge_residual\"]`",
            ));
        }
        if goals.variables.is_empty() {
            faults.push(InputFault::new(
                0..0,
                "nothing varies",
                "add [[vary]] with a `key` and `values`",
            ));
        }
        let mut base = text.to_owned();
        for (path, value) in &goals.limits {
            base = path
                .applied(&base, value)
                .map_err(|why| vec![InputFault::new(0..0, why.to_string(), "")])?;
        }
        let (mut levels, mut spaces) = (Vec::new(), Vec::new());
        for variable in &goals.variables {
            match of_variable(variable, catalogue) {
                Ok((of, space)) => {
                    faults.extend(misfit(&base, variable, &of, reread));
                    levels.push(of);
                    spaces.push(space);
                }
                Err(fault) => faults.push(fault),
            }
        }
        for corner in &goals.corners {
            let applied = with(&base, &corner.settings);
            let why = applied.map_err(|why| vec![why.to_string()]).and_then(|text| {
                reread(text)
                    .map_err(|faults| faults.into_iter().map(|fault| fault.message).collect())
            });
            if let Err(why) = why {
                let why = why.first().cloned().unwrap_or_default();
                faults.push(InputFault::new(
                    corner.span.clone(),
                    format!("in corner \"{}\" the scenario is not valid: {why}", corner.name),
                    "",
                ));
            }
        }
        if faults.is_empty() {
            Ok(Self { study, base, reread, levels, spaces })
        } else {
            Err(faults)
        }
    }

    /// How many layouts there are; `None` where that is beyond counting.
    pub fn count(&self) -> Option<usize> {
        crate::search::count(&self.spaces)
    }

    /// The text of the scenario that `design` makes.
    pub fn text(&self, design: &Design) -> Option<String> {
        let of = |(at, gene): (usize, &Gene)| self.settings_of(at, gene);
        let settings: Vec<Assignment> = design.iter().enumerate().flat_map(of).collect();
        with(&self.base, &settings).ok()
    }

    /// What `design` has of variable number `at`, in words.
    pub fn words(&self, design: &Design, at: usize) -> String {
        match &design[at] {
            Gene::Level(level) => self.levels[at][*level].name.clone(),
            Gene::Order(order) => {
                let names: Vec<&str> =
                    order.iter().map(|part| self.levels[at][*part].name.as_str()).collect();
                names.join(", ")
            }
        }
    }

    /// Which end of its catalogue or range variable number `at` of `design` is at: the first, `Some(false)`, or the last.
    pub(super) fn end(&self, design: &Design, at: usize) -> Option<bool> {
        let ordered = matches!(
            self.study.goals.variables[at].choices,
            Choices::Range(..) | Choices::Catalogue(_)
        );
        match (&design[at], self.levels[at].len()) {
            (Gene::Level(level), 3..) if ordered && *level == 0 => Some(false),
            (Gene::Level(level), count @ 3..) if ordered && level + 1 == count => Some(true),
            _ => None,
        }
    }

    /// What variable number `at` sets where it is `gene`.
    fn settings_of(&self, at: usize, gene: &Gene) -> Vec<Assignment> {
        match gene {
            Gene::Level(level) => self.levels[at][*level].settings.clone(),
            Gene::Order(order) => {
                let name = |part: &usize| format!("{:?}", self.levels[at][*part].name);
                let names: Vec<String> = order.iter().map(name).collect();
                let path = self.study.goals.variables[at].path.clone();
                vec![(path, format!("[{}]", names.join(", ")))]
            }
        }
    }

    /// For each variable with prices, the level that `design` has and another one.
    pub(super) fn priced<'d>(
        &'d self,
        design: &'d Design,
    ) -> impl Iterator<Item = (usize, &'d Offered, &'d Offered)> {
        design.iter().enumerate().filter_map(|(at, gene)| {
            let (Gene::Level(level), levels) = (gene, &self.levels[at]) else { return None };
            let one = &levels[*level];
            one.price?;
            Some((at, one, &levels[if *level == 0 { levels.len() - 1 } else { 0 }]))
        })
    }

    /// The text that `design` makes with variable number `at` at `level`.
    pub(super) fn text_with(&self, design: &Design, level: &Offered, at: usize) -> Option<String> {
        let of = |(other, gene): (usize, &Gene)| {
            if other == at { level.settings.clone() } else { self.settings_of(other, gene) }
        };
        let settings: Vec<Assignment> = design.iter().enumerate().flat_map(of).collect();
        with(&self.base, &settings).ok()
    }

    /// The design that the base is, where every variable has the value that the base has.
    pub fn base_design(&self) -> Option<Design> {
        let gene = |at: usize| {
            let is = |level: &Offered| {
                level
                    .settings
                    .iter()
                    .all(|(path, value)| path.value(&self.base).as_deref() == Some(value.as_str()))
            };
            match self.spaces[at] {
                Space::Levels(_) => self.levels[at].iter().position(is).map(Gene::Level),
                Space::Order(_) => None,
            }
        };
        (0..self.spaces.len()).map(gene).collect()
    }
}

/// The levels of `variable`.
fn of_variable(
    variable: &Variable,
    catalogue: &[CatalogueEntry],
) -> Result<(Vec<Offered>, Space), InputFault> {
    let path = &variable.path;
    let plain = |value: String| Offered {
        name: value.clone(),
        settings: vec![(path.clone(), value)],
        price: None,
    };
    Ok(match &variable.choices {
        Choices::Values(values) => {
            let levels: Vec<Offered> = values.iter().cloned().map(plain).collect();
            let count = levels.len();
            (levels, Space::Levels(count))
        }
        Choices::Range(low, high, steps, unit) => {
            let value = |step: usize| {
                let number = low + (high - low) * step as f64 / *steps as f64;
                let number = format!("{number:.6}");
                plain(format!("{}{unit}", number.trim_end_matches('0').trim_end_matches('.')))
            };
            ((0..=*steps).map(value).collect(), Space::Levels(steps + 1))
        }
        Choices::Orders(parts) => {
            let part =
                |name: &String| Offered { name: name.clone(), settings: Vec::new(), price: None };
            (parts.iter().map(part).collect(), Space::Order(parts.len()))
        }
        Choices::Catalogue(kind) => {
            let entries: Vec<&CatalogueEntry> =
                catalogue.iter().filter(|entry| entry.kind == *kind).collect();
            if entries.len() < 2 {
                let mut kinds: Vec<&str> =
                    catalogue.iter().map(|entry| entry.kind.as_str()).collect();
                kinds.sort_unstable();
                kinds.dedup();
                let list = format!("Kinds: {}", kinds.join(", "));
                let help = suggestion(kind, kinds.iter().copied(), '"', &list);
                let message = if entries.is_empty() {
                    format!("the catalogue has no part of kind \"{kind}\"")
                } else {
                    format!(
                        "the catalogue has one part of kind \"{kind}\" alone: there is nothing to choose"
                    )
                };
                return Err(InputFault::new(variable.span.clone(), message, help));
            }
            let level = |entry: &&CatalogueEntry| {
                let setting = |(key, value): &(String, String)| {
                    let name =
                        if key.is_empty() { path.name() } else { format!("{}.{key}", path.name()) };
                    Some((SettingPath::parse(&name).ok()?, value.clone()))
                };
                Offered {
                    name: entry.name.clone(),
                    settings: entry.settings.iter().filter_map(setting).collect(),
                    price: Some(UnitPrice { price: entry.price, per_metre: entry.per_metre }),
                }
            };
            (entries.iter().map(level).collect(), Space::Levels(entries.len()))
        }
    })
}

/// The fault of the first of `levels` with which the scenario of `text` is not valid.
fn misfit(
    text: &str,
    variable: &Variable,
    levels: &[Offered],
    reread: &Reread<'_>,
) -> Option<InputFault> {
    let order = matches!(variable.choices, Choices::Orders(_));
    let as_whole = || {
        let names: Vec<String> = levels.iter().map(|level| format!("{:?}", level.name)).collect();
        vec![(
            levels[0].name.clone(),
            vec![(variable.path.clone(), format!("[{}]", names.join(", ")))],
        )]
    };
    let each = || levels.iter().map(|level| (level.name.clone(), level.settings.clone())).collect();
    let tries: Vec<(String, Vec<Assignment>)> = if order { as_whole() } else { each() };
    let fault = |(name, settings): (String, Vec<Assignment>)| {
        let why = match with(text, &settings) {
            Err(why) => why.to_string().split('\n').next().unwrap_or_default().to_owned(),
            Ok(text) => {
                reread(text).err()?.first().map(|fault| fault.message.clone()).unwrap_or_default()
            }
        };
        let message = format!(
            "with `{}` at \"{name}\" the scenario is not valid: {why}",
            variable.path.name()
        );
        Some(InputFault::new(variable.span.clone(), message, ""))
    };
    tries.into_iter().find_map(fault)
}
