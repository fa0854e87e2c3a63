//! What a run starts from and goes by: liquid, product, travel, start, model.

use super::{Kind, NOT_NEGATIVE, POSITIVE, SHARE, bounds, of, positive_up_to};
use crate::units::Quantity as Q;

tables! {
    /// The liquid in lines and tanks; water at 20 degC where left out. Figures not given are water's at the same
    /// temperature.
    pub(super) LIQUID {
        named: Kind::File, "A liquid file with the same keys.";
        name: Kind::Text, or "water", "What it is called.";
        temperature: of(Q::Temperature, bounds(None, Some(0.0), Some(50.0))), or "20 degC",
            "Its temperature, 0 to 50 degC.";
        density: of(Q::Density, positive_up_to(20_000.0)), "Its density.";
        viscosity: of(Q::Viscosity, positive_up_to(1000.0)), "Its dynamic viscosity.";
        vapour_pressure: of(Q::Pressure, NOT_NEGATIVE), "Absolute vapour pressure.";
        surface_tension: of(Q::SurfaceTension, bounds(Some(0.0), None, Some(1.0))),
            "Its surface tension against air; mixes with a surfactant have about half of water's. It slows air that pushes \
             liquid out of narrow lines.";
        caution: Kind::Text, "What a reader must know of these figures.";
        source: Kind::Text, "Where the figures are from.";
    }

    /// What is known of the product in the tank mix: its price, and the particles of one that is suspended and settles.
    pub(super) PRODUCT {
        price: of(Q::Price, POSITIVE), "Price of tank mix at full strength.";
        currency: Kind::Text, or "", "What the price is in.";
        particle: of(Q::Bore, positive_up_to(1e-3)), "Diameter of its particles.";
        density: of(Q::Density, positive_up_to(20_000.0)), "Density of its particles.";
        solids: of(Q::Share, bounds(Some(0.0), None, Some(0.4))), or "0.5 %",
            "Volume share of particles in the mix at full strength.";
    }

    /// Travel over the field.
    pub(super) TRAVEL {
        speed: of(Q::Speed, POSITIVE), required, "Forward speed.";
        rate: of(Q::ApplicationRate, POSITIVE), "Application rate wanted.";
    }

    /// What lines and tanks hold as the first step starts. A concentration is product over label strength.
    pub(super) START {
        lines_hold: of(Q::Share, SHARE), or "0 %", "Concentration in every line and dead leg.";
        empty: Kind::Flag, or "false", "Whether lines hold air instead, all but those on the suction side.";
        flow: Kind::Choice(&["at rest", "established"]), or "at rest",
            "Whether the first step begins from rest, or with the flow it comes to; from rest where lines hold air.";
        tanks_hold: of(Q::Share, SHARE), or "100 %", "Concentration in every tank.";
        full_from: of(Q::Share, bounds(Some(0.0), None, Some(1.0))), or "95 %",
            "Concentration, as a share of the tank's, from which a tip counts as full.";
    }

    /// Choices of the model, to see what each does.
    pub(super) MODEL {
        velocity_head: Kind::Flag, or "true",
            "Whether velocity head, and what follows from it at tips and tees, is counted.";
        dispersion: Kind::Flag, or "true", "Whether fronts spread by turbulent dispersion.";
        laminar_tail: Kind::Flag, or "true", "Whether the parabolic profile of laminar lines holds old liquid back.";
        longest_move: of(Q::Duration, bounds(None, Some(1e-3), Some(1.0))), or "0.1 s",
            "Longest time that contents move at once: halve it to see that nothing hangs on it.";
        air_tolerance: of(Q::Share, bounds(None, Some(1e-4), Some(0.1))), or "1 %",
            "Error that a move may bring where air takes part: moves get shorter with it, at most 3 s times it. Halve it to see \
             how much hangs on it.";
        holdup: Kind::Flag, or "true", "Whether a front of air leaves liquid behind, which the air then drags along.";
        slip: Kind::Flag, or "true",
            "Whether air runs faster than liquid beside it. Without slip both are one homogeneous mixture: a front leaves \
             nothing behind, whatever `holdup` says, and the liquid's share of a line is its share of the flow.";
    }

    /// What the table over time, `series.csv`, has beside what it always has.
    pub(super) RECORD {
        lines: Kind::Names, "Lines and parts whose flow it has, and of lines the liquid and air in them.";
        moments: Kind::Count { most: 100_000 },
            "Most moments kept of a step, 2 or more: beyond, every other one is dropped, again and again. Where left out, 24 to \
             400, the fewer the more steps there are.";
    }

    /// A place whose pressure, flow, concentration and share of liquid `series.csv` has over time.
    pub(super) PROBE {
        at: Kind::Text, "The node or gauge it is at.";
        line: Kind::Text, "The line it is in, instead of a node.";
        distance: of(Q::Length, NOT_NEGATIVE), "How far along that line it is, from where a positive flow enters it; 0 where left out.";
    }
}
