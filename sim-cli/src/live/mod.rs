//! The live page: one file with a machine in it that can be changed and played.

mod base64;

use crate::report::{self, PageData, Parts};
use crate::results::{Loaded, PROGRAM, Source};
use crate::words::{AIR_CAUTION, CAUTION, LIMITS_OF_THE_MODEL};
use base64::base64;
use page_model::page::Drawing;
use report::{embedded, escaped, fill};
use serde::Serialize;
use std::collections::BTreeMap;

/// The engine of the page, a module of WebAssembly through gzip; none where it was not built with this command.
#[cfg(feature = "live")]
pub(crate) const ENGINE: Option<&[u8]> =
    Some(include_bytes!(concat!(env!("OUT_DIR"), "/live.wasm.gz")));
/// The same.
#[cfg(not(feature = "live"))]
pub(crate) const ENGINE: Option<&[u8]> = None;

/// How a command with the engine is built.
pub(crate) const HOW_TO_BUILD: &str = "this millstream was built without the live page; `rustup target add \
    wasm32-unknown-unknown` and `cargo install --path sim-cli --features live` build one with it";

/// The script of the page, beside what it shares with the report's.
const SCRIPT: [&str; 9] = [
    include_str!("page/engine.js"),
    include_str!("page/settings.js"),
    include_str!("page/along.js"),
    include_str!("page/answers.js"),
    include_str!("page/editor.js"),
    include_str!("page/player.js"),
    include_str!("page/address.js"),
    include_str!("page/stage.js"),
    include_str!("page/live.js"),
];

/// What the script is given.
#[derive(Serialize)]
struct LiveData<'a> {
    #[serde(flatten)]
    page: PageData,
    text: &'a str,
    files: &'a BTreeMap<String, String>,
    /// Of a network, which the engine has no layers for.
    #[serde(skip_serializing_if = "Option::is_none")]
    drawing: Option<Drawing>,
}

/// The live page of what was `loaded`, with the `files` that it names and the `engine` of [`ENGINE`].
pub(crate) fn html(loaded: &Loaded, files: &BTreeMap<String, String>, engine: &[u8]) -> String {
    let scenario = &loaded.scenario;
    let body = fill(
        include_str!("page/live.html"),
        &[
            ("title", &escaped(&scenario.title)),
            ("about", &escaped(scenario.about.as_deref().unwrap_or_default())),
            ("caution", &escaped(CAUTION)),
            ("air_caution", &escaped(AIR_CAUTION)),
            ("model", &escaped(LIMITS_OF_THE_MODEL)),
            ("program", PROGRAM),
            ("file", &escaped(&Source::of(loaded).file)),
            ("engine", &base64(engine)),
        ],
    );
    let page = PageData::new(Vec::new(), scenario.units);
    let drawing = Some(Drawing::of(&scenario.machine, scenario.units)).filter(|of| !of.is_boom());
    let data = embedded(&LiveData { page, text: &loaded.text, files, drawing });
    let parts =
        Parts { style: include_str!("page/live.css"), script: &SCRIPT.concat(), computes: true };
    report::page(&scenario.title, &body, &data, &parts)
}
