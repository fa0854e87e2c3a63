//! What did the user ask for, and is it valid?
//!
//! The file's text becomes TOML tables with their places ([`read`]), the tables are checked against one
//! description of the format, and what they say is put together into a [`Scenario`]. Faults are
//! collected, never thrown one by one; drawing them is the command line's business.

mod build;
mod cells;
mod expand;
mod fault;
mod files;
mod kinds;
mod line;
mod model;
mod prices;
mod read;
mod readings;
mod reference;
mod schema;
mod spec;
mod stand_in;
mod study;
mod tree;
mod value;
mod walk;
mod walk_lists;
mod walk_values;

#[cfg(test)]
mod tests;

pub use cells::{CsvCell, cells, for_spreadsheets};
pub use expand::{expand, expand_json};
pub use fault::{InputFault, MOST_FAULTS};
pub use files::{Files, NoFiles};
pub use model::{Noted, Scenario};
pub use prices::{Prices, ProductPrice, Retrofit, read_prices};
pub use read::{read, read_noting};
pub(crate) use readings::FAULT_KINDS;
pub use readings::{
    Accuracy, KindChange, Overlay, PriorChanges, Reading, ReadingPlace, Readings, Separator, State,
    read_overlay, read_readings,
};
pub use reference::reference;
pub use schema::schema;
pub use study::{
    Aim, CatalogueEntry, Choices, Corner, DefaultInput, SearchGoals, Study, StudyInput,
    StudySpread, UncertainSetting, Variable, read_catalogue, read_study, study_reference,
    study_schema,
};
pub use tree::steers;
