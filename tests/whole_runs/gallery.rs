//! The gallery: each picture is the one that its command draws.
//!
//! Below each picture a comment says which file of the command's output it is: `<!-- picture: out/NAME.png -->`.

use checks::command::typed;
use checks::root;
use rayon::prelude::*;
use std::collections::BTreeMap;
use std::path::Path;

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

/// Width, height and colours of the picture at `path`.
fn pixels(path: &Path) -> (u32, u32, Vec<u8>) {
    let file = std::fs::File::open(path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    let mut reader = png::Decoder::new(std::io::BufReader::new(file)).read_info().unwrap();
    let mut bytes = vec![0; reader.output_buffer_size().unwrap()];
    let info = reader.next_frame(&mut bytes).unwrap();
    assert_eq!(info.color_type, png::ColorType::Rgb, "{}", path.display());
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
    let wrong: Vec<String> = by_command
        .into_par_iter()
        .flat_map(|(command, pictures)| {
            let place = tempfile::tempdir().unwrap();
            let printed = typed(&format!("millstream {command}"), place.path());
            assert_eq!(printed.code, 0, "{command}: {}", printed.err);
            let check = |picture: Picture| {
                let made = place.path().join("out").join(&picture.made_as);
                let kept = root().join("docs/pictures").join(&picture.name);
                if std::env::var_os("MILLSTREAM_REWRITE").is_some() {
                    std::fs::copy(&made, &kept).unwrap();
                }
                let ((.., made), (.., kept)) = (pixels(&made), pixels(&kept));
                let off = if made.len() == kept.len() { differing(&made, &kept) } else { 1.0 };
                (off > MAY_DIFFER).then(|| format!("{}: {off:.4} of it differs", picture.name))
            };
            pictures.into_iter().filter_map(check).collect::<Vec<_>>()
        })
        .collect();
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
