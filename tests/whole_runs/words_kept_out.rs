//! Words that no file of the repository may hold: makers, their products, programs for the same job, labels given up.
//!
//! The list names nobody: an entry is the start of a SHA-256, of the words in small letters with nothing between them.
//! One entry so covers `two words`, `two-words`, `TWO_WORDS`, `TwoWords` and `twowords`. A word that is common by itself
//! goes in with the word beside it. To add an entry, print it and put it into `words_kept_out.txt`:
//!
//! ```text
//! MILLSTREAM_WORDS="two words" cargo test -p checks --test whole_runs prints_an_entry -- --ignored --nocapture
//! ```

use checks::root;
use rayon::prelude::*;
use sha2::{Digest, Sha256};
use std::collections::HashMap;
use std::process::Command;

/// The list.
const KEPT_OUT: &str = include_str!("words_kept_out.txt");

/// Most words of an entry.
const LONGEST: usize = 4;

/// The entry of `words`.
fn entry(words: &str) -> u64 {
    let hash = Sha256::digest(words.as_bytes());
    hash.iter().take(8).fold(0, |entry, byte| entry << 8 | u64::from(*byte))
}

/// A word in small letters, and its bytes in the text.
struct Word {
    letters: String,
    start: usize,
    end: usize,
}

/// The words of `text`: letters and digits in a row; a capital after a small letter starts another.
fn words(text: &str) -> Vec<Word> {
    let mut words: Vec<Word> = Vec::new();
    let mut before = ' ';
    for (start, letter) in text.char_indices() {
        let goes_on = before.is_alphanumeric() && !(before.is_lowercase() && letter.is_uppercase());
        if letter.is_alphanumeric() {
            if !goes_on {
                words.push(Word { letters: String::new(), start, end: start });
            }
            let last = words.last_mut().expect("a word was begun");
            last.letters.extend(letter.to_lowercase());
            last.end = start + letter.len_utf8();
        }
        before = letter;
    }
    words
}

/// Whether words with `between` them belong together.
fn joins(between: &str) -> bool {
    between.chars().all(|letter| letter.is_whitespace() || "-_/".contains(letter))
}

/// Places in `text` where up to [`LONGEST`] words in a row are one of `entries`: the byte, and the entry's line in the list.
fn found(text: &str, entries: &HashMap<u64, usize>) -> Vec<(usize, usize)> {
    let words = words(text);
    let mut found = Vec::new();
    for (at, first) in words.iter().enumerate() {
        let (mut together, mut end) = (String::new(), first.start);
        for word in words[at..].iter().take(LONGEST) {
            if !joins(&text[end..word.start]) {
                break;
            }
            together.push_str(&word.letters);
            end = word.end;
            found.extend(entries.get(&entry(&together)).map(|number| (first.start, *number)));
        }
    }
    found
}

/// Entries of the list that hold for files whose path ends as `path` does, each with its line there.
fn entries(path: &str) -> HashMap<u64, usize> {
    let mut entries = HashMap::new();
    for (line, number) in KEPT_OUT.lines().zip(1..).filter(|(line, _)| !line.starts_with('#')) {
        let (hash, ending) = line.split_once(' ').unwrap_or((line, ""));
        assert_eq!(hash.len(), 16, "line {number} of the list");
        if path.ends_with(ending) {
            let known = entries.insert(u64::from_str_radix(hash, 16).unwrap(), number);
            assert_eq!(known, None, "line {number} of the list is there already");
        }
    }
    entries
}

/// Paths of the files that are kept under version control, from the root.
fn tracked() -> Vec<String> {
    let git = Command::new("git")
        .args(["-c", "safe.directory=*", "ls-files", "-z"])
        .current_dir(root())
        .output()
        .unwrap();
    assert!(git.status.success(), "{}", String::from_utf8_lossy(&git.stderr));
    let paths = String::from_utf8(git.stdout).unwrap();
    paths.split_terminator('\0').map(str::to_owned).collect()
}

/// Places in the name and the text of the file at `path` that hold an entry.
fn look(path: &str) -> Vec<String> {
    let entries = entries(path);
    let in_name = found(path, &entries).into_iter();
    let mut places: Vec<String> =
        in_name.map(|(_, number)| format!("{path}: line {number}, in its name")).collect();
    // Pictures and fonts are no text; a file that was taken away has none.
    let Ok(text) = std::fs::read_to_string(root().join(path)) else { return places };
    let line = |at: usize| 1 + text[..at].matches('\n').count();
    let in_text = found(&text, &entries).into_iter();
    places.extend(in_text.map(|(at, number)| format!("{path}:{}: line {number}", line(at))));
    places
}

#[test]
fn no_file_holds_a_word_that_is_kept_out() {
    if !root().join(".git").exists() {
        eprintln!("skipped: which files are kept is known in a checkout alone");
        return;
    }
    let files = tracked();
    assert!(files.len() > 1000, "{} files", files.len());
    let places: Vec<String> = files.par_iter().flat_map_iter(|path| look(path)).collect();
    let list = "words_kept_out.txt";
    assert!(places.is_empty(), "words of these lines of {list} occur:\n{}", places.join("\n"));
}

#[test]
fn an_entry_is_found_in_every_spelling_of_its_words_and_in_no_others() {
    // SHA-256 of "heronboom", by another program.
    let entries = HashMap::from([(0xa5f05c63d338d563, 7)]);
    for text in [
        "heron boom",
        "a HERON_BOOM",
        "\"Heron-Boom\"",
        "heronBoom::new",
        "of heron\n  boom.",
        "x/heron/boom",
    ] {
        let places = found(text, &entries);
        assert_eq!(places, [(text.to_lowercase().find("heron").unwrap(), 7)], "{text}");
    }
    for text in [
        "heron | boom",
        "heron, boom",
        "herons boom",
        "heron booms",
        "a heron and a boom",
        "heronbooms",
    ] {
        assert_eq!(found(text, &entries), [], "{text}");
    }
}

#[test]
fn an_entry_with_an_ending_holds_for_such_files_alone() {
    assert!(entries("a.txt").len() > 100);
    assert!(entries("a.rs").len() > entries("a.txt").len());
}

#[test]
#[ignore = "prints what to add to the list"]
fn prints_an_entry() {
    let text = std::env::var("MILLSTREAM_WORDS").expect("MILLSTREAM_WORDS holds the words");
    let words = words(&text);
    assert!((1..=LONGEST).contains(&words.len()), "an entry has one to {LONGEST} words");
    let together: String = words.into_iter().map(|word| word.letters).collect();
    println!("{:016x}", entry(&together));
}
