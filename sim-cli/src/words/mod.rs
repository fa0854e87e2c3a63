//! Sentences and values in the user's words and units.

mod cautions;
mod chances;
mod counted;
pub(crate) mod diagnosis;
mod how_to_read;
mod limits;
mod listed;
mod sides;
mod spreads;
mod steps;
mod undone;
mod values;
mod warnings;

pub(crate) use cautions::{
    AIR_CAUTION, CAUTION, LIMITS_OF_THE_MODEL, NOT_DRAWN, PURGE_IS_UNCERTAIN,
};
pub(crate) use chances::chance_words;
pub(crate) use counted::count_of;
pub(crate) use how_to_read::how_to_read;
pub(crate) use limits::{allowed, demanded, limits, place, place_name};
pub(crate) use sides::side_words;
pub(crate) use spreads::{input_words, off_words};
pub(crate) use steps::{judged, limits_missed};
pub(crate) use values::or_dash;
pub(crate) use warnings::sentence;
