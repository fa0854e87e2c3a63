use super::*;
use crate::plumbing::boom::{Feed, build, example};
use crate::plumbing::{Gauge, TankConnection, TankId, Tee};

fn valid() -> Plumbing {
    build(&example(2, 3, Feed::Centre, true)).plumbing
}

fn branch(plumbing: &Plumbing, kind: &str) -> usize {
    plumbing.branches.iter().position(|b| b.part.kind() == kind).unwrap()
}

#[test]
fn a_built_boom_is_sound_and_so_is_nothing() {
    assert_eq!(valid().check(), Ok(()));
    assert_eq!(Plumbing::default().check(), Ok(()));
}

#[test]
fn references_to_nothing_are_named() {
    let nowhere = NodeId::at(10_000);
    let breaks: [fn(&mut Plumbing, NodeId); 8] = [
        |p, node| p.branches[0].from = node,
        |p, node| p.branches[0].to = node,
        |p, node| p.tips[0].node = node,
        |p, node| p.gauges.push(Gauge { name: "g".into(), node }),
        |p, node| p.sections[0].far_ends.push(node),
        |p, node| p.sections[0].valve = Some(BranchId::at(node.index())),
        |p, _| p.nodes[0].tank = Some(TankConnection { tank: TankId::at(7) }),
        |p, node| {
            let run = [BranchId::at(0), BranchId::at(node.index())];
            p.tees.push(Tee { node: NodeId::at(0), run, side_branch: BranchId::at(1) });
        },
    ];
    for broken in breaks {
        let mut plumbing = valid();
        broken(&mut plumbing, nowhere);
        assert!(matches!(plumbing.check(), Err(Invalid::Reference { .. })));
    }
}

#[test]
fn figures_out_of_range_are_named_with_their_part() {
    let mut plumbing = valid();
    let i = branch(&plumbing, "line");
    for bore_m in [f64::NAN, -0.02, 0.0, f64::INFINITY] {
        let Part::Line(line) = &mut plumbing.branches[i].part else { panic!() };
        line.bore_m = bore_m;
        let said = plumbing.check().unwrap_err().to_string();
        assert!(said.starts_with("bore_m of line suction is "), "{said}");
    }
}

#[test]
fn a_pump_without_a_curve_is_named() {
    let mut plumbing = valid();
    let i = branch(&plumbing, "pump");
    for curve in [(vec![], vec![]), (vec![0.0], vec![5.0]), (vec![0.0, 0.0], vec![5.0, 4.0])] {
        let Part::Pump(pump) = &mut plumbing.branches[i].part else { panic!() };
        (pump.curve.flow_m3_s, pump.curve.head_m) = curve;
        assert!(matches!(plumbing.check(), Err(Invalid::Curve { .. })));
    }
}
