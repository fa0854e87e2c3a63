//! What a fuzzer, and the kept corpus of its inputs, drive: each takes bytes and panics where a promise is broken.

mod closed_files;
mod finite;
mod given_files;
mod mutate;
mod readings_text;
mod scenario_text;
mod short_run;

pub use finite::not_finite;
pub use mutate::shortened;

/// A target: its name, which is its folder in the corpus, and what it does with an input.
pub type Target = (&'static str, fn(&[u8]));

/// Every target.
pub const TARGETS: [Target; 4] = [
    ("scenario_text", scenario_text::target),
    ("readings_text", readings_text::target),
    ("given_files", given_files::target),
    ("short_run", short_run::target),
];

/// Drives the target of that name.
///
/// # Panics
/// Where there is none, or a promise is broken.
pub fn drive(name: &str, input: &[u8]) {
    let target = TARGETS.into_iter().find(|(known, _)| *known == name);
    let Some((_, target)) = target else { panic!("there is no target {name}") };
    target(input);
}
