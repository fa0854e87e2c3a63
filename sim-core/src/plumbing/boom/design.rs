//! A boom machine as its user knows it: the short form, checked, defaults filled in, SI.

use crate::plumbing::{CheckValve, Line, NodeId, Orifice, Pump, SectionId, ShutOff, Tip, Valve};

/// A whole machine in the short form.
#[derive(Clone, Debug, PartialEq)]
pub struct BoomDesign {
    /// Width of the boom, m, > 0; the sections' tips must fit in it.
    pub width_m: f64,
    /// Roll of the boom, rad; positive lifts the right end.
    pub roll_rad: f64,
    /// The tank.
    pub tank: TankDesign,
    /// The pump.
    pub pump: Pump,
    /// Height of the pump above the level boom, m (negative below).
    pub pump_above_boom_m: f64,
    /// Suction strainer: flow coefficient (m3/s per sqrt(Pa)), if fitted.
    pub suction_strainer_kv_si: Option<f64>,
    /// Tank to pump.
    pub suction: LineDesign,
    /// Pump outlet back to the tank through a jet that stirs, if fitted.
    pub agitation: Option<Orifice>,
    /// Pump outlet back to the tank through a valve, if fitted.
    pub bypass: Option<Valve>,
    /// Pump outlet back to the tank through a relief valve, if fitted.
    pub relief: Option<CheckValve>,
    /// Pressure strainer ahead of the main: flow coefficient, if fitted.
    pub strainer_kv_si: Option<f64>,
    /// Flow meter ahead of the main: flow coefficient, if fitted.
    pub meter_kv_si: Option<f64>,
    /// Pump to the header where the section valves sit (and the boom gauge).
    pub main: LineDesign,
    /// Return header to tank, for machines whose sections return.
    pub return_path: Option<ReturnDesign>,
    /// What compressed air needs of the plumbing, for machines that have it.
    pub air: Option<AirDesign>,
    /// Added to every hose length taken from geometry, m, >= 0.
    pub hose_extra_m: f64,
    /// Sections, left to right.
    pub sections: Vec<SectionDesign>,
}

/// The tank.
#[derive(Clone, Debug, PartialEq)]
pub struct TankDesign {
    /// Nominal volume, m3, if given.
    pub capacity_m3: Option<f64>,
    /// Volume held at the start, m3, if given.
    pub holds_m3: Option<f64>,
    /// Volume that its outlet cannot draw, m3, >= 0.
    pub heel_m3: f64,
    /// Concentration at the start, 0 to 1, where it differs from the scenario's.
    pub concentration: Option<f64>,
    /// Height of the liquid surface above the level boom, m.
    pub surface_above_boom_m: f64,
    /// Height at which return, bypass and agitation enter above the level boom, m; at or below the
    /// surface they are submerged.
    pub inlet_above_boom_m: f64,
}

/// A hose, pipe or tube.
#[derive(Clone, Debug, PartialEq)]
pub struct LineDesign {
    /// What it is. Its length does not count where it is from geometry; a tube with tips sags between any two of them.
    pub line: Line,
    /// Whether its length is from geometry (section hoses and tubes only).
    pub from_geometry: bool,
}

/// From the sections' far ends back to the tank.
#[derive(Clone, Debug, PartialEq)]
pub struct ReturnDesign {
    /// Return header to tank.
    pub main: LineDesign,
    /// The recirculation valve in it.
    pub valve: Valve,
}

/// What compressed air needs of the plumbing.
#[derive(Clone, Debug, PartialEq)]
pub struct AirDesign {
    /// Between pump side and main, so that air goes to the boom alone.
    pub check: CheckValve,
    /// From the start of the main to the tank, for air that enters at the return side.
    pub back: Option<BackDesign>,
}

/// The way back to the tank for liquid that air from the return side pushes.
#[derive(Clone, Debug, PartialEq)]
pub struct BackDesign {
    /// Start of the main to tank.
    pub line: LineDesign,
    /// The valve ahead of it, closed but in such a purge.
    pub valve: Valve,
}

/// Where a section's tube is fed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Feed {
    /// In the middle of the tube.
    Centre,
    /// At the end nearer the machine's centre (a section across the centre: its left end).
    InnerEnd,
    /// At the end away from the machine's centre (a section across the centre: its right end).
    OuterEnd,
    /// At its left end.
    LeftEnd,
    /// At its right end.
    RightEnd,
}

/// One section with every default filled in.
#[derive(Clone, Debug, PartialEq)]
pub struct SectionDesign {
    /// Unique name.
    pub name: String,
    /// Number of tips, >= 1.
    pub tips: usize,
    /// Distance between tips, m, > 0.
    pub spacing_m: f64,
    /// Where the tube is fed.
    pub feed: Feed,
    /// Whether the tube's far end (both ends, if fed in the middle) returns to the tank.
    pub returns: bool,
    /// The tube that carries the tips (length from the tips).
    pub tube: LineDesign,
    /// Loss coefficient of one nozzle body's intrusion on the tube's velocity head, >= 0.
    pub body_losses: f64,
    /// Tube between a fed or returned end and its first tip, m, > 0.
    pub lead_m: f64,
    /// Capped tube beyond the last tip of an end that is neither fed nor returned, m, >= 0.
    pub stub_m: f64,
    /// Header to tube.
    pub hose: LineDesign,
    /// The section valve at the header.
    pub valve: Valve,
    /// Tube to return header; used where `returns` holds.
    pub return_hose: LineDesign,
    /// Its tips.
    pub tip: TipDesign,
    /// Further tips of each of its nozzle bodies, each at a position of its own.
    pub beside: Vec<TipDesign>,
}

/// The tips of a section.
#[derive(Clone, Debug, PartialEq)]
pub struct TipDesign {
    /// Size after ISO 10625, as written, if given.
    pub size: Option<String>,
    /// Rated flow of water, m3/s, > 0.
    pub rated_flow_m3_s: f64,
    /// Pressure of the rated flow, Pa, > 0.
    pub rated_at_pa: f64,
    /// Flow coefficient of nozzle body and tip strainer, if counted.
    pub body_kv_si: Option<f64>,
    /// What stops a tip.
    pub shut_off: ShutOff,
    /// Duty under pulse-width control, (0, 1].
    pub duty: f64,
    /// Extra flow by wear, as a share of rated flow, > -1.
    pub wear: f64,
    /// Droplet window, Pa gauge, if known.
    pub window_pa: Option<(f64, f64)>,
    /// Which of the tips of its nozzle body it is, where that carries several.
    pub position: Option<String>,
    /// Whether it is open where a step sprays and names no positions.
    pub in_use: bool,
}

impl TipDesign {
    /// A tip of this design called `name`, drawing from `node` at `x_m` along the boom.
    pub fn tip(self, name: String, node: NodeId, section: Option<SectionId>, x_m: f64) -> Tip {
        Tip {
            name,
            node,
            section,
            x_m,
            size: self.size,
            rated_flow_m3_s: self.rated_flow_m3_s,
            rated_at_pa: self.rated_at_pa,
            body_kv_si: self.body_kv_si,
            shut_off: self.shut_off,
            duty: self.duty,
            wear: self.wear,
            window_pa: self.window_pa,
            position: self.position,
            in_use: self.in_use,
        }
    }
}
