//! The format of a study, as data.

use super::super::spec::declare::tables;
use super::super::spec::{Kind, LIMITS, bounds, of};
use super::model::INPUT_NAMES;
use crate::units::Quantity as Q;

/// Most draws of uncertain inputs.
const MOST_DRAWS: u32 = 65_536;

tables! {
    /// A study of one machine: what of it is uncertain, and what a search may vary.
    pub(in crate::scenario) STUDY {
        title: Kind::Text, or "study", "What it is called.";
        base: Kind::File, "The scenario that it starts from, beside this file.";
        draws: Kind::Count { most: MOST_DRAWS }, "How many draws of the uncertain inputs; where left out, the more the quicker a run is.";
        seed: Kind::Count { most: u32::MAX }, or "1", "Which of all series of draws, or of all ways to search.";
        aims: Kind::Names, "What is to be small, or large where more is better: `cost`, and measures of the whole run as [limits] calls them. The first three give layouts their names.";
        catalogue: Kind::File, "The catalogue of parts, beside this file: CSV with the columns `kind`, `name`, `price`, `per` (`m` or `each`) and one for each key that an entry sets below its variable's `key`, such as `bore`; a column `value` sets the key itself.";
        currency: Kind::Text, or "", "What prices are in.";
        other_cost: Kind::Number(bounds(None, Some(0.0), Some(1e9))), or "0", "Cost of what does not vary.";
        budget: Kind::Count { most: 1_000_000 }, or "640", "Most layouts that a search judges; where there are no more, it judges all.";
        limits: Kind::Override(&LIMITS), "Limits beside those of the scenario, or instead of them.";
        vary: Kind::List(&VARY), "Something that a search varies.";
        corner: Kind::List(&CORNER), "A case in which every limit must be kept, too.";
        uncertain: Kind::List(&UNCERTAIN), "An input whose spread is another than the usual one.";
    }

    /// Something that a search varies: by one of `values`, `between`, `of` and `order_of`.
    VARY {
        name: Kind::Text, "What it is called; its key where left out.";
        key: Kind::Text, required, "The setting of the scenario, by its names from the top down, or the table that an entry of the catalogue fills.";
        values: Kind::Names, "The values it can have, as the scenario would have them: `[\"one end\", \"centre\"]`, `[\"true\", \"false\"]`.";
        between: Kind::Names, "The least and the largest value, in one unit.";
        steps: Kind::Count { most: 1000 }, or "20", "In how many steps from one to the other.";
        of: Kind::Text, "The kind of part in the catalogue.";
        order_of: Kind::Names, "Sections that can come in any order.";
    }

    /// A case in which every limit must be kept, too.
    CORNER {
        name: Kind::Text, required, "What it is called.";
        set: Kind::Names, required, "Settings that differ in it: `[\"travel.speed = 14 km/h\"]`.";
        whole: Kind::Flag, or "false", "Whether all its steps run; otherwise only the states of flow of spraying and circulating are asked for, which is quick.";
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
