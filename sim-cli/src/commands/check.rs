//! `millstream check`: is a scenario valid?

use super::caution::caution;
use crate::args::CheckArgs;
use crate::columns::printable_path;
use crate::failure::Failure;
use crate::files::load;
use crate::words::count_of;
use crate::{Streams, exit};

pub(crate) fn check(args: &CheckArgs, streams: &mut Streams<'_>) -> Result<u8, Failure> {
    let mut code = exit::DONE;
    for path in &args.files {
        match load(path, args.trust.files_from_anywhere) {
            Ok(loaded) => {
                caution(&loaded, streams)?;
                let plumbing = &loaded.scenario.machine.plumbing;
                writeln!(
                    streams.out,
                    "{}: valid: {} nodes, {} lines and parts, {}, {}",
                    printable_path(path),
                    plumbing.nodes.len(),
                    plumbing.branches.len(),
                    count_of(plumbing.tips.len(), "tip"),
                    count_of(loaded.scenario.course.steps.len(), "step")
                )?;
            }
            Err(failure) => code = code.max(failure.report(streams)),
        }
    }
    Ok(code)
}
