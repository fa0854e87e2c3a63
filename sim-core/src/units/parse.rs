//! From text to an SI value.

use super::system::UnitSystem;
use super::table::{Quantity, Unit, units_of};
use super::{nearest, suggestion};

/// Why a text is not a value of the quantity expected.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("`{text}` {}", self.why.words(self.expected))]
pub struct UnitError {
    /// What was written: all of it, or its unit where that is wrong.
    pub text: String,
    /// The quantity expected.
    pub expected: Quantity,
    /// What is wrong.
    pub why: WrongUnit,
}

/// What is wrong with a text that should be a value.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WrongUnit {
    /// A number without a unit.
    NoUnit,
    /// No number where one should start.
    NoNumber,
    /// A comma where a decimal point should stand.
    Comma,
    /// A unit of something else.
    Of(Quantity),
    /// No unit at all; the nearest known one, if one is near.
    Unknown(Option<&'static str>),
    /// Hours, minutes and seconds, as a spreadsheet makes of minutes and seconds.
    Clock,
    /// Infinite, not a number, or too large to compute with.
    OutOfRange,
}

impl WrongUnit {
    fn words(self, expected: Quantity) -> String {
        match self {
            Self::NoUnit => "has no unit".into(),
            Self::NoNumber => "does not start with a number".into(),
            Self::Comma => "has a comma; decimals take a point and thousands nothing".into(),
            Self::Of(other) => {
                format!("is a unit of {}; {} is expected here", other.noun(), expected.name())
            }
            Self::Unknown(_) => format!("is not a known unit of {}", expected.noun()),
            Self::Clock => "has hours, minutes and seconds".into(),
            Self::OutOfRange => "is out of any useful range".into(),
        }
    }
}

/// Largest SI value taken.
const LARGEST: f64 = 1e12;

impl UnitError {
    /// What would be right, for a user of `system`.
    pub fn help(&self, system: UnitSystem) -> String {
        let Self { text, expected, why } = self;
        let units = units_of(*expected).iter().map(|unit| unit.spellings[0]);
        match why {
            WrongUnit::NoUnit => {
                let (unit, _) = expected.facts().shown[system as usize];
                format!("write the unit, for example \"{text} {unit}\"")
            }
            WrongUnit::NoNumber | WrongUnit::Of(_) => {
                format!("write {}, for example \"{}\"", expected.name(), expected.example(system))
            }
            WrongUnit::Comma => format!("write \"{}\"", text.replace(',', ".")),
            WrongUnit::Unknown(near) => {
                let list = format!("Known units: {}", units.collect::<Vec<_>>().join(", "));
                suggestion(text, near.iter().copied(), '`', &list)
            }
            WrongUnit::Clock => {
                "write seconds, such as \"30 s\", or minutes and seconds, such as \"0:30\"".into()
            }
            WrongUnit::OutOfRange => "write a finite value of everyday size".into(),
        }
    }
}

/// The SI value of `text`, such as `"40 psi"`, `"1 1/4 in"` or `"80 %"`, as a `quantity`.
///
/// # Errors
/// A [`UnitError`] that says what is wrong and, through [`UnitError::help`], what would be right.
pub fn parse(text: &str, quantity: Quantity) -> Result<f64, UnitError> {
    let trimmed = text.trim();
    let wrong = |why| Err(UnitError { text: trimmed.into(), expected: quantity, why });
    if quantity == Quantity::Duration && trimmed.contains(':') {
        return clock(trimmed).or_else(wrong);
    }
    let (number, rest) = leading_number(trimmed, quantity)?;
    let unit_text = rest.trim();
    if unit_text.is_empty() {
        return wrong(WrongUnit::NoUnit);
    }
    let Some(unit) = find(unit_text, quantity) else { return Err(unknown(unit_text, quantity)) };
    let value = number * unit.factor + unit.offset;
    if value.is_finite() && value.abs() <= LARGEST {
        Ok(value)
    } else {
        wrong(WrongUnit::OutOfRange)
    }
}

/// Seconds of minutes and seconds as a stop watch shows them: `0:30`, `1:05.2`.
fn clock(text: &str) -> Result<f64, WrongUnit> {
    let mut pieces = text.split(':');
    let (Some(minutes), Some(seconds), None) = (pieces.next(), pieces.next(), pieces.next()) else {
        return Err(WrongUnit::Clock);
    };
    let number = |text: &str| {
        let plain = text.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.');
        text.parse::<f64>().ok().filter(|_| plain).ok_or(WrongUnit::NoNumber)
    };
    let (minutes, seconds) = (number(minutes)?, number(seconds)?);
    if seconds >= 60.0 || minutes > LARGEST {
        Err(WrongUnit::OutOfRange)
    } else {
        Ok(60.0 * minutes + seconds)
    }
}

/// A value as somebody typed it.
#[derive(Clone, Debug, PartialEq)]
pub struct Typed {
    /// The value in SI.
    pub si: f64,
    /// Number, space and unit: `24m` is `24 m`, `1 1/4"` is `1.25 in`.
    pub text: String,
    /// Whether its unit is one of those that [`UnitSystem::Us`] stands for.
    pub is_us: bool,
}

/// First spellings of the units of inch, pound, gallon and mile.
const OF_US: [&str; 20] = [
    "psi",
    "gal/min",
    "gal/h",
    "ft3/min",
    "in",
    "ft",
    "yd",
    "gal",
    "fl oz",
    "degF",
    "cv",
    "lb/gal",
    "lb/ft3",
    "gal/ac",
    "mph",
    "ft/s",
    "hp",
    "/gal",
    "ft3/(min psi)",
    "imp gal",
];

/// `text` as [`parse`] reads it, and how it is best written.
///
/// # Errors
/// As [`parse`].
pub fn typed(text: &str, quantity: Quantity) -> Result<Typed, UnitError> {
    let si = parse(text, quantity)?;
    if text.contains(':') {
        return Ok(Typed { si, text: format!("{si} s"), is_us: false });
    }
    let (number, rest) = leading_number(text.trim(), quantity)?;
    let spelling = find(rest.trim(), quantity).map_or("", |unit| unit.spellings[0]);
    Ok(Typed { si, text: format!("{number} {spelling}"), is_us: OF_US.contains(&spelling) })
}

/// The number at the start of `text`, fractions such as `1 1/4` included, and what follows it.
fn leading_number(text: &str, expected: Quantity) -> Result<(f64, &str), UnitError> {
    let end = number_end(text);
    let (digits, rest) = text.split_at(end);
    let wrong = |why| UnitError { text: text.into(), expected, why };
    if rest.starts_with(',') {
        return Err(wrong(WrongUnit::Comma));
    }
    let first: f64 = digits.parse().map_err(|_| wrong(WrongUnit::NoNumber))?;
    if let Some((denominator, rest)) = rest.strip_prefix('/').and_then(whole_number) {
        return Ok((first / denominator, rest));
    }
    let mixed = rest.strip_prefix(' ').and_then(whole_number).and_then(|(numerator, rest)| {
        let (denominator, rest) = rest.strip_prefix('/').and_then(whole_number)?;
        Some((first + numerator / denominator, rest))
    });
    Ok(mixed.unwrap_or((first, rest)))
}

/// Where the decimal number at the start of `text` ends.
fn number_end(text: &str) -> usize {
    let bytes = text.as_bytes();
    let digits = |mut i: usize| {
        while bytes.get(i).is_some_and(u8::is_ascii_digit) {
            i += 1;
        }
        i
    };
    let mut end = usize::from(bytes.first().is_some_and(|b| matches!(b, b'+' | b'-')));
    end = digits(end);
    if bytes.get(end) == Some(&b'.') {
        end = digits(end + 1);
    }
    if bytes.get(end).is_some_and(|b| matches!(b, b'e' | b'E')) {
        let sign = usize::from(bytes.get(end + 1).is_some_and(|b| matches!(b, b'+' | b'-')));
        let exponent = digits(end + 1 + sign);
        if exponent > end + 1 + sign {
            end = exponent;
        }
    }
    end
}

/// A positive whole number at the start of `text` and what follows it.
fn whole_number(text: &str) -> Option<(f64, &str)> {
    let end = text.bytes().take_while(u8::is_ascii_digit).count();
    let number: f64 = text[..end].parse().ok()?;
    (number > 0.0).then_some((number, &text[end..]))
}

/// The unit of `quantity` spelt `text`: exactly, or in other case where only one unit fits.
fn find(text: &str, quantity: Quantity) -> Option<&'static Unit> {
    let units = units_of(quantity);
    let exact = units.iter().find(|unit| unit.spellings.contains(&text));
    let folded = |unit: &&Unit| unit.spellings.iter().any(|s| s.eq_ignore_ascii_case(text));
    exact.or_else(|| {
        let mut fits = units.iter().filter(folded);
        fits.next().filter(|_| fits.next().is_none())
    })
}

fn unknown(text: &str, expected: Quantity) -> UnitError {
    let other = Quantity::ALL.into_iter().find(|other| find(text, *other).is_some());
    let spellings = units_of(expected).iter().flat_map(|unit| unit.spellings).copied();
    let why = other.map_or_else(|| WrongUnit::Unknown(nearest(text, spellings)), WrongUnit::Of);
    UnitError { text: text.to_owned(), expected, why }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use proptest::prelude::*;

    fn check(text: &str, quantity: Quantity, expected: f64) {
        assert_relative_eq!(parse(text, quantity).unwrap(), expected, max_relative = 1e-12);
    }

    #[test]
    fn spellings_of_the_trade_are_understood() {
        use Quantity as Q;
        check("40psi", Q::Pressure, 275_790.291_726_734_44);
        check("40 PSI", Q::Pressure, 275_790.291_726_734_44);
        check("208 l/min", Q::Flow, 208e-3 / 60.0);
        check("55 gpm", Q::Flow, 55.0 * 3.785_411_784e-3 / 60.0);
        check("12.5 m³/h", Q::Flow, 12.5 / 3600.0);
        check("1/2 in", Q::Bore, 0.0127);
        check("1 1/4 in", Q::Bore, 0.031_75);
        check("68 degF", Q::Temperature, 20.0);
        check("-5 °C", Q::Temperature, -5.0);
        check("80 %", Q::Share, 0.8);
        check("1e-3 m", Q::Length, 1e-3);
        check("120 ft", Q::Length, 36.576);
        check(".5 m", Q::Length, 0.5);
        check("0:30", Q::Duration, 30.0);
        check("1:05.5", Q::Duration, 65.5);
        check("585 cc", Q::Volume, 585e-6);
        check("15 gal/ac", Q::ApplicationRate, 15.0 * 3.785_411_784e-3 / 4_046.856_422_4);
    }

    #[test]
    fn what_is_typed_is_written_with_its_unit_apart() {
        let written = |text, quantity| typed(text, quantity).unwrap().text;
        assert_eq!(written("24m", Quantity::Length), "24 m");
        assert_eq!(written("1 1/4\"", Quantity::Bore), "1.25 in");
        assert!(typed("80ft", Quantity::Length).unwrap().is_us);
        assert!(!typed("3 bar", Quantity::Pressure).unwrap().is_us);
    }

    fn fails(text: &str, quantity: Quantity, message: &str, help: &str) {
        let error = parse(text, quantity).unwrap_err();
        assert_eq!(
            (error.to_string().as_str(), error.help(UnitSystem::Si).as_str()),
            (message, help)
        );
    }

    #[test]
    fn every_mistake_says_what_would_be_right() {
        use Quantity as Q;
        fails("25", Q::Bore, "`25` has no unit", "write the unit, for example \"25 mm\"");
        fails(
            "40 psi",
            Q::Flow,
            "`psi` is a unit of pressure; a flow is expected here",
            "write a flow, for example \"12 L/min\"",
        );
        fails(
            "40 psj",
            Q::Pressure,
            "`psj` is not a known unit of pressure",
            "did you mean `psi`? Known units: bar, mbar, kPa, MPa, Pa, psi",
        );
        fails(
            "1,5 m",
            Q::Length,
            "`1,5 m` has a comma; decimals take a point and thousands nothing",
            "write \"1.5 m\"",
        );
        fails(
            "wide",
            Q::Length,
            "`wide` does not start with a number",
            "write a length, for example \"2.5 m\"",
        );
        fails(
            "1e300 bar",
            Q::Pressure,
            "`1e300 bar` is out of any useful range",
            "write a finite value of everyday size",
        );
        fails(
            "0:30:00",
            Q::Duration,
            "`0:30:00` has hours, minutes and seconds",
            "write seconds, such as \"30 s\", or minutes and seconds, such as \"0:30\"",
        );
        assert!(parse("0:75", Q::Duration).is_err());
        assert!(parse("nan m", Q::Length).is_err());
        assert!(parse("inf m", Q::Length).is_err());
    }

    proptest! {
        #[test]
        fn no_text_panics(text in "\\PC{0,12}") {
            for quantity in Quantity::ALL {
                let _ = parse(&text, quantity).map_err(|error| error.help(UnitSystem::Us));
            }
        }
    }
}
