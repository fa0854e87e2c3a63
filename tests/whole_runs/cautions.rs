//! What must be said wherever compressed air is reported.

use checks::command::millstream;
use checks::{put_beside_data, root};
use serde_json::Value;

/// Codes of the warnings of the purge of the Heron 36, its file changed by `change`.
fn cautions(change: impl Fn(String) -> String) -> Vec<String> {
    let text =
        std::fs::read_to_string(root().join("scenarios/heron-36m-purge-together.toml")).unwrap();
    let text = change(text).replace("for = \"90 s\"", "for = \"1 s\"");
    let folder = tempfile::tempdir().unwrap();
    let file = put_beside_data(&text, folder.path());
    let printed = millstream(&["run", &file.to_string_lossy(), "--json"]);
    assert_eq!(printed.code, 0, "{}", printed.err);
    let summary: Value = serde_json::from_str(&printed.out).unwrap();
    let warnings = summary["steps"][0]["findings"]["warnings"].as_array().unwrap().iter();
    warnings.map(|warning| warning["code"].as_str().unwrap().to_owned()).collect()
}

fn blown_with(material: &str, regulated: &str) -> Vec<String> {
    cautions(|text| {
        text.replace("material = \"stainless\"", &format!("material = \"{material}\""))
            .replace("regulated = \"2 bar\"", &format!("regulated = \"{regulated}\""))
            .replace("relief = \"2.5 bar\"", "relief = \"7.9 bar\"")
    })
}

/// Pressures allowed for blowing out lines (a state university's extension service, as quoted): 50 psi in polyethylene,
/// 80 psi in rigid PVC; piping codes (ASME B31.3 A323.4.2, B31.9 923.3.2, as quoted) allow no compressed gas in PVC.
#[test]
fn a_purge_cautions_of_stored_energy_ratings_and_plastics() {
    let has = |codes: &[String], code: &str| codes.iter().any(|other| other == code);
    let steel = blown_with("stainless", "2 bar");
    assert!(has(&steel, "compressed_air") && has(&steel, "no_rating"), "{steel:?}");
    assert!(!has(&steel, "material_pressure") && !has(&steel, "brittle_plastic"), "{steel:?}");
    let soft = blown_with("polyethylene", "6.5 bar");
    assert!(has(&soft, "material_pressure") && !has(&soft, "brittle_plastic"), "{soft:?}");
    let brittle = blown_with("pvc", "2 bar");
    assert!(has(&brittle, "brittle_plastic") && !has(&brittle, "material_pressure"), "{brittle:?}");
    assert!(has(&blown_with("pvc", "6.5 bar"), "material_pressure"));
}
