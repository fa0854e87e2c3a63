//! The format of a readings file and of an overlay file, as data.

use super::super::spec::declare::tables;
use super::super::spec::{Kind, bounds, of};
use crate::units::Quantity as Q;

/// A share that says how good a reading is.
const GOOD_TO: Kind = of(Q::Share, bounds(Some(0.0), None, Some(0.5)));

/// A probability that leaves room for others.
const PROBABILITY: Kind = of(Q::Share, bounds(None, Some(0.0), Some(0.99)));

/// Kinds of faults as files name them.
pub(crate) const FAULT_KINDS: [&str; 23] = [
    "strainer_plugged",
    "hose_kinked",
    "tube_blocked",
    "valve_part_open",
    "hose_other_bore",
    "section_worn",
    "section_clogged",
    "boom_worn",
    "boom_clogged",
    "tip_wrong",
    "tip_uncaught",
    "tip_strainer_missing",
    "check_stuck",
    "check_stuck_open",
    "pump_slow",
    "pump_worn",
    "valve_passes",
    "leak",
    "air_at_suction",
    "gauge_off",
    "meter_off",
    "liquid_density",
    "liquid_viscosity",
];

const FACTOR: Kind = Kind::Number(bounds(Some(0.0), None, Some(100.0)));

tables! {
    /// Readings taken at a machine.
    pub(super) READINGS {
        title: Kind::Text, or "readings", "What they are called.";
        accuracy: Kind::Table(&ACCURACY), "How far readings of each kind may be off.";
        prior: Kind::Table(&PRIOR), "How likely faults are before anything is read, where it differs from the usual.";
        state: Kind::List(&STATE), "A state of the machine and what was read in it.";
    }

    /// How likely faults are before anything is read.
    PRIOR {
        no_fault: PROBABILITY, "Probability of no fault.";
        two_faults: PROBABILITY, "Probability of two faults at once.";
        something_else: PROBABILITY, "Probability of something that is not in the catalogue, or of a wrong reading.";
        fault: Kind::List(&FAULT_PRIOR), "A kind of fault of which more is known.";
    }

    /// A kind of fault of which more is known.
    FAULT_PRIOR {
        kind: Kind::Choice(&FAULT_KINDS), required, "The kind.";
        weight: Kind::Number(bounds(None, Some(0.0), Some(1000.0))), "How often it occurs, in proportion to other kinds.";
        typical: Kind::Number(bounds(Some(0.0), None, Some(1e6))), "Median of its severity.";
        factor: Kind::Number(bounds(Some(1.0), None, Some(1000.0))), "Factor within which two in three severities are, either way.";
    }

    // What a careful technician reaches with a test gauge, a jug and a watch: common practice, no source.
    /// How far readings may be off, as one standard deviation.
    pub(super) ACCURACY {
        gauge: GOOD_TO, or "2 %", "Gauges.";
        catch: GOOD_TO, or "2 %", "Catch tests.";
        meter: GOOD_TO, or "2 %", "Flow meters.";
        speed: GOOD_TO, or "1 %", "Pump speeds.";
        model: of(Q::Share, bounds(None, Some(0.0), Some(0.5))), or "1 %", "The model of the healthy machine.";
    }

    /// A state of the machine and what was read in it.
    pub(super) STATE {
        name: Kind::Text, "Its name.";
        do: Kind::Choice(&["spray", "circulate"]), or "spray", "What the machine does.";
        sections: Kind::Names, "The sections that are open; all where left out.";
        tips: Kind::Names, "The tips of each nozzle body that are open, by their positions, as in a step of the scenario.";
        closed_tips: Kind::Names, "Tips that are closed.";
        valves: Kind::Openings, "Valves by name and their opening.";
        pumps: Kind::Each(Q::Share, 10.0), "Pumps by name and their speed.";
        pump: of(Q::Share, bounds(Some(0.0), None, Some(10.0))), "Speed of the pump, fixed: nothing is held.";
        hold: Kind::AnyOf(&[Q::Pressure, Q::Flow]),
            "What the machine's own gauge (or meter) shows where the control holds it.";
        gauge: Kind::List(&GAUGE), "A pressure read.";
        catch: Kind::List(&CATCH), "A catch test.";
        meter: Kind::List(&METER), "A flow meter read.";
        speed: Kind::List(&SPEED), "A pump's speed read.";
    }

    /// A pressure read.
    GAUGE {
        at: Kind::Text, required,
            "A gauge of the machine (`boom`, `pump`), or where a test gauge sat: a node, a tip or `section NAME \
             feed end`, `... far end`, `... left end`, `... right end`.";
        reads: of(Q::Pressure, bounds(Some(-1e5), None, Some(1e8))), required,
            "The pressure; negative before the pump.";
        accuracy: Kind::AnyOf(&[Q::Share, Q::Pressure]), "How far it may be off.";
    }

    /// A catch test: volume and time, or flow.
    CATCH {
        tip: Kind::Text, required, "The tip.";
        volume: of(Q::Volume, bounds(None, Some(0.0), Some(1.0))), "What was caught.";
        time: of(Q::Duration, bounds(Some(0.0), None, Some(3600.0))), "How long it was caught.";
        flow: of(Q::Flow, bounds(None, Some(0.0), Some(1.0))), "The flow, instead of volume and time.";
        accuracy: Kind::AnyOf(&[Q::Share, Q::Flow]), "How far it may be off.";
    }

    /// A flow meter read.
    METER {
        at: Kind::Text, or "meter", "The meter.";
        reads: of(Q::Flow, bounds(None, Some(0.0), Some(1.0))), required, "The flow it shows.";
        accuracy: Kind::AnyOf(&[Q::Share, Q::Flow]), "How far it may be off.";
    }

    /// A pump's speed read.
    SPEED {
        at: Kind::Text, or "pump", "The pump.";
        reads: of(Q::Share, bounds(Some(0.0), None, Some(10.0))), required,
            "The speed shown, as a share of the speed of the pump's curve.";
        accuracy: of(Q::Share, bounds(Some(0.0), None, Some(0.5))), "How far it may be off.";
    }

    /// Factors on what a scenario says of a healthy machine, found from readings of it.
    pub(super) OVERLAY {
        roughness: FACTOR, or "1", "On the wall roughness of every line.";
        suction_losses: FACTOR, or "1", "On loss coefficients from tank to pump.";
        main_losses: FACTOR, or "1", "On loss coefficients from pump to header.";
        hose_losses: FACTOR, or "1", "On loss coefficients of the section hoses.";
        return_losses: FACTOR, or "1", "On loss coefficients of the return lines.";
        part_losses: FACTOR, or "1", "On the loss of valves, strainers and flow meters.";
    }
}
