//! The measurement log: what was read, when, on what floor, how often; and its limits.

use super::kind::Kind;
use crate::{
    measure::{Instrument, Known},
    truck::{End, State},
};

/// Version of the log's format.
pub const VERSION: u32 = 1;
/// Most sets of a log.
pub const SETS: usize = 16;
/// Most readings of a set.
pub const READINGS: usize = 64;
/// Most repetitions of one reading.
pub const REPEATS: usize = 12;
/// Longest text: a name, a date, a note; characters.
pub const TEXT: usize = 200;
/// Largest length that is taken, mm, and largest angle, degrees: room for millimeters typed as inches,
/// which the fit tells of.
pub const LARGEST: [f64; 2] = [200_000.0, 180.0];

/// Everything that was ever measured on a truck.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Log {
    /// Version of this format: 1.
    pub version: u32,
    /// Dated sets: before, after the bracket, after a season.
    #[cfg_attr(feature = "serde", serde(default))]
    pub sets: Vec<Set>,
}

/// What was read in one go, the truck standing as it stood.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Set {
    /// What the person calls it.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "String::is_empty"))]
    pub name: String,
    /// The day, as the person writes it.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "String::is_empty"))]
    pub date: String,
    /// Which state of the truck stood there.
    #[cfg_attr(feature = "serde", serde(default = "sitting"))]
    pub state: State,
    /// How it stood, as far as it was looked at.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Standing::is_unknown"))]
    pub standing: Standing,
    /// The readings, in the order they were taken.
    #[cfg_attr(feature = "serde", serde(default))]
    pub readings: Vec<Taken>,
    /// Anything else.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "String::is_empty"))]
    pub note: String,
}

#[cfg(feature = "serde")]
const fn sitting() -> State {
    State::Sitting
}

/// One reading, taken once or several times.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(deny_unknown_fields))]
pub struct Taken {
    /// What was read.
    pub what: Kind,
    /// At which axle.
    #[cfg_attr(feature = "serde", serde(default = "front"))]
    pub end: End,
    /// Every value read, mm or degrees.
    pub read: Vec<f64>,
    /// With what; left out, what it is usually read with.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Option::is_none"))]
    pub with: Option<Instrument>,
    /// What was typed, kept to the letter.
    #[cfg_attr(feature = "serde", serde(default, skip_serializing_if = "Vec::is_empty"))]
    pub entered: Vec<String>,
    /// What the person thinks of it.
    #[cfg_attr(feature = "serde", serde(default))]
    pub trust: Trust,
}

/// What a person thinks of a reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(rename_all = "snake_case"))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub enum Trust {
    /// It counts as long as it agrees with the rest.
    #[default]
    Usual,
    /// They have looked again and it stands, however odd it seems.
    Confirmed,
    /// It is kept, but left out of the fit.
    LeftOut,
}

#[cfg(feature = "serde")]
const fn front() -> End {
    End::Front
}

/// How the truck and the floor stood while a set was read; what nobody looked at is assumed.
///
/// The spreads are ours, of garage floors and trucks at rest: common practice, no source.
#[derive(Debug, Clone, PartialEq, Default)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[cfg_attr(feature = "serde", serde(default, deny_unknown_fields))]
pub struct Standing {
    /// Frame nose down against the floor, degrees.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub rake_deg: Option<Known>,
    /// Floor rising forward, degrees.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub floor_along_deg: Option<Known>,
    /// Floor rising to the left, degrees.
    #[cfg_attr(feature = "serde", serde(skip_serializing_if = "Option::is_none"))]
    pub floor_across_deg: Option<Known>,
}

impl Standing {
    /// True when nothing of it was looked at.
    pub fn is_unknown(&self) -> bool {
        *self == Self::default()
    }
}

impl Default for Log {
    fn default() -> Self {
        Self { version: VERSION, sets: Vec::new() }
    }
}

impl Set {
    /// A set of readings in a state on a floor nobody looked at.
    pub fn of(state: State, readings: Vec<Taken>) -> Self {
        Self {
            name: String::new(),
            date: String::new(),
            state,
            standing: Standing::default(),
            readings,
            note: String::new(),
        }
    }
}

impl Taken {
    /// Read once at the front axle, with what it is usually read with.
    pub fn once(what: Kind, value: f64) -> Self {
        Self {
            what,
            end: End::Front,
            read: vec![value],
            with: None,
            entered: Vec::new(),
            trust: Trust::Usual,
        }
    }

    /// What it was read with.
    pub const fn instrument(&self) -> Instrument {
        match self.with {
            Some(with) => with,
            None => self.what.instrument(),
        }
    }

    /// Mean of the values and its standard uncertainty; `None` when nothing was read.
    ///
    /// Half of an instrument's typical variance is taken to be its own (a hook that is bent, a phone
    /// that is off) and stays however often it is read; the other half is the hand's, pooled with
    /// the scatter that was seen as if it came from four readings more, and shrinks with their
    /// number (JCGM 100:2008, 4.2.3, 4.2.4 and 4.3; the halves and the four are our choice). One
    /// reading alone has the instrument's typical uncertainty.
    pub fn mean(&self) -> Option<(f64, f64)> {
        let n = self.read.len() as f64;
        if self.read.is_empty() {
            return None;
        }
        let mean = self.read.iter().sum::<f64>() / n;
        let scatter: f64 = self.read.iter().map(|v| (v - mean).powi(2)).sum();
        let half = self.instrument().typical_sigma().powi(2) * 0.5;
        let pooled = (POOLED * half + scatter) / (POOLED + n - 1.0);
        Some((mean, (half + pooled / n).sqrt()))
    }

    /// Sample standard deviation of the values; `None` for fewer than two.
    pub fn scatter(&self) -> Option<f64> {
        let n = self.read.len() as f64;
        if self.read.len() < 2 {
            return None;
        }
        let mean = self.read.iter().sum::<f64>() / n;
        let squares: f64 = self.read.iter().map(|v| (v - mean).powi(2)).sum();
        Some((squares / (n - 1.0)).sqrt())
    }
}

/// Readings' worth of trust in the hand's typical scatter.
const POOLED: f64 = 4.0;

/// What is wrong with a log, where, and what would mend it.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{path}: {found}; {remedy}")]
pub struct LogError {
    /// Dotted path within the log, such as `sets[0].readings[3].read[1]`.
    pub path: String,
    /// What was found there.
    pub found: String,
    /// What would mend it.
    pub remedy: String,
}

impl Log {
    /// Whether anything that counts was read of an axle.
    pub fn reads(&self, end: End) -> bool {
        let mut all = self.sets.iter().flat_map(|set| &set.readings);
        all.any(|taken| taken.end == end && taken.trust != Trust::LeftOut)
    }

    /// Looks that the log keeps its limits and all its numbers are numbers.
    ///
    /// # Errors
    /// The first thing wrong.
    pub fn check(&self) -> Result<(), LogError> {
        let wrong =
            |path: String, found: String, remedy: String| Err(LogError { path, found, remedy });
        if self.version != VERSION {
            return wrong(
                "version".into(),
                self.version.to_string(),
                format!("this release reads version {VERSION}"),
            );
        }
        if self.sets.len() > SETS {
            let found = format!("{} sets", self.sets.len());
            return wrong("sets".into(), found, format!("keep at most {SETS}"));
        }
        for (s, set) in self.sets.iter().enumerate() {
            let at = |what: &str| format!("sets[{s}].{what}");
            for (name, text) in [("name", &set.name), ("date", &set.date), ("note", &set.note)] {
                if text.chars().count() > TEXT {
                    let remedy = format!("shorten it to {TEXT} characters");
                    return wrong(at(name), "too long".into(), remedy);
                }
            }
            if set.readings.len() > READINGS {
                let found = format!("{} readings", set.readings.len());
                return wrong(at("readings"), found, format!("keep at most {READINGS} to a set"));
            }
            let standing = &set.standing;
            for (name, known) in [
                ("rake_deg", &standing.rake_deg),
                ("floor_along_deg", &standing.floor_along_deg),
                ("floor_across_deg", &standing.floor_across_deg),
            ] {
                if let Some(known) = known
                    && !(known.value.abs() <= 30.0 && (0.0..=30.0).contains(&known.sigma))
                {
                    return wrong(
                        at(&format!("standing.{name}")),
                        format!("{} ± {}°", known.value, known.sigma),
                        "give an angle from -30 to 30°".into(),
                    );
                }
            }
            for (r, taken) in set.readings.iter().enumerate() {
                taken.check().map_err(|error| LogError {
                    path: at(&format!("readings[{r}].{}", error.path)),
                    ..error
                })?;
            }
        }
        Ok(())
    }
}

impl Taken {
    /// The first thing wrong with one reading, by its path within it.
    fn check(&self) -> Result<(), LogError> {
        let wrong = |path: &str, found: String, remedy: String| {
            Err(LogError { path: path.to_owned(), found, remedy })
        };
        if self.read.is_empty() || self.read.len() > REPEATS {
            let found = format!("{} values", self.read.len());
            return wrong("read", found, format!("give 1 to {REPEATS} values"));
        }
        let most = LARGEST[usize::from(self.what.is_angle())];
        for (i, value) in self.read.iter().enumerate() {
            if !(value.is_finite() && value.abs() <= most) {
                let remedy = format!("give a number from -{most} to {most} {}", self.what.unit());
                return wrong(&format!("read[{i}]"), value.to_string(), remedy);
            }
        }
        if self.entered.len() > REPEATS || self.entered.iter().any(|t| t.chars().count() > TEXT) {
            return wrong("entered", "too much text".into(), format!("keep {TEXT} characters"));
        }
        let angled = matches!(self.instrument(), Instrument::AngleGauge | Instrument::PhoneLevel);
        if angled != self.what.is_angle() {
            let found = format!("{:?} for {}", self.instrument(), self.what.unit());
            return wrong("with", found, "lengths by tape, angles by gauge or level".into());
        }
        match self.what {
            Kind::Turned { steer_deg, .. } if !(-60.0..=60.0).contains(&steer_deg) => wrong(
                "what.turned.steer_deg",
                steer_deg.to_string(),
                "give the wheel's own angle, -60 to 60°".into(),
            ),
            Kind::Toe { height_mm: Some(height) } if !(0.0..=3000.0).contains(&height) => wrong(
                "what.toe.height_mm",
                height.to_string(),
                "give a height above the floor, 0 to 3000 mm".into(),
            ),
            _ => Ok(()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{calibrate::Member, truck::Side};

    fn three(read: [f64; 3]) -> (f64, f64) {
        let mut taken = Taken::once(Kind::Length(Member::Panhard), 0.0);
        taken.read = read.to_vec();
        taken.mean().unwrap()
    }

    #[test]
    fn readings_taken_again_are_surer_and_scatter_tells() {
        // A tape's 2 mm: variance 4, half of it its own.
        let once = Taken::once(Kind::Length(Member::Panhard), 880.0).mean().unwrap();
        assert_eq!(once, (880.0, 2.0));
        let (mean, sigma) = three([880.0, 880.0, 880.0]);
        // 2 + (4·2/6)/3
        assert!((mean - 880.0).abs() < 1e-12 && (sigma.powi(2) - (2.0 + 8.0 / 18.0)).abs() < 1e-12);
        // 876, 880, 884: squares 32.
        let (_, loose) = three([876.0, 880.0, 884.0]);
        assert!((loose.powi(2) - (2.0 + 40.0 / 18.0)).abs() < 1e-12);
        let taken = Taken { read: vec![876.0, 880.0, 884.0], ..Taken::once(Kind::Frame, 0.0) };
        assert!((taken.scatter().unwrap() - 4.0).abs() < 1e-12);
    }

    #[test]
    fn the_log_says_what_is_wrong_with_it_and_where() {
        let log = |taken: Taken| Log {
            sets: vec![Set::of(State::Sitting, vec![taken])],
            ..Log::default()
        };
        let fine = Taken::once(Kind::Arch(Side::Left), 640.0);
        assert_eq!(log(fine.clone()).check(), Ok(()));
        for (spoil, path) in [
            (Taken { read: Vec::new(), ..fine.clone() }, "sets[0].readings[0].read"),
            (Taken { read: vec![640.0, f64::NAN], ..fine.clone() }, "sets[0].readings[0].read[1]"),
            (
                Taken { with: Some(Instrument::PhoneLevel), ..fine.clone() },
                "sets[0].readings[0].with",
            ),
            (
                Taken::once(Kind::Turned { side: Side::Left, steer_deg: f64::NAN }, 1.0),
                "sets[0].readings[0].what.turned.steer_deg",
            ),
        ] {
            assert_eq!(log(spoil).check().unwrap_err().path, path);
        }
        let late = Log { version: 9, sets: Vec::new() };
        assert_eq!(late.check().unwrap_err().path, "version");
    }
}
