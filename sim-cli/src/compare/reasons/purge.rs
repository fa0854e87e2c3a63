//! Why one purge returns more than another.

use super::Lettered;
use sim_core::findings::Purge;
use sim_core::units::{Quantity as Q, UnitSystem, show};

/// What the first purge of each layout leaves, as what, and where air comes through late or never.
pub(super) fn sentence(a: Lettered<'_>, b: Lettered<'_>) -> Option<String> {
    let first = |(letter, run): Lettered<'_>| {
        let purge = run.findings.iter().find_map(|found| found.purge.as_ref())?;
        Some(left(letter, purge, run.units))
    };
    Some(format!("{} {}", first(a)?, first(b)?))
}

fn left(letter: char, purge: &Purge, units: UnitSystem) -> String {
    let volume = |m3: f64| show(m3, Q::Volume, units);
    let closed = purge.sections.iter().filter(|s| s.breakthrough_s.is_none()).count();
    let closed = match closed {
        0 => String::new(),
        1 => "; air never comes through one of its sections".into(),
        several => format!("; air never comes through {several} of its sections"),
    };
    format!(
        "The purge of {letter} leaves {}, {} of it as wall film and {} undrained{closed}.",
        volume(purge.residual.liquid_m3),
        volume(purge.residual.wall_film_m3),
        volume(purge.residual.undrained_m3)
    )
}
