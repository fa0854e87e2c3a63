//! The catalogue: a row each.

use super::row::{Better, Over, Row};
use crate::units::Quantity;
use schemars::JsonSchema;
use serde::Serialize;

macro_rules! catalogue {
    ($($(#[doc = $doc:literal])+ $measure:ident: $key:literal, $words:literal, $quantity:ident, $better:ident, $over:ident
        $(, $set:ident($($value:expr),+))*;)+) => {
        /// A scalar result of a step or of a run. Its key ends in the unit of its value.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, JsonSchema)]
        pub enum Measure {
            $($(#[doc = $doc])+ #[serde(rename = $key)] $measure,)+
        }

        /// A row for each measure, in their order.
        const ROWS: &[Row] = &[$(
            Row::new($key, $words, concat!($($doc),+), (Quantity::$quantity, Better::$better, Over::$over))
                $(.$set($($value),+))*
        ),+];

        impl Measure {
            /// Every measure, the most telling first.
            pub const ALL: &[Self] = &[$(Self::$measure),+];
        }
    };
}

catalogue! {
    /// Liquid left in lines when a purge ends, that of the suction side left out.
    PurgeResidual: "purge_residual_m3", "residual of the purge", Volume, Less, Last, earlier("left_behind");
    /// Liquid that a purge brings back into tanks.
    PurgeReturned: "purge_returned_m3", "returned by the purge", Volume, More, Sum;
    /// Liquid that a purge loses through tips.
    PurgeLost: "purge_lost_m3", "lost through tips", Volume, Less, Sum, earlier("lost");
    /// Time after which 95 % of what a purge returns has done so.
    PurgeNearlyReturned: "purge_nearly_returned_s", "95 % returned, since purge start", Duration, Less, Worst;
    /// How long a purge takes, all its steps together.
    PurgeLasted: "purge_lasted_s", "the purge takes", Duration, Neither, Sum;
    /// Free air that a purge takes.
    PurgeFreeAir: "purge_free_air_m3", "free air the purge takes", Volume, Less, Sum;
    /// Time until liquid is at every tip of the open sections, where lines held air.
    Filled: "filled_s", "liquid at every tip, since step start", Duration, Less, Worst;
    /// Time until every running tip (every tip, where none runs) has full strength.
    FullStrength: "full_strength_s", "full strength, since step start", Duration, Less, Worst, earlier("prime_within");
    /// The same from the start of the run on.
    FullSinceStart: "full_since_start_s", "full strength, since run start", Duration, Less, First;
    /// Volume sprayed below full strength.
    UnderDosed: "under_dosed_m3", "sprayed below full strength", Volume, Less, Sum;
    /// Product in what is sprayed below full strength, as volume at full strength.
    UnderDosedProduct: "under_dosed_product_m3", "product in it (as full-strength mix)", Volume, Less, Sum;
    /// Travel until every tip sprays full strength.
    UnderDosedDistance: "under_dosed_distance_m", "travelled until full strength", Length, Less, Worst;
    /// Time after which what comes back to the tank is half new liquid.
    ReturnHalf: "return_half_s", "return half new, since step start", Duration, Less, Worst;
    /// Volume of the lines in which something flows, over the flow into them.
    Turnover: "turnover_s", "moving lines turn over in", Duration, Less, Worst;
    /// Volume of capped stretches.
    DeadLegs: "dead_legs_m3", "dead legs hold", Volume, Less, Worst;
    /// (highest - lowest) / mean of the pressures of running tips.
    TipPressureVariation: "tip_pressure_variation_share", "tip pressure variation", Share, Less, Worst,
        earlier("spread");
    /// Coefficient of variation of tip flows.
    TipFlowVariation: "tip_flow_variation_share", "tip flow variation", Share, Less, Worst;
    /// Largest drop from the held gauge to any section's far end.
    SectionDrop: "section_drop_share", "drop, gauge to far end", Share, Less, Worst,
        usual(0.10, "ISO 16122-2, from memory");
    /// Largest difference of any section's feed-end pressure from their mean.
    SectionBalance: "section_balance_share", "section feed end, off mean", Share, Less, Worst,
        usual(0.10, "ISO 16122-2, from memory");
    /// Largest deviation of any tip's flow from the mean.
    TipFlowOffMean: "tip_flow_off_mean_share", "tip flow, off mean", Share, Less, Worst,
        earlier("tip_flow"), usual(0.05, "ISO 16122-2, from memory");
    /// How long any tip sprays at a pressure above its droplet window.
    AboveWindow: "above_window_s", "a tip above its droplet window for", Duration, Less, Sum;
    /// Largest velocity in any line of the pressure side.
    Velocity: "velocity_m_s", "velocity after the pump", Velocity, Less, Worst,
        usual(3.0, "common practice, no source");
    /// Largest velocity in any suction line.
    SuctionVelocity: "suction_velocity_m_s", "velocity in suction", Velocity, Less, Worst,
        usual(1.2, "common practice, no source");
    /// Deviation of what a control holds from its setpoint.
    SetpointOff: "setpoint_off_share", "held value, off setpoint", Share, Less, Worst,
        usual(0.05, "common practice, no source");
    /// Deviation of the application rate from its target.
    RateOff: "rate_off_share", "rate, off target", Share, Less, Worst,
        earlier("rate"), usual(0.10, "common practice, no source");
    /// Volume sprayed.
    Sprayed: "sprayed_m3", "sprayed", Volume, Neither, Sum;
    /// Flow of all tips.
    BoomFlow: "boom_flow_m3_s", "flow of the tips", Flow, Neither, Last;
    /// Highest pressure at any node while a step lasts, as far as the record holds its moments; liquid and walls are
    /// rigid, so that peaks after a fast stop are not to be trusted.
    HighestPressure: "highest_pressure_pa", "highest pressure", Pressure, Less, Worst;
    /// Mean pressure of running tips.
    MeanTipPressure: "mean_tip_pressure_pa", "mean tip pressure", Pressure, Neither, Last;
    /// Volume of tubes that nothing flows through while tips run.
    StillTubes: "still_tubes_m3", "tubes without flow while spraying", Volume, Less, First;
    /// Flow of the return side into tanks.
    ReturnFlow: "return_flow_m3_s", "flow back to the tank", Flow, Neither, Last;
    /// Flow of all pumps.
    PumpFlow: "pump_flow_m3_s", "flow of the pumps", Flow, Neither, Last;
    /// Power that the pumps give the liquid.
    PumpPower: "pump_power_w", "power given to the liquid", Power, Less, Worst;
    /// Smallest net positive suction head available beyond what a pump requires.
    SuctionMargin: "suction_margin_m", "suction head to spare", Head, More, Worst;
    /// Highest concentration at any running tip when a rinse ends.
    HighestTipConcentration: "highest_tip_concentration_share", "highest concentration at a tip", Share, Less, Last, earlier("rinsed_to");
    /// Product in lines, dead legs and tanks when a rinse ends, as volume at full strength.
    ResidualProduct: "residual_product_m3", "product left (as full-strength mix)", Volume, Less, Last;
    /// What air trapped in capped ends pushes out after shut-off.
    AfterDrip: "after_drip_m3", "after-drip", Volume, Less, Worst;
    /// Product settled in lines when a step ends, as volume at full strength.
    Settled: "settled_m3", "product settled (of mix)", Volume, Less, Last;
    /// How long all steps last together.
    Lasted: "lasted_s", "the run lasts", Duration, Neither, Run;
    /// Volume of all lines.
    LinesHold: "lines_m3", "lines hold", Volume, Less, Run;
    /// Share of the limits that apply that are not met.
    LimitsMissed: "limits_missed_share", "limits not met", Share, Less, Run;
}

impl Measure {
    /// Those that steps are set beside each other by, the most telling first.
    pub fn of_steps() -> impl Iterator<Item = Self> {
        Self::ALL.iter().copied().filter(|m| !matches!(m.over(), Over::First | Over::Run))
    }

    /// Those that whole runs are set beside each other by: what adds up over steps or counts once.
    pub fn of_runs() -> impl Iterator<Item = Self> {
        Self::ALL.iter().copied().filter(|m| !matches!(m.over(), Over::Last | Over::Worst))
    }

    const fn row(self) -> &'static Row {
        &ROWS[self as usize]
    }

    /// Its key in files; the unit of its value ends it.
    pub const fn key(self) -> &'static str {
        self.row().key
    }

    /// Its key without the unit: what files in any unit are called.
    pub const fn stem(self) -> &'static str {
        self.row().stem
    }

    /// What it is, in words.
    pub const fn words(self) -> &'static str {
        self.row().words
    }

    /// What it is, in a sentence.
    pub(crate) const fn doc(self) -> &'static str {
        self.row().doc
    }

    /// What its value is.
    pub const fn quantity(self) -> Quantity {
        self.row().quantity
    }

    /// Which way it is better.
    pub const fn better(self) -> Better {
        self.row().better
    }

    /// What a whole run has of it.
    pub const fn over(self) -> Over {
        self.row().over
    }

    /// Key of its limit in scenarios; `None` for what no step has.
    pub(crate) const fn limit_key(self) -> Option<&'static str> {
        match self.over() {
            Over::Run => None,
            _ => Some(self.row().stem),
        }
    }

    /// Another key of its limit, from before it had its present one.
    pub(crate) const fn earlier_key(self) -> Option<&'static str> {
        self.row().earlier
    }

    /// The largest value allowed where a scenario says nothing, and who demands it.
    pub const fn usual(self) -> Option<(f64, &'static str)> {
        self.row().usual
    }
}

#[cfg(test)]
mod tests {
    use super::Measure;
    use std::collections::BTreeSet;

    #[test]
    fn no_two_measures_share_a_key_or_words() {
        let keys: BTreeSet<_> = Measure::ALL.iter().map(|measure| measure.key()).collect();
        let words: BTreeSet<_> = Measure::ALL.iter().map(|measure| measure.words()).collect();
        assert_eq!((keys.len(), words.len()), (Measure::ALL.len(), Measure::ALL.len()));
        let limits = Measure::ALL.iter().flat_map(|m| [m.limit_key(), m.earlier_key()]).flatten();
        let limits: Vec<_> = limits.collect();
        assert_eq!(limits.iter().collect::<BTreeSet<_>>().len(), limits.len());
    }
}
