//! Which files of a folder belong together, so that those of an earlier command do not stay beside new ones, and what was
//! in them when they were written, so that nothing else is ever replaced.

use std::collections::BTreeSet;

/// The list of them in a folder: digest and name of one file a line, as `sha256sum` checks it, an empty line between sets.
pub(super) const LIST: &str = ".millstream-files";

/// A file as it was written: its name and its digest.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct WrittenFile {
    pub(super) name: String,
    pub(super) sha256: String,
}

/// The sets that the text of a list names. Only names in this folder: whatever else the list was made to say is not ours
/// to take away.
pub(super) fn parse(list: &str) -> Vec<Vec<WrittenFile>> {
    let line = |line: &str| {
        let (sha256, name) = line.split_once("  ")?;
        let plain = !name.is_empty() && !name.contains(['/', '\\', ':']) && name != "..";
        plain.then(|| WrittenFile { name: name.to_owned(), sha256: sha256.to_owned() })
    };
    list.split("\n\n").map(|set| set.lines().filter_map(line).collect()).collect()
}

/// The text of the list once the set `new` is written over those of `old`, and the files that no longer belong: those of
/// every set of which one is written anew.
pub(super) fn with(old: &[Vec<WrittenFile>], new: &[WrittenFile]) -> (String, Vec<String>) {
    let names: BTreeSet<&str> = new.iter().map(|file| file.name.as_str()).collect();
    let lines = |set: &[WrittenFile]| -> String {
        set.iter().map(|file| format!("{}  {}\n", file.sha256, file.name)).collect()
    };
    let (mut list, mut gone) = (String::new(), Vec::new());
    for set in old.iter().filter(|set| !set.is_empty()) {
        let (again, left): (Vec<&WrittenFile>, Vec<&WrittenFile>) =
            set.iter().partition(|file| names.contains(file.name.as_str()));
        if again.is_empty() {
            list += &(lines(set) + "\n");
        } else {
            gone.extend(left.into_iter().map(|file| file.name.clone()));
        }
    }
    (list + &lines(new), gone)
}

#[cfg(test)]
mod tests {
    use super::{WrittenFile, parse, with};

    fn set(names: &[&str]) -> Vec<WrittenFile> {
        let file = |name: &&str| WrittenFile { name: (*name).into(), sha256: format!("of-{name}") };
        names.iter().map(file).collect()
    }

    #[test]
    fn a_set_takes_the_place_of_one_that_shares_a_name_and_leaves_others_alone() {
        let (list, gone) = with(&[], &set(&["summary.json", "series.csv"]));
        assert_eq!(list, "of-summary.json  summary.json\nof-series.csv  series.csv\n");
        assert!(gone.is_empty());
        let (list, gone) = with(&parse(&list), &set(&["compare.json"]));
        assert_eq!(parse(&list), [set(&["summary.json", "series.csv"]), set(&["compare.json"])]);
        assert!(gone.is_empty());
        let (list, gone) = with(&parse(&list), &set(&["summary.json", "tips.csv"]));
        assert_eq!(parse(&list), [set(&["compare.json"]), set(&["summary.json", "tips.csv"])]);
        assert_eq!(gone, ["series.csv"]);
    }

    #[test]
    fn a_list_cannot_name_a_file_of_another_folder() {
        let listed = parse("1  a.csv\n1  ../b.csv\n1  /c.csv\n1  ..\nno digest\n1  d.csv\n");
        let (_, gone) = with(&listed, &set(&["a.csv"]));
        assert_eq!(gone, ["d.csv"]);
    }
}
