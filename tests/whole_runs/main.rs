//! Whole runs of the command, as its user sees them.

mod answers;
mod architecture;
mod cautions;
mod compare;
mod course;
mod diagnose;
mod documents;
mod faults;
mod faults_drawn;
mod gallery;
mod guide;
mod ignored_keys;
mod licences;
mod once;
mod orders;
mod pages;
mod payback;
mod scenarios;
mod screens;
mod series;
mod theory;
mod time;
mod undone;
mod units;
mod volumes;
mod words_kept_out;
