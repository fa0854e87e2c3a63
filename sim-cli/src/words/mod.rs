//! Sentences and values in the user's words and units: those that pages share, and those of a diagnosis.

mod chances;
pub(crate) mod diagnosis;
mod how_to_read;
mod spreads;

pub(crate) use chances::chance_words;
pub(crate) use how_to_read::how_to_read;
pub(crate) use page_model::words::{
    AIR_CAUTION, CAUTION, LIMITS_OF_THE_MODEL, NOT_DRAWN, PURGE_IS_UNCERTAIN, allowed, count_of,
    demanded, judged, limits, limits_missed, or_dash, place, place_name, sentence, side_words,
};
pub(crate) use spreads::{input_words, off_words};
