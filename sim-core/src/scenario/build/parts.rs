//! Valves, orifices, tips: parts that both forms describe by the same keys.

use super::super::value::Checked;
use super::Build;
use crate::plumbing::boom::TipDesign;
use crate::plumbing::{NOMINAL_PRESSURE_PA, Opening, Orifice, ShutOff, TIP_SIZES, Valve, tip_size};

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
        let (rated_flow_m3_s, rated_at_pa) = self.rating(table)?;
        Some(TipDesign {
            size: table.text("size").map(str::to_owned),
            rated_flow_m3_s,
            rated_at_pa,
            body_kv_si: table.number("body_kv"),
            shut_off: self.shut_off(table)?,
            duty: table.number("duty")?,
            wear: table.number("wear")?,
            window_pa: table.pair("window"),
        })
    }

    fn rating(&mut self, table: &Checked) -> Option<(f64, f64)> {
        let flow = table.number("flow").map(|flow| (flow, table.number("at")));
        match (table.text("size"), flow) {
            (Some(code), None) => match tip_size(code) {
                Some(size) => Some((size.flow_m3_s(), NOMINAL_PRESSURE_PA)),
                None => {
                    let codes: Vec<&str> = TIP_SIZES.iter().map(|size| size.code).collect();
                    let help = format!("sizes of ISO 10625: {}", codes.join(", "));
                    let message = format!("there is no tip size \"{code}\"");
                    self.refuse(table.span_of("size"), message, help)
                }
            },
            (_, Some((flow, at))) => Some((flow, at?)),
            (None, None) => {
                let help = "add `size = \"04\"`, or `flow = \"1.6 L/min\"` and `at = \"3 bar\"`";
                self.refuse(table.span.clone(), "the tips have no size", help)
            }
        }
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
