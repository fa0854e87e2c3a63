//! The figures by which a step of one machine is set beside that of another.

use crate::words::or_dash;
use sim_core::findings::StepFindings;
use sim_core::units::{Quantity as Q, UnitSystem};

/// Which way a figure is better.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Better {
    /// The smaller one.
    Less,
    /// The larger one.
    More,
    /// Neither: it tells what the machine does, not how well.
    Neither,
}

/// What a figure measures.
#[derive(Debug, serde::Serialize)]
pub(crate) struct Meaning {
    /// Its key in files; the unit of what it measures ends it.
    pub(crate) key: &'static str,
    /// What it is, in words.
    #[serde(skip)]
    pub(crate) name: &'static str,
    #[serde(skip)]
    pub(crate) quantity: Q,
    #[serde(skip)]
    pub(crate) better: Better,
}

/// One figure of a `T`.
pub(crate) struct Figure<T> {
    pub(crate) meaning: Meaning,
    /// Its value, SI; `None` where there is no such figure.
    pub(crate) of: fn(&T) -> Option<f64>,
}

impl Meaning {
    /// `value` as people read it; a dash where there is none.
    pub(crate) fn shown(&self, value: Option<f64>, units: UnitSystem) -> String {
        or_dash(value, self.quantity, units)
    }
}

macro_rules! figure {
    ($key:literal, $name:literal, $quantity:ident, $better:ident, $of:expr) => {
        $crate::report::figures::Figure {
            meaning: $crate::report::figures::Meaning {
                key: $key,
                name: $name,
                quantity: sim_core::units::Quantity::$quantity,
                better: $crate::report::figures::Better::$better,
            },
            of: $of,
        }
    };
}
pub(crate) use figure;

/// Every figure of a step, the most telling first.
pub(crate) static FIGURES: [Figure<StepFindings>; 26] = [
    figure!("purge_left_m3", "left behind by the purge", Volume, Less, |f| {
        Some(f.purge.as_ref()?.residual.liquid_m3)
    }),
    figure!("purge_returned_m3", "brought home by the purge", Volume, More, |f| {
        Some(f.purge.as_ref()?.returned_m3)
    }),
    figure!("purge_lost_m3", "lost through tips by the purge", Volume, Less, |f| {
        Some(f.purge.as_ref()?.lost_m3)
    }),
    figure!("purge_nearly_home_s", "95 % of what comes home after", Duration, Less, |f| {
        f.purge.as_ref()?.nearly_returned_s
    }),
    figure!("purge_free_air_m3", "free air the purge takes", Volume, Less, |f| {
        Some(f.purge.as_ref()?.free_air_m3)
    }),
    figure!("filled_s", "liquid at every tip after", Duration, Less, |f| {
        f.filling.as_ref()?.filled_s
    }),
    figure!("all_full_s", "full strength at every tip after", Duration, Less, |f| {
        f.priming.as_ref().filter(|p| p.new_liquid)?.all_full_s
    }),
    figure!("sprayed_weak_m3", "sprayed below full strength", Volume, Less, |f| {
        f.priming.as_ref().filter(|p| p.new_liquid).map(|p| p.under_dosed_m3)
    }),
    figure!("weak_distance_m", "travelled until full strength", Length, Less, |f| {
        f.priming.as_ref().filter(|p| p.new_liquid)?.under_dosed_distance_m
    }),
    figure!("return_half_s", "what returns is half new after", Duration, Less, |f| {
        f.circulation.as_ref()?.return_half_s
    }),
    figure!("turnover_s", "moving lines turn over in", Duration, Less, |f| {
        f.priming.as_ref().filter(|p| p.new_liquid)?.turnover_s
    }),
    figure!("dead_legs_m3", "dead legs hold", Volume, Less, |f| {
        let legs = &f.priming.as_ref()?.dead_legs;
        Some(legs.iter().map(|leg| leg.volume_m3).sum())
    }),
    figure!("tip_spread_share", "spread of tip pressures", Share, Less, |f| {
        Some(f.boom.as_ref()?.pressure_variation_share)
    }),
    figure!("tip_flow_variation_share", "variation of tip flows", Share, Less, |f| {
        Some(f.boom.as_ref()?.flow_variation_share)
    }),
    figure!("section_drop_share", "largest drop, gauge to far end", Share, Less, |f| {
        f.sections.iter().filter_map(|section| section.drop_from_gauge_share).reduce(f64::max)
    }),
    figure!("rate_off_share", "rate, off the wanted", Share, Less, |f| {
        let application = f.application.as_ref()?;
        Some((application.rate_m / application.target_rate_m? - 1.0).abs())
    }),
    figure!("boom_flow_m3_s", "flow of the tips", Flow, Neither, |f| Some(
        f.boom.as_ref()?.flow_m3_s
    )),
    figure!("mean_tip_pressure_pa", "mean tip pressure", Pressure, Neither, |f| {
        Some(f.boom.as_ref()?.mean_pressure_pa)
    }),
    figure!("return_flow_m3_s", "flow back to the tank", Flow, Neither, |f| {
        Some(f.circulation.as_ref()?.flow_m3_s)
    }),
    figure!("pump_flow_m3_s", "flow of the pumps", Flow, Neither, |f| {
        f.pumps.iter().map(|pump| pump.flow_m3_s).reduce(|a, b| a + b)
    }),
    figure!("pump_power_w", "power given to the liquid", Power, Less, |f| {
        f.pumps.iter().map(|pump| pump.hydraulic_power_w).reduce(|a, b| a + b)
    }),
    figure!("suction_margin_m", "suction head to spare", Head, More, |f| {
        let spare = f.pumps.iter().filter_map(|p| Some(p.npsh_available_m - p.npsh_required_m?));
        spare.reduce(f64::min)
    }),
    figure!("strongest_tip_share", "strength left at the strongest tip", Share, Less, |f| {
        Some(f.rinse.as_ref()?.strongest.as_ref()?.concentration)
    }),
    figure!("product_left_m3", "product left (as full-strength mix)", Volume, Less, |f| {
        Some(f.rinse.as_ref()?.residual_product_m3)
    }),
    figure!("drool_m3", "drool after shut-off", Volume, Less, |f| Some(
        f.after_drip.as_ref()?.volume_m3
    )),
    figure!("settled_m3", "product settled (of mix)", Volume, Less, |f| {
        f.standing.as_ref().and(f.outcome.as_ref()).map(|outcome| outcome.settled_m3)
    }),
];
