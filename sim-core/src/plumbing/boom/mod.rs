//! From a boom machine in the short form to its plumbing.

mod built;
mod design;

pub use built::BuiltBoom;
pub use design::{
    BoomDesign, Feed, LineDesign, ReturnDesign, SectionDesign, TankDesign, TipDesign,
};
