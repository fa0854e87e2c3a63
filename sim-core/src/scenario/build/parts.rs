//! Lines, valves, tips: parts that both forms describe by the same keys.

use super::super::nearest::nearest;
use super::super::value::Checked;
use super::Build;
use crate::plumbing::boom::{LineDesign, TipDesign};
use crate::plumbing::{
    MATERIALS, Material, NOMINAL_PRESSURE_PA, Opening, Orifice, ShutOff, TIP_SIZES, Valve,
    material, tip_size,
};

/// Largest roughness, as a share of the bore, for which friction laws hold (Moody 1944).
const ROUGHEST: f64 = 0.05;
/// What a line is made of where the scenario says neither that nor how rough it is.
const USUAL_MATERIAL: &str = "hose";

impl Build<'_> {
    /// A line's design; its length may be missing.
    pub(super) fn line_design(&mut self, table: &Checked) -> Option<LineDesign> {
        let bore_m = table.number("bore")?;
        let (material, roughness_m) = match (table.text("material"), table.number("roughness")) {
            (None, Some(roughness_m)) => (None, roughness_m),
            (name, given) => {
                let made_of = self.made_of(table, name.unwrap_or(USUAL_MATERIAL))?;
                (Some(made_of), given.unwrap_or(made_of.roughness_m))
            }
        };
        if roughness_m > ROUGHEST * bore_m {
            let key = if table.has("roughness") { "roughness" } else { "bore" };
            let help = "friction laws hold up to a roughness of a twentieth of the bore";
            self.fault(table.span_of(key), "the wall is too rough for its bore", Some(help.into()));
        }
        let (length_m, rating_pa) = (table.number("length"), table.number("rating"));
        let losses = table.number("losses")?;
        Some(LineDesign {
            bore_m,
            roughness_m,
            length_m,
            losses,
            rating_pa,
            material,
            sag_m: table.number("sag").unwrap_or(0.0),
        })
    }

    /// A line's design whose length must be given.
    pub(super) fn long_line(&mut self, table: &Checked) -> Option<LineDesign> {
        if !table.has("length") {
            let help = "add `length = \"2.5 m\"`".to_owned();
            self.fault(table.span.clone(), "`length` is missing", Some(help));
            return None;
        }
        self.line_design(table)
    }

    /// The material called `name` in `table`.
    fn made_of(&mut self, table: &Checked, name: &str) -> Option<&'static Material> {
        if let Some(known) = material(name) {
            return Some(known);
        }
        let names = MATERIALS.iter().map(|material| material.name);
        let list: Vec<&str> = names.clone().collect();
        let known = format!("Known materials: {}", list.join(", "));
        let help = nearest(name, names).map(|near| format!("did you mean \"{near}\"? "));
        let help = format!("{}{known}; or give `roughness`", help.unwrap_or_default());
        self.fault(table.span_of("material"), format!("unknown material \"{name}\""), Some(help));
        None
    }

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
                    self.fault(table.span_of("size"), message, Some(help));
                    None
                }
            },
            (_, Some((flow, at))) => Some((flow, at?)),
            (None, None) => {
                let help = "add `size = \"04\"`, or `flow = \"1.6 L/min\"` and `at = \"3 bar\"`";
                self.fault(table.span.clone(), "the tips have no size", Some(help.into()));
                None
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
                    self.fault(table.span_of("opens_at"), message, Some(help.into()));
                    return None;
                }
                ShutOff::CheckValve { opens_at_pa, reseats_at_pa, open_loss_pa }
            }
        })
    }
}
