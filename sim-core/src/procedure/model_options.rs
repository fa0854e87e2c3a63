//! How a procedure is played: choices of the model that do not change the machine.

/// Choices of the model that a user may switch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ModelOptions {
    /// Whether velocity head, and the losses of tees that follow from it, are counted.
    pub velocity_head: bool,
    /// Whether fronts spread by turbulent dispersion.
    pub dispersion: bool,
    /// Whether the parabolic profile of laminar lines holds old liquid back.
    pub laminar_tail: bool,
    /// Longest move of the contents of lines, s, > 0.
    pub longest_move_s: f64,
    /// Error that a move may bring where air takes part, as a share, in (0, 0.1]: from it follows how long moves are.
    pub air_tolerance: f64,
    /// Whether the front of air leaves liquid behind, and what it leaves is then dragged along.
    pub holdup: bool,
    /// Whether air runs faster than the liquid beside it. Without slip both are one homogeneous mixture: a front of air
    /// leaves nothing, and liquid that enters a line with air fills the share of its bore that it has of the flow.
    pub slip: bool,
    /// Velocity of that front over the liquid's, >= 1, instead of the published law.
    pub fixed_front: Option<f64>,
}

impl Default for ModelOptions {
    fn default() -> Self {
        Self {
            velocity_head: true,
            dispersion: true,
            laminar_tail: true,
            longest_move_s: 0.1,
            air_tolerance: 0.01,
            holdup: true,
            slip: true,
            fixed_front: None,
        }
    }
}
