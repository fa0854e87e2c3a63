//! Files beside scenarios: readings, overlays, prices.

use crate::columns::printable_path;
use crate::failure::Failure;
use crate::regular;
use sim_core::scenario::InputFault;
use std::path::Path;

/// What `read` makes of the text at `path`.
pub(super) fn read_from<T>(
    path: &Path,
    read: impl FnOnce(&str) -> Result<T, Vec<InputFault>>,
) -> Result<T, Failure> {
    let cannot = |why| Failure::Input(format!("{} cannot be read: {why}", printable_path(path)));
    let text = regular::text(path).map_err(cannot)?;
    read(&text).map_err(|faults| Failure::Faults { path: path.to_path_buf(), text, faults })
}
