//! What the findings of a step hold: the numbers a sprayer engineer acts on.

use super::circulation::Circulation;
use super::drool::Drool;
use super::filling::Filling;
use super::purge::Purge;
use super::rinse::Rinse;
use super::standing::Standing;
use crate::plumbing::{BranchId, SectionId, TipId};
use crate::simulation::Arrival;

/// What one step's record means. Shares are fractions (0.1 is 10 %).
#[derive(Clone, Debug, Default, PartialEq)]
pub struct StepFindings {
    /// Each pump's operating point.
    pub pumps: Vec<PumpDuty>,
    /// Each control of the step.
    pub held: Vec<HeldFinding>,
    /// Each tip, in the plumbing's order.
    pub tips: Vec<TipFinding>,
    /// The whole boom; `None` when no tip runs.
    pub boom: Option<BoomFinding>,
    /// Each section, in the plumbing's order.
    pub sections: Vec<SectionFinding>,
    /// Each branch with a loss, ranked by the power it takes, largest first.
    pub losses: Vec<LossFinding>,
    /// Rate over the field; `None` without travel or running tips.
    pub application: Option<Application>,
    /// When new liquid came to the tips; `None` for a step that lasts no time.
    pub priming: Option<Priming>,
    /// What flows back to the tank; `None` where nothing returns.
    pub circulation: Option<Circulation>,
    /// What capped ends push out after shut-off; `None` where every tip shuts for itself.
    pub drool: Option<Drool>,
    /// How clean a rinse left the machine.
    pub rinse: Option<Rinse>,
    /// What standing did to suspended product.
    pub standing: Option<Standing>,
    /// How lines that held air filled.
    pub filling: Option<Filling>,
    /// What a purge that ends with this step did.
    pub purge: Option<Purge>,
    /// Limits that apply, each met or not.
    pub verdicts: Vec<Verdict>,
    /// What the user must be told beside the numbers.
    pub warnings: Vec<Warning>,
}

/// A pump's operating point.
#[derive(Clone, Debug, PartialEq)]
pub struct PumpDuty {
    /// Which branch.
    pub branch: BranchId,
    /// Flow, m3/s.
    pub flow_m3_s: f64,
    /// Rise of total pressure, Pa.
    pub rise_pa: f64,
    /// Head, m of the pumped liquid.
    pub head_m: f64,
    /// Speed as a share of the curve's speed.
    pub speed: f64,
    /// Power given to the liquid, W.
    pub hydraulic_power_w: f64,
    /// Efficiency at this point, if the scenario gives a curve.
    pub efficiency: Option<f64>,
    /// Power taken at the shaft, W, if efficiency is known.
    pub shaft_power_w: Option<f64>,
    /// Net positive suction head available, m.
    pub npsh_available_m: f64,
    /// Net positive suction head required, m, if the scenario gives a curve.
    pub npsh_required_m: Option<f64>,
}

/// How a control stands.
#[derive(Clone, Debug, PartialEq)]
pub struct HeldFinding {
    /// What should be held, Pa or m3/s.
    pub wanted: f64,
    /// What it came to, in the same quantity (Pa or m3/s).
    pub got: f64,
    /// Whether the quantity is a pressure (else a flow).
    pub is_pressure: bool,
    /// Name of the gauge node or branch where it is held.
    pub at: String,
    /// Name of the pump or valve that moves.
    pub by: String,
    /// Where it stands: speed share or opening.
    pub actuator: f64,
    /// Whether the set value is reached.
    pub reached: bool,
}

/// One tip.
#[derive(Clone, Debug, PartialEq)]
pub struct TipFinding {
    /// Which.
    pub tip: TipId,
    /// Static pressure at its body, Pa gauge.
    pub pressure_pa: f64,
    /// Flow, m3/s.
    pub flow_m3_s: f64,
    /// Flow from its table at the held pressure (at the mean tip pressure where none is held),
    /// corrected for density and duty, m3/s.
    pub nominal_flow_m3_s: f64,
    /// Flow over nominal, less 1; `None` for a shut tip.
    pub from_nominal: Option<f64>,
    /// Flow over the mean of running tips of its size, less 1; `None` for a shut tip.
    pub from_mean: Option<f64>,
    /// Where its pressure lies against its droplet window; `None` without a window or when shut.
    pub window: Option<Window>,
}

/// Where a pressure lies against a window.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Window {
    /// Below it: coarser droplets, pattern may fail.
    Below,
    /// Inside.
    Inside,
    /// Above it: finer droplets, more drift.
    Above,
}

/// The running tips of the whole boom.
#[derive(Clone, Debug, PartialEq)]
pub struct BoomFinding {
    /// Flow of all tips, m3/s.
    pub flow_m3_s: f64,
    /// Mean tip pressure, Pa gauge.
    pub mean_pressure_pa: f64,
    /// (highest - lowest) / mean of tip pressures.
    pub spread: f64,
    /// Standard deviation over mean of tip flows over their own nominal.
    pub flow_variation: f64,
    /// Tip at the lowest pressure.
    pub lowest: TipId,
    /// Tip at the highest pressure.
    pub highest: TipId,
}

/// One section.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionFinding {
    /// Which.
    pub section: SectionId,
    /// How many of its tips run.
    pub running: usize,
    /// Flow of its tips, m3/s.
    pub flow_m3_s: f64,
    /// Static pressure where its tube is fed, Pa gauge, if known.
    pub feed_end_pa: Option<f64>,
    /// Lowest static pressure of its far ends, Pa gauge, if known.
    pub far_end_pa: Option<f64>,
    /// Spread of its running tips' pressures; `None` when none runs.
    pub spread: Option<f64>,
    /// Drop from the held gauge to the far end, as a share of the gauge; `None` without either.
    pub drop_from_gauge: Option<f64>,
}

/// What one branch takes.
#[derive(Clone, Debug, PartialEq)]
pub struct LossFinding {
    /// Which.
    pub branch: BranchId,
    /// Mean velocity, m/s; lines only.
    pub velocity_m_s: Option<f64>,
    /// Reynolds number; lines only.
    pub reynolds: Option<f64>,
    /// Loss of total pressure in the direction of flow, Pa.
    pub loss_pa: f64,
    /// Power it takes, W.
    pub power_w: f64,
    /// That power as a share of what all pumps give the liquid.
    pub share: f64,
}

/// Rate over the field.
#[derive(Clone, Debug, PartialEq)]
pub struct Application {
    /// Rate, m (m3 per m2).
    pub rate_m: f64,
    /// Rate wanted, m, if given.
    pub wanted_m: Option<f64>,
    /// Forward speed, m/s.
    pub speed_m_s: f64,
    /// Width covered by the running tips, m.
    pub width_m: f64,
}

/// When new liquid came to the tips, and what was sprayed until then.
#[derive(Clone, Debug, PartialEq)]
pub struct Priming {
    /// How long the step lasted, s.
    pub lasted_s: f64,
    /// Whether new liquid had to come: some tip that counts was not full as the step began.
    pub any_late: bool,
    /// Strength of the tank that feeds the machine, 0 to 1.
    pub fed_strength: f64,
    /// Each tip, in the plumbing's order; times in s after the step's start.
    pub arrivals: Vec<Arrival>,
    /// When the last tip that runs (the last of all, where none runs) came to full strength, s.
    pub all_full_s: Option<f64>,
    /// Each section with tips that count.
    pub sections: Vec<SectionPriming>,
    /// Volume sprayed, m3.
    pub sprayed_m3: f64,
    /// Volume sprayed below full strength, m3.
    pub sprayed_weak_m3: f64,
    /// Product in it, m3 of full strength.
    pub product_weak_m3: f64,
    /// Price of that product, if a price is given, in the scenario's currency.
    pub weak_price: Option<f64>,
    /// Distance travelled until every tip sprays full strength, m, if travel is given.
    pub weak_distance_m: Option<f64>,
    /// Volume of the lines after the pump in which something flows, over the flow of the main, s.
    pub turnover_s: Option<f64>,
    /// Capped stretches, largest first.
    pub dead_legs: Vec<DeadLeg>,
}

/// When the tips of a section came to full strength, s; `None`: not while the step lasted.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionPriming {
    /// Which.
    pub section: SectionId,
    /// Its first tip.
    pub first_s: Option<f64>,
    /// Its middle tip.
    pub median_s: Option<f64>,
    /// Its last tip.
    pub last_s: Option<f64>,
}

/// A capped stretch beside the stream.
#[derive(Clone, Debug, PartialEq)]
pub struct DeadLeg {
    /// Which line.
    pub branch: BranchId,
    /// Its volume, m3.
    pub volume_m3: f64,
    /// Its length in bores.
    pub bores: f64,
    /// Its mean strength at the end of the step.
    pub strength: f64,
    /// When it was full, s after the step's start; `None`: not while the step lasted.
    pub full_s: Option<f64>,
}

/// How a limit came out.
#[derive(Clone, Debug, PartialEq)]
pub struct Verdict {
    /// Key of the limit in the scenario: `spread`, `section_drop`, ...
    pub limit: &'static str,
    /// What it means, in words.
    pub meaning: &'static str,
    /// The value found, in the SI unit of `measure`.
    pub value: f64,
    /// The largest value that meets it, in the same unit.
    pub at_most: f64,
    /// What value and limit are.
    pub measure: Measure,
    /// Where the worst value stands: a tip, section or line name, if one place has it.
    pub place: Option<String>,
    /// Who demands it.
    pub source: String,
    /// Whether it is met.
    pub met: bool,
}

/// What a limit is measured in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measure {
    /// A share, 1.
    Share,
    /// A velocity, m/s.
    Velocity,
    /// A time, s.
    Time,
    /// A volume, m3.
    Volume,
}

/// Something the user must be told.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Warning {
    /// Short fixed word for programs: `tip_below_window`, `not_held`, ...
    pub code: &'static str,
    /// One or two sentences for people, names included, in no particular unit system unless it
    /// carries numbers, which are then in both.
    pub text: String,
}
