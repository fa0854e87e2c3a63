//! Which files of a folder belong together, so that those of an earlier command do not stay beside new ones.

use std::collections::BTreeSet;

/// The list of them in a folder: one name a line, an empty line between sets.
pub(super) const LIST: &str = ".millstream-files";

/// The text of the list once `names` are written, and the names that no longer belong: those of every set of which
/// one is written anew.
pub(super) fn with(old: &str, names: &[&str]) -> (String, Vec<String>) {
    let new: BTreeSet<&str> = names.iter().copied().collect();
    let (mut list, mut gone) = (String::new(), Vec::new());
    for set in old.split("\n\n") {
        // Only names in this folder: whatever else the list was made to say is not ours to take away.
        let plain =
            |name: &&str| !name.is_empty() && !name.contains(['/', '\\', ':']) && *name != "..";
        let set: Vec<&str> = set.lines().filter(plain).collect();
        if set.iter().any(|name| new.contains(name)) {
            gone.extend(
                set.iter().filter(|name| !new.contains(*name)).map(|name| (*name).to_owned()),
            );
        } else if !set.is_empty() {
            list += &format!("{}\n\n", set.join("\n"));
        }
    }
    list += &format!("{}\n", names.join("\n"));
    (list, gone)
}

#[cfg(test)]
mod tests {
    use super::with;

    #[test]
    fn a_set_takes_the_place_of_one_that_shares_a_name_and_leaves_others_alone() {
        let (list, gone) = with("", &["summary.json", "series.csv"]);
        assert_eq!((list.as_str(), gone.len()), ("summary.json\nseries.csv\n", 0));
        let (list, gone) = with(&list, &["compare.json"]);
        assert_eq!(list, "summary.json\nseries.csv\n\ncompare.json\n");
        assert!(gone.is_empty());
        let (list, gone) = with(&list, &["summary.json", "tips.csv"]);
        assert_eq!(list, "compare.json\n\nsummary.json\ntips.csv\n");
        assert_eq!(gone, ["series.csv"]);
    }

    #[test]
    fn a_list_cannot_name_a_file_of_another_folder() {
        let (_, gone) = with("a.csv\n../b.csv\n/c.csv\n..\nd.csv\n", &["a.csv"]);
        assert_eq!(gone, ["d.csv"]);
    }
}
