//! In whose units people read.

use checks::command::millstream;
use checks::root;

fn shipped(name: &str) -> String {
    root().join(format!("scenarios/{name}.toml")).to_string_lossy().into_owned()
}

#[test]
fn a_comparison_takes_the_units_of_its_first_scenario_unless_it_is_asked_for_others() {
    let (si, us) = (shipped("larkfield-12m"), shipped("otterbend-90ft-nitrogen"));
    let is_us = |args: &[&str]| {
        let printed = millstream(args);
        assert_eq!(printed.code, 0, "{}", printed.err);
        let (psi, bar) = (printed.out.contains(" psi"), printed.out.contains(" bar"));
        assert_ne!(psi, bar, "{args:?}: {}", printed.out);
        psi
    };
    assert!(!is_us(&["compare", &si, &us]));
    assert!(is_us(&["compare", &us, &si]));
    assert!(!is_us(&["compare", &us, &si, "--units", "si"]));
}

#[test]
fn a_scenario_in_us_units_is_expanded_in_them_to_the_last_digit() {
    let printed = millstream(&["expand", &shipped("sableflat-132ft-centre")]);
    assert!(printed.out.contains("units = \"us\""), "{}", printed.out);
    for value in
        ["bore = \"3.5 in\"", "kv = \"150 cv\"", "speed = \"13 mph\"", "rate = \"22 gal/ac\""]
    {
        assert!(printed.out.contains(value), "{value}: {}", printed.out);
    }
}
