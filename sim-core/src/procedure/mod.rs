//! What is open, closed, held or running in a step?
//!
//! [`Settings`] are the position of everything adjustable, a [`Control`] is what moves to hold something, a [`Step`] is
//! both with how long it lasts, and [`Ramp`] leads from one step to the next. A [`Course`] is all that is done with a
//! machine: liquid, what it holds at the start, steps in order.

mod action;
mod constructors;
mod control;
mod course;
mod model_options;
mod ramp;
mod record_options;
mod settings;
mod step;
mod validity;

pub use action::Action;
pub use control::{Actuator, Control, Held, MOST_CONTROLS};
pub use course::{Course, Product, Start, Travel};
pub use model_options::ModelOptions;
pub use ramp::Ramp;
pub use record_options::{Probe, ProbePlace, RecordOptions};
pub use settings::Settings;
pub use step::{AirPurge, Change, Lasts, Load, Pulse, Step, Transfer, Until};
