//! A line: reading what the file says of it, and writing it again.

use super::build::Build;
use super::expand::Writer;
use super::value::Checked;
use crate::plumbing::boom::LineDesign;
use crate::plumbing::{Line, MATERIALS, Material, material};
use crate::units::nearest;
use serde_json::{Value, json};

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
                // Whatever it is: the search for mistakes goes on.
                let made_of = self.made_of(table, name.unwrap_or(USUAL_MATERIAL));
                let made_of = made_of.or_else(|| material(USUAL_MATERIAL))?;
                (Some(made_of), given.unwrap_or(made_of.roughness_m))
            }
        };
        if roughness_m > ROUGHEST * bore_m {
            let key = if table.has("roughness") { "roughness" } else { "bore" };
            let help = "friction laws hold up to a roughness of a twentieth of the bore";
            self.fault(table.span_of(key), "the wall is too rough for its bore", help);
        }
        let (given, length_m) = (table.has("length"), table.number("length").unwrap_or(0.0));
        let line = Line {
            bore_m,
            length_m,
            roughness_m,
            losses: table.number("losses")?,
            fixed_friction: table.number("friction"),
            rating_pa: table.number("rating"),
            material,
            sag_m: table.number("sag").unwrap_or(0.0),
            note: table.text("note").map(str::to_owned),
        };
        Some(LineDesign { line, from_geometry: !given })
    }

    /// A line's design whose length must be given.
    pub(super) fn long_line(&mut self, table: &Checked) -> Option<LineDesign> {
        if !table.has("length") {
            let help = "add `length = \"2.5 m\"`";
            self.fault(table.span.clone(), "`length` is missing", help);
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
        let help = nearest(name, names).map(|near| format!("did you mean \"{near}\"? "));
        let help = help.unwrap_or_default();
        let help = format!("{help}Known materials: {}; or give `roughness`", list.join(", "));
        self.refuse(table.span_of("material"), format!("unknown material \"{name}\""), help)
    }
}

/// Writes `line`, every figure in so many words.
pub(super) fn write(out: &mut Writer, line: &Line) {
    out.put("bore", line.bore_m);
    out.put("length", line.length_m);
    out.put("losses", line.losses);
    out.put("material", line.material.map(|material| material.name));
    out.put("roughness", line.roughness_m);
    out.put("sag", line.sag_m);
    out.put("rating", line.rating_pa);
    out.put("friction", line.fixed_friction);
    out.put("note", line.note.as_ref());
}

/// `line` as JSON, in SI.
pub(super) fn json(line: &Line) -> Value {
    json!({
        "bore_m": line.bore_m,
        "length_m": line.length_m,
        "roughness_m": line.roughness_m,
        "losses": line.losses,
        "friction": line.fixed_friction,
        "material": line.material.map(|material| material.name),
        "sag_m": line.sag_m,
        "rating_pa": line.rating_pa,
        "note": line.note,
    })
}
