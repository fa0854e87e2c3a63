//! What a check rests on outside this project.

/// What a source is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Kind {
    Standard,
    Handbook,
    Paper,
    OpenData,
    /// A closed form that any textbook has: counted apart.
    Analytic,
    /// A solver or library that did the computing: no source, and not counted as one.
    Library,
}

impl Kind {
    /// The kinds that count as sources.
    pub(crate) const OUTSIDE: [Self; 4] =
        [Self::Standard, Self::Handbook, Self::Paper, Self::OpenData];

    pub(crate) fn is_outside(self) -> bool {
        Self::OUTSIDE.contains(&self)
    }

    /// What the page calls it.
    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Standard => "standard",
            Self::Handbook => "handbook or textbook",
            Self::Paper => "paper",
            Self::OpenData => "open data",
            Self::Library => "program",
            Self::Analytic => "closed form",
        }
    }
}

/// One source. Two are the same if they have the same short name.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Source {
    pub(crate) name: &'static str,
    pub(crate) kind: Kind,
    /// The whole reference, and what was read of it if that is less than the whole.
    pub(crate) reference: &'static str,
}

impl Source {
    const fn new(kind: Kind, name: &'static str, reference: &'static str) -> Self {
        Self { name, kind, reference }
    }

    pub(crate) const fn standard(name: &'static str, reference: &'static str) -> Self {
        Self::new(Kind::Standard, name, reference)
    }

    pub(crate) const fn handbook(name: &'static str, reference: &'static str) -> Self {
        Self::new(Kind::Handbook, name, reference)
    }

    pub(crate) const fn paper(name: &'static str, reference: &'static str) -> Self {
        Self::new(Kind::Paper, name, reference)
    }

    pub(crate) const fn open_data(name: &'static str, reference: &'static str) -> Self {
        Self::new(Kind::OpenData, name, reference)
    }

    pub(crate) const fn library(name: &'static str, reference: &'static str) -> Self {
        Self::new(Kind::Library, name, reference)
    }

    pub(crate) const fn analytic(name: &'static str, reference: &'static str) -> Self {
        Self::new(Kind::Analytic, name, reference)
    }
}
