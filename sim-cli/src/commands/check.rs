//! `millstream check`: is a scenario valid?

use super::caution::caution;
use crate::args::CheckArgs;
use crate::columns::printable_path;
use crate::failure::Failure;
use crate::files::load;
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
                    "{}: valid: {} nodes, {} lines and parts, {} tips, {} steps",
                    printable_path(path),
                    plumbing.nodes.len(),
                    plumbing.branches.len(),
                    plumbing.tips.len(),
                    loaded.scenario.course.steps.len()
                )?;
            }
            Err(failure) => code = code.max(failure.report(streams)),
        }
    }
    Ok(code)
}
