//! The gallery: each picture is the one that its command draws.
//!
//! Below each picture a comment says which file of the command's output it is: `<!-- picture: out/NAME.png -->`.

use crate::once;
use checks::root;
use std::collections::BTreeMap;
use std::path::PathBuf;

/// Most that one picture may take, and all of them, bytes.
const MOST: u64 = 150_000;
const MOST_IN_ALL: u64 = 2_500_000;
/// Share of the pixels that may differ: rounding of another processor moves an edge, no more.
const MAY_DIFFER: f64 = 0.002;

/// A picture of the page.
struct Picture {
    /// Its name in `docs/pictures`.
    name: String,
    /// What the command writes it as.
    made_as: String,
    command: String,
}

impl Picture {
    /// Where the documents have it.
    fn kept(&self) -> PathBuf {
        root().join("docs/pictures").join(&self.name)
    }
}

/// The pictures of the page that a command makes.
fn pictures() -> Vec<Picture> {
    let page = std::fs::read_to_string(root().join("docs/gallery.md")).unwrap();
    let after = |text: &str, mark: &str, end: char| {
        let rest = text.split_once(mark).unwrap_or_else(|| panic!("no {mark} in {text}")).1;
        rest.split(end).next().unwrap().trim().to_owned()
    };
    let made = page.split("](pictures/").skip(1).filter(|piece| piece.contains("<!-- picture:"));
    let picture = |piece: &str| Picture {
        name: piece.split(')').next().unwrap().to_owned(),
        made_as: after(piece, "<!-- picture: out/", ' '),
        command: after(piece, "\n    millstream ", '\n'),
    };
    made.map(picture).collect()
}

/// Width, height and colours of the picture called `name` that the bytes of a PNG hold.
fn pixels(png: &[u8], name: &str) -> (u32, u32, Vec<u8>) {
    let mut reader = png::Decoder::new(std::io::Cursor::new(png)).read_info().unwrap();
    let mut bytes = vec![0; reader.output_buffer_size().unwrap()];
    let info = reader.next_frame(&mut bytes).unwrap();
    assert_eq!(info.color_type, png::ColorType::Rgb, "{name}");
    bytes.truncate(info.buffer_size());
    (info.width, info.height, bytes)
}

/// Share of the pixels of `a` that are not those of `b`.
fn differing(a: &[u8], b: &[u8]) -> f64 {
    let pairs = a.chunks(3).zip(b.chunks(3));
    let far = |(x, y): &(&[u8], &[u8])| x.iter().zip(*y).any(|(x, y)| x.abs_diff(*y) > 24);
    pairs.filter(far).count() as f64 / (a.len() as f64 / 3.0)
}

#[test]
fn pictures_of_the_gallery_are_what_their_commands_draw() {
    let mut by_command: BTreeMap<String, Vec<Picture>> = BTreeMap::new();
    for picture in pictures() {
        by_command.entry(picture.command.clone()).or_default().push(picture);
    }
    assert!(by_command.len() >= 8);
    let mut wrong = Vec::new();
    for (command, pictures) in by_command {
        once::with(&format!("millstream {command}"), |outcome| {
            assert_eq!(outcome.printed.code, 0, "{command}: {}", outcome.printed.err);
            for picture in pictures {
                let (made, kept) = (&outcome.files[&picture.made_as], picture.kept());
                if std::env::var_os("MILLSTREAM_REWRITE").is_some() {
                    std::fs::write(&kept, made).unwrap();
                }
                let ((.., made), (.., kept)) = (
                    pixels(made, &picture.name),
                    pixels(&std::fs::read(kept).unwrap(), &picture.name),
                );
                let off = if made.len() == kept.len() { differing(&made, &kept) } else { 1.0 };
                if off > MAY_DIFFER {
                    wrong.push(format!("{}: {off:.4} of it differs", picture.name));
                }
            }
        });
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn pictures_of_the_documents_are_shown_and_small() {
    let mut all = 0;
    let shown = ["README.md", "docs/gallery.md", "docs/speed.md"]
        .map(|page| std::fs::read_to_string(root().join(page)).unwrap())
        .join("");
    for entry in std::fs::read_dir(root().join("docs/pictures")).unwrap() {
        let entry = entry.unwrap();
        if entry.path().is_dir() {
            continue;
        }
        let (name, size) = (entry.file_name(), entry.metadata().unwrap().len());
        let name = name.to_string_lossy();
        assert!(size <= MOST, "{name} takes {size} bytes");
        assert!(shown.contains(&format!("pictures/{name})")), "nothing shows {name}");
        all += size;
    }
    assert!(all <= MOST_IN_ALL, "{all} bytes of pictures");
}

#[test]
fn a_picture_that_is_not_the_other_is_told() {
    let (white, mut other) = (vec![255; 3000], vec![255; 3000]);
    assert_eq!(differing(&white, &other), 0.0);
    other[..30].fill(0);
    assert!((differing(&white, &other) - 0.01).abs() < 1e-12);
}
