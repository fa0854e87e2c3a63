//! What a search knows of a design.

/// How a design came out.
#[derive(Clone, Debug, PartialEq)]
pub struct Judged {
    /// What is aimed at, the less the better.
    pub aims: Vec<f64>,
    /// By how much limits are broken, together; 0 where all are kept.
    pub violation: f64,
}
