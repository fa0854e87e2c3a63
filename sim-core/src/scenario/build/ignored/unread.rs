//! Keys that nothing asked for while the scenario was put together.

use super::super::super::value::{Checked, Data, Name};
use super::note::Notes;

/// Keys that tell the reader something and are asked for by nobody.
const REMARKS: [&str; 1] = ["source"];

/// What to do about a key that nothing asked for, by its name.
const HELP: [(&[&str], &str); 8] = [
    (&["rotation", "slip", "slip_at"], "it belongs to `displacement`: add that, or leave it out"),
    (&["size"], "`flow` counts: keep one of the two"),
    (&["at"], "`size` is the flow at 3 bar: write `flow` beside `at`, or leave `at` out"),
    (&["opens_at", "reseats_at", "open_loss"], "it belongs to `shut_off = \"check valve\"`"),
    (&["rangeability"], "it belongs to `characteristic = \"equal percentage\"`"),
    (&["feed_end"], "the tube is fed in its centre: say `feed = \"one end\"`, or leave it out"),
    (&["test_density"], "it belongs to a curve of pressures; this one is of heads"),
    (
        &["control", "hold"],
        "nothing is held in a step that stands, purges or fixes `pump`, and a step's own [[step.control]] outweighs \
         [control]",
    ),
];

/// Adds what `table` gives and nothing asked for.
pub(super) fn unread(table: &Checked, notes: &mut Notes) {
    for (key, value) in table.entries.iter().filter(|(_, value)| value.span != table.span) {
        let inner: Vec<&Checked> = match &value.data {
            Data::Table(inner) => vec![inner],
            Data::Tables(inner) => inner.iter().collect(),
            Data::Named(named) => of(named).collect(),
            Data::Both(own, named) => std::iter::once(own).chain(of(named)).collect(),
            _ => Vec::new(),
        };
        let is_both = matches!(value.data, Data::Both(..));
        if is_both || !value.is_unread() {
            inner.into_iter().for_each(|inner| unread(inner, notes));
        } else if !REMARKS.contains(key) {
            let help = HELP.iter().find(|(keys, _)| keys.contains(key)).map(|(_, help)| *help);
            let help =
                help.unwrap_or("something else in the file outweighs it: keep one of the two");
            notes.add(value.span.clone(), format!("`{key}` says nothing here"), help);
        }
    }
}

fn of(named: &[(Name, Checked)]) -> impl Iterator<Item = &Checked> {
    named.iter().map(|(_, table)| table)
}
