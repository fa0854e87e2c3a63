//! `millstream check`: is a scenario valid?

use crate::failure::Failure;
use crate::files::load;
use crate::{Streams, exit};
use std::path::PathBuf;

pub(crate) fn check(files: &[PathBuf], streams: &mut Streams<'_>) -> Result<u8, Failure> {
    let mut code = exit::DONE;
    for path in files {
        match load(path) {
            Ok(loaded) => {
                let plumbing = &loaded.scenario.machine.plumbing;
                writeln!(
                    streams.out,
                    "{}: valid: {} nodes, {} lines and parts, {} tips, {} steps",
                    path.display(),
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
