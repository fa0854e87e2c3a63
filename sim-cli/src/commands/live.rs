//! `millstream live`: a page with a machine in it that can be changed and played.

use super::caution::caution;
use super::deliver::place_of;
use crate::Streams;
use crate::args::LiveArgs;
use crate::columns::printable_path;
use crate::failure::Failure;
use crate::files::load_with_files;
use crate::live::{ENGINE, HOW_TO_BUILD, html};
use crate::output::OutputFile;

pub(crate) fn live(args: &LiveArgs, streams: &mut Streams<'_>) -> Result<(), Failure> {
    let (loaded, files) = load_with_files(&args.file, args.trust.files_from_anywhere)?;
    let engine = ENGINE.ok_or_else(|| Failure::Input(HOW_TO_BUILD.into()))?;
    let (target, name) = place_of(&args.out, args.replace.overwrite)?;
    caution(&loaded, streams)?;
    let page = OutputFile::text(name, html(&loaded, &files, engine));
    target.write_set(&[page]).map_err(Failure::Input)?;
    writeln!(streams.out, "Written: {}; open it in a browser.", printable_path(&args.out))?;
    Ok(())
}
