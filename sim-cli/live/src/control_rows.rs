//! The catalogue of what the page lets be set: by its name in the scenario.

use super::controls::Group;
use sim_core::units::Quantity::{self, *};

/// How a value is chosen.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Chosen {
    /// From a range, SI.
    Between(f64, f64),
    /// From the usual inner diameters of hose and tube (common practice, no source).
    Bores,
    /// From words.
    Words(&'static [&'static str]),
    /// From tip sizes.
    TipSizes,
    /// Yes or no.
    Flag,
}

/// Something that can be set.
#[derive(Clone, Copy, Debug)]
pub(crate) struct ControlRow {
    pub(crate) path: &'static str,
    pub(crate) group: Group,
    pub(crate) words: &'static str,
    pub(crate) quantity: Quantity,
    pub(crate) chosen: Chosen,
}

const fn row(
    path: &'static str,
    group: Group,
    words: &'static str,
    quantity: Quantity,
    chosen: Chosen,
) -> ControlRow {
    ControlRow { path, group, words, quantity, chosen }
}

/// Inner diameters in millimetres and in inches.
pub(crate) const BORES_MM: [f64; 15] =
    [8.0, 10.0, 13.0, 16.0, 19.0, 22.0, 25.0, 28.0, 32.0, 38.0, 45.0, 50.0, 57.0, 63.0, 76.0];
pub(crate) const BORES_IN: [f64; 10] = [0.375, 0.5, 0.625, 0.75, 1.0, 1.25, 1.5, 2.0, 2.5, 3.0];

/// What belongs to the machine, as the liquid flows. Shown is what the text has.
pub(crate) const ROWS: [ControlRow; 22] = [
    row("liquid.temperature", Group::Tank, "liquid at", Temperature, Chosen::Between(2.0, 40.0)),
    row("liquid.viscosity", Group::Tank, "viscosity", Viscosity, Chosen::Between(5e-4, 0.05)),
    row("tank.holds", Group::Tank, "tank holds", Volume, Chosen::Between(0.0, 6.0)),
    row("pump.suction.bore", Group::Supply, "suction line", Bore, Chosen::Bores),
    row("supply.main.bore", Group::Supply, "main line", Bore, Chosen::Bores),
    row("supply.hose.bore", Group::Supply, "section hoses", Bore, Chosen::Bores),
    row(
        "supply.agitation.orifice",
        Group::Supply,
        "agitation jet",
        Bore,
        Chosen::Between(1e-3, 15e-3),
    ),
    row(
        "boom.feed",
        Group::Sections,
        "sections fed at",
        Bore,
        Chosen::Words(&["one end", "centre"]),
    ),
    row("boom.feed_end", Group::Sections, "fed end", Bore, Chosen::Words(&["outer", "inner"])),
    row("boom.return", Group::Sections, "far ends return", Bore, Chosen::Flag),
    row("boom.tube.bore", Group::Sections, "boom tube", Bore, Chosen::Bores),
    row("return_path.hose.bore", Group::Return, "return hoses", Bore, Chosen::Bores),
    row("return_path.main.bore", Group::Return, "return main", Bore, Chosen::Bores),
    row("tips.size", Group::Tips, "tip size", Bore, Chosen::TipSizes),
    row("tips.wear", Group::Tips, "wear of tips", Share, Chosen::Between(0.0, 0.3)),
    row("travel.speed", Group::Tips, "travel speed", Speed, Chosen::Between(1.0 / 3.6, 25.0 / 3.6)),
    row("travel.rate", Group::Tips, "rate wanted", ApplicationRate, Chosen::Between(5e-6, 6e-5)),
    row("air.regulated", Group::Air, "regulated pressure", Pressure, Chosen::Between(2e4, 8e5)),
    row("air.charged_to", Group::Air, "receiver charged to", Pressure, Chosen::Between(1e5, 1.2e6)),
    row("air.receiver", Group::Air, "receiver", Volume, Chosen::Between(1e-3, 0.2)),
    row("air.compressor", Group::Air, "compressor", Flow, Chosen::Between(1e-4, 1e-2)),
    row("start.lines_hold", Group::Tank, "lines hold at first", Share, Chosen::Between(0.0, 1.0)),
];
