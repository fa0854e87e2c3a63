//! A study after checking: what is to vary, what is uncertain, what is wanted.

use super::super::fault::InputFault;
use super::search_model::SearchGoals;
use crate::settings::SettingPath;
use std::ops::Range;

/// A study of one machine.
#[derive(Clone, Debug, PartialEq)]
pub struct Study {
    /// What the user calls it.
    pub title: String,
    /// The scenario that it starts from, a path beside the study; `None` where the command names one.
    pub base: Option<String>,
    /// Inputs that are uncertain in a way of their own.
    pub uncertain: Vec<UncertainSetting>,
    /// How many draws of the uncertain inputs, where the user says so.
    pub draws: Option<u32>,
    /// Which of all series of draws, or of all ways to search.
    pub seed: u32,
    /// What is looked for.
    pub goals: SearchGoals,
}

macro_rules! default_inputs {
    ($($(#[doc = $doc:literal])+ $input:ident: $name:literal;)+) => {
        /// An input that is uncertain without being asked, one draw for the whole machine.
        #[derive(Clone, Copy, Debug, PartialEq, Eq)]
        pub enum DefaultInput {
            $($(#[doc = $doc])+ $input,)+
        }

        /// What files call them.
        pub(super) const INPUT_NAMES: &[&str] = &[$($name),+];

        impl DefaultInput {
            /// Each of them.
            pub const ALL: &[Self] = &[$(Self::$input),+];
        }
    };
}

default_inputs! {
    /// Wall roughness of every line.
    Roughness: "roughness";
    /// Loss coefficients of the lines from tank to pump.
    SuctionLosses: "suction_losses";
    /// Loss coefficients of the lines from pump to header.
    MainLosses: "main_losses";
    /// Loss coefficients of the section hoses.
    HoseLosses: "hose_losses";
    /// Loss coefficients along the tubes.
    TubeLosses: "tube_losses";
    /// Loss coefficients of the return lines.
    ReturnLosses: "return_losses";
    /// Loss of valves, strainers and flow meters at equal flow.
    PartLosses: "part_losses";
    /// Bores of hoses and pipes.
    HoseBores: "hose_bores";
    /// Bores of the tubes that carry the tips.
    TubeBores: "tube_bores";
    /// Lengths of hoses and pipes.
    HoseLengths: "hose_lengths";
    /// Flow of all tips together, such as by wear.
    AllTips: "all_tips";
    /// Head of the pump at equal flow.
    PumpHead: "pump_head";
    /// Temperature of the liquid.
    Temperature: "temperature";
    /// Viscosity of the liquid at its temperature.
    Viscosity: "viscosity";
    /// Speed over the field.
    TravelSpeed: "travel_speed";
    /// Free air that the compressor delivers.
    CompressorFlow: "compressor_flow";
    /// What the model leaves open of the layer that a front of air leaves behind.
    PurgeLayer: "purge_layer";
}

impl DefaultInput {
    /// What files call it.
    pub fn name(self) -> &'static str {
        INPUT_NAMES[self as usize]
    }

    /// The input that files call `name`.
    pub(super) fn named(name: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|input| input.name() == name)
    }
}

impl Study {
    /// The fault of a study that a search cannot start from.
    pub fn no_base(&self) -> InputFault {
        InputFault::new(
            0..0,
            "`base` is missing",
            "add `base = \"machine.toml\"`: the scenario that the search starts from",
        )
    }
}

/// An input that is uncertain as the user says.
#[derive(Clone, Debug, PartialEq)]
pub struct UncertainSetting {
    /// Which input.
    pub input: StudyInput,
    /// How far it is off.
    pub spread: StudySpread,
    /// Bytes of the study that say so.
    pub span: Range<usize>,
}

/// An input of a study.
#[derive(Clone, Debug, PartialEq)]
pub enum StudyInput {
    /// One of those that are uncertain by default.
    Default(DefaultInput),
    /// A setting of the scenario.
    Setting(SettingPath),
}

/// How an input is spread.
#[derive(Clone, Debug, PartialEq)]
pub enum StudySpread {
    /// It is known.
    Known,
    /// Anywhere within this share either way.
    Within(f64),
    /// With this standard deviation, a share.
    Normal(f64),
    /// Within this factor either way, about 95 of 100.
    Factor(f64),
    /// Anywhere between two values, as they are written.
    Between(String, String),
}

impl UncertainSetting {
    /// A fault of this input in the study's file.
    pub fn fault(&self, message: impl Into<String>, help: impl Into<String>) -> InputFault {
        InputFault::new(self.span.clone(), message, help)
    }
}
