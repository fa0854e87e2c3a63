//! What is typed on the command line.

mod new;
mod shared;

pub(crate) use new::{FeedChoice, Given, NewArgs, PumpChoice, Template};
pub(crate) use shared::{Replace, Trust, Units};

use crate::tables::Piece;
use clap::{Args, Parser, Subcommand, ValueEnum};
use clap_complete::Shell;
use std::path::PathBuf;

/// Boom plumbing from a scenario file to pressures, flows and pictures.
#[derive(Debug, Parser)]
#[command(name = "millstream", version, max_term_width = 100)]
pub(crate) struct Cli {
    #[command(subcommand)]
    pub(crate) command: Command,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Write a first scenario of a machine like yours: asks about ten questions, or takes them as options.
    #[command(
        after_help = "Examples:\n  millstream new mine.toml\n  millstream new mine.toml --width 24m --sections 5 \
        --tip 04 --pressure 3bar\n  millstream new mine.toml --template retrofit --defaults\n  \
        millstream new mine.toml --from heron-36m-one-end"
    )]
    New(NewArgs),
    /// Run a scenario: print its findings, and write plots and tables into a folder.
    #[command(
        after_help = "Examples:\n  millstream run scenarios/heron-36m-one-end.toml --out out\n  \
        millstream run scenarios/heron-36m-one-end.toml --show sections,losses\n  \
        millstream run scenarios/larkfield-12m.toml --uncertain --draws 128"
    )]
    Run(RunArgs),
    /// Run layouts side by side, or one over the values of a setting, and show how the findings differ.
    #[command(after_help = "Example:\n  millstream compare scenarios/heron-36m-centre.toml \
        scenarios/heron-36m-one-end.toml --out out")]
    Compare(CompareArgs),
    /// Check scenarios without running them.
    #[command(after_help = "Example:\n  millstream check scenarios/heron-36m-one-end.toml")]
    Check(CheckArgs),
    /// Print a scenario in the long form, nothing left to defaults.
    #[command(after_help = "Example:\n  millstream expand scenarios/heron-36m-one-end.toml --json")]
    Expand(ExpandArgs),
    /// Write a page with the machine in it: change it, play it and watch the boom answer, in a browser and without a network.
    #[command(
        after_help = "Example:\n  millstream live scenarios/heron-36m-prime-one-end.toml --out live.html"
    )]
    Live(LiveArgs),
    /// Write the papers that go with a machine: build sheet, commissioning sheet, operator's card, reading sheet.
    #[command(
        after_help = "Example:\n  millstream papers scenarios/heron-36m-one-end.toml --out out"
    )]
    Papers(PapersArgs),
    /// Look for the layouts that no other beats: varies what a study says, keeps to its limits, writes each layout as a scenario.
    #[command(
        after_help = "Example:\n  millstream search demo-data/studies/larkfield-bores.toml --out out"
    )]
    Search(SearchArgs),
    /// Try the sensible orders of a purge and rank them by what they leave behind.
    #[command(after_help = "Example:\n  millstream orders scenarios/heron-36m-purge-together.toml")]
    Orders(OrdersArgs),
    /// Find the fault that explains gauge readings and catch tests, and what to measure next.
    #[command(after_help = "Example:\n  millstream diagnose scenarios/heron-36m-centre.toml \
            demo-data/readings/heron-left-end-short.toml\n\nA file to fill in:\n  millstream diagnose \
            scenarios/heron-36m-one-end.toml --template toml > readings.toml")]
    Diagnose(DiagnoseArgs),
    /// List the tip sizes that give a rate over a range of speeds.
    #[command(
        after_help = "Examples:\n  millstream tips --rate \"190 L/ha\" --speed \"8 km/h\" --to \"12 km/h\"\n  \
        millstream tips --rate 190L/ha --speed 6km/h --to 18km/h --carries 03,05\n  \
        millstream tips --rate 190L/ha --speed 8km/h --to 12km/h --pressure 3bar"
    )]
    Tips(TipsArgs),
    /// Print the JSON Schema of scenario files, for editors, or of `summary.json`, for programs.
    #[command(after_help = "Example:\n  millstream schema > scenario.schema.json")]
    Schema(FormatArgs),
    /// Print the reference page of scenario files or of `summary.json`.
    #[command(after_help = "Example:\n  millstream reference > scenario.md")]
    Reference(FormatArgs),
    /// Print a script that completes commands, options and names in a shell.
    #[command(
        after_help = "Example:\n  millstream completions bash > ~/.local/share/bash-completion/completions/millstream"
    )]
    Completions(CompletionsArgs),
    /// Print a page of the manual, for `man`.
    #[command(after_help = "Examples:\n  millstream manual > millstream.1\n  \
        millstream manual run > millstream-run.1")]
    Manual(ManualArgs),
}

/// `millstream manual`.
#[derive(Args, Debug)]
pub(crate) struct ManualArgs {
    /// Of which command; of millstream itself if left out.
    pub(crate) of: Option<String>,
}

/// `millstream completions`.
#[derive(Args, Debug)]
pub(crate) struct CompletionsArgs {
    /// For which shell.
    #[arg(value_enum)]
    pub(crate) shell: Shell,
}

/// `millstream schema` and `millstream reference`.
#[derive(Args, Debug)]
pub(crate) struct FormatArgs {
    /// Of what.
    #[arg(value_enum, default_value_t)]
    pub(crate) of: Format,
}

/// A format of files.
#[derive(Clone, Copy, Debug, Default, ValueEnum)]
pub(crate) enum Format {
    /// Scenario files.
    #[default]
    Scenario,
    /// summary.json.
    Summary,
    /// Studies.
    Study,
}

#[derive(Debug, Args)]
pub(crate) struct RunArgs {
    /// The scenario.
    pub(crate) file: PathBuf,
    /// Folder for report.html, summary.json, tips.csv, lines.csv, series.csv and plots (SVG and PNG).
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
    /// Units of tables and plots, instead of those that the scenario asks for.
    #[arg(long, value_enum)]
    pub(crate) units: Option<Units>,
    /// Print everything instead of one screen.
    #[arg(long)]
    pub(crate) full: bool,
    /// Print these tables instead of one screen, named with commas between.
    #[arg(long, value_enum, value_delimiter = ',', value_name = "NAMES", conflicts_with = "full")]
    pub(crate) show: Vec<Piece>,
    /// Print nothing but errors and limits that are not met.
    #[arg(long, conflicts_with_all = ["full", "show"])]
    pub(crate) quiet: bool,
    /// Print summary.json instead of one screen.
    #[arg(long, conflicts_with_all = ["full", "show", "quiet"])]
    pub(crate) json: bool,
    /// Exit with code 1 if a limit is not met.
    #[arg(long)]
    pub(crate) enforce: bool,
    /// Say how far each figure may be off, how likely each limit is met and what that hangs on: runs many draws of inputs that are
    /// known only about so. Adds uncertainty.json, draws.csv and a picture.
    #[arg(long, conflicts_with_all = ["show", "quiet", "enforce"])]
    pub(crate) uncertain: bool,
    /// A study that says which inputs are uncertain in another way than usual (TOML).
    #[arg(long, value_name = "STUDY", requires = "uncertain")]
    pub(crate) study: Option<PathBuf>,
    /// Number of draws; the more the quicker a run is, unless given.
    #[arg(long, value_name = "COUNT", requires = "uncertain", value_parser = clap::value_parser!(u32).range(1..=65_536))]
    pub(crate) draws: Option<u32>,
    #[command(flatten)]
    pub(crate) replace: Replace,
    #[command(flatten)]
    pub(crate) trust: Trust,
}

/// How readings are written.
#[derive(Clone, Copy, Debug, ValueEnum)]
pub(crate) enum Form {
    /// TOML.
    Toml,
    /// CSV.
    Csv,
}

#[derive(Debug, Args)]
pub(crate) struct DiagnoseArgs {
    /// The scenario of the machine as it should be.
    pub(crate) file: PathBuf,
    /// The readings, TOML or CSV.
    #[arg(required_unless_present = "template")]
    pub(crate) readings: Option<PathBuf>,
    /// Print a readings file of this machine to fill in, instead of a diagnosis.
    #[arg(long, value_enum, conflicts_with_all = ["readings", "out", "json", "calibrate", "overlay"])]
    pub(crate) template: Option<Form>,
    /// Take the readings as those of the healthy machine and write the factors on roughness and loss
    /// coefficients found from them into this overlay file.
    #[arg(long, value_name = "FILE", conflicts_with_all = ["out", "overlay"])]
    pub(crate) calibrate: Option<PathBuf>,
    /// An overlay file of the machine, found by --calibrate.
    #[arg(long, value_name = "FILE")]
    pub(crate) overlay: Option<PathBuf>,
    /// Folder for diagnosis.json, the picture (SVG and PNG) and report.html, a page to print.
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
    /// Units of tables, picture and page, instead of those that the scenario asks for.
    #[arg(long, value_enum)]
    pub(crate) units: Option<Units>,
    /// Print diagnosis.json instead of tables.
    #[arg(long)]
    pub(crate) json: bool,
    #[command(flatten)]
    pub(crate) replace: Replace,
    #[command(flatten)]
    pub(crate) trust: Trust,
}

#[derive(Debug, Args)]
pub(crate) struct CompareArgs {
    /// The scenarios: two to eight, or one with --vary.
    #[arg(required = true)]
    pub(crate) files: Vec<PathBuf>,
    /// Run one scenario over values of a setting, such as "supply.hose.bore=19 mm,25 mm,32 mm"; a step is named
    /// or counted: "step.spray.pump=40 %,50 %".
    #[arg(long, value_name = "KEY=VALUES")]
    pub(crate) vary: Option<String>,
    /// Also say what product, water and time cost in a season, and when a retrofit has paid for itself, from the prices
    /// in this file (TOML).
    #[arg(long, value_name = "FILE", conflicts_with = "vary")]
    pub(crate) prices: Option<PathBuf>,
    /// Folder for compare.html, compare.json and, with --vary, plots (SVG and PNG).
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
    /// Units of tables and plots, instead of those that the scenario asks for.
    #[arg(long, value_enum)]
    pub(crate) units: Option<Units>,
    /// Print everything instead of one screen; with --vary everything is printed anyway.
    #[arg(long)]
    pub(crate) full: bool,
    /// Print nothing but errors and limits that are not met.
    #[arg(long, conflicts_with_all = ["full", "vary"])]
    pub(crate) quiet: bool,
    /// Print compare.json instead of one screen.
    #[arg(long, conflicts_with_all = ["full", "quiet"])]
    pub(crate) json: bool,
    #[command(flatten)]
    pub(crate) replace: Replace,
    #[command(flatten)]
    pub(crate) trust: Trust,
}

/// A paper that goes with a machine.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub(crate) enum Paper {
    /// What to cut, count and buy: build.html, cut-list.csv, parts.csv, and retrofit.csv with --against.
    Build,
    /// What to set and what gauges and catch tests should then read: commissioning.html, commissioning.csv.
    Commissioning,
    /// The steps of the scenario's run on one page, for whoever operates the machine: card.html.
    Card,
    /// A blank sheet for readings, with numbered places to read at and states to set: reading-sheet.html.
    Readings,
}

#[derive(Debug, Args)]
pub(crate) struct PapersArgs {
    /// The scenario.
    pub(crate) file: PathBuf,
    /// Folder for the papers, pages to print and tables for spreadsheets.
    #[arg(long, value_name = "DIR")]
    pub(crate) out: PathBuf,
    /// Only these papers, separated by commas; all of them unless given.
    #[arg(long, value_enum, value_delimiter = ',')]
    pub(crate) only: Vec<Paper>,
    /// The scenario of the machine as it is: the build sheet says what to remove, use again and buy.
    #[arg(long, value_name = "FILE")]
    pub(crate) against: Option<PathBuf>,
    /// Prices, CSV with the columns kind, size, rating, price and per.
    #[arg(long, value_name = "FILE")]
    pub(crate) catalogue: Option<PathBuf>,
    /// Allowance for trimming, added to each piece that is cut; 50 mm, in US units 2 in, unless given.
    #[arg(long, value_name = "LENGTH")]
    pub(crate) trim: Option<String>,
    /// Units of pages and tables, in place of those the scenario asks for.
    #[arg(long, value_enum)]
    pub(crate) units: Option<Units>,
    #[command(flatten)]
    pub(crate) replace: Replace,
    #[command(flatten)]
    pub(crate) trust: Trust,
}

#[derive(Debug, Args)]
pub(crate) struct CheckArgs {
    /// The scenarios.
    #[arg(required = true)]
    pub(crate) files: Vec<PathBuf>,
    #[command(flatten)]
    pub(crate) trust: Trust,
}

#[derive(Debug, Args)]
pub(crate) struct ExpandArgs {
    /// The scenario.
    pub(crate) file: PathBuf,
    /// Print JSON in SI units instead of a scenario file.
    #[arg(long)]
    pub(crate) json: bool,
    #[command(flatten)]
    pub(crate) trust: Trust,
}

#[derive(Debug, Args)]
pub(crate) struct LiveArgs {
    /// The scenario that the page begins with.
    pub(crate) file: PathBuf,
    /// The page.
    #[arg(long, value_name = "FILE", default_value = "live.html")]
    pub(crate) out: PathBuf,
    #[command(flatten)]
    pub(crate) replace: Replace,
    #[command(flatten)]
    pub(crate) trust: Trust,
}

#[derive(Debug, Args)]
pub(crate) struct OrdersArgs {
    /// The scenario; the air, the time and the entry of its first purge are taken.
    pub(crate) file: PathBuf,
    /// Units to show.
    #[arg(long, value_enum)]
    pub(crate) units: Option<Units>,
    /// Print JSON instead of a table.
    #[arg(long)]
    pub(crate) json: bool,
    #[command(flatten)]
    pub(crate) trust: Trust,
}

#[derive(Debug, Args)]
pub(crate) struct SearchArgs {
    /// The study (TOML): the base, what varies, what is aimed at, limits, corners.
    pub(crate) study: PathBuf,
    /// Folder for search.json, front.csv, designs.csv, pictures (SVG and PNG) and a scenario for each layout.
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
    /// Also say how likely each layout with a name keeps its limits: runs draws of inputs that are known only about so, as many as the
    /// study says, 64 unless it does.
    #[arg(long)]
    pub(crate) uncertain: bool,
    /// Another way to search than that of the study.
    #[arg(long, value_name = "NUMBER")]
    pub(crate) seed: Option<u32>,
    /// Units of tables and pictures, instead of those that the base asks for.
    #[arg(long, value_enum)]
    pub(crate) units: Option<Units>,
    /// Print search.json instead of one screen.
    #[arg(long)]
    pub(crate) json: bool,
    #[command(flatten)]
    pub(crate) replace: Replace,
    #[command(flatten)]
    pub(crate) trust: Trust,
}

#[derive(Debug, Args)]
pub(crate) struct TipsArgs {
    /// Application rate, such as "190 L/ha" or "15 gal/ac".
    #[arg(long)]
    pub(crate) rate: String,
    /// Speed, or the lowest speed of a range.
    #[arg(long)]
    pub(crate) speed: String,
    /// Highest speed of the range.
    #[arg(long)]
    pub(crate) to: Option<String>,
    /// Distance between tips.
    #[arg(long, default_value = "0.5 m")]
    pub(crate) spacing: String,
    /// The sizes that each nozzle body carries, separated by commas: says which of them, or which two open together,
    /// serves which speeds.
    #[arg(long, value_delimiter = ',', value_name = "SIZES")]
    pub(crate) carries: Vec<String>,
    /// The one pressure that is held: says at which speed each size then gives the rate.
    #[arg(long, conflicts_with_all = ["from_pressure", "to_pressure"])]
    pub(crate) pressure: Option<String>,
    /// Lowest pressure the tips may run at.
    #[arg(long, default_value = "1 bar")]
    pub(crate) from_pressure: String,
    /// Highest pressure the tips may run at.
    #[arg(long, default_value = "6 bar")]
    pub(crate) to_pressure: String,
    /// Lowest duty of pulse-width control; without it tips run all the time.
    #[arg(long)]
    pub(crate) least_duty: Option<String>,
    /// Density of the liquid.
    #[arg(long, default_value = "998.207 kg/m3")]
    pub(crate) density: String,
    /// Units to show.
    #[arg(long, value_enum)]
    pub(crate) units: Option<Units>,
    /// Print JSON instead of a table.
    #[arg(long)]
    pub(crate) json: bool,
}
