//! What a run starts from and goes by: liquid, product, start, limits, model.

use super::super::fault::{in_order, place};
use super::super::spec::{Kind, TOP};
use super::super::tree::parse;
use super::super::value::{Checked, LimitText, Span};
use super::super::walk::{Mode, Walk};
use super::{Build, InputFault};
use crate::fluids::{AbsolutePressure, Liquid, Particles, water};
use crate::measures::{Limit, Limits, Measure};
use crate::procedure::{ModelOptions, Product, Start};

/// The message about a liquid file that may not be quoted.
const NO_LIQUID: &str = "this is nothing a liquid file has";
const LIQUID_KEYS: &str = "a liquid file has the keys of [liquid], each on a line of its own";

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
        if let Some(tension) = number("surface_tension") {
            liquid.surface_tension_n_m = tension;
        }
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
        let may_quote = self.files.may_quote(&path);
        // Where faults are says something of a file, too: of one that may not be quoted the first alone.
        let most = if may_quote { usize::MAX } else { 1 };
        for fault in in_order(faults).into_iter().take(most) {
            let at = place(&text, fault.span.start);
            let (message, help) = match may_quote {
                true => (fault.message, fault.help.unwrap_or_default()),
                false => (NO_LIQUID.into(), LIQUID_KEYS.into()),
            };
            self.fault(span.clone(), format!("{path}, {at}: {message}"), help);
        }
        checked
    }

    /// What `table` says of the start, and what single lines say.
    pub(super) fn start(&mut self, table: Option<&Checked>) -> Start {
        let empty = table.and_then(|table| table.flag("empty")).unwrap_or(false);
        if let Some(table) = table.filter(|table| empty && table.gives("lines_hold")) {
            let help = "take `lines_hold` or `empty` away; single lines of the long form may say \
                        otherwise by `holds`";
            let message = "lines that start empty hold air, no concentration";
            self.fault(table.span_of("lines_hold"), message, help);
        }
        let number =
            |key: &str, default: f64| table.and_then(|table| table.number(key)).unwrap_or(default);
        Start {
            lines_hold: number("lines_hold", 0.0),
            empty,
            own: std::mem::take(&mut self.own),
            flowing: table.and_then(|table| table.text("flow")) == Some("established"),
            air_pa: std::mem::take(&mut self.air_pa),
            tanks_hold: number("tanks_hold", 1.0),
            // As "95 %" reads, to the last digit.
            full_from: number("full_from", 95.0 * 0.01),
        }
    }

    /// The limits of `table` over those of standards.
    pub(super) fn limits(&mut self, table: Option<&Checked>) -> Limits {
        Limits(Measure::ALL.iter().filter_map(|measure| self.limit(*measure, table)).collect())
    }

    fn limit(&mut self, measure: Measure, table: Option<&Checked>) -> Option<Limit> {
        let keys = [measure.limit_key(), measure.earlier_key()].into_iter().flatten();
        let mut said = keys.filter_map(|key| Some((key, table?.limit(key)?)));
        let (first, second) = (said.next(), said.next());
        if let (Some((key, _)), Some((earlier, _)), Some(table)) = (first, second, table) {
            let message = format!("`{earlier}` and `{key}` are the same limit");
            self.fault(table.span_of(earlier), message, "keep one of them");
        }
        match first {
            Some((_, LimitText::Off)) => None,
            Some((_, LimitText::Within { at_most, at_least, source })) => Some(Limit {
                measure,
                at_most: *at_most,
                at_least: *at_least,
                source: source.clone().unwrap_or_else(|| "scenario".into()),
            }),
            None => measure.usual().map(|(most, source)| Limit::up_to(measure, most, source)),
        }
    }

    /// Where `table` says which limits.
    pub(super) fn limits_at(table: Option<&Checked>) -> Vec<(Measure, Span)> {
        let Some(table) = table else { return Vec::new() };
        let keys = |measure: &Measure| [measure.limit_key(), measure.earlier_key()];
        let given = |measure: &Measure| {
            let key = keys(measure).into_iter().flatten().find(|key| table.gives(key))?;
            matches!(table.limit(key), Some(LimitText::Within { .. }))
                .then(|| (*measure, table.span_of(key)))
        };
        Measure::ALL.iter().filter_map(given).collect()
    }

    /// What `table` says of the model.
    pub(super) fn model(table: Option<&Checked>) -> ModelOptions {
        let flag = |key: &str| table.and_then(|table| table.flag(key)).unwrap_or(true);
        let number = |key: &str| table.and_then(|table| table.number(key));
        let usual = ModelOptions::default();
        ModelOptions {
            velocity_head: flag("velocity_head"),
            dispersion: flag("dispersion"),
            laminar_tail: flag("laminar_tail"),
            longest_move_s: number("longest_move").unwrap_or(usual.longest_move_s),
            air_tolerance: number("air_tolerance").unwrap_or(usual.air_tolerance),
            holdup: flag("holdup"),
            slip: flag("slip"),
            fixed_front: None,
        }
    }

    /// What `table` says of the product.
    pub(super) fn product(table: Option<&Checked>) -> Product {
        let Some(table) = table else { return Product::default() };
        let particles =
            table.number("particle").zip(table.number("density")).zip(table.number("solids"));
        Product {
            price_per_m3: table.number("price"),
            currency: table.text("currency").unwrap_or_default().to_owned(),
            particles: particles.map(|((diameter_m, density_kg_m3), share)| Particles {
                diameter_m,
                density_kg_m3,
                share,
            }),
        }
    }
}

fn read_liquid(text: &str) -> (Option<Checked>, Vec<InputFault>) {
    let mut walk = Walk::default();
    let Some(Kind::Table(spec)) = TOP.key("liquid").map(|key| key.kind) else {
        return (None, walk.faults);
    };
    let checked = parse(text, &mut walk)
        .map(|(table, span)| walk.table(table.get_ref(), span, spec, Mode::Whole));
    if walk.faults.is_empty() { (checked, walk.faults) } else { (None, walk.faults) }
}
