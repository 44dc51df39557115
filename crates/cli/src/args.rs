//! The arguments of each command.

use clap::{Parser, Subcommand, ValueEnum};
use fitment::axle::{self, Output};
use fitment::symptom::Symptom;
use fitment::truck;

/// Geometry of a lifted solid-axle truck, from a build file.
///
/// Results are only as good as the tape measurements behind them. Anything that bears on
/// steering, brakes, wheels or welds needs a licensed practice's eye and your local rules.
#[derive(Debug, Parser)]
#[command(name = "tapewright", version, after_help = CODES)]
pub(crate) struct Args {
    #[command(subcommand)]
    pub(crate) command: Command,
}

const CODES: &str = "A file name of `-` reads standard input.\n\
    Exit codes: 0 done, 1 cannot write, 2 bad input, 3 the position does not exist.";

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Where the axles stand in a state: shift, steer, caster, pinion, Panhard angle and more
    Solve(SolveArgs),
    /// Every output along a path: both wheels, roll, one wheel, steering
    Sweep(SweepArgs),
    /// Clearance of the tire over steering and travel, on one axle
    Map(MapArgs),
    /// How far in or out the wheel may sit and still clear
    Window(WindowArgs),
    /// The tallest and the widest tire that clear
    Largest(FitArgs),
    /// Which parts of the shelf put an axle's geometry right, best first, and what fights
    Remedy(RemedyArgs),
    /// From what the driver feels to what may cause it, by this truck's own numbers
    Feel(FeelArgs),
    /// Hardpoints that agree with what was read under the truck, and which reading does not
    Calibrate(CalibrateArgs),
    /// The build as a link
    Link(LinkArgs),
    /// The build in a link, as JSON
    Open(OpenArgs),
    /// Everything wrong with a build
    Check(CheckArgs),
    /// A check of the rest of the truck by itself; without a name, which there are
    Card(CardArgs),
    /// The JSON Schema of a build
    Schema,
    /// An example build to start from
    Example,
}

impl Command {
    /// Whether the caller reads JSON, errors included.
    pub(crate) const fn json(&self) -> bool {
        match self {
            Self::Solve(args) => args.json,
            Self::Sweep(args) => args.json,
            Self::Map(args) => args.fit.json,
            Self::Window(args) => args.fit.json,
            Self::Largest(args) => args.json,
            Self::Remedy(args) => args.json,
            Self::Feel(args) => args.json,
            Self::Calibrate(args) => args.json,
            Self::Link(args) => args.json,
            Self::Open(args) => args.json,
            Self::Check(args) => args.json,
            Self::Card(args) => args.json,
            Self::Schema | Self::Example => false,
        }
    }
}

#[derive(Debug, clap::Args)]
pub(crate) struct SolveArgs {
    /// The build file, or `-`
    pub(crate) build: String,
    /// Which state of the truck
    #[arg(long, value_enum, default_value_t = State::Sitting)]
    pub(crate) state: State,
    /// Only this axle; the other is null
    #[arg(long, value_enum)]
    pub(crate) axle: Option<Axle>,
    /// Left wheel's travel from the stock position, mm, up positive; left out: the state's ride
    /// height (a lift of 75 mm is -75)
    #[arg(long, value_name = "MM", value_parser = millimetres, allow_negative_numbers = true)]
    pub(crate) left: Option<f64>,
    /// Right wheel's travel, as --left
    #[arg(long, value_name = "MM", value_parser = millimetres, allow_negative_numbers = true)]
    pub(crate) right: Option<f64>,
    /// Steer of the wheels from straight ahead, degrees, left positive
    #[arg(long, value_name = "DEG", value_parser = degrees, default_value_t = 0.0, allow_negative_numbers = true)]
    pub(crate) steer: f64,
    /// Add the change of every output by every uncertain input to the JSON
    #[arg(long, requires = "json")]
    pub(crate) slopes: bool,
    /// Print JSON
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Debug, clap::Args)]
pub(crate) struct SweepArgs {
    /// The build file, or `-`
    pub(crate) build: String,
    /// What moves
    #[arg(long, value_enum)]
    pub(crate) path: Path,
    /// Where to start: mm of wheel travel from ride height, up positive; degrees for steer
    #[arg(long, value_name = "N", allow_negative_numbers = true)]
    pub(crate) from: f64,
    /// Where to end
    #[arg(long, value_name = "N", allow_negative_numbers = true)]
    pub(crate) to: f64,
    /// From point to point; the end is always one
    #[arg(long, value_name = "N")]
    pub(crate) step: f64,
    /// Which axle
    #[arg(long, value_enum, default_value_t = Axle::Front)]
    pub(crate) axle: Axle,
    /// Which state of the truck
    #[arg(long, value_enum, default_value_t = State::Sitting)]
    pub(crate) state: State,
    /// Only this output, by its key; may be given again
    #[arg(long, value_name = "KEY", value_parser = output)]
    pub(crate) output: Vec<Output>,
    /// Print JSON
    #[arg(long, conflicts_with = "csv")]
    pub(crate) json: bool,
    /// Print CSV
    #[arg(long)]
    pub(crate) csv: bool,
}

#[derive(Debug, clap::Args)]
pub(crate) struct MapArgs {
    #[command(flatten)]
    pub(crate) fit: FitArgs,
    /// Only this side's tire in the maps and contacts
    #[arg(long, value_enum)]
    pub(crate) side: Option<Side>,
}

#[derive(Debug, clap::Args)]
pub(crate) struct WindowArgs {
    #[command(flatten)]
    pub(crate) fit: FitArgs,
    /// Also with a tire of this section width, mm; may be given again
    #[arg(long, value_name = "MM", value_parser = width)]
    pub(crate) width: Vec<f64>,
}

#[derive(Debug, clap::Args)]
pub(crate) struct FitArgs {
    /// The build file, or `-`
    pub(crate) build: String,
    /// Which axle
    #[arg(long, value_enum, default_value_t = Axle::Front)]
    pub(crate) axle: Axle,
    /// Which state of the truck
    #[arg(long, value_enum, default_value_t = State::Sitting)]
    pub(crate) state: State,
    /// Room asked for, mm
    #[arg(long, value_name = "MM", value_parser = margin, default_value_t = 10.0)]
    pub(crate) margin: f64,
    /// Leave room for the growth a tire of this size is allowed in service
    #[arg(long)]
    pub(crate) grown: bool,
    /// Print JSON
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Debug, clap::Args)]
pub(crate) struct RemedyArgs {
    /// The build file, or `-`
    pub(crate) build: String,
    /// Which axle
    #[arg(long, value_enum, default_value_t = Axle::Front)]
    pub(crate) axle: Axle,
    /// The plan whose parts, lengths and order of work are printed; 0 prints none. JSON has them all
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub(crate) plan: usize,
    /// Print JSON
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Debug, clap::Args)]
pub(crate) struct FeelArgs {
    /// The build file, or `-`; without it and a symptom, a list of the symptoms
    #[arg(requires = "symptom")]
    pub(crate) build: Option<String>,
    /// What is felt, by its key
    #[arg(value_parser = symptom)]
    pub(crate) symptom: Option<Symptom>,
    /// Which axle
    #[arg(long, value_enum, default_value_t = Axle::Front)]
    pub(crate) axle: Axle,
    /// Which state of the truck
    #[arg(long, value_enum, default_value_t = State::Sitting)]
    pub(crate) state: State,
    /// Print JSON
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Debug, clap::Args)]
pub(crate) struct CalibrateArgs {
    /// The build file, or `-`
    pub(crate) build: String,
    /// A file of readings in place of the build's own log: `{"version": 1, "sets": [{"readings":
    /// [{"what": "length panhard", "read": [879, 880, 881]}]}]}`
    pub(crate) readings: Option<String>,
    /// Which axle
    #[arg(long, value_enum, default_value_t = Axle::Front)]
    pub(crate) axle: Axle,
    /// Which state's answers to print
    #[arg(long, value_enum, default_value_t = State::Sitting)]
    pub(crate) state: State,
    /// Print JSON
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Debug, clap::Args)]
pub(crate) struct LinkArgs {
    /// The build file, or `-`
    pub(crate) build: String,
    /// Address of the page to put in front
    #[arg(long, value_name = "URL")]
    pub(crate) base: Option<String>,
    /// Print JSON
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Debug, clap::Args)]
pub(crate) struct OpenArgs {
    /// The link, its part from `#` on, or `-`
    pub(crate) link: String,
    /// Print errors as JSON too; the build always is
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Debug, clap::Args)]
pub(crate) struct CheckArgs {
    /// The build file, or `-`
    pub(crate) build: String,
    /// Print JSON
    #[arg(long)]
    pub(crate) json: bool,
}

#[derive(Debug, clap::Args)]
pub(crate) struct CardArgs {
    /// Which card; left out: a list of them
    pub(crate) name: Option<String>,
    /// What differs from the card's start: `pressure=45psi`, `run="800 ± 2 mm"`
    #[arg(value_name = "KEY=VALUE", value_parser = key_value)]
    pub(crate) given: Vec<(String, String)>,
    /// Fill the card from this build; without a card's name, every check of the build
    #[arg(long, value_name = "FILE")]
    pub(crate) build: Option<String>,
    /// Which axle of the build
    #[arg(long, value_enum, default_value_t = Axle::Front)]
    pub(crate) axle: Axle,
    /// Which state of the truck
    #[arg(long, value_enum, default_value_t = State::Sitting)]
    pub(crate) state: State,
    /// Read bare numbers and write answers in inch units
    #[arg(long)]
    pub(crate) inch: bool,
    /// Print JSON, always in metric units
    #[arg(long)]
    pub(crate) json: bool,
}

/// A state of the truck, as an argument.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(crate) enum State {
    /// As it left the factory
    Stock,
    /// As it sits now
    Sitting,
    /// As it will be
    Planned,
}

/// A path of a sweep, as an argument.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub(crate) enum Path {
    /// Both wheels together
    Heave,
    /// Left wheel up, right wheel down
    Roll,
    /// The left wheel alone
    Left,
    /// The right wheel alone
    Right,
    /// The steering, at ride height
    Steer,
}

/// An axle, as an argument.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Axle {
    /// The front axle
    Front,
    /// The rear axle
    Rear,
}

/// A side, as an argument.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum Side {
    /// The driver's left
    Left,
    /// The driver's right
    Right,
}

impl State {
    pub(crate) const fn of_truck(self) -> truck::State {
        match self {
            Self::Stock => truck::State::Stock,
            Self::Sitting => truck::State::Sitting,
            Self::Planned => truck::State::Planned,
        }
    }

    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::Stock => "stock",
            Self::Sitting => "sitting",
            Self::Planned => "planned",
        }
    }
}

impl Path {
    pub(crate) const fn of_axle(self) -> axle::Path {
        match self {
            Self::Heave => axle::Path::Heave,
            Self::Roll => axle::Path::Roll,
            Self::Left => axle::Path::Left,
            Self::Right => axle::Path::Right,
            Self::Steer => axle::Path::Steer,
        }
    }

    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::Heave => "heave",
            Self::Roll => "roll",
            Self::Left => "left",
            Self::Right => "right",
            Self::Steer => "steer",
        }
    }

    pub(crate) const fn words(self) -> &'static str {
        match self {
            Self::Heave => "both wheels, mm from ride height",
            Self::Roll => "left wheel up and right wheel down, mm each from ride height",
            Self::Left => "left wheel, mm from ride height",
            Self::Right => "right wheel, mm from ride height",
            Self::Steer => "mean steer of the wheels, degrees",
        }
    }
}

impl Axle {
    pub(crate) const BOTH: [Self; 2] = [Self::Front, Self::Rear];

    pub(crate) const fn of_truck(self) -> truck::End {
        match self {
            Self::Front => truck::End::Front,
            Self::Rear => truck::End::Rear,
        }
    }

    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::Front => "front",
            Self::Rear => "rear",
        }
    }
}

impl Side {
    pub(crate) const fn of_truck(self) -> truck::Side {
        match self {
            Self::Left => truck::Side::Left,
            Self::Right => truck::Side::Right,
        }
    }
}

/// Furthest travel that is tried, mm.
const FURTHEST_MM: f64 = 1000.0;
/// Largest room that is asked for, mm.
const LARGEST_MARGIN_MM: f64 = 500.0;
/// Largest steer that is tried, degrees.
const LARGEST_DEG: f64 = 60.0;

fn output(text: &str) -> Result<Output, String> {
    Output::ALL.into_iter().find(|output| output.key() == text).ok_or_else(|| {
        let keys: Vec<_> = Output::ALL.into_iter().map(Output::key).collect();
        format!("there is no such output; the keys are {}", keys.join(", "))
    })
}

fn symptom(text: &str) -> Result<Symptom, String> {
    Symptom::ALL.iter().copied().find(|it| it.key() == text).ok_or_else(|| {
        let keys: Vec<_> = Symptom::ALL.iter().map(|it| it.key()).collect();
        format!("there is no such symptom; the keys are {}", keys.join(", "))
    })
}

fn millimetres(text: &str) -> Result<f64, String> {
    within(text, FURTHEST_MM, "mm")
}

fn margin(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(number) if (0.0..=LARGEST_MARGIN_MM).contains(&number) => Ok(number),
        _ => Err(format!("give a number of mm from 0 to {LARGEST_MARGIN_MM}")),
    }
}

/// As the engine takes a measured section width.
fn width(text: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(number) if (90.0..=500.0).contains(&number) => Ok(number),
        _ => Err("give a section width from 90 to 500 mm".into()),
    }
}

fn degrees(text: &str) -> Result<f64, String> {
    within(text, LARGEST_DEG, "degrees")
}

fn key_value(text: &str) -> Result<(String, String), String> {
    match text.split_once('=') {
        Some((key, value)) if !key.is_empty() => Ok((key.to_owned(), value.to_owned())),
        _ => Err("write it as KEY=VALUE".into()),
    }
}

fn within(text: &str, most: f64, unit: &str) -> Result<f64, String> {
    match text.parse::<f64>() {
        Ok(number) if number.abs() <= most => Ok(number),
        _ => Err(format!("give a number of {unit} from -{most} to {most}")),
    }
}
