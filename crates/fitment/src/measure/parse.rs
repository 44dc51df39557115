//! Reads what a person types for a length, an angle or a number, and points at what it cannot read.
//!
//! Accepted: `13 1/2"`, `13-1/2 in`, `13½`, `3.5in`, `1' 3 3/4"`, `1 ft 3 in`, `89`, `89mm`,
//! `8.9 cm`, `8,9 cm`, `0.5 m`; `3°30'`, `3° 30' 15"`, `3.5`, `3,5 deg`, `-2°`, `0.05 rad`; any
//! kind of space, quote mark and minus sign. What could be read two ways (`1,234`; a fraction with
//! no unit where millimetres are the habit) is asked about, never guessed.

mod error;
mod scan;

pub use error::{ParseError, ParseErrorKind};
pub(super) use scan::Ratio;

use super::units::{DEG_PER_RAD, LengthUnit, System};
use error::ParseErrorKind as Kind;
use scan::{Number, Scanner, is_dash};

/// A length as read.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// The length, mm.
    pub value_mm: f64,
    /// The smallest unit written, or the default where none was.
    pub unit: LengthUnit,
}

/// Reads a length; a bare number is in the `default` unit.
///
/// ```
/// use fitment::measure::{LengthUnit, parse_length};
/// // (13 + 1/2) · 25.4 = 342.9
/// let reading = parse_length("13 1/2\"", LengthUnit::Millimetre)?;
/// assert_eq!(reading.value_mm, 342.9);
/// # Ok::<(), fitment::measure::ParseError>(())
/// ```
///
/// # Errors
/// [`ParseError`] with the place and the cause when the text is empty, longer than 64 characters,
/// or cannot be read in one way only. A value that is read is always finite.
pub fn parse_length(text: &str, default: LengthUnit) -> Result<Reading, ParseError> {
    let terms = Terms::<LengthUnit>::read(text)?;
    if let (None, Some(fraction), System::Metric) =
        (terms.unit, terms.fraction_at, default.system())
    {
        let inches = format!("{}\"", text.trim());
        return Err(terms.scanner.error(fraction, Kind::FractionNeedsUnit { inches }));
    }
    let unit = terms.unit.unwrap_or(default);
    let scale =
        if terms.unit.is_none() { default.mm_ratio() } else { Ratio { num: 1.0, den: 1.0 } };
    Ok(Reading { value_mm: terms.sign * terms.total.times(scale).value(), unit })
}

/// Reads an angle and gives it in degrees; a bare number is in degrees.
///
/// ```
/// // 3 + 30/60 = 3.5
/// assert_eq!(fitment::measure::parse_angle("3°30'")?, 3.5);
/// # Ok::<(), fitment::measure::ParseError>(())
/// ```
///
/// # Errors
/// As for [`parse_length`].
pub fn parse_angle(text: &str) -> Result<f64, ParseError> {
    let terms = Terms::<AngleUnit>::read(text)?;
    let turn = if terms.unit == Some(AngleUnit::Radian) { DEG_PER_RAD } else { 1.0 };
    Ok(terms.sign * terms.total.value() * turn)
}

/// Reads a plain number, decimal or with a fraction.
///
/// # Errors
/// As for [`parse_length`]; any unit is an error too.
pub fn parse_number(text: &str) -> Result<f64, ParseError> {
    let terms = Terms::<NoUnit>::read(text)?;
    Ok(terms.sign * terms.total.value())
}

/// The vocabulary of one kind of quantity.
trait Unit: Copy + PartialEq {
    /// The words known, for messages.
    const KNOWN: &'static str;
    /// A text that reads, for messages.
    const EXAMPLE: &'static str;
    /// The unit a word or mark stands for.
    fn of(word: &str) -> Option<Self>;
    /// The unit in the base unit of its kind.
    fn scale(self) -> Ratio;
    /// Whether this unit may follow `earlier`, as inches follow feet.
    fn may_follow(self, earlier: Self) -> bool;
    /// The unit a bare number after this one is in, as in `1' 3`.
    fn next(self) -> Option<Self>;
}

/// A sign and the sum of the numbers written, each scaled by its unit.
struct Terms<'a, U> {
    scanner: Scanner<'a>,
    sign: f64,
    total: Ratio,
    /// The last unit written or implied.
    unit: Option<U>,
    /// Where the first number with a fraction starts.
    fraction_at: Option<usize>,
}

impl<'a, U: Unit> Terms<'a, U> {
    fn read(text: &'a str) -> Result<Self, ParseError> {
        let mut scanner = Scanner::new(text, U::EXAMPLE)?;
        let negative = scanner.eat(is_dash);
        if !negative {
            scanner.eat(|c| c == '+');
        }
        let mut terms = Self {
            scanner,
            sign: if negative { -1.0 } else { 1.0 },
            total: Ratio::ZERO,
            unit: None,
            fraction_at: None,
        };
        terms.scanner.skip_spaces();
        let Some(mut number) = terms.scanner.number()? else {
            return Err(terms.scanner.missing("1"));
        };
        loop {
            terms.take(number)?;
            terms.scanner.skip_spaces();
            if terms.scanner.peek().is_none() {
                return Ok(terms);
            }
            if terms.unit.is_none() {
                let start = terms.scanner.at;
                return Err(match terms.scanner.number()? {
                    Some(_) => terms.scanner.error(start, Kind::TwoNumbers),
                    None => terms.scanner.unexpected(),
                });
            }
            // 1'-3": a dash that joins, not a sign.
            let after_term = terms.scanner.at;
            terms.scanner.eat(is_dash);
            terms.scanner.skip_spaces();
            let Some(next) = terms.scanner.number()? else {
                terms.scanner.at = after_term;
                return Err(terms.scanner.unexpected());
            };
            number = next;
        }
    }

    /// Adds a number and the unit that follows it.
    fn take(&mut self, number: Number) -> Result<(), ParseError> {
        self.scanner.skip_spaces();
        let unit_at = self.scanner.at;
        let word = self.scanner.word();
        let written = match word.as_str() {
            "" => None,
            word => Some(U::of(word).ok_or_else(|| {
                let kind = Kind::UnknownUnit { word: word.to_owned(), known: U::KNOWN };
                self.scanner.error(unit_at, kind)
            })?),
        };
        let unit = match (written, self.unit) {
            (Some(unit), Some(earlier)) if !unit.may_follow(earlier) => {
                return Err(self.scanner.error(unit_at, Kind::UnitOrder { example: U::EXAMPLE }));
            }
            (None, Some(earlier)) => Some(earlier.next().ok_or_else(|| {
                self.scanner.error(number.start, Kind::UnitMissing { known: U::KNOWN })
            })?),
            (written, _) => written,
        };
        let scaled = unit.map_or(number.ratio, |unit| number.ratio.times(unit.scale()));
        self.total = self.total.add(scaled);
        self.unit = unit;
        if number.fraction {
            self.fraction_at.get_or_insert(number.start);
        }
        Ok(())
    }
}

impl Unit for LengthUnit {
    const KNOWN: &'static str = "mm, cm, m, in, \", ft or '";
    const EXAMPLE: &'static str = "89 mm, 13 1/2\" or 1' 3 3/4\"";

    fn of(word: &str) -> Option<Self> {
        Some(match word {
            "mm" | "millimeter" | "millimeters" | "millimetre" | "millimetres" => Self::Millimetre,
            "cm" | "centimeter" | "centimeters" | "centimetre" | "centimetres" => Self::Centimetre,
            "m" | "meter" | "meters" | "metre" | "metres" => Self::Metre,
            "\"" | "in" | "ins" | "inch" | "inches" => Self::Inch,
            "'" | "ft" | "foot" | "feet" => Self::Foot,
            _ => return None,
        })
    }

    fn scale(self) -> Ratio {
        self.mm_ratio()
    }

    fn may_follow(self, earlier: Self) -> bool {
        self.system() == earlier.system() && self.mm() < earlier.mm()
    }

    fn next(self) -> Option<Self> {
        (self == Self::Foot).then_some(Self::Inch)
    }
}

#[derive(Clone, Copy, PartialEq)]
enum AngleUnit {
    Degree,
    Minute,
    Second,
    Radian,
}

impl Unit for AngleUnit {
    const KNOWN: &'static str = "°, deg, ', \" or rad";
    const EXAMPLE: &'static str = "3.5 or 3° 30'";

    fn of(word: &str) -> Option<Self> {
        Some(match word {
            "°" | "d" | "deg" | "degs" | "degree" | "degrees" => Self::Degree,
            "'" | "min" | "minute" | "minutes" => Self::Minute,
            "\"" | "s" | "sec" | "second" | "seconds" => Self::Second,
            "rad" | "radian" | "radians" => Self::Radian,
            _ => return None,
        })
    }

    fn scale(self) -> Ratio {
        let den = match self {
            Self::Degree | Self::Radian => 1.0,
            Self::Minute => 60.0,
            Self::Second => 3600.0,
        };
        Ratio { num: 1.0, den }
    }

    fn may_follow(self, earlier: Self) -> bool {
        matches!(
            (earlier, self),
            (Self::Degree, Self::Minute | Self::Second) | (Self::Minute, Self::Second)
        )
    }

    fn next(self) -> Option<Self> {
        match self {
            Self::Degree => Some(Self::Minute),
            Self::Minute => Some(Self::Second),
            Self::Second | Self::Radian => None,
        }
    }
}

/// The vocabulary of a plain number: none.
#[derive(Clone, Copy, PartialEq)]
enum NoUnit {}

impl Unit for NoUnit {
    const KNOWN: &'static str = "a number alone";
    const EXAMPLE: &'static str = "3.5";

    fn of(_: &str) -> Option<Self> {
        None
    }

    fn scale(self) -> Ratio {
        match self {}
    }

    fn may_follow(self, _: Self) -> bool {
        match self {}
    }

    fn next(self) -> Option<Self> {
        match self {}
    }
}

#[cfg(test)]
mod tests;
