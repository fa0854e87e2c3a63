//! What probes read at a moment.

use crate::fluids::{GRAVITY_M_S2, Liquid};
use crate::hydraulics::FlowState;
use crate::plumbing::{BranchId, Line, NodeId, Plumbing};
use crate::procedure::{Course, ProbePlace};
use crate::transport::{Contents, LinePhases};

/// What a probe reads at a moment.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ProbeSample {
    /// Static pressure, Pa gauge.
    pub pressure_pa: f32,
    /// Flow of liquid, m3/s: along the line it is in, or all that comes to its node.
    pub flow_m3_s: f32,
    /// Concentration, 0 to 1: the mean over the bore of a line; not a number where there is no liquid.
    pub concentration: f32,
    /// Share of the bore that is liquid, 0 to 1; of a node, of what passes it.
    pub liquid_share: f32,
}

/// What the probes of `course` read.
pub(super) fn read(
    plumbing: &Plumbing,
    course: &Course,
    contents: &Contents<'_>,
    instant: &FlowState,
) -> Vec<ProbeSample> {
    let read = |place: ProbePlace| match place {
        ProbePlace::Node(node) => at_node(plumbing, contents, instant, node),
        ProbePlace::Along { line, distance_m } => {
            let part = plumbing.branch(line).part.line();
            part.map_or_else(ProbeSample::default, |part| {
                let along =
                    Along { line, part, share: (distance_m / part.length_m).clamp(0.0, 1.0) };
                along.read((plumbing, course), contents, instant)
            })
        }
    };
    course.record.probes.iter().map(|probe| read(probe.place)).collect()
}

fn at_node(
    plumbing: &Plumbing,
    contents: &Contents<'_>,
    instant: &FlowState,
    node: NodeId,
) -> ProbeSample {
    let flows = plumbing.branches.iter().zip(&instant.flow_m3_s);
    let comes = flows.map(|(branch, q)| match node {
        _ if branch.to == node => q.max(0.0),
        _ if branch.from == node => (-q).max(0.0),
        _ => 0.0,
    });
    let concentration = match plumbing.node(node).tank {
        Some(connection) => contents.tank_concentration(connection.tank),
        None => contents.concentration_near(node),
    };
    ProbeSample {
        pressure_pa: instant.static_pressure_pa[node.index()] as f32,
        flow_m3_s: comes.sum::<f64>() as f32,
        concentration: concentration as f32,
        liquid_share: contents.liquid_share_at(node) as f32,
    }
}

/// A place in a line.
struct Along<'a> {
    line: BranchId,
    part: &'a Line,
    /// Its share of the length from the `from` end on.
    share: f64,
}

impl Along<'_> {
    fn read(
        &self,
        (plumbing, course): (&Plumbing, &Course),
        contents: &Contents<'_>,
        instant: &FlowState,
    ) -> ProbeSample {
        let branch = plumbing.branch(self.line);
        let ends = [branch.from, branch.to].map(|node| instant.total_pressure_pa[node.index()]);
        let flow_m3_s = instant.flow_m3_s[self.line.index()];
        let phases = contents.phases(self.line);
        let mut pressure_pa = self.between(ends, &phases);
        if phases == LinePhases::FULL {
            pressure_pa += self.hangs_pa(&course.liquid);
            if course.model.velocity_head {
                let velocity = flow_m3_s / self.part.area_m2();
                pressure_pa -= 0.5 * course.liquid.density_kg_m3 * velocity * velocity;
            }
        }
        let concentration = contents.concentration_along(self.line, self.share);
        ProbeSample {
            pressure_pa: pressure_pa as f32,
            flow_m3_s: flow_m3_s as f32,
            concentration: concentration.map_or(f32::NAN, |c| c as f32),
            liquid_share: phases.liquid_at(self.share) as f32,
        }
    }

    /// Pressure between those of the `ends`: all that a line loses and rises is along its column, or along all of it where it
    /// holds none.
    fn between(&self, [from_pa, to_pa]: [f64; 2], phases: &LinePhases) -> f64 {
        let [begins, ends] = phases.column.map_or([0.0, 1.0], |column| column.map(f64::from));
        let within = if ends > begins { (self.share - begins) / (ends - begins) } else { 0.5 };
        from_pa + (to_pa - from_pa) * within.clamp(0.0, 1.0)
    }

    /// What the liquid of a line that sags weighs above this place beyond a straight one, Pa.
    fn hangs_pa(&self, liquid: &Liquid) -> f64 {
        let below_m = self.part.sag_m * (1.0 - (2.0 * self.share - 1.0).abs());
        liquid.density_kg_m3 * GRAVITY_M_S2 * below_m
    }
}
