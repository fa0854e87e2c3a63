//! Sentences and values in the user's words and units.

mod cautions;
mod counted;
mod limits;
mod listed;
mod sides;
mod steps;
mod undone;
mod values;
mod warnings;

pub use cautions::{AIR_CAUTION, CAUTION, LIMITS_OF_THE_MODEL, NOT_DRAWN, PURGE_IS_UNCERTAIN};
pub use counted::count_of;
pub use limits::{allowed, demanded, limits, place, place_name, place_words};
pub use sides::side_words;
pub use steps::{judged, limits_missed};
pub use values::or_dash;
pub use warnings::sentence;
