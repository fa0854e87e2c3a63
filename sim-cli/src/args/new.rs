//! What can be typed after `millstream new`.

use super::shared::{Replace, Units};
use clap::{Args, ValueEnum};
use std::path::PathBuf;

/// `millstream new`.
#[derive(Args, Debug)]
pub(crate) struct NewArgs {
    /// The scenario to write.
    #[arg(required_unless_present = "list")]
    pub(crate) file: Option<PathBuf>,
    /// List the shipped machines that --from takes.
    #[arg(long, conflicts_with_all = ["file", "from"])]
    pub(crate) list: bool,
    /// Start from a shipped machine, as it is.
    #[arg(long, value_name = "NAME", conflicts_with = "answers")]
    pub(crate) from: Option<String>,
    /// Ask nothing: take defaults for what the options leave out.
    #[arg(long)]
    pub(crate) defaults: bool,
    #[command(flatten)]
    pub(crate) answers: Given,
    #[command(flatten)]
    pub(crate) replace: Replace,
}

/// Answers given as options.
#[derive(Args, Debug)]
#[group(id = "answers", multiple = true)]
pub(crate) struct Given {
    /// Kind of machine; sets the defaults of the rest.
    #[arg(long, value_enum)]
    pub(crate) template: Option<Template>,
    /// What the machine is called.
    #[arg(long)]
    pub(crate) title: Option<String>,
    /// Units of the file, and of what is printed of it.
    #[arg(long, value_enum)]
    pub(crate) units: Option<Units>,
    /// Width of the boom, such as "24 m" or "80 ft".
    #[arg(long)]
    pub(crate) width: Option<String>,
    /// Distance between tips.
    #[arg(long)]
    pub(crate) spacing: Option<String>,
    /// Number of sections.
    #[arg(long)]
    pub(crate) sections: Option<String>,
    /// Where sections are fed.
    #[arg(long, value_enum)]
    pub(crate) feed: Option<FeedChoice>,
    /// Forward speed.
    #[arg(long)]
    pub(crate) speed: Option<String>,
    /// Application rate wanted, such as "200 L/ha" or "20 gal/ac".
    #[arg(long)]
    pub(crate) rate: Option<String>,
    /// Tip size after ISO 10625, such as 04.
    #[arg(long)]
    pub(crate) tip: Option<String>,
    /// Pressure held at the boom's gauge.
    #[arg(long)]
    pub(crate) pressure: Option<String>,
    /// Kind of pump.
    #[arg(long, value_enum)]
    pub(crate) pump: Option<PumpChoice>,
    /// Compressed air blows the lines back to the tank.
    #[arg(long)]
    pub(crate) purge: bool,
}

/// Kinds of machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Template {
    /// Every section fed in its middle, ends capped.
    Centre,
    /// Every section fed at one end and returned to the tank.
    OneEnd,
    /// Outer sections re-plumbed to one-end feed with return, the others as they were.
    Retrofit,
    /// A small mounted sprayer: three sections, diaphragm pump, pressure held by the bypass.
    Small,
    /// One-end feed with return, and compressed air that blows the lines back to the tank.
    Purge,
}

/// Where sections are fed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum FeedChoice {
    /// In their middle, ends capped.
    Centre,
    /// At one end, returned to the tank at the other.
    OneEnd,
    /// Outer sections at one end with return, the others in their middle.
    Retrofit,
}

/// Kinds of pump.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum PumpChoice {
    /// Its speed holds the pressure.
    Centrifugal,
    /// The bypass holds the pressure.
    Diaphragm,
}
