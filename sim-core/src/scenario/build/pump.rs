//! Pumps: curves from points or from a file.

use super::super::cells::cells;
use super::super::fault::place;
use super::super::value::{Checked, Span};
use super::Build;
use crate::fluids::GRAVITY_M_S2;
use crate::plumbing::{Displacement, Pump, PumpCurve};
use crate::units::{Quantity, parse};

/// What a pump file's columns give, in SI.
#[derive(Default)]
struct CurveColumns {
    curve: Vec<(f64, f64)>,
    is_head: bool,
    efficiency: Vec<(f64, f64)>,
    npsh: Vec<(f64, f64)>,
}

impl Build<'_> {
    /// The pump of `table`.
    pub(super) fn pump(&mut self, table: &Checked) -> Option<Pump> {
        let displacement = match table.has("displacement") {
            true => Some(self.displacement(table)?),
            false => None,
        };
        let columns = match (table.text("curve"), table.points("points")) {
            (None, None) if displacement.is_some() => CurveColumns::default(),
            (Some(_), None) => self.pump_file(table)?,
            (None, Some((quantity, points))) => CurveColumns {
                curve: points.to_vec(),
                is_head: quantity == Quantity::Head,
                ..CurveColumns::default()
            },
            (given, _) => {
                let message = match given {
                    Some(_) => "the pump has a `curve` and `points`; one of them must go",
                    None => "the pump has no curve",
                };
                let help =
                    "add `curve = \"FILE.csv\"` or `points = [[\"0 L/min\", \"6 bar\"], ...]`";
                return self.refuse(table.span.clone(), message, help);
            }
        };
        let key = if table.has("curve") { "curve" } else { "points" };
        let span = table.span_of(key);
        if displacement.is_none() && !self.curve_is_sound(&columns.curve, &span) {
            return None;
        }
        // A curve of heads holds whatever it was measured with.
        let weight = match columns.is_head || displacement.is_some() {
            true => 1.0,
            false => table.number("test_density")? * GRAVITY_M_S2,
        };
        let own = |key: &str| table.points(key).map(|(_, points)| points.to_vec());
        let efficiency = own("efficiency").unwrap_or(columns.efficiency);
        let npsh_required = own("npsh").unwrap_or(columns.npsh);
        self.rising(&efficiency, table.span_of("efficiency"), "efficiency")?;
        self.rising(&npsh_required, table.span_of("npsh"), "npsh")?;
        let (speed, top_speed) = (table.number("speed")?, table.number("top_speed")?);
        if speed > top_speed {
            let message = "the pump starts faster than its top speed";
            self.fault(table.span_of("speed"), message, "raise `top_speed` or lower `speed`");
        }
        Some(Pump {
            curve: match displacement {
                Some(displacement) => displacement.curve(self.density_kg_m3 * GRAVITY_M_S2),
                None => PumpCurve {
                    flow_m3_s: columns.curve.iter().map(|point| point.0).collect(),
                    head_m: columns.curve.iter().map(|point| point.1 / weight).collect(),
                },
            },
            speed,
            top_speed,
            efficiency,
            npsh_required,
            displacement,
        })
    }

    /// What a pump displaces by `table`, which says so.
    fn displacement(&mut self, table: &Checked) -> Option<Displacement> {
        let help =
            "write `displacement = \"0.18 L\"`, `rotation = \"540 /min\"` and `slip = \"4 %\"`";
        if let Some(key) = ["curve", "points"].into_iter().find(|key| table.has(key)) {
            let message = format!("`displacement` and `{key}` both say what the pump gives");
            return self.refuse(table.span_of(key), message, "keep one of the two");
        }
        let given = table.number("rotation").zip(table.number("slip"));
        let Some((turns_s, slip)) = given else {
            let message = "`displacement` needs `rotation` and `slip` beside it";
            return self.refuse(table.span_of("displacement"), message, help);
        };
        let (swept_m3, slip_at_pa) = (table.number("displacement")?, table.number("slip_at")?);
        Some(Displacement { swept_m3, turns_s, slip, slip_at_pa })
    }

    /// Whether flows rise from nothing and heads fall.
    fn curve_is_sound(&mut self, curve: &[(f64, f64)], span: &Span) -> bool {
        let problem = if curve.len() < 2 {
            Some(("the curve needs two points or more", "give it from no flow to its largest flow"))
        } else if curve[0].0 != 0.0 {
            Some(("the curve must start at no flow", "add its pressure at \"0 L/min\""))
        } else if curve.windows(2).any(|w| w[1].0 <= w[0].0) {
            Some((
                "the flows of the curve must rise from point to point",
                "sort the points by flow",
            ))
        } else if curve.windows(2).any(|w| w[1].1 > w[0].1) {
            Some((
                "the curve rises: it has two flows at one pressure",
                "a pump's pressure must fall, or stay, as flow rises; leave out the rising part",
            ))
        } else if curve[0].1 <= 0.0 || curve.iter().any(|point| point.1 < 0.0) {
            Some(("the curve must give pressure, not take it", "check signs and units"))
        } else {
            None
        };
        if let Some((message, help)) = problem {
            self.fault(span.clone(), message, help);
        }
        problem.is_none()
    }

    fn rising(&mut self, points: &[(f64, f64)], span: Span, name: &str) -> Option<()> {
        if points.windows(2).all(|w| w[1].0 > w[0].0) {
            return Some(());
        }
        let message = format!("the flows of `{name}` must rise from point to point");
        self.refuse(span, message, "sort the points by flow")
    }

    fn pump_file(&mut self, table: &Checked) -> Option<CurveColumns> {
        let span = table.span_of("curve");
        let (path, text) = self.side_file(table, "curve", "pump curve")?;
        let columns = read_columns(&text);
        match columns {
            Ok(columns) => Some(columns),
            Err((at, message)) => {
                let at = place(&text, at);
                let help = "a pump curve has a header such as `flow L/min,pressure bar,efficiency %` \
                            and a row of numbers for each point";
                self.refuse(span, format!("{path}, {at}: {message}"), help)
            }
        }
    }
}

/// Reads a pump file; errors carry their place in it, and quote nothing: the file may be one that is not for the eyes of
/// whoever wrote the scenario.
fn read_columns(text: &str) -> Result<CurveColumns, (usize, &'static str)> {
    let mut reader = csv::ReaderBuilder::new()
        .comment(Some(b'#'))
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let broken = |error: csv::Error| {
        let at = error.position().map_or(0, |at| at.byte() as usize);
        (at, "this is not a row of the table")
    };
    let header = cells(reader.headers().map_err(broken)?, text);
    let titles: Vec<(&str, Quantity, &str)> = header
        .iter()
        .map(|(title, span)| column(title).map_err(|why| (span.start, why)))
        .collect::<Result<_, _>>()?;
    let start = header.first().map_or(0, |(_, span)| span.start);
    let find = |wanted: &str| titles.iter().position(|(name, ..)| *name == wanted);
    let flow = find("flow").ok_or((start, "there is no column `flow UNIT`"))?;
    let (pressure, head) = (find("pressure"), find("head"));
    let value = pressure.or(head).ok_or((start, "there is no column `pressure UNIT`"))?;
    let mut columns = CurveColumns { is_head: pressure.is_none(), ..CurveColumns::default() };
    for record in reader.records() {
        let row = cells(&record.map_err(broken)?, text);
        let cell = |i: usize| {
            let ((_, quantity, unit), (number, span)) = (titles[i], &row[i]);
            parse(&format!("{number} {unit}"), quantity)
                .map_err(|_| (span.start, "this is not a number"))
        };
        let at = cell(flow)?;
        columns.curve.push((at, cell(value)?));
        if let Some(i) = find("efficiency") {
            columns.efficiency.push((at, cell(i)?));
        }
        if let Some(i) = find("npsh") {
            columns.npsh.push((at, cell(i)?));
        }
    }
    Ok(columns)
}

/// Name, quantity and unit of a column titled such as `flow L/min`.
fn column(title: &str) -> Result<(&str, Quantity, &str), &'static str> {
    let (name, unit) = title.split_once(' ').unwrap_or((title, ""));
    let quantity = match name {
        "flow" => Quantity::Flow,
        "pressure" => Quantity::Pressure,
        "head" | "npsh" => Quantity::Head,
        "efficiency" => Quantity::Share,
        _ => return Err("this is no column of a pump curve"),
    };
    let read = parse(&format!("1 {unit}"), quantity);
    read.map(|_| (name, quantity, unit)).map_err(|_| "this column has no unit that fits it")
}
