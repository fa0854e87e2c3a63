//! Tables and keys that several places of the format use.

use super::{Kind, NOT_NEGATIVE, POSITIVE, POSITIVE_SHARE, SHARE, bounds, of, positive_up_to};
use crate::units::Quantity as Q;

/// Longest line taken, m.
const LONGEST_M: f64 = 1e5;
/// Widest bore taken, m.
const WIDEST_M: f64 = 5.0;

shared_keys! {
    /// How wide a line or hole is.
    pub(super) BORE {
        bore: of(Q::Bore, positive_up_to(WIDEST_M)), required, "Inside diameter.";
    }

    /// The length of a line that no geometry gives.
    pub(super) GIVEN_LENGTH {
        length: of(Q::Length, positive_up_to(LONGEST_M)), required, "Length.";
    }

    /// What is said of every line beside bore and length.
    pub(super) WALL {
        losses: Kind::Losses, or "0",
            "Sum of the loss coefficients of its fittings on its own velocity head, entry and exit included, or a \
             list of fitting names.";
        material: Kind::Text,
            "What it is made of: stainless, plastic, polyethylene, pvc, hose, coated, steel or galvanised; hose \
             where neither it nor a roughness is given. It stands for a roughness and for what the line bears.";
        roughness: of(Q::Roughness, NOT_NEGATIVE), "Wall roughness, instead of a material's.";
        rating: of(Q::Pressure, POSITIVE), "Pressure rating of its weakest piece.";
        sag: of(Q::Length, NOT_NEGATIVE), or "0 m",
            "Depth of its lowest point, half way along, below the straight line between its ends; of a tube with \
             tips, between any two of them.";
        note: Kind::Text,
            "What whoever builds or mends it should know, such as an order number; `millstream expand` writes it for \
             every line made of this.";
    }

    /// How much a part lets through.
    pub(super) KV {
        kv: of(Q::FlowCoefficient, POSITIVE), required,
            "Flow coefficient fully open: m3/h of water at 1 bar (`\"9 m3/h\"`), or `\"10 cv\"`.";
    }

    /// How a valve opens.
    pub(super) MOVES {
        opening: Kind::Opening, or "open", "Opening at the start: `\"open\"`, `\"closed\"` or a share.";
        characteristic: Kind::Choice(&["linear", "equal percentage"]), or "linear",
            "How the flow coefficient follows the opening.";
        rangeability: Kind::Number(bounds(Some(1.0), None, Some(1000.0))), or "50",
            "Ratio of largest to smallest coefficient of an equal-percentage valve.";
    }

    /// What is said of every hole.
    pub(super) DISCHARGE {
        discharge_coefficient: Kind::Number(POSITIVE_SHARE), or "0.65",
            "Discharge coefficient on the area of the hole.";
    }

    /// When a check valve opens.
    pub(super) OPENS_AT {
        opens_at: of(Q::Pressure, NOT_NEGATIVE), or "0 bar", "Pressure difference at which it opens.";
    }

    /// What is said of every pump.
    pub(super) PUMP_CURVE {
        curve: Kind::File,
            "The pump's curve in a CSV file, instead of points: columns `flow UNIT` and `pressure UNIT` or `head \
             UNIT`, perhaps `efficiency %` and `npsh UNIT`.";
        points: Kind::Points(Q::Flow, &[Q::Pressure, Q::Head]),
            "The pump's curve at full speed: pairs of flow and pressure (or head), from no flow on.";
        displacement: of(Q::Volume, POSITIVE),
            "Volume that a positive-displacement pump sweeps in a turn, instead of a curve; with `rotation` and `slip`.";
        rotation: of(Q::Rotation, POSITIVE), "How fast such a pump turns at full speed.";
        slip: of(Q::Share, POSITIVE_SHARE),
            "Share of the flow it sweeps at full speed that slips back at `slip_at`, in proportion to the pressure.";
        slip_at: of(Q::Pressure, POSITIVE), or "10 bar", "Rise of pressure at which that share slips back.";
        test_density: of(Q::Density, POSITIVE), or "998.207 kg/m3",
            "Density of the liquid the curve's pressures were measured with.";
        speed: of(Q::Share, positive_up_to(10.0)), or "100 %", "Speed at the start, as a share of the curve's speed.";
        top_speed: of(Q::Share, positive_up_to(10.0)), or "100 %",
            "Highest speed the drive reaches, as a share of the curve's speed.";
        efficiency: Kind::Points(Q::Flow, &[Q::Share]), "Pairs of flow and efficiency at full speed.";
        npsh: Kind::Points(Q::Flow, &[Q::Head]), "Pairs of flow and net positive suction head required at full speed.";
    }

    /// How much a tip lets through.
    pub(super) RATED {
        size: Kind::Text, "Tip size after ISO 10625, such as `\"04\"`.";
        flow: of(Q::Flow, POSITIVE), "Rated flow of water, instead of a size.";
        at: of(Q::Pressure, POSITIVE), or "3 bar", "Pressure of the rated flow.";
    }

    /// What is said of the nozzle body of a tip.
    pub(super) BODY {
        body_kv: of(Q::FlowCoefficient, POSITIVE),
            "Flow coefficient of nozzle body and tip strainer together; no loss where left out.";
        shut_off: Kind::Choice(&["each", "check valve", "none"]), or "each",
            "What stops a tip: a positive shut-off of its own, a spring-loaded check valve, or nothing.";
        opens_at: of(Q::Pressure, POSITIVE), or "0.7 bar", "Pressure at which a tip's check valve opens.";
        reseats_at: of(Q::Pressure, POSITIVE), or "0.5 bar", "Pressure at which a tip's check valve closes again.";
        open_loss: of(Q::Pressure, NOT_NEGATIVE), or "0.05 bar", "Pressure a tip's check valve takes once open.";
        duty: of(Q::Share, POSITIVE_SHARE), or "100 %", "Share of the time a tip is open under pulse-width control.";
    }

    /// What else is said of every tip.
    pub(super) TIP_ITSELF {
        wear: of(Q::Share, bounds(Some(-0.9), None, Some(5.0))), or "0 %",
            "Extra flow of a worn tip at equal pressure (negative: partly plugged).";
        window: Kind::Pair(Q::Pressure), "Lowest and highest pressure at which its droplets are as intended.";
    }

    /// What is said of every tank.
    pub(super) TANK_HOLDS {
        heel: of(Q::Volume, NOT_NEGATIVE), or "0 L",
            "Volume that its outlet cannot draw: down to it, the tank counts as empty.";
        concentration: of(Q::Share, SHARE), "Concentration it holds at the start, instead of `tanks_hold` of [start].";
    }
}

tables! {
    /// A pipe, tube or hose.
    pub(super) LINE {
        ..BORE;
        length: of(Q::Length, positive_up_to(LONGEST_M)),
            "Length; section hoses take it from geometry where it is left out.";
        ..WALL;
    }

    /// A valve that opens and closes.
    pub(super) VALVE {
        ..KV, MOVES;
    }

    /// A part with a fixed flow coefficient.
    pub(super) RESTRICTION {
        ..KV;
    }
}
