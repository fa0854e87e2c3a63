//! Two commands that write into one folder.

use crate::support::{contents, message, run, scenario, whole};

#[test]
fn two_runs_into_one_folder_at_once_leave_one_whole_set() {
    let scenarios =
        ["heron-36m-prime-centre.toml", "sableflat-132ft-recirculate.toml"].map(scenario);
    let sets = [whole(&scenarios[0]), whole(&scenarios[1])];
    assert_ne!(sets[0].keys().collect::<Vec<_>>(), sets[1].keys().collect::<Vec<_>>());
    let place = tempfile::tempdir().unwrap();
    for round in 0..4 {
        let out = place.path().join(format!("out{}", round / 2));
        let children = scenarios.each_ref().map(|scenario| run(scenario, &out).spawn().unwrap());
        for child in children {
            let output = child.wait_with_output().unwrap();
            assert!(output.status.success(), "{}", message(&output));
        }
        let now = contents(&out);
        assert!(sets.contains(&now), "a mixture: {:?}", now.keys());
    }
}

#[test]
fn many_runs_of_one_scenario_into_one_folder_leave_its_files_and_nothing_else() {
    let scenario = scenario("larkfield-12m.toml");
    let set = whole(&scenario);
    let place = tempfile::tempdir().unwrap();
    let out = place.path().join("out");
    let children: Vec<_> = (0..5).map(|_| run(&scenario, &out).spawn().unwrap()).collect();
    for child in children {
        let output = child.wait_with_output().unwrap();
        assert!(output.status.success(), "{}", message(&output));
    }
    assert!(contents(&out) == set);
}
