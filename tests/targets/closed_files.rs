//! The only files an input can name: the demo data, and one that the input itself brings.

use sim_core::scenario::Files;

const KNOWN: [(&str, &str); 7] = [
    ("heron-centrifugal.csv", include_str!("../../scenarios/pumps/heron-centrifugal.csv")),
    ("larkfield-diaphragm.csv", include_str!("../../scenarios/pumps/larkfield-diaphragm.csv")),
    ("sableflat-centrifugal.csv", include_str!("../../scenarios/pumps/sableflat-centrifugal.csv")),
    (
        "28-percent-nitrogen-solution.toml",
        include_str!("../../scenarios/liquids/28-percent-nitrogen-solution.toml"),
    ),
    (
        "32-percent-nitrogen-solution.toml",
        include_str!("../../scenarios/liquids/32-percent-nitrogen-solution.toml"),
    ),
    (
        "viscous-adjuvant-mix.toml",
        include_str!("../../scenarios/liquids/viscous-adjuvant-mix.toml"),
    ),
    ("water.toml", include_str!("../../scenarios/liquids/water.toml")),
];

/// Files that never touch the disk: whatever a path says, its last piece is looked up among the demo data; `input`
/// is what the input brought.
pub(super) struct Closed<'a> {
    pub(super) brought: Option<&'a str>,
}

impl Files for Closed<'_> {
    fn read(&self, path: &str) -> Result<String, String> {
        let name = path.rsplit('/').next().unwrap_or(path);
        if let (Some(text), true) = (self.brought, name == "input") {
            return Ok(text.to_owned());
        }
        let found = KNOWN.iter().find(|(known, _)| *known == name);
        found.map(|(_, text)| (*text).to_owned()).ok_or_else(|| "there is no such file".into())
    }
}
