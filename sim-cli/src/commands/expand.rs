//! `millstream expand`: the long form of a scenario.

use crate::Streams;
use crate::args::ExpandArgs;
use crate::failure::Failure;
use crate::files::load;
use sim_core::scenario;

pub(crate) fn expand(args: &ExpandArgs, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let loaded = load(&args.file)?;
    if args.json {
        writeln!(streams.out, "{:#}", scenario::expand_json(&loaded.scenario))?;
    } else {
        streams.out.write_all(scenario::expand(&loaded.scenario).as_bytes())?;
    }
    Ok(())
}
