//! Given the flows, where is everything next?
//!
//! Liquid moves exactly with the flow, in parcels. Within a line it keeps its order in each of a number
//! of stream tubes that share the flow and differ in how long they take (`profile`): so fronts spread as
//! much as the line's flow spreads them, and no grid blurs them. At nodes everything that arrives mixes.

mod airy;
mod leg;
mod line;
mod order;
mod pass;
mod profile;
mod state;
mod stream;
mod tanks;

pub use airy::{AirAccount, Caught, LineLeft, suction_lines};
pub use line::TubedLine;
pub use profile::{Profile, Spread, spread_of};
pub use state::{Contents, Moved, TransportOptions};
pub use stream::{Part, Stream};
pub use tanks::Amount;
