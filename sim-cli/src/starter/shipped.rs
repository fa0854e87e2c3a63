//! Shipped machines to start from.

use sim_core::units::suggestion;
use std::path::{Path, PathBuf};

/// A shipped machine.
pub(crate) struct Shipped {
    /// Its name, that of its file.
    pub(crate) name: &'static str,
    /// Its scenario.
    text: &'static str,
}

/// The scenarios of this repository, by the names of their files.
macro_rules! scenarios {
    ($($name:literal)+) => {
        &[$(Shipped {
            name: $name,
            text: include_str!(concat!("../../../scenarios/", $name, ".toml")),
        }),+]
    };
}

/// The files beside them that they name.
macro_rules! beside {
    ($($path:literal)+) => { &[$(($path, include_str!(concat!("../../../scenarios/", $path)))),+] };
}

static SHIPPED: &[Shipped] = scenarios! {
    "heron-36m-centre" "heron-36m-one-end" "heron-36m-prime-centre" "heron-36m-prime-one-end" "heron-36m-stand"
    "heron-36m-field-hour" "heron-36m-fill-empty" "heron-36m-purge-together" "heron-36m-purge-one-at-a-time"
    "larkfield-12m" "larkfield-12m-two-tips" "otterbend-90ft-nitrogen" "quill-loop"
    "sableflat-132ft-centre" "sableflat-132ft-one-end" "sableflat-132ft-recirculate"
    "sableflat-132ft-purge-check-valves" "willowsink-80ft-rinse" "willowsink-80ft-sag"
};
static BESIDE: &[(&str, &str)] = beside! {
    "pumps/heron-centrifugal.csv" "pumps/larkfield-diaphragm.csv" "pumps/sableflat-centrifugal.csv"
    "liquids/28-percent-nitrogen-solution.toml"
};

impl Shipped {
    /// The scenario without what only its own folder makes sense of.
    pub(crate) fn scenario(&self) -> String {
        let lines = self.text.lines().filter(|line| !line.starts_with("#:schema"));
        lines.map(|line| format!("{line}\n")).collect()
    }

    /// What it shows: the comment at its head.
    fn shows(&self) -> &'static str {
        let comment = self.text.lines().filter(|line| !line.starts_with("#:"));
        let comment = comment.filter_map(|line| line.strip_prefix("# "));
        comment.take(1).next().unwrap_or_default()
    }

    /// The files that it names, under their paths from its own folder.
    pub(crate) fn beside(&self) -> impl Iterator<Item = (PathBuf, &'static str)> {
        let named = BESIDE.iter().filter(|(path, _)| self.text.contains(&format!("\"{path}\"")));
        named.map(|(path, text)| (Path::new(path).to_path_buf(), *text))
    }
}

/// The shipped machine called `name`.
///
/// # Errors
/// Says which there are.
pub(crate) fn shipped(name: &str) -> Result<&'static Shipped, String> {
    let names = || SHIPPED.iter().map(|shipped| shipped.name);
    SHIPPED.iter().find(|shipped| shipped.name == name.trim_end_matches(".toml")).ok_or_else(|| {
        let list = format!("Shipped machines: {}", names().collect::<Vec<_>>().join(", "));
        format!(
            "--from: there is no shipped machine \"{name}\"\nhelp: {}",
            suggestion(name, names(), '"', &list)
        )
    })
}

/// Every shipped machine and what it shows, a line each.
pub(crate) fn list() -> String {
    let widest = SHIPPED.iter().map(|shipped| shipped.name.len()).max().unwrap_or(0);
    let line = |shipped: &Shipped| format!("{:widest$}  {}\n", shipped.name, shipped.shows());
    SHIPPED.iter().map(line).collect()
}
