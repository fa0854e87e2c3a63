//! From a boom machine in the short form to its plumbing and the roles of its parts.

mod air;
mod build;
mod check;
mod design;
mod example;
mod part_names;
mod tube;

pub use build::build;
pub use check::{DesignFault, DesignPlace, MOST_TIPS, check};
pub use design::{
    AirDesign, BackDesign, BoomDesign, Feed, LineDesign, ReturnDesign, SectionDesign, TankDesign,
    TipDesign,
};
pub use example::example;
