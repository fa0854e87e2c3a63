//! The text of a first scenario.

use super::answers::Answers;
use super::round::{bore, figures, round};
use crate::args::{FeedChoice, PumpChoice};
use sim_core::sizing::{FirstGuess, INCH_BORES_M, METRIC_BORES_M, Outline, Returning, first_guess};
use sim_core::units::{Quantity as Q, UnitSystem, show};

/// A first scenario: its answers and what follows from them.
pub(crate) struct Starter<'a> {
    pub(super) answers: &'a Answers,
    pub(super) guess: FirstGuess,
}

/// What section number `i` from the left, from 0, is called: with a letter ahead, so that no spreadsheet takes its tips
/// (`S1-03`) for dates.
pub(super) fn section_name(i: usize) -> String {
    format!("S{}", i + 1)
}

/// Ends a line whose value only the machine knows.
const MEASURE: &str = "# measure";

impl<'a> Starter<'a> {
    /// What follows from `answers`.
    pub(crate) fn new(answers: &'a Answers) -> Self {
        let bores: &[f64] = match answers.units {
            UnitSystem::Si => &METRIC_BORES_M,
            UnitSystem::Us => &INCH_BORES_M,
        };
        let outline = Outline {
            width_m: answers.width.si,
            spacing_m: answers.spacing.si,
            sections: answers.sections,
            tip: answers.tip,
            pressure_pa: answers.pressure.si,
            returning: match answers.feed {
                FeedChoice::Centre => Returning::None,
                FeedChoice::OneEnd => Returning::All,
                FeedChoice::Retrofit => Returning::Outer,
            },
        };
        Self { answers, guess: first_guess(&outline, bores) }
    }

    /// The scenario up to its steps.
    pub(crate) fn text(&self) -> String {
        let parts = [
            self.head(),
            self.tank_and_pump(),
            self.boom(),
            self.supply(),
            self.return_path(),
            self.tips_and_travel(),
            self.air(),
            self.sections(),
        ];
        parts.concat()
    }

    /// What it is, in a sentence.
    pub(crate) fn in_words(&self) -> String {
        let answers = self.answers;
        let tips: usize = self.guess.tips.iter().sum();
        let rate_m = self.guess.boom_flow_m3_s / (self.covered_m() * answers.speed.si);
        let sections = match answers.sections {
            1 => "1 section".to_owned(),
            count => format!("{count} sections"),
        };
        format!(
            "{}, {}: {tips} tips of size {} in {sections} spray {} at {}; at {} that is {} ({} wanted).",
            answers.width.text,
            self.feed(),
            answers.tip.code,
            self.shown(self.guess.boom_flow_m3_s, Q::Flow),
            answers.pressure.text,
            answers.speed.text,
            self.shown(rate_m, Q::ApplicationRate),
            answers.rate.text,
        )
    }

    pub(super) fn feed(&self) -> &'static str {
        match self.answers.feed {
            FeedChoice::Centre => "sections fed in their centre",
            FeedChoice::OneEnd => "sections fed at one end and returned",
            FeedChoice::Retrofit => {
                "outer sections fed at one end and returned, the others fed in their centre"
            }
        }
    }

    /// What holds the pressure.
    pub(super) fn actuator(&self) -> &'static str {
        match self.answers.pump {
            PumpChoice::Centrifugal => "pump speed",
            PumpChoice::Diaphragm => "bypass",
        }
    }

    pub(super) fn round(&self, si: f64, quantity: Q) -> String {
        round(si, quantity, self.answers.units)
    }

    fn shown(&self, si: f64, quantity: Q) -> String {
        show(si, quantity, self.answers.units)
    }

    fn bore(&self, si: f64) -> String {
        bore(si, self.answers.units)
    }

    /// Width that tips cover, m.
    fn covered_m(&self) -> f64 {
        self.guess.tips.iter().sum::<usize>() as f64 * self.answers.spacing.si
    }

    fn head(&self) -> String {
        let answers = self.answers;
        format!(
            "# Written by `millstream new`. It runs as it is; lines that end in `{MEASURE}` are guesses from the width of the\n\
             # boom and its tips. All keys: docs/scenario.md, or `millstream reference`.\n\
             title = {}\nabout = \"\"\"A first guess from a boom of {}: {}. \\\n\
             Lines that end in \"measure\" are invented from width and tips: replace them by what your machine has.\"\"\"\n\
             units = \"{}\"  # of what is printed; values may be in any unit\n",
            toml_edit::Value::from(answers.title.as_str()),
            answers.width.text,
            self.feed(),
            answers.units.name(),
        )
    }

    fn tank_and_pump(&self) -> String {
        let (guess, bores) = (&self.guess, &self.guess.bores);
        let pump = match self.answers.pump {
            PumpChoice::Centrifugal => self.centrifugal(),
            PumpChoice::Diaphragm => self.diaphragm(),
        };
        let height = |m: f64| match self.answers.units {
            UnitSystem::Si => self.round(m, Q::Length),
            UnitSystem::Us => format!("{} ft", (m / 0.3048 * 2.0).round() / 2.0),
        };
        format!(
            "\n[tank]\ncapacity = \"{}\"  {MEASURE}\nholds = \"{}\"  # at the start\n\
             surface_above_boom = \"{}\"  {MEASURE}: height of the liquid over the level boom\n\
             inlet_above_boom = \"{}\"  {MEASURE}: where return and agitation enter\n\
             \n[pump]\n{pump}above_boom = \"-{}\"  {MEASURE}: below the boom\n\
             suction = {{ bore = \"{}\", length = \"{}\", losses = 2.5 }}  {MEASURE}\n\
             suction_strainer = {{ kv = \"{}\" }}  # from its maker's sheet\n\
             \n[control]\nhold = \"{}\"  # at the gauge on the header\nby = \"{}\"\n",
            self.round(guess.tank_m3, Q::Volume),
            self.round(0.6 * guess.tank_m3, Q::Volume),
            height(0.6),
            height(0.9),
            height(0.3),
            self.bore(bores.suction),
            self.round(guess.suction_m, Q::Length),
            self.round(guess.coefficients.suction_strainer, Q::FlowCoefficient),
            self.answers.pressure.text,
            self.actuator(),
        )
    }

    fn centrifugal(&self) -> String {
        let value = |si, quantity| figures(si, quantity, self.answers.units, 3);
        let points = self.guess.pump.iter().map(|(flow, pressure)| {
            format!("[\"{}\", \"{}\"]", value(*flow, Q::Flow), value(*pressure, Q::Pressure))
        });
        let points: Vec<String> = points.collect();
        format!(
            "# An invented centrifugal pump that carries this boom with a fifth to spare: take the points of flow and\n\
             # pressure from your pump's curve at full speed, or `curve = \"FILE.csv\"`.\n\
             points = [{},\n          {}]  {MEASURE}\n",
            points[..3].join(", "),
            points[3..].join(", "),
        )
    }

    fn diaphragm(&self) -> String {
        // At 540 turns a minute, the standard speed of a power take-off (ISO 500-1, from memory).
        let turn_m3 = self.guess.displaced_m3_s / 9.0;
        format!(
            "# An invented diaphragm pump that gives four tenths more than the boom and its agitation take.\n\
             displacement = \"{}\"  {MEASURE}: volume of one turn\nrotation = \"540 /min\"  {MEASURE}\n\
             slip = \"5 %\"  # of the flow, at 10 bar\n",
            figures(turn_m3, Q::Volume, self.answers.units, 3),
        )
    }

    fn boom(&self) -> String {
        let (answers, guess) = (self.answers, &self.guess);
        let mut out = format!("\n[boom]\nwidth = \"{}\"", self.width());
        out.push_str(&format!("\nspacing = \"{}\"\n", answers.spacing.text));
        out.push_str(match answers.feed {
            FeedChoice::OneEnd => "feed = \"one end\"\nfeed_end = \"outer\"\nreturn = true\n",
            _ => "feed = \"centre\"\n",
        });
        out.push_str(&format!(
            "tube = {{ bore = \"{}\", material = \"stainless\" }}  {MEASURE}\n",
            self.bore(guess.bores.tube)
        ));
        out
    }

    /// The width as it was given, or what tips cover where that is less or more.
    fn width(&self) -> String {
        let (covered_m, width) = (self.covered_m(), &self.answers.width);
        match (covered_m / width.si - 1.0).abs() < 0.01 {
            true => width.text.clone(),
            false => figures(covered_m, Q::Length, self.answers.units, 5),
        }
    }

    fn supply(&self) -> String {
        let (bores, coefficients) = (&self.guess.bores, &self.guess.coefficients);
        let kv = |si: f64| self.round(si, Q::FlowCoefficient);
        let mut out = format!(
            "\n[supply]\nmain = {{ bore = \"{}\", length = \"{}\", losses = [\"elbow 90\", \"elbow 90\", \"ball valve\"] }}  {MEASURE}\n\
             hose = {{ bore = \"{}\", losses = [\"barb\", \"barb\", \"elbow 90\"] }}  {MEASURE}; lengths follow from the width\n\
             strainer = {{ kv = \"{}\" }}  # from its maker's sheet\n\
             section_valve = {{ kv = \"{}\" }}  # from its maker's sheet\n\
             agitation = {{ orifice = \"{}\" }}  {MEASURE}\n",
            self.bore(bores.main),
            self.round(self.guess.main_m, Q::Length),
            self.bore(bores.hose),
            kv(coefficients.strainer),
            kv(coefficients.section_valve),
            self.hole(bores.agitation),
        );
        if self.answers.pump == PumpChoice::Diaphragm {
            let pressure_pa = self.answers.pressure.si;
            out.push_str(&format!(
                "bypass = {{ kv = \"{}\" }}  # moves to hold the pressure\n\
                 relief = {{ opens_at = \"{}\", kv = \"{}\" }}  {MEASURE}\n",
                kv(coefficients.bypass),
                self.round(1.5 * pressure_pa + 2e5, Q::Pressure),
                kv(coefficients.bypass),
            ));
        }
        out
    }

    /// A drilled hole, in half millimetres or 32nds of an inch.
    fn hole(&self, si: f64) -> String {
        self.bore((2e3 * si).round().max(2.0) / 2e3)
    }

    fn return_path(&self) -> String {
        if self.answers.feed == FeedChoice::Centre {
            return String::new();
        }
        let bores = &self.guess.bores;
        format!(
            "\n[return_path]\nhose = {{ bore = \"{}\", losses = [\"barb\", \"barb\", \"elbow 90\"] }}  {MEASURE}\n\
             main = {{ bore = \"{}\", length = \"{}\", losses = [\"elbow 90\", \"elbow 90\", \"exit\"] }}  {MEASURE}\n\
             valve = {{ kv = \"{}\" }}  # the recirculation valve, from its maker's sheet\n",
            self.bore(bores.return_hose),
            self.bore(bores.return_main),
            self.round(self.guess.main_m, Q::Length),
            self.round(self.guess.coefficients.return_valve, Q::FlowCoefficient),
        )
    }

    fn tips_and_travel(&self) -> String {
        let answers = self.answers;
        format!(
            "\n[tips]\nsize = \"{}\"  # ISO 10625\nshut_off = \"each\"  # or \"check valve\", \"none\"\n\
             \n[travel]\nspeed = \"{}\"\nrate = \"{}\"  # wanted; the tips give {} at {}\n",
            answers.tip.code,
            answers.speed.text,
            answers.rate.text,
            self.shown(
                self.guess.boom_flow_m3_s / (self.covered_m() * answers.speed.si),
                Q::ApplicationRate
            ),
            answers.pressure.text,
        )
    }

    fn air(&self) -> String {
        if !self.answers.purge {
            return String::new();
        }
        let value = |si: &str, us: &str| match self.answers.units {
            UnitSystem::Si => si.to_owned(),
            UnitSystem::Us => us.to_owned(),
        };
        format!(
            "\n# Compressed air. What lines, hoses and fittings may be blown with is their maker's and the law's to say.\n\
             [air]\nregulated = \"{}\"  {MEASURE}; below the rating of the weakest part\nreceiver = \"{}\"  {MEASURE}\n\
             charged_to = \"{}\"  # where the compressor stops\ncompressor = \"{}\"  # free air delivery\n\
             valve = {{ conductance = \"{}\" }}  # sonic conductance, from its maker's sheet (ISO 6358)\n\
             relief = \"{}\"\ncheck = {{ kv = \"{}\", opens_at = \"{}\" }}  # keeps air from pump and agitation\n\
             \n[start]\nlines_hold = \"100 %\"  # mix at full strength, as spraying ends\n",
            value("2 bar", "30 psi"),
            value("20 L", "5 gal"),
            value("8 bar", "115 psi"),
            value("150 L/min", "5 ft3/min"),
            value("2 L/(s bar)", "0.3 ft3/(min psi)"),
            value("2.5 bar", "36 psi"),
            self.round(self.guess.coefficients.air_check, Q::FlowCoefficient),
            value("0.05 bar", "0.7 psi"),
        )
    }

    fn sections(&self) -> String {
        let mut out = "\n# Left to right. A section may have a hose, tube, valve or tips of its own: hose = { bore = \"...\" }.\n".to_owned();
        let all_return = self.answers.feed == FeedChoice::OneEnd;
        for (i, (tips, returned)) in self.guess.tips.iter().zip(&self.guess.returned).enumerate() {
            out.push_str(&format!("[[section]]\nname = \"{}\"\ntips = {tips}\n", section_name(i)));
            if *returned && !all_return {
                out.push_str("feed = \"one end\"\nreturn = true\n");
            }
        }
        out
    }
}
