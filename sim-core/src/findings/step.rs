//! All findings of one step.

use super::after_drip::AfterDrip;
use super::application::Application;
use super::boom::BoomFinding;
use super::circulation::Circulation;
use super::controls::ControlFinding;
use super::filling::Filling;
use super::losses::LossFinding;
use super::outcome::Outcome;
use super::priming::Priming;
use super::pumps::PumpDuty;
use super::purge::Purge;
use super::rinse::Rinse;
use super::sections::SectionFinding;
use super::standing::Standing;
use super::tips::TipFinding;
use super::verdict::Verdict;
use super::warning::Warning;
use schemars::JsonSchema;
use serde::Serialize;

/// What one step's record means. Shares are fractions (0.1 is 10 %).
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct StepFindings {
    /// How a step that lasts ended, and what it moved.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub outcome: Option<Outcome>,
    /// Each pump's operating point.
    pub pumps: Vec<PumpDuty>,
    /// Each control of the step.
    pub controls: Vec<ControlFinding>,
    /// Each tip.
    pub tips: Vec<TipFinding>,
    /// The running tips of the whole boom; left out where none runs.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub boom: Option<BoomFinding>,
    /// Each section.
    pub sections: Vec<SectionFinding>,
    /// Each line and part that passes flow, the largest power first.
    pub losses: Vec<LossFinding>,
    /// Rate over the field; left out without travel or running tips.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub application: Option<Application>,
    /// When new liquid came to the tips of a step that lasts.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub priming: Option<Priming>,
    /// What flows back to the tank; left out where nothing returns.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub circulation: Option<Circulation>,
    /// What capped ends push out after shut-off; left out where every tip shuts for itself.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub after_drip: Option<AfterDrip>,
    /// How clean a rinse left the machine.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rinse: Option<Rinse>,
    /// What standing did to suspended product.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub standing: Option<Standing>,
    /// How lines that held air filled.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub filling: Option<Filling>,
    /// What the purge that ends with this step did.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub purge: Option<Purge>,
    /// Each limit that applies, met or not.
    pub verdicts: Vec<Verdict>,
    /// What to read beside the numbers.
    pub warnings: Vec<Warning>,
}
