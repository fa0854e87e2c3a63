//! Families of units.

/// Which family of units people are shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum UnitSystem {
    /// bar, L/min, L, mm, m.
    #[default]
    Si,
    /// psi, gal/min, gal, in, ft.
    Us,
}

impl UnitSystem {
    /// Their names, as files and options give them.
    pub const NAMES: [&str; 2] = ["si", "us"];

    /// Its name, as files and options give it.
    pub fn name(self) -> &'static str {
        Self::NAMES[self as usize]
    }

    /// The system called `name`.
    pub fn named(name: &str) -> Option<Self> {
        [Self::Si, Self::Us].into_iter().find(|system| system.name() == name)
    }
}
