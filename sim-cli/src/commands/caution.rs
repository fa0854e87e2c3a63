//! What a scenario says to no effect, told on the way.

use crate::results::Loaded;
use crate::{Streams, draw};
use std::io;

/// Tells the user which keys of `loaded` change nothing.
pub(super) fn caution(loaded: &Loaded, streams: &mut Streams<'_>) -> Result<(), io::Error> {
    let drawn = draw::ignored(&loaded.path, &loaded.text, &loaded.ignored, streams.colour);
    streams.err.write_all(drawn.as_bytes())
}
