//! Papers that leave the office with the job, as pages to print and tables for spreadsheets.

mod build_input;
mod build_sheet;
mod card;
mod card_steps;
mod catalogue;
mod commissioning;
mod numbered_sketch;
mod paper_page;
mod paper_set;
mod parts_list;
mod pieces;
mod priced;
mod quantities;
mod reading_sheet;
mod reading_sketch;
mod retrofit;
mod retrofit_section;
mod set_up;

pub(crate) use build_input::BuildInput;
pub(crate) use build_sheet::build_sheet;
pub(crate) use card::card;
pub(crate) use catalogue::Catalogue;
pub(crate) use commissioning::commissioning;
pub(crate) use numbered_sketch::SKETCH_STYLE;
pub(crate) use paper_set::PaperSet;
pub(crate) use reading_sheet::reading_sheet;
pub(crate) use reading_sketch::{ReadingMark, in_walking_order, reading_sketch};
pub(crate) use set_up::set_up;
