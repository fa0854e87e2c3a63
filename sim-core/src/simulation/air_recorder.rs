//! Watches air in a step.

use super::air_record::{AirRecord, AirSample, ReceiverRecord};
use crate::air::REFERENCE_DENSITY_KG_M3;
use crate::fluids::GaugePressure;
use crate::hydraulics::{FlowState, STILL_M3_S};
use crate::plumbing::{BranchId, NodeId, Plumbing, SectionId, Tip, TipId};
use crate::procedure::{Step, Until};
use crate::transport::{AirAccount, Contents, LineLeft};

/// Flow of liquid into tanks from which it counts as coming back, m3/s: 0.1 mL in a second.
const COMES_BACK_M3_S: f64 = 1e-7;
/// Time over which pressures are averaged before they count, s: slugs and columns that stop at once make shorter
/// peaks, which a model of rigid columns does not tell.
const SUSTAINED_S: f64 = 0.05;

/// By how much a pressure must have risen to be more than what is left over from before, Pa.
const RISEN_PA: f64 = 100.0;

/// Watches what air does in one step.
#[derive(Clone)]
pub(super) struct AirRecorder {
    record: AirRecord,
    account: AirAccount,
    held_kg: f64,
    inlet: Option<NodeId>,
    supplied_kg: f64,
    supplied_m3_s: f64,
    opened: Vec<bool>,
    asked: Vec<bool>,
    /// Gauge pressure of each node, averaged over about the time a wave takes through a line.
    sustained_pa: Vec<f64>,
    /// The lowest of that so far.
    lowest_pa: Vec<f64>,
    /// Whether it has looked at a move.
    looked: bool,
}

impl AirRecorder {
    /// Sets out to watch `step`, ahead of which pressures were as `before` has them.
    pub(super) fn new(
        plumbing: &Plumbing,
        contents: &Contents<'_>,
        step: &Step,
        before: &FlowState,
    ) -> Self {
        let left = contents.left();
        let wet = |tip: &Tip| (!contents.has_air_at(tip.node)).then_some(0.0);
        let open = |section: Option<SectionId>| {
            !section.is_some_and(|section| step.settings.closes(plumbing, section))
        };
        let asked: Vec<bool> = plumbing.tips.iter().map(|tip| open(tip.section)).collect();
        let none_open = asked.iter().all(|asked| !asked);
        Self {
            record: AirRecord {
                at_start_m3: left.iter().map(LineLeft::liquid_m3).sum(),
                broken_through_s: vec![None; plumbing.branches.len()],
                wet_s: plumbing.tips.iter().map(wet).collect(),
                receiver: contents.supply().map(|supply| {
                    let now = supply.receiver;
                    ReceiverRecord { start: now, end: now, lowest: now }
                }),
                ..AirRecord::default()
            },
            account: contents.air_account(),
            held_kg: contents.air_kg(),
            inlet: step.purge.map(|purge| purge.node),
            supplied_kg: contents.air_account().supplied_kg,
            supplied_m3_s: 0.0,
            opened: vec![false; plumbing.tips.len()],
            sustained_pa: before.total_pressure_pa.clone(),
            looked: false,
            lowest_pa: before.total_pressure_pa.clone(),
            asked: asked.into_iter().map(|asked| asked || none_open).collect(),
        }
    }

    /// Looks at the move of `dt_s` that ended at `time_s` of the step; `raw` are the flows as solved, `liquid`
    /// those of liquid alone.
    pub(super) fn look(
        &mut self,
        plumbing: &Plumbing,
        contents: &Contents<'_>,
        (raw, liquid): (&FlowState, &FlowState),
        time_s: f64,
        dt_s: f64,
    ) {
        for branch in contents.broken_through() {
            self.record.broken_through_s[branch.index()].get_or_insert(time_s);
        }
        let came = contents.came_to_tanks();
        self.record.returned += came;
        if self.record.returned.liquid_m3 > self.record.most_returned.0 {
            self.record.most_returned = (self.record.returned.liquid_m3, time_s);
        }
        if came.liquid_m3 > COMES_BACK_M3_S * dt_s {
            self.record.last_liquid_s = Some(time_s);
        }
        for (i, tip) in plumbing.tips.iter().enumerate() {
            if self.record.wet_s[i].is_none() && !contents.has_air_at(tip.node) {
                self.record.wet_s[i] = Some(time_s);
            }
            let volume = liquid.tip_flow_m3_s[i] * dt_s;
            self.record.lost.add(volume, contents.concentration_near(tip.node));
            if raw.tip_flow_m3_s[i] > STILL_M3_S && !self.opened[i] {
                self.opened[i] = true;
                self.record.tips_opened += 1;
                self.record.opened.get_or_insert((TipId::at(i), time_s));
            }
        }
        let mut asked = plumbing.tips.iter().zip(&self.asked);
        let stands = |tip: &Tip| !contents.has_air_at(tip.node);
        if self.record.filled_s.is_none() && asked.all(|(tip, asked)| stands(tip) || !asked) {
            self.record.filled_s = Some(time_s);
        }
        self.look_at_pressures(plumbing, contents, raw, dt_s);
        let supplied = contents.air_account().supplied_kg;
        self.supplied_m3_s = (supplied - self.supplied_kg) / REFERENCE_DENSITY_KG_M3 / dt_s;
        self.supplied_kg = supplied;
    }

    fn look_at_pressures(
        &mut self,
        plumbing: &Plumbing,
        contents: &Contents<'_>,
        raw: &FlowState,
        dt_s: f64,
    ) {
        if !self.looked {
            self.looked = true;
            // Air that comes in is at its pressure at once; of liquid, the first pressure is that of before the step.
            for (node, sustained) in self.sustained_pa.iter_mut().enumerate() {
                if contents.has_air_at(NodeId::at(node)) {
                    *sustained = sustained.max(raw.total_pressure_pa[node]);
                }
            }
        }
        let follows = 1.0 - (-dt_s / SUSTAINED_S).exp();
        for (sustained, now) in self.sustained_pa.iter_mut().zip(&raw.total_pressure_pa) {
            *sustained += follows * (now - *sustained);
        }
        for (lowest, sustained) in self.lowest_pa.iter_mut().zip(&self.sustained_pa) {
            *lowest = lowest.min(*sustained);
        }
        // Parts bear what this step brings: a pressure that only is left over from before has not risen.
        let borne = |node: usize| {
            let pa = self.sustained_pa[node];
            if pa > self.lowest_pa[node] + RISEN_PA { pa } else { 0.0 }
        };
        let pressures = (0..self.sustained_pa.len()).map(|node| (node, borne(node)));
        let highest = pressures.max_by(|a, b| a.1.total_cmp(&b.1)).filter(|(_, pa)| *pa > 0.0);
        if let Some((node, pa)) = highest {
            let now = GaugePressure { pa }.absolute();
            if self.record.highest.is_none_or(|(most, _)| now > most) {
                self.record.highest = Some((now, NodeId::at(node)));
            }
        }
        for (i, branch) in plumbing.branches.iter().enumerate() {
            let Some(rating) = branch.part.line().and_then(|line| line.rating_pa) else { continue };
            let [a, b] = [branch.from, branch.to].map(|node| borne(node.index()));
            let share = a.max(b) / rating;
            if self.record.over_rating.is_none_or(|(most, _)| share > most) {
                self.record.over_rating = Some((share, BranchId::at(i)));
            }
        }
        if let (Some(receiver), Some(supply)) = (&mut self.record.receiver, contents.supply()) {
            receiver.end = supply.receiver;
            receiver.lowest = receiver.lowest.min(supply.receiver);
        }
    }

    /// Whether what `until` waits for has come by `time_s` of the step.
    pub(super) fn reached(&self, until: Until, time_s: f64) -> bool {
        match until {
            Until::Filled => self.record.filled_s.is_some(),
            Until::NoLiquid(quiet_s) => {
                self.record.last_liquid_s.is_some_and(|last| time_s - last >= quiet_s)
            }
            Until::ReceiverDown(pa) => {
                let end = GaugePressure { pa }.absolute();
                self.record.receiver.is_some_and(|receiver| receiver.end <= end)
            }
            Until::Time | Until::FullStrength | Until::Rinsed | Until::TankEmpty => false,
        }
    }

    pub(super) fn sample(&self, contents: &Contents<'_>, raw: &FlowState) -> AirSample {
        let branches = (0..self.record.broken_through_s.len()).map(BranchId::at);
        let gauge = |node: NodeId| raw.total_pressure_pa[node.index()] as f32;
        AirSample {
            lines: branches.map(|id| contents.phases(id)).collect(),
            returned_m3: self.record.returned.liquid_m3 as f32,
            lost_m3: self.record.lost.liquid_m3 as f32,
            receiver_pa: contents.supply().map(|supply| supply.receiver.pa as f32),
            inlet_pa: self.inlet.map(gauge),
            supplied_m3_s: self.supplied_m3_s as f32,
        }
    }

    /// The record, at the end of the step.
    pub(super) fn finish(mut self, contents: &Contents<'_>) -> AirRecord {
        let record = &mut self.record;
        record.left = contents.left();
        record.caught = contents.caught().to_vec();
        record.account = contents.air_account().since(&self.account);
        let moved = self.held_kg + record.account.supplied_kg + record.account.drawn_kg;
        let off = contents.air_kg() - self.held_kg - record.account.net_kg();
        record.error = if moved > 0.0 { (off / moved).abs() } else { 0.0 };
        self.record
    }
}
