//! Questions: answered by an option, at the terminal, or by their default.

use crate::Streams;
use crate::failure::Failure;

/// Whoever answers.
pub(crate) struct Asking<'a, 's> {
    streams: &'a mut Streams<'s>,
    /// Whether what no option gives is asked at the terminal.
    asks: bool,
    /// Options left out and the defaults taken for them.
    pub(crate) defaults: Vec<String>,
}

/// A question.
pub(super) struct Question<'q> {
    /// The option that answers it.
    pub(super) option: &'static str,
    pub(super) words: &'q str,
    /// What the option says.
    pub(super) given: Option<&'q str>,
    pub(super) default: String,
}

impl<'a, 's> Asking<'a, 's> {
    /// Questions to whoever types; none where nobody does, or `defaults` are wanted.
    ///
    /// # Errors
    /// Where the terminal cannot be written to.
    pub(crate) fn new(streams: &'a mut Streams<'s>, defaults: bool) -> Result<Self, Failure> {
        let asks = streams.typed.is_some() && !defaults;
        if asks {
            writeln!(streams.out, "Enter takes what is in brackets; numbers may have any unit.")?;
        }
        Ok(Self { streams, asks, defaults: Vec::new() })
    }

    /// Whether somebody answers.
    pub(super) fn asks(&self) -> bool {
        self.asks
    }

    /// What `read` makes of the answer; what is wrong with one is told, at the terminal with the question again.
    pub(super) fn answer<T>(
        &mut self,
        question: &Question<'_>,
        read: impl Fn(&str) -> Result<T, String>,
    ) -> Result<T, Failure> {
        let Question { option, words, given, default } = question;
        let wrong = |why: String| Failure::Input(format!("{option}: {why}"));
        if let Some(given) = given {
            return read(given).map_err(wrong);
        }
        if !self.asks {
            self.defaults.push(format!("{option} {}", quoted(default)));
            return read(default).map_err(wrong);
        }
        loop {
            write!(self.streams.out, "{words} [{default}]: ")?;
            self.streams.out.flush()?;
            let typed = self.line()?;
            let answer = match typed.trim() {
                "" => default.clone(),
                typed => with_unit(typed, default),
            };
            match read(&answer) {
                Ok(value) => return Ok(value),
                Err(why) => writeln!(self.streams.out, "  {}", why.replace('\n', "\n  "))?,
            }
        }
    }

    fn line(&mut self) -> Result<String, Failure> {
        let ended =
            || Failure::Input("the answers ended before the questions; nothing was written".into());
        let typed = self.streams.typed.as_mut().ok_or_else(ended)?;
        let mut line = String::new();
        match typed.read_line(&mut line) {
            Ok(0) => Err(ended()),
            Ok(_) => Ok(line),
            Err(error) => Err(Failure::Input(format!("the answer cannot be read: {error}"))),
        }
    }
}

/// `typed`, and where it is a bare number the unit of `default`, which the question showed.
fn with_unit(typed: &str, default: &str) -> String {
    let unit = default.split_once(' ').filter(|(number, _)| number.parse::<f64>().is_ok());
    match unit {
        Some((_, unit)) if typed.parse::<f64>().is_ok() => format!("{typed} {unit}"),
        _ => typed.to_owned(),
    }
}

/// `value` as it is typed after an option.
fn quoted(value: &str) -> String {
    if value.contains(' ') { format!("\"{value}\"") } else { value.to_owned() }
}
