//! Reads what a sidewall says: `LT265/75R16 123/120Q`, `35x12.50R17LT`, `7.50-16`.
//!
//! Either case, any spaces, `x`, `X` or `×`, decimal point or comma. Forms as in UN Regulations 30
//! and 54, section 3 (markings).

use super::load::{LoadIndex, LoadRange, SpeedSymbol};
use std::fmt;
use std::str::FromStr;

/// What a sidewall says about size and service.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Designation {
    /// Passenger, light truck, or unmarked.
    pub class: Class,
    /// Section, and either the aspect ratio or the overall diameter.
    pub size: Size,
    /// How the carcass is built.
    pub construction: Construction,
    /// Rim diameter code: inches for every size held here.
    pub rim_code: f64,
    /// Load index and speed symbol, where given.
    pub service: Option<Service>,
    /// Load range letter, where given as a letter or a ply rating.
    pub load_range: Option<LoadRange>,
}

/// The vehicle class a marking names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Class {
    /// `P`: passenger.
    Passenger,
    /// `LT`: light truck.
    LightTruck,
    /// Neither.
    Unmarked,
}

/// The size part of a designation.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Size {
    /// `265/75`: nominal section width, mm, and section height as a percentage of it.
    Metric {
        /// Nominal section width, mm.
        section_mm: f64,
        /// Section height over section width, percent.
        aspect_pct: f64,
    },
    /// `35x12.50`: nominal overall diameter and section width, inches.
    Flotation {
        /// Nominal overall diameter, in.
        diameter_in: f64,
        /// Nominal section width, in.
        section_in: f64,
    },
    /// `7.50`: nominal section width, inches; the height is a matter of tables.
    Numeric {
        /// Nominal section width, in.
        section_in: f64,
    },
}

/// How the carcass is built.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Construction {
    /// `R`, `ZR`, or nothing stated.
    Radial,
    /// `-` or `D`: bias ply.
    Diagonal,
    /// `B`: bias belted.
    BiasBelted,
}

/// A service description such as `123/120Q`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Service {
    /// Load index of a single tire.
    pub single: LoadIndex,
    /// Load index of each tire of a pair on one axle end.
    pub dual: Option<LoadIndex>,
    /// Speed symbol.
    pub speed: SpeedSymbol,
}

/// A sidewall text that does not read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("{kind} (character {})", .column + 1)]
pub struct DesignationError {
    /// Byte offset in the text of the character at fault; the text's length when it ends too soon.
    pub byte: usize,
    /// The same place counted in characters from 0, for a mark under the text.
    pub column: usize,
    /// What is wrong there.
    pub kind: DesignationErrorKind,
}

/// The ways a designation can fail to read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum DesignationErrorKind {
    /// Nothing written.
    #[error("no tire size is written here: write it as on the sidewall, {FORMS}")]
    Empty,
    /// Longer than any sidewall.
    #[error("this is longer than {} characters: write only the size, {FORMS}", LIMIT)]
    TooLong,
    /// No number where one belongs.
    #[error("{what} should stand here: write the size as on the sidewall, {FORMS}")]
    Missing {
        /// What is missing.
        what: &'static str,
    },
    /// A number no tire has.
    #[error("{what} is outside {low} to {high}: write the size as on the sidewall, {FORMS}")]
    Range {
        /// Which number.
        what: &'static str,
        /// Smallest accepted.
        low: u16,
        /// Largest accepted.
        high: u16,
    },
    /// The overall diameter does not exceed the rim.
    #[error("the tire is no taller than its rim: check the first and the last number")]
    NoHeight,
    /// A separator that leads to no known form.
    #[error("this does not continue a tire size: write it as on the sidewall, {FORMS}")]
    Form,
    /// A letter that is no speed symbol.
    #[error("a speed symbol should follow the load index: one of B to Y, as in 123/120Q")]
    Speed,
    /// Something after the size that is no known marking.
    #[error(
        "this marking is not known: after the size write only LT, a service description such as 123/120Q, or a load range such as E"
    )]
    Marking,
}

/// The accepted forms, for messages.
const FORMS: &str = "such as 265/75R16, LT265/75R16, 35x12.50R17 or 7.50R16";

/// Most characters read.
const LIMIT: usize = 48;

use DesignationErrorKind as Kind;

impl FromStr for Designation {
    type Err = DesignationError;

    /// Reads a sidewall text.
    ///
    /// # Errors
    /// [`DesignationError`] with the place and the cause. Accepted ranges: section 125–455 mm or
    /// 4–18 in, aspect 25–100, overall diameter 20–54 in, rim code 10–26.
    fn from_str(text: &str) -> Result<Self, DesignationError> {
        let mut s = Sidewall::new(text)?;
        let mut class = if s.eat_word("LT") {
            Class::LightTruck
        } else if s.eat_word("P") {
            Class::Passenger
        } else {
            Class::Unmarked
        };

        let start = s.at;
        let first = s.number("a section width or diameter")?;
        let (size, construction) = if s.eat('/') {
            let section_mm = s.within(first, start, "the section width in mm", 125, 455)?;
            let at = s.at;
            let aspect = s.number("an aspect ratio")?;
            let aspect_pct = s.within(aspect, at, "the aspect ratio", 25, 100)?;
            (Size::Metric { section_mm, aspect_pct }, s.construction('/')?)
        } else if s.eat('X') {
            let diameter_in = s.within(first, start, "the overall diameter in inches", 20, 54)?;
            let at = s.at;
            let section = s.number("a section width in inches")?;
            let section_in = s.within(section, at, "the section width in inches", 4, 18)?;
            (Size::Flotation { diameter_in, section_in }, s.construction('X')?)
        } else {
            let construction = s.construction('-')?;
            let section_in = s.within(first, start, "the section width in inches", 4, 18)?;
            (Size::Numeric { section_in }, construction)
        };
        let at = s.at;
        let rim = s.number("a rim diameter")?;
        let rim_code = s.within(rim, at, "the rim diameter in inches", 10, 26)?;
        if matches!(size, Size::Flotation { diameter_in, .. } if diameter_in < rim_code + 3.0) {
            return Err(s.error(start, Kind::NoHeight));
        }

        let mut service = None;
        let mut load_range = None;
        while !s.is_done() {
            if class == Class::Unmarked && s.eat_word("LT") {
                class = Class::LightTruck;
            } else if service.is_none() && s.starts_service() {
                service = Some(s.service()?);
            } else if let (None, Some(range)) = (load_range, s.load_range()) {
                load_range = Some(range);
            } else if !["M+S", "M&S", "TL", "TT", "XL"].iter().any(|mark| s.eat_word(mark)) {
                return Err(s.error(s.at, Kind::Marking));
            }
        }
        Ok(Self { class, size, construction, rim_code, service, load_range })
    }
}

impl fmt::Display for Designation {
    /// The usual spelling: `LT265/75R16 123/120Q`, `35x12.50R17LT`, `7.50-16`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let prefix = match (self.class, self.size) {
            (Class::Passenger, _) => "P",
            (Class::LightTruck, Size::Metric { .. }) => "LT",
            _ => "",
        };
        let construction = match self.construction {
            Construction::Radial => "R",
            Construction::Diagonal => "-",
            Construction::BiasBelted => "B",
        };
        match self.size {
            Size::Metric { section_mm, aspect_pct } => {
                write!(f, "{prefix}{section_mm}/{aspect_pct}")?;
            }
            Size::Flotation { diameter_in, section_in } => {
                write!(f, "{prefix}{diameter_in}x{section_in:.2}")?;
            }
            Size::Numeric { section_in } => write!(f, "{prefix}{section_in:.2}")?,
        }
        write!(f, "{construction}{}", self.rim_code)?;
        if self.class == Class::LightTruck && prefix.is_empty() {
            f.write_str("LT")?;
        }
        if let Some(Service { single, dual, speed }) = self.service {
            write!(f, " {}", single.index())?;
            if let Some(dual) = dual {
                write!(f, "/{}", dual.index())?;
            }
            write!(f, "{}", speed.letter())?;
        }
        if let Some(range) = self.load_range {
            write!(f, " {}", range.letter())?;
        }
        Ok(())
    }
}

/// The characters of a sidewall text, upper case and without spaces, each with its place.
struct Sidewall {
    chars: Vec<(usize, usize, char)>,
    at: usize,
    end: (usize, usize),
}

impl Sidewall {
    fn new(text: &str) -> Result<Self, DesignationError> {
        if let Some((byte, _)) = text.char_indices().nth(LIMIT) {
            return Err(DesignationError { byte, column: LIMIT, kind: Kind::TooLong });
        }
        let chars: Vec<_> = text
            .char_indices()
            .enumerate()
            .filter(|(_, (_, c))| !c.is_whitespace())
            .map(|(column, (byte, c))| (byte, column, plain(c)))
            .collect();
        let sidewall = Self { chars, at: 0, end: (text.len(), text.chars().count()) };
        if sidewall.is_done() {
            return Err(DesignationError { byte: 0, column: 0, kind: Kind::Empty });
        }
        Ok(sidewall)
    }

    fn error(&self, index: usize, kind: Kind) -> DesignationError {
        let (byte, column) =
            self.chars.get(index).map_or(self.end, |&(byte, column, _)| (byte, column));
        DesignationError { byte, column, kind }
    }

    fn is_done(&self) -> bool {
        self.at >= self.chars.len()
    }

    fn peek(&self, ahead: usize) -> Option<char> {
        self.chars.get(self.at + ahead).map(|&(_, _, c)| c)
    }

    /// No space stood before this character.
    fn is_joined(&self) -> bool {
        let column = |index: usize| self.chars.get(index).map(|&(_, column, _)| column);
        self.at > 0 && column(self.at - 1).map(|before| before + 1) == column(self.at)
    }

    fn eat(&mut self, wanted: char) -> bool {
        let found = self.peek(0) == Some(wanted);
        self.at += usize::from(found);
        found
    }

    fn eat_word(&mut self, word: &str) -> bool {
        let found = word.chars().enumerate().all(|(i, c)| self.peek(i) == Some(c));
        if found {
            self.at += word.chars().count();
        }
        found
    }

    /// Digits with at most one decimal mark.
    fn number(&mut self, what: &'static str) -> Result<f64, DesignationError> {
        let start = self.at;
        let (mut value, mut scale, mut marked) = (0.0, 1.0, false);
        while let Some(c) = self.peek(0).filter(|_| self.at == start || self.is_joined()) {
            if let Some(digit) = c.to_digit(10) {
                value = value * 10.0 + f64::from(digit);
                scale *= if marked { 10.0 } else { 1.0 };
            } else if c == '.' && !marked && self.at > start {
                marked = true;
            } else {
                break;
            }
            self.at += 1;
        }
        if self.at == start {
            return Err(self.error(start, Kind::Missing { what }));
        }
        Ok(value / scale)
    }

    fn within(
        &self,
        value: f64,
        at: usize,
        what: &'static str,
        low: u16,
        high: u16,
    ) -> Result<f64, DesignationError> {
        if f64::from(low) <= value && value <= f64::from(high) {
            return Ok(value);
        }
        Err(self.error(at, Kind::Range { what, low, high }))
    }

    /// The letter between size and rim. `loose` is the separator people repeat instead, as in
    /// 265/75/16 or 33x12.50x15; the tire is then taken as radial, as nearly all are.
    fn construction(&mut self, loose: char) -> Result<Construction, DesignationError> {
        if self.eat_word("ZR") || self.eat('R') {
            return Ok(Construction::Radial);
        }
        if self.eat('-') || self.eat('D') {
            return Ok(Construction::Diagonal);
        }
        if self.eat('B') {
            return Ok(Construction::BiasBelted);
        }
        if self.eat(loose) {
            return Ok(Construction::Radial);
        }
        let kind = if self.is_done() {
            Kind::Missing { what: "R and the rim diameter" }
        } else {
            Kind::Form
        };
        Err(self.error(self.at, kind))
    }

    fn starts_service(&self) -> bool {
        let digit = self.peek(usize::from(self.peek(0) == Some('(')));
        // 10PR is a ply rating, not a service description.
        digit.is_some_and(|c| c.is_ascii_digit()) && self.ply_rating().is_none()
    }

    /// `123/120Q`, `114T`, `(109W)`.
    fn service(&mut self) -> Result<Service, DesignationError> {
        let bracket = self.eat('(');
        let single = self.load_index()?;
        let dual = if self.eat('/') { Some(self.load_index()?) } else { None };
        let speed = self.peek(0).and_then(SpeedSymbol::new);
        let speed = speed.ok_or_else(|| self.error(self.at, Kind::Speed))?;
        self.at += 1;
        if bracket && !self.eat(')') {
            return Err(self.error(self.at, Kind::Marking));
        }
        Ok(Service { single, dual, speed })
    }

    fn load_index(&mut self) -> Result<LoadIndex, DesignationError> {
        let start = self.at;
        let mut index: u8 = 0;
        while let Some(digit) = self.peek(0).and_then(|c| c.to_digit(10)) {
            let digit = u8::try_from(digit).unwrap_or(u8::MAX);
            index = index.saturating_mul(10).saturating_add(digit);
            self.at += 1;
        }
        if self.at == start {
            return Err(self.error(start, Kind::Missing { what: "a load index" }));
        }
        let (low, high) = (u16::from(LoadIndex::MIN), u16::from(LoadIndex::MAX));
        LoadIndex::new(index)
            .ok_or_else(|| self.error(start, Kind::Range { what: "the load index", low, high }))
    }

    /// `10PR`: how many characters it takes, and the rating.
    fn ply_rating(&self) -> Option<(usize, u8)> {
        let mut rating: u8 = 0;
        let mut length = 0;
        while let Some(digit) = self.peek(length).and_then(|c| c.to_digit(10)) {
            rating = rating.checked_mul(10)?.checked_add(u8::try_from(digit).ok()?)?;
            length += 1;
        }
        (self.peek(length) == Some('P') && self.peek(length + 1) == Some('R'))
            .then_some((length + 2, rating))
    }

    /// `LOAD RANGE E`, `LRE`, `/E`, `E`, `10PR`; moves only when one stands here.
    fn load_range(&mut self) -> Option<LoadRange> {
        if let Some((length, rating)) = self.ply_rating() {
            let range = LoadRange::of_ply_rating(rating)?;
            self.at += length;
            return Some(range);
        }
        let before = self.at;
        let _lead = self.eat_word("LOADRANGE") || self.eat_word("LR") || self.eat('/');
        let range = self.peek(0).and_then(LoadRange::new);
        self.at += 1;
        // A letter that begins a longer word is not a load range.
        let in_word = self.is_joined() && self.peek(0).is_some_and(|c| c.is_ascii_alphanumeric());
        if range.is_none() || in_word {
            self.at = before;
            return None;
        }
        range
    }
}

/// One plain character for each way of writing it.
const fn plain(c: char) -> char {
    match c {
        '×' | '✕' | '*' => 'X',
        '\u{2010}'..='\u{2015}' | '\u{2212}' => '-',
        ',' => '.',
        '\u{2044}' | '\u{2215}' => '/',
        c => c.to_ascii_uppercase(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn read(text: &str) -> Designation {
        text.parse().unwrap_or_else(|error| panic!("{text:?}: {error}"))
    }

    #[test]
    fn sidewalls_read_and_print_in_the_usual_spelling() {
        for (text, want) in [
            ("265/75R16", "265/75R16"),
            ("P265/75R16", "P265/75R16"),
            ("LT265/75R16 123/120Q", "LT265/75R16 123/120Q"),
            ("lt 265 / 75 r 16  e", "LT265/75R16 E"),
            ("LT265/75R16/E", "LT265/75R16 E"),
            ("265/75ZR16", "265/75R16"),
            ("265/75/16", "265/75R16"),
            ("265/75-16", "265/75-16"),
            ("265/75B16", "265/75B16"),
            ("265/75R16LT", "LT265/75R16"),
            ("35x12.50R17LT", "35x12.50R17LT"),
            ("33X12.50-15LT", "33x12.50-15LT"),
            ("33×12,5R15 LT 108Q", "33x12.50R15LT 108Q"),
            ("31x10.50x15 LRC", "31x10.50R15 C"),
            ("7.50R16", "7.50R16"),
            ("7.50 – 16", "7.50-16"),
            ("7.50R16LT 10PR M+S", "7.50R16LT E"),
            ("205/55R16 (91W)", "205/55R16 91W"),
            ("LT235/85R16 120/116R LOAD RANGE E", "LT235/85R16 120/116R E"),
        ] {
            assert_eq!(read(text).to_string(), want, "{text:?}");
        }
    }

    #[test]
    fn parts_of_a_full_sidewall() {
        let tire = read("LT265/75R16 123/120Q");
        assert_eq!(tire.size, Size::Metric { section_mm: 265.0, aspect_pct: 75.0 });
        let service = tire.service.unwrap();
        assert_eq!(Some(service.single), LoadIndex::new(123));
        assert_eq!(service.dual, LoadIndex::new(120));
        assert_eq!(service.speed.kmh(), 160);
    }

    #[test]
    fn errors_point_at_the_character_and_name_the_forms() {
        for (text, column, says) in [
            ("", 0, "no tire size"),
            ("  ", 0, "no tire size"),
            ("big", 0, "a section width or diameter should stand here"),
            ("265", 3, "R and the rim diameter"),
            ("265/", 4, "an aspect ratio should stand here"),
            ("265/75", 6, "R and the rim diameter should stand here"),
            ("265/75Q16", 6, "does not continue a tire size"),
            ("265/75R", 7, "a rim diameter should stand here"),
            ("265/750R16", 4, "the aspect ratio is outside 25 to 100"),
            ("26/75R16", 0, "section width in mm is outside 125 to 455"),
            ("265/75R160", 7, "the rim diameter in inches is outside 10 to 26"),
            ("35x125R17", 3, "section width in inches is outside 4 to 18"),
            ("75R16", 0, "section width in inches is outside 4 to 18"),
            ("20x8.50R18", 0, "no taller than its rim"),
            ("265/75R16 123/Q", 14, "a load index should stand here"),
            ("265/75R16 223Q", 10, "the load index is outside 60 to 150"),
            ("265/75R16 123", 13, "speed symbol"),
            ("265/75R16 123I", 13, "speed symbol"),
            ("265/75R16 (123Q", 15, "marking is not known"),
            ("265/75R16 fast", 10, "marking is not known"),
            ("P265/75R16LT", 10, "marking is not known"),
            ("265/75R16 é", 10, "marking is not known"),
        ] {
            let error = text.parse::<Designation>().expect_err(text);
            assert_eq!(error.column, column, "{text:?}: {error}");
            assert!(error.to_string().contains(says), "{text:?}: {error}, wanted {says}");
        }
        let long = "2".repeat(10_000).parse::<Designation>().unwrap_err();
        assert_eq!((long.byte, long.kind), (48, Kind::TooLong));
    }

    proptest! {
        #[test]
        fn no_text_panics(text in "[0-9xX×/RrZDB. ,\\-LTPQEM+()é]{0,50}") {
            match text.parse::<Designation>() {
                Ok(tire) => {
                    let again: Designation = tire.to_string().parse().unwrap();
                    prop_assert_eq!(again.to_string(), tire.to_string());
                }
                Err(error) => prop_assert!(text.is_char_boundary(error.byte)),
            }
        }

        #[test]
        fn any_text_is_survived(text in any::<String>()) {
            prop_assert!(text.parse::<Designation>().map_or(true, |tire| tire.rim_code >= 10.0));
        }

        #[test]
        fn every_metric_size_reads_back(section in 25_u16..91, aspect in 5_u16..20, rim in 10_u16..26) {
            let text = format!("{}/{}R{rim}", section * 5, aspect * 5);
            prop_assert_eq!(read(&text).to_string(), text);
        }
    }
}
