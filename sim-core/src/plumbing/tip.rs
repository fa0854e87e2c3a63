//! Tips: the orifices that spray.

use super::{NodeId, SectionId};

/// What stops a tip from running when it should not.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ShutOff {
    /// Nothing: it runs at any positive pressure.
    Open,
    /// A positive shut-off of its own: open or closed by command, whatever the pressure.
    Each,
    /// A spring-loaded check valve in the nozzle body.
    CheckValve {
        /// Pressure at which it opens, Pa gauge, > 0.
        opens_at_pa: f64,
        /// Pressure at which it closes again, Pa gauge, in (0, `opens_at_pa`].
        reseats_at_pa: f64,
        /// Pressure it takes once open, Pa, >= 0 and below `reseats_at_pa`.
        open_loss_pa: f64,
    },
}

/// A tip on its nozzle body.
#[derive(Clone, Debug, PartialEq)]
pub struct Tip {
    /// Unique name.
    pub name: String,
    /// Where its body draws from.
    pub node: NodeId,
    /// The section it belongs to, if any.
    pub section: Option<SectionId>,
    /// Position along the boom, m, to the right of the machine's centre.
    pub x_m: f64,
    /// Size after ISO 10625, as written, if the user gave one.
    pub size: Option<String>,
    /// Rated flow of water at 20 degC, m3/s, > 0.
    pub rated_flow_m3_s: f64,
    /// Pressure of the rated flow, Pa gauge, > 0.
    pub rated_at_pa: f64,
    /// Flow coefficient of nozzle body and tip strainer together, m3/s per sqrt(Pa) of water of
    /// 1000 kg/m3, if their loss is to be counted.
    pub body_kv_si: Option<f64>,
    /// What stops it.
    pub shut_off: ShutOff,
    /// Share of the time it is open under pulse-width control, (0, 1].
    pub duty: f64,
    /// Wear: extra flow at equal pressure as a share of the rated flow, > -1.
    pub wear: f64,
    /// Lowest and highest pressure of its droplet window, Pa gauge, if known.
    pub window_pa: Option<(f64, f64)>,
    /// Which of the tips of its nozzle body it is, where that carries several.
    pub position: Option<String>,
    /// Whether it is open where a step sprays and names no positions.
    pub in_use: bool,
}
