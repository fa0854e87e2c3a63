//! Times and instruction counts, and how they grow: `cargo bench -p sim-cli --bench costs`. See `docs/speed.md`.
//!
//! With `shipped`, only the shipped work; with `growth`, only the boom that grows, which draws the pictures of that
//! page. Instructions are counted by valgrind, which runs this program again, one case at a time; without it the
//! table has times alone and the pictures show those.

#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    missing_docs,
    unreachable_pub,
    reason = "a bench may stop, and prints"
)]

mod cases;
mod chart;
mod measure;

use cases::{PURGED_SECONDS, PURGED_TIPS, SECONDS, SHIPPED, TIPS, work};
use chart::{Series, draw};
use measure::{ONCE, exponent, instructions, seconds};
use std::path::Path;

fn main() {
    let args: Vec<String> = std::env::args().skip(1).collect();
    if let Some(at) = args.iter().position(|arg| arg == ONCE) {
        let mut work = work(&args[at + 1]);
        (0..args[at + 2].parse::<usize>().unwrap()).for_each(|_| work());
        return;
    }
    let asked = |what: &str| {
        args.iter().any(|arg| arg == what) || args.iter().all(|arg| arg.starts_with("--"))
    };
    if asked("shipped") {
        shipped();
    }
    if asked("growth") {
        growth();
    }
}

fn shown(count: Option<f64>) -> String {
    count.map_or_else(|| "no valgrind".into(), |count| format!("{:.2}", count / 1e6))
}

fn milliseconds(seconds: f64) -> String {
    format!("{:.2}", 1e3 * seconds)
}

/// A table of shipped work, and the row of it for the history.
fn shipped() {
    println!("\n| case | what | million instructions | ms |\n| --- | --- | --- | --- |");
    let mut row = String::new();
    for (name, what) in SHIPPED {
        let (count, time) = (instructions(name), seconds(name));
        println!("| {name} | {what} | {} | {} |", shown(count), milliseconds(time));
        row += &format!(
            " {} |",
            count.map_or_else(
                || format!("{} ms", milliseconds(time)),
                |c| format!("{:.1}", c / 1e6)
            )
        );
    }
    println!("\nFor the history:\n| DATE | COMMIT |{row}");
}

/// Cost against size, as tables and pictures.
fn growth() {
    let by_tips = [("steady", &TIPS[..]), ("circulating", &TIPS), ("purging", &PURGED_TIPS)];
    picture("speed-by-tips.png", "tips", &by_tips, true);
    let by_seconds = [("circulating for", &SECONDS[..]), ("purging for", &PURGED_SECONDS)];
    picture("speed-by-seconds.png", "simulated seconds, 72 tips", &by_seconds, false);
}

/// Measures `kinds` in all their sizes; tells the power each follows on the picture, if it follows one.
fn picture(file: &str, x: &str, kinds: &[(&str, &[usize])], one_power: bool) {
    println!("\n| kind | {x} | million instructions | ms | power from the one before |");
    println!("| --- | --- | --- | --- | --- |");
    let mut all = Vec::new();
    let mut counted = true;
    for (kind, sizes) in kinds {
        let mut points: Vec<(f64, f64)> = Vec::new();
        for size in *sizes {
            let name = format!("{kind}/{size}");
            let (count, time) = (instructions(&name), seconds(&name));
            counted = counted && count.is_some();
            points.push((*size as f64, count.unwrap_or(1e3 * time)));
            let local =
                points.len().checked_sub(2).map(|at| format!("{:.2}", exponent(&points[at..])));
            let local = local.unwrap_or_default();
            println!("| {kind} | {size} | {} | {} | {local} |", shown(count), milliseconds(time));
        }
        let fitted = format!("{:.2}", exponent(&points));
        println!("| {kind} | all | | | {fitted} |");
        let what = kind.trim_end_matches(" for");
        let name = if one_power { format!("{what}: power {fitted}") } else { what.into() };
        all.push(Series { name, points });
    }
    let y = if counted { "instructions" } else { "milliseconds" };
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../docs/pictures").join(file);
    draw(&path, x, y, &all);
    println!("\nDrawn: docs/pictures/{file}");
}
