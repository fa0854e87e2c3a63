//! Pages in a real browser, as their readers see them. Without a browser on the machine these checks say so
//! and pass: `.ci/run` installs one.

mod browser;
mod diagnosis_page;
mod drawings;
mod first_hours;
#[cfg(feature = "live")]
mod live_page;
mod looks;
mod moves;
mod paper;
mod papers;
mod widths;
mod wire;
