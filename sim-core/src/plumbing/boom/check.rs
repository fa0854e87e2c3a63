//! What the parts of a design do not show one by one.

use super::design::BoomDesign;
use std::collections::BTreeSet;

/// Where in a design a mistake stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DesignPlace {
    /// The boom's width.
    Width,
    /// The section at this position, left to right from 0.
    Section(usize),
    /// The return path.
    ReturnPath,
    /// The way back to the tank for air that enters at the return side.
    Back,
}

/// A mistake in a design.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DesignFault {
    /// Where.
    pub at: DesignPlace,
    /// What is wrong, one sentence without a full stop.
    pub message: String,
    /// What would be right, if it can be said.
    pub help: Option<String>,
}

/// Share by which tips may cover more than the stated width: booms are named in round figures.
const ROUNDING: f64 = 0.01;
/// Most tips a design may carry.
pub const MOST_TIPS: usize = 200_000;

/// Everything wrong with `design` as a whole; nothing if it can be built. `length` gives a length in m in the user's units.
pub fn check(design: &BoomDesign, length: impl Fn(f64) -> String) -> Vec<DesignFault> {
    let mut faults = Vec::new();
    let covered: f64 = design.sections.iter().map(|s| s.tips as f64 * s.spacing_m).sum();
    let bodies: usize = design.sections.iter().map(|s| s.tips).sum();
    let tips: usize = design.sections.iter().map(|s| s.tips * (1 + s.beside.len())).sum();
    if design.sections.is_empty() {
        faults.push(DesignFault {
            at: DesignPlace::Width,
            message: "the boom has no section".into(),
            help: Some("add a [[section]] with its number of tips".into()),
        });
    }
    if tips > MOST_TIPS {
        faults.push(DesignFault {
            at: DesignPlace::Width,
            message: format!("{tips} tips are more than the {MOST_TIPS} a boom may have"),
            help: None,
        });
    }
    if covered > design.width_m * (1.0 + ROUNDING) {
        faults.push(DesignFault {
            at: DesignPlace::Width,
            message: format!(
                "the boom is {} wide, but its {bodies} tips cover {}",
                length(design.width_m),
                length(covered)
            ),
            help: Some("widen the boom, take tips away or set them closer".into()),
        });
    }
    let mut names = BTreeSet::new();
    for (i, section) in design.sections.iter().enumerate() {
        if !names.insert(section.name.as_str()) {
            faults.push(DesignFault {
                at: DesignPlace::Section(i),
                message: format!("a section named \"{}\" is defined above already", section.name),
                help: Some("give every section a name of its own".into()),
            });
        }
    }
    if design.return_path.is_none() && design.sections.iter().any(|s| s.returns) {
        faults.push(DesignFault {
            at: DesignPlace::ReturnPath,
            message: "sections return, but no return path leads to the tank".into(),
            help: Some("add [return_path], or set `return = false`".into()),
        });
    }
    let back = design.air.as_ref().is_some_and(|air| air.back.is_some());
    if back && !design.sections.iter().any(|s| s.returns) {
        faults.push(DesignFault {
            at: DesignPlace::Back,
            message: "air cannot enter at the return side: no section returns".into(),
            help: Some("set `return = true` in [boom], or take `back` away".into()),
        });
    }
    faults
}
