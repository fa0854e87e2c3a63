//! What checks are about.

/// What a check is about; the page is in this order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Subject {
    Fluids,
    Friction,
    Tees,
    Valves,
    Laterals,
    Tips,
    Pumps,
    Networks,
    Unsteady,
    Transport,
    Settling,
    AirFlow,
    Supply,
    TwoPhase,
    LowSpots,
    Purge,
    Rigs,
    Diagnosis,
}

impl Subject {
    pub(super) const ALL: [Self; 18] = [
        Self::Fluids,
        Self::Friction,
        Self::Tees,
        Self::Valves,
        Self::Laterals,
        Self::Tips,
        Self::Pumps,
        Self::Networks,
        Self::Unsteady,
        Self::Transport,
        Self::Settling,
        Self::AirFlow,
        Self::Supply,
        Self::TwoPhase,
        Self::LowSpots,
        Self::Purge,
        Self::Rigs,
        Self::Diagnosis,
    ];

    /// Heading of its part of the page.
    pub(super) const fn title(self) -> &'static str {
        match self {
            Self::Fluids => "Water",
            Self::Friction => "Friction in lines",
            Self::Tees => "Tees",
            Self::Valves => "Valves and orifices",
            Self::Laterals => "Sections: lines with many outlets",
            Self::Tips => "Tips and application rates",
            Self::Pumps => "Pumps",
            Self::Networks => "Networks",
            Self::Unsteady => "Flow that changes, trapped air",
            Self::Transport => "Priming and rinsing",
            Self::Settling => "Settling",
            Self::AirFlow => "Air through valves, holes and lines",
            Self::Supply => "Compressor and receiver",
            Self::TwoPhase => "Air and liquid in one line",
            Self::LowSpots => "Low spots and rising lines",
            Self::Purge => "Air purge of lines",
            Self::Rigs => "A large test rig",
            Self::Diagnosis => "Diagnosis",
        }
    }
}
