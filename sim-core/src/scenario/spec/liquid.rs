//! The liquid in lines and tanks, and the product in it.

use super::{Kind, NOT_NEGATIVE, POSITIVE, TableSpec, bounds, key, positive_up_to};
use crate::units::Quantity as Q;

pub(super) static LIQUID: TableSpec = TableSpec {
    doc: "The liquid in lines and tanks; water at 20 degC where left out. Figures not given are \
          water's at the same temperature.",
    keys: &[
        key("named", Kind::File, "A liquid file with the same keys."),
        key("name", Kind::Text, "What it is called.").or("water"),
        key(
            "temperature",
            Kind::Quantity(Q::Temperature, bounds(None, Some(0.0), Some(50.0))),
            "Its temperature, 0 to 50 degC.",
        )
        .or("20 degC"),
        key("density", Kind::Quantity(Q::Density, positive_up_to(20_000.0)), "Its density."),
        key(
            "viscosity",
            Kind::Quantity(Q::Viscosity, positive_up_to(1000.0)),
            "Its dynamic viscosity.",
        ),
        key(
            "vapour_pressure",
            Kind::Quantity(Q::Pressure, NOT_NEGATIVE),
            "Absolute vapour pressure.",
        ),
        key("caution", Kind::Text, "What a reader must know of these figures."),
        key("source", Kind::Text, "Where the figures are from."),
    ],
};

pub(super) static PRODUCT: TableSpec = TableSpec {
    doc: "What is known of the product in the tank mix: its price, and the particles of one that is \
          suspended and settles.",
    keys: &[
        key("price", Kind::Quantity(Q::Price, POSITIVE), "Price of tank mix at full strength."),
        key("currency", Kind::Text, "What the price is in.").or(""),
        key(
            "particle",
            Kind::Quantity(Q::Bore, positive_up_to(1e-3)),
            "Diameter of its particles.",
        ),
        key(
            "density",
            Kind::Quantity(Q::Density, positive_up_to(20_000.0)),
            "Density of its particles.",
        ),
        key(
            "solids",
            Kind::Quantity(Q::Share, bounds(Some(0.0), None, Some(0.4))),
            "Volume share of particles in the mix at full strength.",
        )
        .or("0.5 %"),
    ],
};
