//! What a step does.

/// What a step does.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize, schemars::JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Action {
    /// Tips of the open sections run.
    Spray,
    /// The same, to bring full strength to every tip.
    Prime,
    /// Tips are closed; liquid returns to the tank.
    Circulate,
    /// Pumps rest, tips are closed.
    Stand,
    /// Tips run to wash product out.
    Rinse,
    /// Compressed air pushes the liquid in the lines back to the tank; pumps rest, tips are closed.
    Purge,
}

impl Action {
    /// Every action.
    pub const ALL: [Self; 6] =
        [Self::Spray, Self::Prime, Self::Circulate, Self::Stand, Self::Rinse, Self::Purge];

    /// The word scenario files use.
    pub fn word(self) -> &'static str {
        match self {
            Self::Spray => "spray",
            Self::Prime => "prime",
            Self::Circulate => "circulate",
            Self::Stand => "stand",
            Self::Rinse => "rinse",
            Self::Purge => "purge",
        }
    }

    /// Whether its tips run.
    pub fn sprays(self) -> bool {
        matches!(self, Self::Spray | Self::Prime | Self::Rinse)
    }
}
