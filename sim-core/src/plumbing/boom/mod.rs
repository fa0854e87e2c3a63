//! From a boom machine in the short form to its plumbing.

mod build;
mod built;
mod check;
mod design;
mod example;
mod tube;

pub use build::build;
pub use built::BuiltBoom;
pub use check::{DesignFault, DesignPlace, check};
pub use design::{
    BoomDesign, Feed, LineDesign, ReturnDesign, SectionDesign, TankDesign, TipDesign,
};
pub use example::example;
