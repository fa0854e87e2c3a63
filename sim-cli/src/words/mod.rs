//! Sentences and values in the user's words and units.

mod cautions;
pub(crate) mod diagnosis;
mod limits;
mod steps;
mod values;
mod warnings;

pub(crate) use cautions::{AIR_CAUTION, CAUTION, LIMITS_OF_THE_MODEL};
pub(crate) use limits::{allowed, place};
pub(crate) use steps::judged;
pub(crate) use values::or_dash;
pub(crate) use warnings::sentence;
