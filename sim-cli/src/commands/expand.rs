//! `millstream expand`: the long form of a scenario.

use super::caution::caution;
use super::deliver::print;
use crate::Streams;
use crate::args::ExpandArgs;
use crate::failure::Failure;
use crate::files::load;
use sim_core::scenario;

pub(crate) fn expand(args: &ExpandArgs, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let loaded = load(&args.file, args.trust.files_from_anywhere)?;
    caution(&loaded, streams)?;
    let document = scenario::expand_json(&loaded.scenario);
    print(args.json, &document, |_| scenario::expand(&loaded.scenario), streams)
}
