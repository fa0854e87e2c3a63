//! The format as a page for readers.

use super::build::repeat::{MOST_DAYS, MOST_STEP_PARTS, MOST_STEPS};
use super::kinds::{example, on_page};
use super::spec::{Key, Kind, TOP, TableSpec};
use crate::plumbing::boom::MOST_TIPS;
use crate::plumbing::{FITTINGS, MATERIALS};
use crate::units::{Quantity, UnitSystem, show, units_of};
use std::fmt::Write as _;

/// The scenario format as a page of Markdown: every table, key, unit, material and fitting.
pub fn reference() -> String {
    let mut page = String::from(INTRODUCTION);
    sizes(&mut page);
    tables(&mut page, &TOP);
    materials_and_fittings(&mut page);
    units(&mut page);
    page
}

/// The tables of the format that starts with `top`, each once.
pub(super) fn tables(page: &mut String, top: &'static TableSpec) {
    let mut queue: Vec<(String, &TableSpec)> = vec![("The file".to_owned(), top)];
    let mut at = 0;
    while at < queue.len() {
        let (title, spec) = queue[at].clone();
        section(page, &title, spec);
        for key in spec.keys() {
            for (suffix, inner) in key.kind.tables() {
                let heading = heading(&title, key, suffix);
                if !queue.iter().any(|(_, known)| std::ptr::eq(*known, inner)) {
                    queue.push((heading, inner));
                }
            }
        }
        at += 1;
    }
}

const INTRODUCTION: &str = "# The scenario file

This page is written by `millstream reference`; a test keeps it in step with the program.

A scenario is one TOML file: plumbing, liquid, steps, limits. Every dimensional value is a text with
its unit (`\"25 mm\"`, `\"1 1/4 in\"`, `\"40 psi\"`); a bare number where a unit is needed is an error. `gal` is
the US gallon, `imp gal` the imperial one. Pressures are gauge unless a key says otherwise. Paths start
from the scenario's folder and lead to a file in it or below, unless `--files-from-anywhere` is given. Names and texts
have no control characters; `about`, `caution`, `note` and `source` may have several lines. Unknown keys are errors.

The *short form* describes a boom machine by [boom], [tank], [pump], [supply], [tips] and, if its
sections return, [return_path]. The *long form* describes any network by one named table a thing:
[line.NAME], [valve.NAME] and so on, joined by node names. Both may be mixed: `millstream expand FILE`
prints the long form of any scenario, and so the names of the parts the short form makes.

A key in **bold** must be given. Beside each key stand what its value is with its range, what holds where it is left out,
and a value as it is written.

A machine in the short form, as short as it gets:

```toml
title = \"Three sections\"
[tank]
holds = \"600 L\"
[pump]
points = [[\"0 L/min\", \"6 bar\"], [\"80 L/min\", \"5 bar\"], [\"160 L/min\", \"3 bar\"]]
suction = { bore = \"38 mm\", length = \"2 m\" }
[boom]
width = \"12 m\"
sections = 3
tips_per_section = 8
tube = { bore = \"20 mm\", material = \"stainless\" }
[supply]
main = { bore = \"25 mm\", length = \"3 m\" }
hose = { bore = \"19 mm\", losses = [\"elbow 90\", \"barb\"] }
section_valve = { kv = \"6 m3/h\" }
[tips]
size = \"03\"
[control]
hold = \"2.5 bar\"
```

A network in the long form, a hose with two tips under a tank:

```toml
title = \"Two tips under a tank\"
[tank.barrel]
surface = \"3 m\"
[node.outlet]
tank = \"barrel\"
elevation = \"2.5 m\"
[line.hose]
from = \"outlet\"
to = \"left\"
bore = \"12 mm\"
length = \"4 m\"
losses = [\"sharp entry\", \"elbow 90\"]
[line.between]
from = \"left\"
to = \"right\"
bore = \"12 mm\"
length = \"0.5 m\"
[tip.one]
node = \"left\"
size = \"04\"
[tip.two]
node = \"right\"
size = \"04\"
```
";

fn sizes(page: &mut String) {
    // Writing to a String cannot fail.
    let _ = writeln!(
        page,
        "\nA file may have 64 MiB; a boom of the short form {MOST_TIPS} tips; a scenario {MOST_STEPS} steps, repeats \
         counted, but\nno more than {MOST_STEP_PARTS} steps times lines and parts; and its steps may last {MOST_DAYS} \
         days in all. A run that may take\nmore than a minute says so before it starts; Ctrl-C ends it, and nothing is \
         then written."
    );
}

fn heading(parent: &str, key: &Key, suffix: &str) -> String {
    match key.kind {
        Kind::List(_) => format!("[[{}]]", key.name),
        Kind::Named(_) => format!("[{}.NAME]", key.name),
        Kind::TableAndNamed(..) => format!("[{}{suffix}]", key.name),
        _ if parent == "The file" => format!("[{}]", key.name),
        _ => format!("{} in {parent}", key.name),
    }
}

fn section(page: &mut String, title: &str, spec: &TableSpec) {
    // Writing to a String cannot fail.
    let _ = writeln!(
        page,
        "\n## {title}\n\n{}\n\n| key | value | default | example | meaning |",
        spec.doc
    );
    let _ = writeln!(page, "| --- | --- | --- | --- | --- |");
    for key in spec.keys() {
        let name =
            if key.required { format!("**`{}`**", key.name) } else { format!("`{}`", key.name) };
        let (value, default, shown) = (on_page(key), default(key), shown(key));
        let _ = writeln!(page, "| {name} | {value} | {default} | {shown} | {} |", key.doc);
    }
}

fn default(key: &Key) -> String {
    match (key.default, key.kind) {
        (Some(text), _) => format!("`{text}`"),
        (None, Kind::Limit(measure)) => {
            let usual = measure.usual();
            usual.map_or_else(String::new, |(most, source)| {
                format!("`{}` ({source})", show(most, measure.quantity(), UnitSystem::Si))
            })
        }
        _ => String::new(),
    }
}

/// A value as a user would write it, where neither default nor the kind of value shows how.
fn shown(key: &Key) -> String {
    let clear = matches!(
        key.kind,
        Kind::Text
            | Kind::Flag
            | Kind::Number(_)
            | Kind::Count { .. }
            | Kind::Choice(_)
            | Kind::List(_)
            | Kind::OneOrMore(_)
            | Kind::Named(_)
            | Kind::TableAndNamed(..)
    );
    if clear || key.default.is_some() {
        return String::new();
    }
    let line = example(key, UnitSystem::Si);
    let text = line.split_once(" = ").map_or(line.as_str(), |(_, text)| text);
    // A table of which nothing must be given shows nothing.
    if text == "{  }" { String::new() } else { format!("`{}`", text.replace(", ...]", "]")) }
}

fn materials_and_fittings(page: &mut String) {
    let _ =
        writeln!(page, "\n## Materials\n\n| material | roughness | source |\n| --- | --- | --- |");
    for material in &MATERIALS {
        let roughness = show(material.roughness_m, Quantity::Roughness, UnitSystem::Si);
        let _ = writeln!(page, "| `{}` | {roughness} | {} |", material.name, material.source);
    }
    let _ = writeln!(
        page,
        "\n## Fittings\n\nLoss coefficients on the velocity head of the line they stand in. Handbooks \
         differ by 30 to 40 %; a measured figure is better.\n\n| fitting | coefficient | source |\n| --- | --- | --- |"
    );
    for fitting in &FITTINGS {
        let _ = writeln!(page, "| `{}` | {} | {} |", fitting.name, fitting.losses, fitting.source);
    }
}

fn units(page: &mut String) {
    let _ = writeln!(page, "\n## Units\n\n| quantity | units |\n| --- | --- |");
    for quantity in Quantity::ALL {
        let units: Vec<String> =
            units_of(quantity).iter().map(|unit| format!("`{}`", unit.spellings[0])).collect();
        let _ = writeln!(page, "| {} | {} |", quantity.noun(), units.join(", "));
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::tree::parse;
    use crate::scenario::walk::{Mode, Walk};

    /// Every table of the format.
    fn every_table() -> Vec<&'static TableSpec> {
        let mut all: Vec<&'static TableSpec> = vec![&TOP];
        let mut at = 0;
        while at < all.len() {
            let inner = all[at].keys().flat_map(|key| key.kind.tables());
            let new: Vec<&TableSpec> = inner.map(|(_, spec)| spec).collect();
            for spec in new {
                if !all.iter().any(|known| std::ptr::eq(*known, spec)) {
                    all.push(spec);
                }
            }
            at += 1;
        }
        all
    }

    #[test]
    fn every_example_of_a_value_is_one() {
        let mut count = 0;
        for spec in every_table() {
            for key in spec.keys().filter(|key| !shown(key).is_empty()) {
                let text = format!("{} = {}", key.name, shown(key).trim_matches('`'));
                let mut walk = Walk::default();
                let parsed = parse(&text, &mut walk);
                let (table, span) = parsed.unwrap_or_else(|| panic!("{text}: {:?}", walk.faults));
                walk.table(table.get_ref(), span, spec, Mode::Override);
                assert!(walk.faults.is_empty(), "{text}: {:?}", walk.faults);
                count += 1;
            }
        }
        assert!(count > 80, "{count}");
    }

    #[test]
    fn every_key_has_a_row() {
        let page = reference();
        for spec in every_table() {
            for key in spec.keys() {
                let row = format!("`{}`", key.name);
                let rows = page.lines().filter(|line| line.starts_with('|'));
                let mut fits = rows.filter(|line| line.contains(&row) && line.contains(key.doc));
                assert!(fits.next().is_some(), "{}", key.name);
            }
        }
    }
}
