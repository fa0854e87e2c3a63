//! A type's name means one thing, in both crates.

use super::CRATES;
use super::modules::modules;
use checks::root;
use std::collections::BTreeMap;

/// Whether `item` is named as types are: functions begin with a small letter, constants have none.
fn names_a_type(item: &str) -> bool {
    item.starts_with(char::is_uppercase) && item.contains(char::is_lowercase)
}

#[test]
fn no_type_name_is_declared_twice() {
    let mut files: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for name in CRATES {
        for module in modules(&root().join(name).join("src")).into_values() {
            for item in module.items.into_iter().filter(|item| names_a_type(item)) {
                files.entry(item).or_default().push(format!("{name}/src/{}", module.file));
            }
        }
    }
    assert!(files.len() > 300, "{} types", files.len());
    files.retain(|_, files| files.len() > 1);
    assert!(files.is_empty(), "one name, two things: {files:#?}");
}
