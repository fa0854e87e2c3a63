//! The format of a study, as data.

use super::super::spec::declare::tables;
use super::super::spec::{Kind, bounds, of};
use super::model::INPUT_NAMES;
use crate::units::Quantity as Q;

/// Most draws of uncertain inputs.
const MOST_DRAWS: u32 = 65_536;

tables! {
    /// A study of one machine: what of it is uncertain.
    pub(in crate::scenario) STUDY {
        title: Kind::Text, or "study", "What it is called.";
        base: Kind::File, "The scenario that it starts from, beside this file.";
        draws: Kind::Count { most: MOST_DRAWS }, "How many draws of the uncertain inputs; where left out, the more the quicker a run is.";
        seed: Kind::Count { most: u32::MAX }, or "1", "Which of all series of draws.";
        uncertain: Kind::List(&UNCERTAIN), "An input whose spread is another than the usual one.";
    }

    /// An input and how far it may be off: by one of `within`, `normal`, `factor`, `between` and `known`.
    UNCERTAIN {
        input: Kind::Choice(INPUT_NAMES), "An input that is uncertain without being asked, for the whole machine.";
        key: Kind::Text, "A setting of the scenario instead, by its names from the top down, such as `supply.hose.bore`.";
        within: of(Q::Share, bounds(Some(0.0), None, Some(0.9))), "Anywhere within this share either way.";
        normal: of(Q::Share, bounds(Some(0.0), None, Some(0.3))), "About its value with this standard deviation.";
        factor: Kind::Number(bounds(Some(1.0), None, Some(100.0))), "About 95 of 100 are within this factor either way.";
        between: Kind::Names, "Anywhere between two values, both in the same unit.";
        known: Kind::Flag, "`true`: it is known exactly.";
    }
}
