//! Given the flows, where is everything next?
//!
//! Liquid moves exactly with the flow, in parcels. Within a line it keeps its order in each of a number
//! of stream tubes that share the flow and differ in how long they take (`profile`): so fronts spread as
//! much as the line's flow spreads them, and no grid blurs them. At nodes everything that arrives mixes.
//!
//! ```
//! use sim_core::transport::{Profile, Dispersion};
//! // Laminar flow: the fastest tube takes half a mean stay, the slowest more than a hundred.
//! let tubes = Profile::of(Dispersion::Laminar);
//! let stays: Vec<f64> = tubes.stays().collect();
//! assert!((stays[0] - 0.5).abs() < 0.01 && *stays.last().unwrap() > 100.0);
//! ```

mod air;
mod content;
mod impossible;
mod leg;
mod line;
mod order;
mod pass;
mod profile;
mod queries;
mod state;
mod stirred;
mod stream;
mod tanks;

pub(crate) use air::Bracket;
pub use air::{AirAccount, Caught, LineLeft, LinePhases};
pub(crate) use impossible::Impossible;
pub use line::TubedLine;
pub use profile::{Dispersion, Profile, dispersion_of};
pub use state::{Contents, Moved};
pub use stream::{Stream, StreamPart};
pub use tanks::Amount;
