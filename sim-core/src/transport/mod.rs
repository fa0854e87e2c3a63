//! What each line holds, and where it is.
//!
//! A line holds an ordered list of slugs from its `from` end to its `to` end, plus the liquid that
//! clings to its wall under air.

/// What a slug is made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Content {
    /// Liquid that fills the bore.
    Liquid {
        /// Concentration of product over label strength, 0 to 1.
        strength: f64,
    },
    /// Air over whatever liquid the wall still carries.
    Air {
        /// Share of the cross-section still liquid, 0 to 1.
        holdup: f64,
        /// Strength of that liquid, 0 to 1.
        strength: f64,
    },
}

/// A stretch of one content.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slug {
    /// Length along the line, m, > 0.
    pub length_m: f64,
    /// What it is.
    pub content: Content,
}

/// The slugs of one line, from its `from` end to its `to` end. Their lengths add up to the line's.
#[derive(Clone, Debug, PartialEq)]
pub struct LineContents {
    /// The slugs in order.
    pub slugs: Vec<Slug>,
}

impl LineContents {
    /// A line of `length_m` full of liquid at `strength`.
    pub fn full(length_m: f64, strength: f64) -> Self {
        Self { slugs: vec![Slug { length_m, content: Content::Liquid { strength } }] }
    }

    /// Length filled by liquid across the whole bore, m.
    pub fn liquid_length_m(&self) -> f64 {
        let liquid = |slug: &&Slug| matches!(slug.content, Content::Liquid { .. });
        self.slugs.iter().filter(liquid).map(|slug| slug.length_m).sum()
    }
}
