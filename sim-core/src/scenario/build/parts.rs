//! Valves, orifices, tips: parts that both forms describe by the same keys.

use super::super::value::Checked;
use super::Build;
use crate::plumbing::boom::TipDesign;
use crate::plumbing::{NOMINAL_PRESSURE_PA, Opening, Orifice, ShutOff, TIP_SIZES, Valve, tip_size};
use crate::units::{Quantity, lower_first, show};

/// Share by which a rated flow may differ from that of its tip's size: the tolerance of a new tip (ISO 10625, from memory).
const SAME_FLOW: f64 = 0.05;

impl Build<'_> {
    pub(super) fn valve(&self, table: &Checked) -> Option<Valve> {
        let characteristic = match table.text("characteristic")? {
            "equal percentage" => {
                Opening::EqualPercentage { rangeability: table.number("rangeability")? }
            }
            _ => Opening::Linear,
        };
        let (kv_si, opening) = (table.number("kv")?, table.number("opening")?);
        Some(Valve { kv_si, opening, characteristic })
    }

    pub(super) fn orifice(&self, table: &Checked, bore: &str) -> Option<Orifice> {
        let discharge_coefficient = table.number("discharge_coefficient")?;
        Some(Orifice { bore_m: table.number(bore)?, discharge_coefficient })
    }

    /// What `table` says of tips.
    pub(super) fn tip_design(&mut self, table: &Checked) -> Option<TipDesign> {
        // Whatever they are: the search for mistakes goes on.
        let usual = (TIP_SIZES[0].flow_m3_s(), NOMINAL_PRESSURE_PA);
        let (rated_flow_m3_s, rated_at_pa) = self.rating(table).unwrap_or(usual);
        Some(TipDesign {
            // A rated flow counts instead of a size.
            size: if table.has("flow") { None } else { table.text("size").map(str::to_owned) },
            rated_flow_m3_s,
            rated_at_pa,
            body_kv_si: table.number("body_kv"),
            shut_off: self.shut_off(table).unwrap_or(ShutOff::Each),
            duty: table.number("duty")?,
            wear: table.number("wear")?,
            window_pa: table.pair("window"),
            position: None,
            in_use: true,
        })
    }

    fn rating(&mut self, table: &Checked) -> Option<(f64, f64)> {
        if let Some(flow) = table.number("flow") {
            let at = table.number("at")?;
            return self.agrees_with_size(table, flow, at).then_some((flow, at));
        }
        let Some(code) = table.text("size") else {
            let help = "add `size = \"04\"`, or `flow = \"1.6 L/min\"` and `at = \"3 bar\"`";
            return self.refuse(table.span.clone(), "the tips have no size", help);
        };
        if let Some(size) = tip_size(code) {
            return Some((size.flow_m3_s(), NOMINAL_PRESSURE_PA));
        }
        let codes: Vec<&str> = TIP_SIZES.iter().map(|size| size.code).collect();
        let padded = format!("0{code}");
        let near = codes.iter().find(|code| **code == padded);
        let near = near.map_or_else(String::new, |code| format!("did you mean \"{code}\"? "));
        let help = format!("{near}Sizes of ISO 10625: {}", codes.join(", "));
        let help = if near.is_empty() { lower_first(&help) } else { help };
        let message = format!("there is no tip size \"{code}\"");
        self.refuse(table.span_of("size"), message, help)
    }

    /// Whether a `flow` at a pressure is not another than that of the `size` beside it.
    fn agrees_with_size(&mut self, table: &Checked, flow_m3_s: f64, at_pa: f64) -> bool {
        let Some(size) = table.glance("size").and_then(tip_size) else { return true };
        let of_size = size.flow_m3_s() * (at_pa / NOMINAL_PRESSURE_PA).sqrt();
        if (flow_m3_s / of_size - 1.0).abs() <= SAME_FLOW {
            return true;
        }
        let [given, own] = [flow_m3_s, of_size].map(|q| show(q, Quantity::Flow, self.walk.units));
        let at = show(at_pa, Quantity::Pressure, self.walk.units);
        let message = format!("size {} passes {own} at {at}, and `flow` says {given}", size.code);
        self.fault(table.span_of("size"), message, "keep one of the two");
        false
    }

    fn shut_off(&mut self, table: &Checked) -> Option<ShutOff> {
        Some(match table.text("shut_off")? {
            "each" => ShutOff::Each,
            "none" => ShutOff::Open,
            _ => {
                let opens_at_pa = table.number("opens_at")?;
                let reseats_at_pa = table.number("reseats_at")?;
                let open_loss_pa = table.number("open_loss")?;
                if reseats_at_pa > opens_at_pa || open_loss_pa >= reseats_at_pa {
                    let message = "a check valve must open above the pressure at which it reseats, \
                                   and lose less than that once open";
                    let help = "such as opens_at = \"0.7 bar\", reseats_at = \"0.5 bar\", \
                                open_loss = \"0.05 bar\"";
                    return self.refuse(table.span_of("opens_at"), message, help);
                }
                ShutOff::CheckValve { opens_at_pa, reseats_at_pa, open_loss_pa }
            }
        })
    }
}
