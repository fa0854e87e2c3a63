//! What must be said wherever compressed air is used.

use super::purge::Purge;
use super::warning::Warning;
use super::warnings::both;
use crate::plumbing::Plumbing;
use crate::scenario::Scenario;
use crate::units::Quantity;

/// Pressures that practice allows at most for air in lines of a material, Pa gauge: advice for blowing out
/// irrigation lines of polyethylene (50 psi) and rigid PVC (80 psi), as quoted by a state university's extension
/// service.
const MOST_PA: [(&str, f64); 2] = [("polyethylene", 344_738.0), ("pvc", 551_581.0)];

/// The cautions of `purge`.
pub(super) fn cautions(scenario: &Scenario, purge: &Purge) -> Vec<Warning> {
    let plumbing = &scenario.machine.plumbing;
    let mut cautions = vec![general(plumbing, purge)];
    cautions.extend(rating(purge));
    cautions.extend(materials(plumbing, purge));
    cautions.extend(tips(purge));
    cautions
}

fn caution(code: &'static str, text: String) -> Warning {
    Warning { code, text }
}

fn general(plumbing: &Plumbing, purge: &Purge) -> Warning {
    let stored = purge.receiver.map_or_else(String::new, |receiver| {
        let joule = receiver.stored_j;
        let kilogram_drop_m = joule / 9.806_65 / 100.0;
        format!(
            " Charged, the receiver holds {:.0} kJ, as much as 100 kg that fall {kilogram_drop_m:.0} m.",
            joule / 1e3
        )
    });
    let relief = match plumbing.air.as_ref().and_then(|air| air.relief_pa) {
        Some(pa) => format!("a relief valve (here at {})", both(pa, Quantity::Pressure)),
        None => "a relief valve set below the weakest part (none is described here)".to_owned(),
    };
    caution(
        "compressed_air",
        format!(
            "Compressed air and pesticide hurt people.{stored} Blow only what is rated for air at this \
             pressure, behind a regulator and {relief}; wear eye protection and what the product label \
             demands; keep people away from tips and hose ends; let the pressure off before opening \
             anything. The product label, local rules and a licensed person on the spot decide, not this figure."
        ),
    )
}

fn rating(purge: &Purge) -> Option<Warning> {
    let highest = purge.highest.as_ref()?;
    let text = match &purge.rating {
        None => format!(
            "No line states a rating: nothing says whether it bears {} (reached at {}). Look up the \
             weakest of hoses, tubes, fittings, strainer bowls and nozzle bodies, and state `rating`.",
            both(highest.pressure_pa, Quantity::Pressure),
            highest.node
        ),
        Some(rating) if rating.rating_share > 1.0 => format!(
            "Line {} would stand at {:.0} % of its rating: lower the regulated pressure.",
            rating.line,
            100.0 * rating.rating_share
        ),
        Some(_) => return None,
    };
    Some(caution("over_rating", text))
}

fn materials(plumbing: &Plumbing, purge: &Purge) -> Vec<Warning> {
    let pa = purge.highest.as_ref().map_or(0.0, |highest| highest.pressure_pa);
    let mut warnings = Vec::new();
    for (material, most_pa) in MOST_PA {
        let lines = plumbing.branches.iter().filter(|branch| {
            branch.part.line().and_then(|line| line.material).is_some_and(|m| m.name == material)
        });
        let count = lines.count();
        if count > 0 && pa > most_pa {
            let text = format!(
                "{count} lines are of {material}, for which blow-out practice allows {} at most; {} are reached.",
                both(most_pa, Quantity::Pressure),
                both(pa, Quantity::Pressure)
            );
            warnings.push(caution("material_pressure", text));
        }
        if count > 0 && material == "pvc" {
            let text = format!(
                "{count} lines are of PVC: it shatters under compressed gas, and piping codes (ASME B31.3 and \
                 B31.9) do not allow it for that. Replace them before any air is let in."
            );
            warnings.push(caution("brittle_plastic", text));
        }
    }
    warnings
}

fn tips(purge: &Purge) -> Option<Warning> {
    let opened = purge.opened.as_ref()?;
    let text = format!(
        "{} tips open while air blows, {} first after {:.1} s: mix and air are lost to the ground \
         there ({} in all). Regulate the air below the opening pressure of the check valves, or give each tip a \
         positive shut-off.",
        opened.count,
        opened.first_tip,
        opened.first_s,
        both(purge.lost_m3, Quantity::Volume)
    );
    Some(caution("tips_opened", text))
}
