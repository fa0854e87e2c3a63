//! What must be said wherever compressed air is used.

use super::purge::Purge;
use super::warning::Warning;
use crate::plumbing::Plumbing;

/// Pressures that practice allows at most for air in lines of a material, Pa gauge: advice for blowing out
/// irrigation lines of polyethylene (50 psi) and rigid PVC (80 psi), as quoted by a state university's extension
/// service.
const MOST_PA: [(&str, f64); 2] = [("polyethylene", 344_738.0), ("pvc", 551_581.0)];
/// Material that piping codes do not allow for compressed gas (ASME B31.3 and B31.9).
const BRITTLE: &str = "pvc";

/// Share of what is in the lines from which something comes back.
const RETURNS_FROM: f64 = 0.01;

/// The cautions of `purge`.
pub(super) fn cautions(plumbing: &Plumbing, purge: &Purge) -> Vec<Warning> {
    let mut cautions = vec![Warning::CompressedAir {
        stored_j: purge.receiver.map(|receiver| receiver.stored_j),
        relief_pa: plumbing.air.as_ref().and_then(|air| air.relief_pa),
    }];
    cautions.extend(match &purge.rating {
        None => purge.highest.clone().map(Warning::NoRating),
        Some(rating) if rating.rating_share > 1.0 => Some(Warning::OverRating(rating.clone())),
        Some(_) => None,
    });
    cautions.extend(materials(plumbing, purge));
    let nothing = purge.returned_m3 < RETURNS_FROM * purge.at_start_m3;
    cautions.extend(nothing.then_some(Warning::NothingReturned));
    cautions.extend(purge.ran_back.map(Warning::RanBack));
    let opened = purge.opened.clone();
    cautions.extend(opened.map(|opened| Warning::TipsOpened { opened, lost_m3: purge.lost_m3 }));
    cautions
}

fn materials(plumbing: &Plumbing, purge: &Purge) -> Vec<Warning> {
    let reached_pa = purge.highest.as_ref().map_or(0.0, |highest| highest.pressure_pa);
    let mut warnings = Vec::new();
    for (material, allowed_pa) in MOST_PA {
        let made_of = plumbing.branches.iter().filter_map(|branch| branch.part.line()?.material);
        let lines = made_of.filter(|made_of| made_of.name == material).count();
        if lines > 0 && reached_pa > allowed_pa {
            let caution = Warning::MaterialPressure { material, lines, allowed_pa, reached_pa };
            warnings.push(caution);
        }
        if lines > 0 && material == BRITTLE {
            warnings.push(Warning::BrittlePlastic { lines });
        }
    }
    warnings
}
