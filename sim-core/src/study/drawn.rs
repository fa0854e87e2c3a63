//! An input that is drawn: what it is and how it is spread.

use super::inputs::set;
use super::law::SpreadLaw;
use crate::scenario::{
    DefaultInput, InputFault, Scenario, StudyInput, StudySpread, UncertainSetting,
};
use crate::settings::{SettingPath, number_and_rest};

/// Reads a scenario's text again.
pub type Reread<'a> = dyn Fn(String) -> Result<Scenario, Vec<InputFault>> + Sync + 'a;

/// An input that is drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct DrawnInput {
    /// What it is, in words.
    pub words: String,
    /// How far it may be off, in words.
    pub spread: String,
    /// Who says so.
    pub source: String,
    pub(super) law: SpreadLaw,
    pub(super) what: Changed,
}

/// What an input changes.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Changed {
    /// The machine that was read.
    Default(DefaultInput),
    /// The text: a setting, and what is written behind its number.
    Setting(SettingPath, String),
}

/// Whether `input` changes anything in `scenario`.
pub(super) fn changes(scenario: &Scenario, input: &DrawnInput) -> bool {
    match input.what {
        Changed::Default(DefaultInput::PurgeLayer) => {
            scenario.course.steps.iter().any(|step| step.purge.is_some())
        }
        Changed::Default(kind) => {
            let mut changed = scenario.clone();
            set(&mut changed, kind, input.law.quantile(0.9));
            changed != *scenario
        }
        Changed::Setting(..) => true,
    }
}

/// The law of an input about `middle` as a study has it; `None` where it is known.
pub(super) fn about(middle: f64, spread: &StudySpread) -> Option<SpreadLaw> {
    Some(match spread {
        StudySpread::Within(share) => {
            SpreadLaw::Between(middle * (1.0 - share), middle * (1.0 + share))
        }
        StudySpread::Normal(share) => SpreadLaw::Normal(middle, middle * share),
        StudySpread::Factor(factor) => SpreadLaw::Factor(middle, 0.5 * factor.ln()),
        StudySpread::Known | StudySpread::Between(..) => return None,
    })
}

/// The input of a setting; `None` where `own` is of another kind or known.
pub(super) fn setting(
    own: &UncertainSetting,
    text: &str,
    reread: &Reread<'_>,
) -> Result<Option<DrawnInput>, InputFault> {
    let StudyInput::Setting(path) = &own.input else { return Ok(None) };
    let name = path.name();
    let (law, unit) = match &own.spread {
        StudySpread::Known => return Ok(None),
        StudySpread::Between(low, high) => {
            let numbers = number_and_rest(low).zip(number_and_rest(high));
            let same = numbers.filter(|((a, of_a), (b, of_b))| a < b && of_a == of_b);
            let ((low, unit), (high, _)) = same.ok_or_else(|| {
                let message = "`between` takes two numbers with the same unit, the lower first";
                own.fault(message, "such as `between = [\"24 mm\", \"26 mm\"]`")
            })?;
            (SpreadLaw::Between(low, high), unit)
        }
        spread => {
            let (value, unit) =
                path.value(text).as_deref().and_then(number_and_rest).ok_or_else(|| {
                    let message =
                        format!("the scenario gives `{name}` no number that could be off");
                    own.fault(message, "say `between` with two values, or name another setting")
                })?;
            match about(value, spread) {
                Some(law) => (law, unit),
                None => return Ok(None),
            }
        }
    };
    for at in [0.001, 0.999] {
        let value = format!("{}{unit}", law.quantile(at));
        let applied = path.applied(text, &value).map_err(|why| {
            let (message, help) = split(&why.to_string());
            own.fault(message, help)
        })?;
        if let Err(faults) = reread(applied) {
            let why = faults.first().map_or("", |fault| fault.message.as_str());
            return Err(
                own.fault(format!("with `{name}` = {value} the scenario is not valid: {why}"), "")
            );
        }
    }
    let spread = in_words(law, &unit);
    Ok(Some(DrawnInput {
        words: name,
        spread,
        source: "study".into(),
        law,
        what: Changed::Setting(path.clone(), unit),
    }))
}

/// A message and the help behind it.
fn split(text: &str) -> (String, String) {
    let (message, help) = text.split_once("\nhelp: ").unwrap_or((text, ""));
    (message.to_owned(), help.to_owned())
}

/// How `law` spreads an input that is usually uncertain, in words.
pub(super) fn words_of(law: SpreadLaw, input: DefaultInput) -> String {
    match (law, input) {
        (SpreadLaw::Normal(_, deviation), DefaultInput::Temperature) => {
            format!("+/- {:.0} K", 2.0 * deviation)
        }
        (SpreadLaw::Factor(_, deviation), _) if deviation > 0.3 => {
            format!("x or / {:.1}", (2.0 * deviation).exp())
        }
        (SpreadLaw::Factor(_, deviation), _) => {
            format!("+/- {:.0} %", 100.0 * ((2.0 * deviation).exp() - 1.0))
        }
        (SpreadLaw::Normal(_, deviation), _) => format!("+/- {:.0} %", 200.0 * deviation),
        (SpreadLaw::Between(low, high), _) => {
            format!("{:.0} to {:.0} %", 100.0 * low, 100.0 * high)
        }
    }
}

/// How `law` spreads a value of so many `unit`, in words.
fn in_words(law: SpreadLaw, unit: &str) -> String {
    let short = |value: f64| {
        let text = format!("{value:.4}");
        text.trim_end_matches('0').trim_end_matches('.').to_owned()
    };
    format!("{} to {}{unit}", short(law.quantile(0.025)), short(law.quantile(0.975)))
}
