//! Warnings in sentences.

use super::counted::count_of;
use super::listed::{are, listed, upper_first};
use super::undone::undone;
use sim_core::findings::{NodePressure, OpenedTips, RanBack, RatingUse, Warning, WaveRise};
use sim_core::units::{Quantity as Q, UnitSystem, display_unit, show};

/// What decides on a pressure outside a droplet window.
const WINDOW: &str = "the product label and the tip maker's chart decide.";

/// `warning` in one or two sentences.
// Longer than a screen: one arm a warning, and nothing else.
pub fn sentence(warning: &Warning, units: UnitSystem) -> String {
    let pressure = |pa: f64| show(pa, Q::Pressure, units);
    match warning {
        Warning::NotHeld(control) => {
            let (quantity, setpoint, actual) = control.held.values();
            format!(
                "{} at {} is not reached: the actual value is {} with {} at {:.0} %, the end of its range.",
                show(setpoint, quantity, units),
                control.at,
                show(actual, quantity, units),
                control.actuator,
                100.0 * control.actuator_share
            )
        }
        Warning::CutOff { nodes } => format!(
            "Closed valves isolate {}: nothing flows there and the pressure stays what it was.",
            listed("node", nodes)
        ),
        Warning::HeldClosed { branch } => {
            format!("{branch} is held closed by the pressure behind it; nothing passes.")
        }
        Warning::PumpIdle { pump, gives_pa, needs_pa } => format!(
            "{pump} runs and passes nothing: it can raise the pressure by {} at this speed, and {} would be needed to \
             open what lies ahead of it.",
            pressure(*gives_pa),
            pressure(*needs_pa)
        ),
        Warning::CheckValveClosed { branch, across_pa, opens_at_pa } => format!(
            "{branch} stays closed: {} across it, and it opens at {}.",
            pressure(*across_pa),
            pressure(*opens_at_pa)
        ),
        Warning::BeyondCurve { pump } => format!(
            "{pump} runs beyond the last point of its curve; pressure there is extrapolated."
        ),
        Warning::SuctionShort { pump, available_m, required_m } => format!(
            "{pump} needs {} of net positive suction head and has {}: it would cavitate and lose pressure. Widen or \
             shorten the suction, clean its strainer, or ask for less flow.",
            show(*required_m, Q::Head, units),
            show(*available_m, Q::Head, units)
        ),
        Warning::TipBelowAtmosphere { tips } => {
            format!("{} below atmospheric pressure and would draw air.", are("tip", tips))
        }
        Warning::TipCheckClosed { tips } => format!(
            "{} below the opening pressure of the check valve and {} closed.",
            are("tip", tips),
            if tips.len() == 1 { "stays" } else { "stay" }
        ),
        Warning::TipBelowWindow { tips } => format!(
            "{} below the droplet window: coarser droplets, and the pattern may fail; {WINDOW}",
            are("tip", tips)
        ),
        Warning::TipAboveWindow { tips } => format!(
            "{} above the droplet window: finer droplets, more drift; {WINDOW}",
            are("tip", tips)
        ),
        Warning::ReturnsJoined { .. } | Warning::ClosedSectionSprays { .. } => {
            of_returns(warning, units)
        }
        Warning::NothingCirculates { .. }
        | Warning::SectionsNotCirculated { .. }
        | Warning::TipsWouldOpen { .. }
        | Warning::NothingSprays { .. }
        | Warning::NothingToPrime
        | Warning::RinseNotClean { .. }
        | Warning::NotRinsed { .. } => undone(warning, units),
        Warning::BetweenRegimes { lines, largest_loss_pa } => format!(
            "{} between laminar and turbulent flow (Reynolds number 2000 to 4000), where friction is uncertain by \
             half; the largest loss among them is {}.",
            are("line", lines),
            pressure(*largest_loss_pa)
        ),
        Warning::Liquid { caution } => format!("{}.", upper_first(caution)),
        Warning::FastStop { .. } | Warning::ColumnParts { .. } => of_fast_stop(warning, units),
        of_air => of_compressed_air(of_air, units),
    }
}

/// A warning of a line that stops fast.
fn of_fast_stop(warning: &Warning, units: UnitSystem) -> String {
    let pressure = |pa: f64| show(pa, Q::Pressure, units);
    match warning {
        Warning::FastStop { line, fall_m_s, ramp_s, rises } => {
            let velocity = |m_s: f64| show(m_s, Q::Velocity, units);
            let rise = |rise: &WaveRise| (pressure(rise.rise_pa), velocity(rise.wave_m_s));
            let ((in_hose, hose), (in_tube, tube)) = (rise(&rises[0]), rise(&rises[1]));
            format!(
                "Line {line} loses {} within {ramp_s:.1} s, which may be too fast for the rigid columns of this \
                 model: peaks of pressure are not to be trusted. Stopped at once, the pressure in it would rise by \
                 {in_hose} in rubber hose (wave speed {hose}) and by {in_tube} in stainless tube ({tube}).",
                velocity(*fall_m_s)
            )
        }
        Warning::ColumnParts { node, lowest_pa, from_s, lasts_s } => format!(
            "Something stops so fast that the column of liquid parts at {node}, {from_s:.2} s after the step's start and for \
             {:.0} ms in all: to hold together it would have to pull to {}, which no liquid does. A cavity of vapour opens \
             there and closes with a knock; this model leaves that out. Pressures of that time are shown as vapour \
             pressure, and flows beside it are less certain. A valve or pump that takes longer (`ramp`) prevents it.",
            1000.0 * lasts_s,
            pressure(*lowest_pa)
        ),
        _ => String::new(),
    }
}

/// A warning of sections that their return hoses join.
fn of_returns(warning: &Warning, units: UnitSystem) -> String {
    match warning {
        Warning::ReturnsJoined { lines } => {
            let names: Vec<_> = lines.iter().map(|back| &back.line).collect();
            let most = lines.iter().map(|back| back.flow_m3_s).fold(0.0, f64::max);
            format!(
                "Return hoses join the sections: {} {} liquid back while the sections spray, up to {}. What was in those \
                 hoses goes out of the tips, and closing a section's valve alone does not stop the section. A check \
                 valve in each return hose, or a valve that closes it, prevents this.",
                listed("hose", &names),
                if names.len() == 1 { "carries" } else { "carry" },
                show(most, Q::Flow, units)
            )
        }
        Warning::ClosedSectionSprays { sections } => format!(
            "{} closed at the valve; liquid still comes through the return hose and out of the tips. A check valve in the \
             return hose, or a valve that closes it, stops that.",
            are("section", sections)
        ),
        _ => String::new(),
    }
}

/// A warning that goes with compressed air.
fn of_compressed_air(warning: &Warning, units: UnitSystem) -> String {
    let pressure = |pa: f64| show(pa, Q::Pressure, units);
    match warning {
        Warning::CompressedAir { stored_j, relief_pa } => {
            let stored = stored_j.map(|joule| stored(joule, units)).unwrap_or_default();
            let relief = match relief_pa {
                Some(pa) => format!("a relief valve (here at {})", pressure(*pa)),
                None => "a relief valve set below the weakest part (none is described here)".into(),
            };
            format!(
                "Compressed air and pesticide hurt people.{stored} Blow only what is rated for air at this pressure, \
                 behind a regulator and {relief}; wear eye protection and what the product label demands; keep people \
                 away from tips and hose ends; let the pressure off before opening anything. The product label, local \
                 rules and a licensed person on the spot decide, not this figure."
            )
        }
        Warning::NoRating(NodePressure { pressure_pa, node }) => format!(
            "No line states a rating: whether it bears {} (reached at {node}) is not known. Look up the weakest of \
             hoses, tubes, fittings, strainer bowls and nozzle bodies, and state `rating`.",
            pressure(*pressure_pa)
        ),
        Warning::OverRating(RatingUse { rating_share, line }) => format!(
            "Line {line} would reach {:.0} % of its rating: lower the regulated pressure.",
            100.0 * rating_share
        ),
        Warning::MaterialPressure { material, lines, allowed_pa, reached_pa } => format!(
            "{} of {material}, for which blow-out practice allows {} at most; {} are reached.",
            lines_are(*lines),
            pressure(*allowed_pa),
            pressure(*reached_pa)
        ),
        Warning::BrittlePlastic { lines } => format!(
            "{} of PVC: it shatters under compressed gas, and piping codes (ASME B31.3 and B31.9) do \
             not allow it for that. Replace {} before any air is let in.",
            lines_are(*lines),
            if *lines == 1 { "it" } else { "them" }
        ),
        Warning::NothingReturned => {
            "The purge brings nothing back: its air has no way through the open sections to the tank, or has no pressure. \
             Look at the return valve, at check valves against the flow of air, at the regulated pressure and the receiver."
                .into()
        }
        Warning::RanBack(RanBack { most_returned_m3, most_returned_at_s, ran_back_m3 }) => format!(
            "Liquid runs back: the most, {}, was in the tank {} after the purge began; then the air no longer held it and {} ran \
             into the lines again. Close the return valve before the air gives out.",
            show(*most_returned_m3, Q::Volume, units),
            show(*most_returned_at_s, Q::Duration, units),
            show(*ran_back_m3, Q::Volume, units)
        ),
        Warning::TipsOpened { opened: OpenedTips { count, first_tip, first_s }, lost_m3 } => {
            format!(
                "{} while air blows, {first_tip} first {first_s:.1} s after the purge began: mix and air are lost to the \
             ground there ({} in all). Regulate the air below the opening pressure of the check valves, or give each \
             tip a positive shut-off.",
                if *count == 1 { "1 tip opens".to_owned() } else { format!("{count} tips open") },
                show(*lost_m3, Q::Volume, units)
            )
        }
        _ => String::new(),
    }
}

/// `3 lines are`.
fn lines_are(count: usize) -> String {
    format!("{} {}", count_of(count, "line"), if count == 1 { "is" } else { "are" })
}

/// What the energy in a charged receiver compares with.
fn stored(joule: f64, units: UnitSystem) -> String {
    let (weight, length) = (100.0 * 9.806_65, display_unit(Q::Length, units));
    format!(
        " Charged, the receiver holds {:.0} kJ, as much as {} that fall {:.0} {}.",
        joule / 1e3,
        match units {
            UnitSystem::Si => "100 kg",
            UnitSystem::Us => "220 lb",
        },
        length.from_si(joule / weight),
        length.symbol
    )
}
