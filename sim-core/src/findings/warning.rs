//! What to read beside the numbers, as data: sentences are made by who shows it.

use super::controls::ControlFinding;
use super::named::Named;
use super::purge::{NodePressure, OpenedTips, RanBack, RatingUse};
use crate::plumbing::{BranchId, NodeId, SectionId, TipId};
use schemars::JsonSchema;
use serde::Serialize;

/// Something to read beside the numbers.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(tag = "code", rename_all = "snake_case")]
pub enum Warning {
    /// A setpoint is not reached.
    NotHeld(ControlFinding),
    /// Closed valves cut nodes off: nothing flows there and the pressure stays what it was.
    CutOff {
        /// Which nodes.
        nodes: Vec<Named<NodeId>>,
    },
    /// A part is held closed by the pressure behind it; nothing passes.
    HeldClosed {
        /// Which part.
        branch: Named<BranchId>,
    },
    /// A pump runs and passes nothing: what it gives does not lift what presses against it.
    PumpIdle {
        /// Which pump.
        pump: Named<BranchId>,
        /// Rise of pressure at no flow.
        gives_pa: f64,
        /// Rise from which something would pass.
        needs_pa: f64,
    },
    /// A check valve sees less pressure than it needs to open.
    CheckValveClosed {
        /// Which valve.
        branch: Named<BranchId>,
        /// Pressure difference across it.
        across_pa: f64,
        /// Pressure difference at which it opens.
        opens_at_pa: f64,
    },
    /// A pump runs beyond the last point of its curve; pressure there is extrapolated.
    BeyondCurve {
        /// Which pump.
        pump: Named<BranchId>,
    },
    /// A pump would cavitate.
    SuctionShort {
        /// Which pump.
        pump: Named<BranchId>,
        /// Net positive suction head available.
        available_m: f64,
        /// Net positive suction head required.
        required_m: f64,
    },
    /// Open tips are below atmospheric pressure and would draw air.
    TipBelowAtmosphere {
        /// Which tips.
        tips: Vec<Named<TipId>>,
    },
    /// Tips are below the opening pressure of their check valves.
    TipCheckClosed {
        /// Which tips.
        tips: Vec<Named<TipId>>,
    },
    /// Tips are below their droplet window.
    TipBelowWindow {
        /// Which tips.
        tips: Vec<Named<TipId>>,
    },
    /// Tips are above their droplet window.
    TipAboveWindow {
        /// Which tips.
        tips: Vec<Named<TipId>>,
    },
    /// Return hoses carry liquid back into their sections while these spray: sections are joined by their returns.
    ReturnsJoined {
        /// Which hoses.
        lines: Vec<ReturnBackflow>,
    },
    /// Sections spray through their return hoses though their valve is closed.
    ClosedSectionSprays {
        /// Which sections.
        sections: Vec<Named<SectionId>>,
    },
    /// A step is to circulate, and nothing comes back from the boom.
    NothingCirculates {
        /// Whether the machine has a return side at all.
        has_return: bool,
        /// Whether no pump runs.
        pumps_rest: bool,
    },
    /// A step circulates, and nothing moves in the tubes of open sections.
    SectionsNotCirculated {
        /// Which sections.
        sections: Vec<Named<SectionId>>,
    },
    /// A step circulates with tips closed, and the pressure would open tips that nothing but a check valve closes.
    TipsWouldOpen {
        /// Which tips.
        tips: Vec<Named<TipId>>,
        /// Highest pressure at any tip with a check valve, gauge.
        highest_pa: f64,
    },
    /// A step is to spray, and no tip does.
    NothingSprays {
        /// Whether no pump runs.
        pumps_rest: bool,
        /// Whether every section is closed.
        sections_closed: bool,
    },
    /// A step is to prime, and every tip has full strength from its start.
    NothingToPrime,
    /// The last rinse began with liquid that is not as clean as tips are to become, and they did not.
    RinseNotClean {
        /// Concentration of the tank that feeds the machine at the step's start.
        fed_concentration: f64,
        /// Concentration wanted at tips.
        wanted: f64,
    },
    /// The last rinse leaves lines that nothing flows through with more than is wanted.
    NotRinsed {
        /// Which lines.
        lines: Vec<Named<BranchId>>,
        /// Product in them, as volume at full strength.
        product_m3: f64,
    },
    /// A purge brings nothing back into the tank.
    NothingReturned,
    /// Lines are between laminar and turbulent flow, where friction is uncertain by half.
    BetweenRegimes {
        /// Which lines.
        lines: Vec<Named<BranchId>>,
        /// The largest loss among them.
        largest_loss_pa: f64,
    },
    /// What is not known of the liquid.
    Liquid {
        /// In words.
        caution: String,
    },
    /// A line may stop faster than a rigid column of liquid can follow: its peaks of pressure are too low.
    FastStop {
        /// Which line.
        line: Named<BranchId>,
        /// Loss of velocity.
        fall_m_s: f64,
        /// Time it takes.
        ramp_s: f64,
        /// Rise of pressure if it stopped at once, in hose and in tube (Joukowsky 1898).
        rises: [WaveRise; 2],
    },
    /// A column of liquid parts where it stops too fast: pressures of that time are shown as vapour pressure.
    ColumnParts {
        /// Where a column that held together would pull most.
        node: Named<NodeId>,
        /// What it would pull, gauge.
        lowest_pa: f64,
        /// When it parts first, after the step's start.
        from_s: f64,
        /// For how long in all.
        lasts_s: f64,
    },
    /// Compressed air is at work.
    CompressedAir {
        /// Energy stored in the charged receiver, if there is one.
        #[serde(skip_serializing_if = "Option::is_none")]
        stored_j: Option<f64>,
        /// Pressure of the relief valve, gauge, if one is described.
        #[serde(skip_serializing_if = "Option::is_none")]
        relief_pa: Option<f64>,
    },
    /// No line states a rating: nothing says whether it bears the pressure.
    NoRating(NodePressure),
    /// A line is above its rating.
    OverRating(RatingUse),
    /// Lines of a material are above the pressure that blow-out practice allows.
    MaterialPressure {
        /// The material.
        material: &'static str,
        /// How many lines are of it.
        lines: usize,
        /// What practice allows, gauge.
        allowed_pa: f64,
        /// The pressure reached, gauge.
        reached_pa: f64,
    },
    /// Lines are of PVC, which shatters under compressed gas.
    BrittlePlastic {
        /// How many lines are of it.
        lines: usize,
    },
    /// Liquid that was back in the tank ran into the lines again.
    RanBack(RanBack),
    /// Tips open while air blows: mix and air are lost to the ground there.
    TipsOpened {
        /// Which tips.
        #[serde(flatten)]
        opened: OpenedTips,
        /// Liquid lost.
        lost_m3: f64,
    },
}

/// A return hose that flows back into its section.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ReturnBackflow {
    /// Which hose.
    pub line: Named<BranchId>,
    /// Flow from the return header into the section.
    pub flow_m3_s: f64,
}

/// Rise of pressure in a line that stops at once.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct WaveRise {
    /// Velocity of the pressure wave.
    pub wave_m_s: f64,
    /// Rise of pressure.
    pub rise_pa: f64,
}
