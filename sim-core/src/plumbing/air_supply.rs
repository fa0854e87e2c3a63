//! Compressed air for purging: what a user knows of its supply.

use super::NodeId;

/// A machine's supply of compressed air: compressor, receiver, regulator and valve, in that order.
#[derive(Clone, Debug, PartialEq)]
pub struct AirSupply {
    /// Pressure that the regulator lets through at most, Pa gauge, > 0.
    pub regulated_pa: f64,
    /// Volume of the receiver, m3, >= 0; 0: none, the compressor feeds the regulator.
    pub receiver_m3: f64,
    /// Pressure of the receiver at the start, at which the compressor stops, Pa gauge, >= 0.
    pub charged_to_pa: f64,
    /// Free air delivery of the compressor (ISO 1217), m3/s at the surrounding air's state, >= 0.
    pub free_air_m3_s: f64,
    /// Sonic conductance of the valve (ISO 6358), m3/(s Pa), > 0.
    pub conductance_m3_s_pa: f64,
    /// Critical pressure ratio of the valve (ISO 6358), 0 to below 1.
    pub critical_ratio: f64,
    /// Pressure at which its relief valve opens, Pa gauge, if fitted.
    pub relief_pa: Option<f64>,
    /// Where its air can enter the plumbing.
    pub entries: Vec<AirEntry>,
}

impl AirSupply {
    /// So much air at `regulated_pa`, Pa gauge, > 0, that nothing draws it down (10 m3/s of free air), through a valve of
    /// sonic conductance `conductance_m3_s_pa`, m3/(s Pa), > 0, and a critical ratio of 0.3.
    pub fn regulated(regulated_pa: f64, conductance_m3_s_pa: f64) -> Self {
        Self {
            regulated_pa,
            receiver_m3: 0.0,
            charged_to_pa: regulated_pa,
            free_air_m3_s: 10.0,
            conductance_m3_s_pa,
            critical_ratio: 0.3,
            relief_pa: None,
            entries: Vec::new(),
        }
    }
}

/// A place where air can enter the plumbing.
#[derive(Clone, Debug, PartialEq)]
pub struct AirEntry {
    /// What steps call it.
    pub name: String,
    /// Where it is.
    pub node: NodeId,
}
