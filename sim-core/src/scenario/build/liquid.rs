//! The liquid, from the scenario or a liquid file.

use super::super::spec::TOP;
use super::super::tree;
use super::super::value::Checked;
use super::super::walk::{Mode, Walk};
use super::Build;
use crate::fluids::{AbsolutePressure, Liquid, water};

impl Build<'_> {
    /// The liquid of `table`; water at 20 degC without one.
    pub(super) fn liquid(&mut self, table: Option<&Checked>) -> Option<Liquid> {
        let Some(table) = table else { return Some(water(20.0)) };
        let named = if table.has("named") { Some(self.liquid_file(table)?) } else { None };
        // What the scenario gives in so many words outweighs the file; its defaults do not.
        let given = |key: &str| table.has(key) && table.span_of(key) != table.span;
        let number = |key: &str| match &named {
            Some(file) if !given(key) => file.number(key),
            _ => table.number(key),
        };
        let name = match &named {
            Some(file) if !given("name") => file.text("name"),
            _ => table.text("name"),
        };
        let mut liquid = Liquid::from_known(
            name.unwrap_or("water"),
            number("temperature")?,
            number("density"),
            number("viscosity"),
            number("vapour_pressure").map(|pa| AbsolutePressure { pa }),
        );
        let caution = table.text("caution").or(named.as_ref().and_then(|f| f.text("caution")));
        if let Some(caution) = caution {
            let also = liquid.caution.map(|own| format!("; {own}")).unwrap_or_default();
            liquid.caution = Some(format!("{caution}{also}"));
        }
        Some(liquid)
    }

    fn liquid_file(&mut self, table: &Checked) -> Option<Checked> {
        let span = table.span_of("named");
        let (path, text) = self.side_file(table, "named", "liquid file")?;
        let (checked, faults) = read_liquid(&text);
        for fault in faults {
            let line = 1 + text[..fault.span.start.min(text.len())].matches('\n').count();
            self.fault(span.clone(), format!("{path}, line {line}: {}", fault.message), fault.help);
        }
        checked
    }
}

fn read_liquid(text: &str) -> (Option<Checked>, Vec<super::Fault>) {
    let mut walk = Walk::default();
    let Some(super::super::spec::Kind::Table(spec)) = TOP.key("liquid").map(|key| key.kind) else {
        return (None, walk.faults);
    };
    let checked = tree::parse(text, &mut walk)
        .map(|(table, span)| walk.table(table.get_ref(), span, spec, Mode::Whole));
    if walk.faults.is_empty() { (checked, walk.faults) } else { (None, walk.faults) }
}
