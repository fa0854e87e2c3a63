//! Can a plumbing that was put together in code be computed?
//!
//! A scenario file is checked by its reader, with places in the file. This is the check of what a program builds by
//! itself: references lead somewhere, figures lie in their range.

use super::{
    AirSupply, Branch, BranchId, Displacement, Line, NodeId, Opening, Part, Plumbing, Pump,
    Section, SectionId, ShutOff, Tank, Tip, Valve,
};

/// Why a plumbing, or what is to be done with it, cannot be computed.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Invalid {
    /// Something refers to a thing that is not there.
    #[error("{thing} refers to {kind} number {index}, and there are {count}")]
    Reference {
        /// What refers, kind and name.
        thing: String,
        /// Kind of what it refers to.
        kind: &'static str,
        /// Position it refers to, from 0.
        index: usize,
        /// How many of that kind there are.
        count: usize,
    },
    /// A figure lies outside its range, or is none.
    #[error("{figure} of {thing} is {value}; it must be {range}")]
    Figure {
        /// What has the figure, kind and name.
        thing: String,
        /// Name of the figure, unit included.
        figure: &'static str,
        /// Its value.
        value: f64,
        /// What would be right, in words.
        range: &'static str,
    },
    /// A curve is none.
    #[error("the {curve} of {thing} needs two or more points whose flows rise")]
    Curve {
        /// What has the curve, kind and name.
        thing: String,
        /// Name of the curve.
        curve: &'static str,
    },
    /// A list is not as long as what it speaks of.
    #[error("{list} has {given} entries; the plumbing needs {needed}")]
    Length {
        /// Name of the list.
        list: &'static str,
        /// Its length.
        given: usize,
        /// The length that fits.
        needed: usize,
    },
    /// A part is not of the kind that is asked of it.
    #[error("{thing} is a {kind}; {needed} is needed there")]
    Kind {
        /// The part, by name.
        thing: String,
        /// What it is.
        kind: &'static str,
        /// What would be right.
        needed: &'static str,
    },
}

/// An error unless `index` lies below `count`.
pub(crate) fn refers(
    thing: impl FnOnce() -> String,
    kind: &'static str,
    index: usize,
    count: usize,
) -> Result<(), Invalid> {
    if index < count {
        return Ok(());
    }
    Err(Invalid::Reference { thing: thing(), kind, index, count })
}

/// An error unless `value` is finite and `fits`.
pub(crate) fn figure(
    thing: impl FnOnce() -> String,
    figure: &'static str,
    value: f64,
    range: &'static str,
    fits: bool,
) -> Result<(), Invalid> {
    if value.is_finite() && fits {
        return Ok(());
    }
    Err(Invalid::Figure { thing: thing(), figure, value, range })
}

/// Figures of one thing, checked one after the other.
struct Figures<N: Fn() -> String>(N);

impl<N: Fn() -> String> Figures<N> {
    fn any(&self, name: &'static str, value: f64) -> Result<&Self, Invalid> {
        figure(&self.0, name, value, "a number", true).map(|()| self)
    }

    fn above_0(&self, name: &'static str, value: f64) -> Result<&Self, Invalid> {
        figure(&self.0, name, value, "a number above 0", value > 0.0).map(|()| self)
    }

    fn at_least_0(&self, name: &'static str, value: f64) -> Result<&Self, Invalid> {
        figure(&self.0, name, value, "a number from 0 on", value >= 0.0).map(|()| self)
    }

    fn share(&self, name: &'static str, value: f64) -> Result<&Self, Invalid> {
        figure(&self.0, name, value, "from 0 to 1", (0.0..=1.0).contains(&value)).map(|()| self)
    }

    fn points(&self, curve: &'static str, points: &[(f64, f64)]) -> Result<&Self, Invalid> {
        let finite = points.iter().all(|(x, y)| x.is_finite() && y.is_finite());
        if finite && points.windows(2).all(|pair| pair[0].0 < pair[1].0) {
            return Ok(self);
        }
        Err(Invalid::Curve { thing: (self.0)(), curve })
    }
}

impl Plumbing {
    /// Whether every reference leads somewhere and every figure lies in its range, as the fields' docs state them.
    /// What [`scenario::read`](crate::scenario::read) and [`boom::build`](super::boom::build) return is valid.
    ///
    /// # Errors
    /// The first thing found that is not.
    pub fn check(&self) -> Result<(), Invalid> {
        for node in &self.nodes {
            let thing = || format!("node {}", node.name);
            Figures(thing).any("elevation_m", node.elevation_m)?;
            if let Some(connection) = node.tank {
                refers(thing, "tank", connection.tank.index(), self.tanks.len())?;
            }
        }
        self.tanks.iter().try_for_each(tank)?;
        for branch in &self.branches {
            let thing = || format!("{} {}", branch.part.kind(), branch.name);
            self.has_node(thing, branch.from)?;
            self.has_node(thing, branch.to)?;
            self.has_section(thing, branch.section)?;
            part(branch)?;
        }
        for one in &self.tips {
            let thing = || format!("tip {}", one.name);
            self.has_node(thing, one.node)?;
            self.has_section(thing, one.section)?;
            tip(one)?;
        }
        for tee in &self.tees {
            let thing = || "a tee".to_owned();
            self.has_node(thing, tee.node)?;
            let [a, b] = tee.run;
            [a, b, tee.side_branch].into_iter().try_for_each(|arm| self.has_branch(thing, arm))?;
        }
        self.gauges
            .iter()
            .try_for_each(|gauge| self.has_node(|| format!("gauge {}", gauge.name), gauge.node))?;
        self.sections.iter().try_for_each(|section| self.section(section))?;
        self.air.iter().try_for_each(|supply| self.air_supply(supply))
    }

    /// An error unless there is a node `node`.
    pub(crate) fn has_node(
        &self,
        thing: impl FnOnce() -> String,
        node: NodeId,
    ) -> Result<(), Invalid> {
        refers(thing, "node", node.index(), self.nodes.len())
    }

    /// An error unless there is a branch `branch`.
    pub(crate) fn has_branch(
        &self,
        thing: impl FnOnce() -> String,
        branch: BranchId,
    ) -> Result<(), Invalid> {
        refers(thing, "branch", branch.index(), self.branches.len())
    }

    fn has_section(
        &self,
        thing: impl FnOnce() -> String,
        section: Option<SectionId>,
    ) -> Result<(), Invalid> {
        section.map_or(Ok(()), |id| refers(thing, "section", id.index(), self.sections.len()))
    }

    fn section(&self, section: &Section) -> Result<(), Invalid> {
        let thing = || format!("section {}", section.name);
        section.valve.map_or(Ok(()), |valve| self.has_branch(thing, valve))?;
        let ends = section.feed_end.iter().chain(&section.far_ends);
        ends.copied().try_for_each(|node| self.has_node(thing, node))
    }

    fn air_supply(&self, air: &AirSupply) -> Result<(), Invalid> {
        let thing = || "the supply of air".to_owned();
        let below_1 = (0.0..1.0).contains(&air.critical_ratio);
        figure(thing, "critical_ratio", air.critical_ratio, "from 0 to below 1", below_1)?;
        Figures(thing)
            .above_0("regulated_pa", air.regulated_pa)?
            .at_least_0("receiver_m3", air.receiver_m3)?
            .at_least_0("charged_to_pa", air.charged_to_pa)?
            .at_least_0("free_air_m3_s", air.free_air_m3_s)?
            .above_0("conductance_m3_s_pa", air.conductance_m3_s_pa)?;
        let entry = |entry: &super::AirEntry| {
            self.has_node(|| format!("air entry {}", entry.name), entry.node)
        };
        air.entries.iter().try_for_each(entry)
    }
}

fn tank(tank: &Tank) -> Result<(), Invalid> {
    let figures = Figures(|| format!("tank {}", tank.name));
    figures.any("surface_m", tank.surface_m)?.at_least_0("heel_m3", tank.heel_m3)?;
    tank.capacity_m3.map_or(Ok(()), |m3| figures.at_least_0("capacity_m3", m3).map(|_| ()))?;
    tank.holds_m3.map_or(Ok(()), |m3| figures.at_least_0("holds_m3", m3).map(|_| ()))?;
    tank.concentration
        .map_or(Ok(()), |concentration| figures.share("concentration", concentration).map(|_| ()))
}

fn part(branch: &Branch) -> Result<(), Invalid> {
    let figures = Figures(|| format!("{} {}", branch.part.kind(), branch.name));
    match &branch.part {
        Part::Line(one) => line(&figures, one),
        Part::Valve(one) => valve(&figures, one),
        Part::Strainer(one) | Part::Meter(one) => figures.above_0("kv_si", one.kv_si).map(|_| ()),
        Part::Orifice(one) => {
            let figures = figures.above_0("bore_m", one.bore_m)?;
            figures.above_0("discharge_coefficient", one.discharge_coefficient).map(|_| ())
        }
        Part::CheckValve(one) => {
            let figures = figures.above_0("kv_si", one.kv_si)?;
            figures.at_least_0("opens_at_pa", one.opens_at_pa).map(|_| ())
        }
        Part::Pump(one) => pump(&figures, one),
    }
}

fn line<N: Fn() -> String>(figures: &Figures<N>, line: &Line) -> Result<(), Invalid> {
    figures
        .above_0("bore_m", line.bore_m)?
        .at_least_0("length_m", line.length_m)?
        .at_least_0("losses", line.losses)?
        .at_least_0("fixed_friction", line.fixed_friction.unwrap_or(0.0))?
        .at_least_0("sag_m", line.sag_m)?;
    let below_bore = (0.0..line.bore_m).contains(&line.roughness_m);
    figure(&figures.0, "roughness_m", line.roughness_m, "from 0 to below the bore", below_bore)
}

fn valve<N: Fn() -> String>(figures: &Figures<N>, valve: &Valve) -> Result<(), Invalid> {
    figures.above_0("kv_si", valve.kv_si)?.share("opening", valve.opening)?;
    let Opening::EqualPercentage { rangeability } = valve.characteristic else { return Ok(()) };
    figure(&figures.0, "rangeability", rangeability, "a number above 1", rangeability > 1.0)
}

fn pump<N: Fn() -> String>(figures: &Figures<N>, pump: &Pump) -> Result<(), Invalid> {
    let (flow, head) = (&pump.curve.flow_m3_s, &pump.curve.head_m);
    let points: Vec<(f64, f64)> = flow.iter().copied().zip(head.iter().copied()).collect();
    let whole = flow.len() == head.len() && points.len() >= 2 && points[0].0 >= 0.0;
    if !whole {
        return Err(Invalid::Curve { thing: (figures.0)(), curve: "curve" });
    }
    if let Some(Displacement { swept_m3, turns_s, slip, slip_at_pa }) = pump.displacement {
        figures
            .above_0("swept_m3", swept_m3)?
            .above_0("turns_s", turns_s)?
            .above_0("slip", slip)?
            .above_0("slip_at_pa", slip_at_pa)?;
    }
    figures
        .points("curve", &points)?
        .points("efficiency", &pump.efficiency)?
        .points("required head", &pump.npsh_required)?
        .at_least_0("speed", pump.speed)?
        .above_0("top_speed", pump.top_speed)
        .map(|_| ())
}

fn tip(tip: &Tip) -> Result<(), Invalid> {
    let thing = || format!("tip {}", tip.name);
    Figures(thing)
        .above_0("rated_flow_m3_s", tip.rated_flow_m3_s)?
        .above_0("rated_at_pa", tip.rated_at_pa)?
        .above_0("body_kv_si", tip.body_kv_si.unwrap_or(1.0))?
        .above_0("duty", tip.duty)?
        .share("duty", tip.duty)?
        .any("x_m", tip.x_m)?;
    figure(thing, "wear", tip.wear, "a number above -1", tip.wear > -1.0)?;
    let ShutOff::CheckValve { opens_at_pa, reseats_at_pa, open_loss_pa } = tip.shut_off else {
        return Ok(());
    };
    let below = (0.0..opens_at_pa).contains(&open_loss_pa);
    Figures(thing).above_0("opens_at_pa", opens_at_pa)?.above_0("reseats_at_pa", reseats_at_pa)?;
    figure(thing, "open_loss_pa", open_loss_pa, "from 0 to below the opening pressure", below)
}

#[cfg(test)]
mod tests;
