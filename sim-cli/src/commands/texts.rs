//! `millstream schema` and `millstream reference`: the format, for editors and for readers.

use crate::Streams;
use crate::failure::Failure;
use sim_core::scenario;

pub(crate) fn schema(streams: &mut Streams<'_>) -> Result<(), Failure> {
    writeln!(streams.out, "{:#}", scenario::schema())?;
    Ok(())
}

pub(crate) fn reference(streams: &mut Streams<'_>) -> Result<(), Failure> {
    streams.out.write_all(scenario::reference().as_bytes())?;
    Ok(())
}
