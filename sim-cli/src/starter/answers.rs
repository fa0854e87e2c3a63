//! What a first scenario needs to know, and what is taken where nothing is said.

use super::ask::{Asking, Question};
use crate::args::{FeedChoice, Given, PumpChoice, Template};
use crate::failure::Failure;
use clap::ValueEnum as _;
use sim_core::fluids::TIP_DENSITY_KG_M3;
use sim_core::plumbing::{NOMINAL_PRESSURE_PA, TIP_SIZES, TipSize, tip_size};
use sim_core::sizing::{TipDemand, tip_count, tip_table};
use sim_core::units::{Quantity as Q, Typed, UnitSystem, parse, show_bound, show_number, typed};
use std::path::Path;

/// What a first scenario is made of.
#[derive(Clone, Debug)]
pub(crate) struct Answers {
    pub(crate) title: String,
    pub(crate) units: UnitSystem,
    pub(crate) width: Typed,
    pub(crate) spacing: Typed,
    pub(crate) sections: usize,
    pub(crate) feed: FeedChoice,
    pub(crate) speed: Typed,
    pub(crate) rate: Typed,
    pub(crate) tip: TipSize,
    pub(crate) pressure: Typed,
    pub(crate) pump: PumpChoice,
    pub(crate) purge: bool,
}

/// A width to a section, m, where their number is not given.
const SECTION_M: f64 = 4.0;
/// Pressure towards which a tip size is chosen, Pa: the nominal one.
const TOWARDS_PA: f64 = NOMINAL_PRESSURE_PA;
/// Pressures a default lies within, Pa.
const USUAL_PA: (f64, f64) = (1e5, 6e5);
/// Most sections taken.
const MOST_SECTIONS: usize = 100;

/// Lowest and highest value taken of each answer, as written.
const WIDTHS: [&str; 2] = ["1 m", "100 m"];
const SPACINGS: [&str; 2] = ["0.1 m", "3 m"];
const SPEEDS: [&str; 2] = ["0.5 km/h", "60 km/h"];
const RATES: [&str; 2] = ["5 L/ha", "5000 L/ha"];
const PRESSURES: [&str; 2] = ["0.5 bar", "20 bar"];

impl Answers {
    /// What the options in `given`, whoever answers and defaults come to for the file at `path`.
    pub(crate) fn of(
        given: &Given,
        path: &Path,
        asking: &mut Asking<'_, '_>,
    ) -> Result<Self, Failure> {
        let small = given.template == Some(Template::Small);
        let title = asking
            .answer(&text("--title", "Name of the machine", &given.title, named(path)), title)?;
        let units = units(given, asking)?;
        let usual = |si: &str, us: &str| match units {
            UnitSystem::Si => si.to_owned(),
            UnitSystem::Us => us.to_owned(),
        };
        let of = |quantity, within| move |text: &str| value(text, quantity, within, units);
        let width = if small { usual("12 m", "40 ft") } else { usual("24 m", "80 ft") };
        let width = asking.answer(
            &text("--width", "Width of the boom", &given.width, width),
            of(Q::Length, WIDTHS),
        )?;
        let spacing = usual("0.5 m", "20 in");
        let spacing = text("--spacing", "Distance between tips", &given.spacing, spacing);
        let spacing = asking.answer(&spacing, of(Q::Length, SPACINGS))?;
        let tips = tip_count(width.si, spacing.si);
        let usual_sections = (width.si / SECTION_M).round().clamp(1.0, tips as f64) as usize;
        let sections =
            text("--sections", "Number of sections", &given.sections, usual_sections.to_string());
        let sections = asking.answer(&sections, |text| count(text, tips))?;
        let feed = feed(given, sections, asking)?;
        let speed =
            usual(if small { "8 km/h" } else { "10 km/h" }, if small { "5 mph" } else { "7 mph" });
        let speed = asking
            .answer(&text("--speed", "Forward speed", &given.speed, speed), of(Q::Speed, SPEEDS))?;
        let rate = usual(
            if small { "150 L/ha" } else { "200 L/ha" },
            if small { "15 gal/ac" } else { "20 gal/ac" },
        );
        let rate = text("--rate", "Application rate wanted", &given.rate, rate);
        let rate = asking.answer(&rate, of(Q::ApplicationRate, RATES))?;
        let flow_m3_s = rate.si * spacing.si * speed.si;
        let towards_pa = given.pressure.as_deref().and_then(|text| parse(text, Q::Pressure).ok());
        let usual_tip = nearest(&rate, &speed, &spacing, towards_pa.unwrap_or(TOWARDS_PA));
        let tip = text("--tip", "Tip size (ISO 10625)", &given.tip, usual_tip.code.to_owned());
        let tip = asking.answer(&tip, size)?;
        let pressure = usual_pressure(&tip, flow_m3_s, units);
        let pressure =
            text("--pressure", "Pressure held at the boom's gauge", &given.pressure, pressure);
        let pressure = asking.answer(&pressure, of(Q::Pressure, PRESSURES))?;
        let pump = given.pump.unwrap_or(if small {
            PumpChoice::Diaphragm
        } else {
            PumpChoice::Centrifugal
        });
        let purge = purge(given, feed, asking)?;
        Ok(Self {
            title,
            units,
            width,
            spacing,
            sections,
            feed,
            speed,
            rate,
            tip,
            pressure,
            pump,
            purge,
        })
    }
}

fn text<'q>(
    option: &'static str,
    words: &'q str,
    given: &'q Option<String>,
    default: String,
) -> Question<'q> {
    Question { option, words, given: given.as_deref(), default }
}

/// A machine called as its file.
fn named(path: &Path) -> String {
    let stem = path.file_stem().map(|stem| stem.to_string_lossy().replace(['-', '_'], " "));
    let stem = stem.filter(|stem| !stem.trim().is_empty() && title(stem).is_ok());
    let mut letters = stem.as_deref().unwrap_or("my sprayer").trim().chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

fn title(text: &str) -> Result<String, String> {
    match text.chars().any(sim_core::scenario::steers) {
        true => Err("a name has letters, digits, spaces and signs alone".into()),
        false => Ok(text.trim().to_owned()),
    }
}

/// US units where they are asked for, or where any value given is in them.
fn units(given: &Given, asking: &mut Asking<'_, '_>) -> Result<UnitSystem, Failure> {
    let values = [
        (&given.width, Q::Length),
        (&given.spacing, Q::Length),
        (&given.speed, Q::Speed),
        (&given.rate, Q::ApplicationRate),
        (&given.pressure, Q::Pressure),
    ];
    let is_us = |(text, quantity): (&Option<String>, Q)| {
        text.as_deref().and_then(|text| typed(text, quantity).ok()).is_some_and(|typed| typed.is_us)
    };
    if let Some(units) = given.units {
        return Ok(units.into());
    }
    let default = if values.into_iter().any(is_us) { UnitSystem::Us } else { UnitSystem::Si };
    let question = text("--units", "Units (si or us)", &None, default.name().to_owned());
    asking.answer(&question, |text| {
        UnitSystem::named(&text.to_lowercase()).ok_or_else(|| "write si or us".to_owned())
    })
}

/// A value within bounds.
fn value(text: &str, quantity: Q, within: [&str; 2], units: UnitSystem) -> Result<Typed, String> {
    let value =
        typed(text, quantity).map_err(|error| format!("{error}\nhelp: {}", error.help(units)))?;
    // Bounds are written in this file.
    let [least, most] = within.map(|bound| parse(bound, quantity).unwrap_or(value.si));
    if (least..=most).contains(&value.si) {
        return Ok(value);
    }
    let [least, most] = [least, most].map(|bound| show_bound(bound, quantity, units));
    Err(format!("{} is outside of {least} to {most}, which this command takes", value.text))
}

fn count(text: &str, tips: usize) -> Result<usize, String> {
    let most = tips.min(MOST_SECTIONS);
    let count = text.trim().parse().ok().filter(|count| (1..=most).contains(count));
    count.ok_or_else(|| {
        format!("\"{text}\" is no number of sections: write a whole number from 1 to {most}; the boom has {tips} tips")
    })
}

/// The size that `text` names.
pub(crate) fn size(text: &str) -> Result<TipSize, String> {
    // "4" is "04", as people say it.
    let padded = format!("0{}", text.trim());
    let found = tip_size(text.trim()).or_else(|| tip_size(&padded)).copied();
    found.ok_or_else(|| {
        let codes: Vec<&str> = TIP_SIZES.iter().map(|size| size.code).collect();
        format!("there is no tip size \"{text}\"; sizes of ISO 10625: {}", codes.join(", "))
    })
}

/// The size whose pressure for rate and speed is nearest to one.
fn nearest(rate: &Typed, speed: &Typed, spacing: &Typed, towards_pa: f64) -> TipSize {
    let table = tip_table(&TipDemand {
        rate_m: rate.si,
        speed_m_s: (speed.si, speed.si),
        spacing_m: spacing.si,
        pressure_pa: USUAL_PA,
        least_duty: 1.0,
        density_kg_m3: TIP_DENSITY_KG_M3,
    });
    let off = |pa: f64| (pa / towards_pa).ln().abs();
    let nearest = table.iter().min_by(|a, b| off(a.pressure_pa.0).total_cmp(&off(b.pressure_pa.0)));
    nearest.map_or(TIP_SIZES[0], |window| window.sizes[0])
}

/// The pressure at which `tip` passes a flow, in round figures.
fn usual_pressure(tip: &TipSize, flow_m3_s: f64, units: UnitSystem) -> String {
    let pa = NOMINAL_PRESSURE_PA * (flow_m3_s / tip.flow_m3_s()).powi(2);
    let pa = pa.clamp(USUAL_PA.0, USUAL_PA.1);
    let number: f64 = show_number(pa, Q::Pressure, units).parse().unwrap_or(1.0);
    match units {
        UnitSystem::Si => format!("{} bar", (10.0 * number).round() / 10.0),
        UnitSystem::Us => format!("{} psi", number.round()),
    }
}

fn feed(
    given: &Given,
    sections: usize,
    asking: &mut Asking<'_, '_>,
) -> Result<FeedChoice, Failure> {
    let default = match given.template {
        Some(Template::OneEnd | Template::Purge) => FeedChoice::OneEnd,
        Some(Template::Retrofit) => FeedChoice::Retrofit,
        _ => FeedChoice::Centre,
    };
    let read = |text: &str| {
        let feed = FeedChoice::from_str(text.trim(), true).map_err(|_| {
            "write centre, one-end or retrofit (outer sections one-end, others centre)".to_owned()
        })?;
        match feed == FeedChoice::Retrofit && sections < 2 {
            true => {
                Err("with one section there is none to leave as it was: centre or one-end".into())
            }
            false => Ok(feed),
        }
    };
    let name = |feed: FeedChoice| {
        feed.to_possible_value().map_or_else(String::new, |v| v.get_name().to_owned())
    };
    // A template answers this question.
    let said = given.feed.map(name).or_else(|| given.template.map(|_| name(default)));
    let words = "Sections are fed: centre, one-end (with return), retrofit (outer ones one-end)";
    asking.answer(&text("--feed", words, &said, name(default)), read)
}

fn purge(given: &Given, feed: FeedChoice, asking: &mut Asking<'_, '_>) -> Result<bool, Failure> {
    let wanted = given.purge || given.template == Some(Template::Purge);
    if wanted && feed == FeedChoice::Centre {
        let why = "--purge: compressed air needs a way back to the tank, and sections fed in their centre have none\n\
                   help: add --feed one-end or --feed retrofit";
        return Err(Failure::Input(why.into()));
    }
    if wanted || feed == FeedChoice::Centre || !asking.asks() {
        return Ok(wanted);
    }
    let words = "Compressed air that blows the lines back to the tank (yes or no)";
    asking.answer(&text("--purge", words, &None, "no".into()), |text| match text.trim() {
        "yes" | "y" => Ok(true),
        "no" | "n" => Ok(false),
        _ => Err("write yes or no".into()),
    })
}
