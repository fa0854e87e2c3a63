//! Which keys are there at all.

use super::short::TOP;
use std::collections::BTreeSet;
use std::sync::LazyLock;

/// Whether any table of a scenario has a key called `name`.
pub(in crate::scenario) fn is_declared(name: &str) -> bool {
    static NAMES: LazyLock<BTreeSet<&str>> = LazyLock::new(|| {
        let mut tables = vec![&TOP];
        let mut at = 0;
        while let Some(spec) = tables.get(at) {
            for (_, inner) in spec.keys().flat_map(|key| key.kind.tables()) {
                if !tables.iter().any(|known| std::ptr::eq(*known, inner)) {
                    tables.push(inner);
                }
            }
            at += 1;
        }
        tables.iter().flat_map(|spec| spec.keys()).map(|key| key.name).collect()
    });
    NAMES.contains(name)
}
