use super::*;
use crate::plumbing::boom::{Feed, check, example};
use crate::plumbing::connect::cut_off;
use crate::plumbing::{NodeId, Plumbing};
use approx::assert_relative_eq;
use proptest::prelude::*;
use std::collections::BTreeSet;

fn count(plumbing: &Plumbing, part: &str) -> usize {
    plumbing.branches.iter().filter(|b| b.name.contains(part)).count()
}

fn tube_length(plumbing: &Plumbing) -> f64 {
    let tubes = plumbing.branches.iter().filter(|b| b.side == Side::Boom);
    tubes.filter_map(|b| b.part.line()).map(|line| line.length_m).sum()
}

#[test]
fn a_centre_fed_section_has_a_tee_and_two_stubs() {
    let plumbing = build(&example(6, 12, Feed::Centre, false)).plumbing;
    assert_eq!(plumbing.tips.len(), 72);
    assert_eq!(plumbing.tees.len(), 6);
    assert_eq!(count(&plumbing, "-tube-"), 6 * (12 + 2));
    assert_relative_eq!(tube_length(&plumbing), 6.0 * (11.0 * 0.5 + 2.0 * 0.06), epsilon = 1e-9);
    assert_eq!(plumbing.sections[0].far_ends.len(), 2);
    assert_eq!(count(&plumbing, "return"), 0);
}

#[test]
fn a_one_end_fed_section_that_returns_has_no_stub() {
    let built = build(&example(6, 12, Feed::OuterEnd, true));
    let plumbing = &built.plumbing;
    assert!(plumbing.tees.is_empty());
    assert_eq!(count(plumbing, "-tube-"), 6 * 13);
    assert_relative_eq!(tube_length(plumbing), 36.0, epsilon = 1e-9);
    assert_eq!(count(plumbing, "-return"), 6);
    assert!(built.roles.return_valve.is_some());
}

#[test]
fn hoses_reach_from_the_header_to_where_they_enter() {
    let plumbing = build(&example(2, 4, Feed::OuterEnd, true)).plumbing;
    let hose = plumbing.branches.iter().find(|b| b.name == "1-hose").unwrap();
    // The outer end of the left section stands 2 m from the centre; half a metre is added.
    assert_relative_eq!(hose.part.line().unwrap().length_m, 2.5, epsilon = 1e-9);
}

#[test]
fn roll_lifts_the_right_end() {
    let mut design = example(2, 10, Feed::Centre, false);
    design.roll_rad = 0.1;
    let plumbing = build(&design).plumbing;
    let last = plumbing.tips.last().unwrap();
    assert_relative_eq!(plumbing.node(last.node).elevation_m, last.x_m * 0.1f64.sin());
    assert!(last.x_m > 0.0);
}

#[test]
fn section_names_of_any_kind_make_unique_part_names() {
    let mut design = example(2, 4, Feed::Centre, false);
    design.sections[0].name = "left wing".into();
    design.sections[1].name = "left-wing".into();
    let plumbing = build(&design).plumbing;
    assert!(plumbing.branches.iter().any(|b| b.name == "left-wing_2-valve"));
}

proptest! {
    #[test]
    fn every_design_builds_to_a_connected_mirrored_boom(
        sections in 1usize..14, tips in 1usize..13, spacing in 0.25f64..0.76,
        feed in 0u8..3, returns in any::<bool>(),
    ) {
        let feed = [Feed::Centre, Feed::InnerEnd, Feed::OuterEnd][feed as usize];
        let mut design = example(sections, tips, feed, returns);
        design.sections.iter_mut().for_each(|s| s.spacing_m = spacing);
        design.width_m = spacing * (sections * tips) as f64;
        prop_assert!(check(&design, |m| m.to_string()).is_empty());
        let plumbing = build(&design).plumbing;
        let tank = |node: NodeId| plumbing.node(node).tank.is_some();
        prop_assert!(cut_off(&plumbing, |_| true, tank).is_empty());
        let nodes: BTreeSet<&str> = plumbing.nodes.iter().map(|n| n.name.as_str()).collect();
        let branches: BTreeSet<&str> = plumbing.branches.iter().map(|b| b.name.as_str()).collect();
        prop_assert_eq!(nodes.len(), plumbing.nodes.len());
        prop_assert_eq!(branches.len(), plumbing.branches.len());
        let x: Vec<f64> = plumbing.tips.iter().map(|tip| tip.x_m).collect();
        prop_assert!(x.windows(2).all(|w| (w[1] - w[0] - spacing).abs() < 1e-9));
        prop_assert!((x[0] + x[x.len() - 1]).abs() < 1e-9);
    }
}
