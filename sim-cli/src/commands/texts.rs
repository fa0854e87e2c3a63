//! `millstream schema` and `millstream reference`: formats of files, for programs and for readers.

use crate::args::{Format, FormatArgs};
use crate::failure::Failure;
use crate::{Streams, summary};
use sim_core::scenario;

pub(crate) fn schema(args: &FormatArgs, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let schema = match args.of {
        Format::Scenario => scenario::schema(),
        Format::Summary => summary::schema(),
    };
    writeln!(streams.out, "{schema:#}")?;
    Ok(())
}

pub(crate) fn reference(args: &FormatArgs, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let page = match args.of {
        Format::Scenario => scenario::reference(),
        Format::Summary => summary::reference(),
    };
    streams.out.write_all(page.as_bytes())?;
    Ok(())
}
