//! The format of a file of prices, as data.

use super::super::spec::declare::tables;
use super::super::spec::{Kind, bounds, of};
use crate::units::Quantity as Q;

tables! {
    /// What a season asks of a machine, and what things cost.
    pub(super) PRICES {
        currency: Kind::Text, or "", "What prices are in.";
        fills: Kind::Number(bounds(Some(0.0), None, Some(1e5))), required,
            "How often in a season the machine goes through the steps of its scenario.";
        product: Kind::AnyOf(&[Q::Price, Q::PriceOfArea]), required,
            "Price of the product: of tank mix at full strength, or of a field sprayed at the rate that scenarios want.";
        water: of(Q::Price, bounds(None, Some(0.0), Some(1e6))), required, "Price of water.";
        hour: of(Q::PriceOfTime, bounds(None, Some(0.0), Some(1e3))), required,
            "Price of the time that machine and operator take.";
        retrofit: Kind::List(&RETROFIT), "What it costs to turn the first layout into another.";
    }

    /// What it costs to turn the first layout into another.
    RETROFIT {
        layout: Kind::Text, required, "Name of the other layout's file, without folder and ending.";
        cost: Kind::Number(bounds(None, Some(0.0), Some(1e9))), required,
            "Parts and labour, in the currency.";
    }
}
