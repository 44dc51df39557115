//! The scanner under the measurement parser: characters with their places, numbers, fractions.
//!
//! Numbers are kept as a ratio of two whole numbers, so one rounding happens in all: at the end.
//! A text holds at most [`LIMIT`] characters, hence at most that many digits, so neither part of
//! a ratio can reach the range where it would overflow.

use super::error::{ParseError, ParseErrorKind as Kind};

/// Most characters a measurement may have.
pub const LIMIT: usize = 64;

/// A ratio of two whole numbers held in floating point; the denominator is at least 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ratio {
    pub num: f64,
    pub den: f64,
}

impl Ratio {
    pub const ZERO: Self = Self { num: 0.0, den: 1.0 };

    pub fn add(self, other: Self) -> Self {
        if self.den.to_bits() == other.den.to_bits() {
            return Self { num: self.num + other.num, den: self.den };
        }
        Self { num: self.num * other.den + other.num * self.den, den: self.den * other.den }
    }

    pub fn times(self, other: Self) -> Self {
        Self { num: self.num * other.num, den: self.den * other.den }
    }

    pub fn value(self) -> f64 {
        self.num / self.den
    }
}

/// A number as written.
#[derive(Debug, Clone, Copy)]
pub struct Number {
    pub ratio: Ratio,
    /// It holds a fraction such as 1/2 or ½.
    pub fraction: bool,
    /// Index of its first character.
    pub start: usize,
}

/// A place in the text that moves forward.
#[derive(Debug)]
pub struct Scanner<'a> {
    text: &'a str,
    chars: Vec<(usize, char)>,
    pub at: usize,
    example: &'static str,
}

impl<'a> Scanner<'a> {
    pub fn new(text: &'a str, example: &'static str) -> Result<Self, ParseError> {
        let mut all = text.char_indices();
        let chars: Vec<_> = all.by_ref().take(LIMIT).collect();
        if let Some((byte, _)) = all.next() {
            let kind = Kind::TooLong { limit: LIMIT };
            return Err(ParseError { byte, column: LIMIT, kind });
        }
        let mut scanner = Self { text, chars, at: 0, example };
        scanner.skip_spaces();
        if scanner.peek().is_none() {
            return Err(ParseError { byte: 0, column: 0, kind: Kind::Empty { example } });
        }
        Ok(scanner)
    }

    pub fn peek(&self) -> Option<char> {
        self.peek_at(self.at)
    }

    fn peek_at(&self, index: usize) -> Option<char> {
        self.chars.get(index).map(|&(_, c)| c)
    }

    fn byte(&self, index: usize) -> usize {
        self.chars.get(index).map_or(self.text.len(), |&(byte, _)| byte)
    }

    /// The text between two character indices.
    pub fn slice(&self, from: usize, to: usize) -> &'a str {
        self.text.get(self.byte(from)..self.byte(to)).unwrap_or_default()
    }

    pub fn error(&self, index: usize, kind: Kind) -> ParseError {
        ParseError { byte: self.byte(index), column: index, kind }
    }

    /// An error for a character that has no meaning where it stands.
    #[inline(never)]
    pub fn unexpected(&self) -> ParseError {
        match self.peek() {
            Some(found) => self.error(self.at, Kind::Unexpected { found, example: self.example }),
            None => self.missing("1"),
        }
    }

    /// An error for a number that should stand here and does not.
    #[inline(never)]
    pub fn missing(&self, fill: &str) -> ParseError {
        let found: String =
            self.chars.get(self.at..).unwrap_or_default().iter().map(|&(_, c)| c).collect();
        let after = self.slice(0, self.at).trim();
        let kind = if after.is_empty() {
            Kind::NotANumber { found, example: self.example }
        } else {
            Kind::NumberMissing { after: after.to_owned(), example: format!("{after}{fill}") }
        };
        self.error(self.at, kind)
    }

    #[inline(never)]
    pub fn skip_spaces(&mut self) {
        while self.peek().is_some_and(is_space) {
            self.at += 1;
        }
    }

    pub fn eat(&mut self, wanted: impl Fn(char) -> bool) -> bool {
        let found = self.peek().is_some_and(wanted);
        self.at += usize::from(found);
        found
    }

    /// Reads a run of letters, or one of the marks `"`, `'`, `°` (in any typographic form) as
    /// that plain mark; empty when neither stands here.
    #[inline(never)]
    pub fn word(&mut self) -> String {
        let start = self.at;
        if self.eat(is_prime) {
            if self.eat(is_prime) {
                return "\"".to_owned();
            }
            return "'".to_owned();
        }
        if self.eat(is_double_prime) {
            return "\"".to_owned();
        }
        if self.eat(|c| matches!(c, '°' | 'º' | '˚')) {
            return "°".to_owned();
        }
        while self.eat(|c| c.is_ascii_alphabetic()) {}
        let word = self.slice(start, self.at).to_ascii_lowercase();
        // "3 in." ends in a full stop; "3 in .5" would not be a sensible text anyway.
        if !word.is_empty() {
            self.eat(|c| c == '.');
        }
        word
    }

    /// Reads a number: whole, decimal, a fraction, or a whole number with a fraction.
    #[inline(never)]
    pub fn number(&mut self) -> Result<Option<Number>, ParseError> {
        let start = self.at;
        if let Some(ratio) = self.glyph() {
            return Ok(Some(Number { ratio, fraction: true, start }));
        }
        let Some(first) = self.decimal()? else { return Ok(None) };
        let plain = Number { ratio: first, fraction: false, start };

        let after_first = self.at;
        self.skip_spaces();
        if self.eat(is_slash) {
            let ratio = self.divide(first, start)?;
            return Ok(Some(Number { ratio, fraction: true, start }));
        }
        // 13 1/2, 13-1/2, 13½: a fraction that belongs to the number before it.
        self.eat(is_dash);
        self.skip_spaces();
        let fraction_at = self.at;
        let fraction = if let Some(glyph) = self.glyph() {
            glyph
        } else {
            let numerator = self.decimal()?;
            self.skip_spaces();
            match numerator {
                Some(numerator) if self.eat(is_slash) => self.divide(numerator, fraction_at)?,
                _ => {
                    self.at = after_first;
                    return Ok(Some(plain));
                }
            }
        };
        if first.den > 1.0 {
            return Err(self.error(fraction_at, Kind::FractionOfDecimal));
        }
        if fraction.num >= fraction.den {
            return Err(self.error(fraction_at, Kind::FractionTooLarge));
        }
        Ok(Some(Number { ratio: first.add(fraction), fraction: true, start }))
    }

    /// The denominator after a slash, and the fraction it makes.
    #[inline(never)]
    fn divide(&mut self, numerator: Ratio, numerator_at: usize) -> Result<Ratio, ParseError> {
        self.skip_spaces();
        let at = self.at;
        let Some(denominator) = self.decimal()? else { return Err(self.missing("2")) };
        if numerator.den > 1.0 {
            return Err(self.error(numerator_at, Kind::FractionOfDecimal));
        }
        if denominator.den > 1.0 {
            return Err(self.error(at, Kind::FractionOfDecimal));
        }
        if denominator.num < 1.0 {
            return Err(self.error(at, Kind::DivisionByZero));
        }
        Ok(Ratio { num: numerator.num, den: denominator.num })
    }

    /// One of the ready-made fractions, such as ½.
    #[inline(never)]
    fn glyph(&mut self) -> Option<Ratio> {
        let (num, den) = match self.peek()? {
            '½' => (1.0, 2.0),
            '⅓' => (1.0, 3.0),
            '⅔' => (2.0, 3.0),
            '¼' => (1.0, 4.0),
            '¾' => (3.0, 4.0),
            '⅕' => (1.0, 5.0),
            '⅖' => (2.0, 5.0),
            '⅗' => (3.0, 5.0),
            '⅘' => (4.0, 5.0),
            '⅙' => (1.0, 6.0),
            '⅚' => (5.0, 6.0),
            '⅐' => (1.0, 7.0),
            '⅛' => (1.0, 8.0),
            '⅜' => (3.0, 8.0),
            '⅝' => (5.0, 8.0),
            '⅞' => (7.0, 8.0),
            '⅑' => (1.0, 9.0),
            '⅒' => (1.0, 10.0),
            _ => return None,
        };
        self.at += 1;
        Some(Ratio { num, den })
    }

    /// Digits with at most one decimal point or comma.
    #[inline(never)]
    fn decimal(&mut self) -> Result<Option<Ratio>, ParseError> {
        let start = self.at;
        let leads_with_mark =
            self.peek().is_some_and(is_mark) && self.peek_at(self.at + 1).is_some_and(is_digit);
        if !self.peek().is_some_and(is_digit) && !leads_with_mark {
            return Ok(None);
        }
        let mut ratio = Ratio::ZERO;
        let mut mark = None;
        let mut digits_after = 0;
        while let Some(c) = self.peek() {
            if let Some(digit) = c.to_digit(10) {
                ratio.num = ratio.num * 10.0 + f64::from(digit);
                if mark.is_some() {
                    ratio.den *= 10.0;
                    digits_after += 1;
                }
            } else if is_mark(c) {
                let digit_follows = self.peek_at(self.at + 1).is_some_and(is_digit);
                if mark.is_some() {
                    if !digit_follows {
                        break;
                    }
                    return Err(self.two_marks(start));
                }
                // A point that ends a number ("5. ") is only a full stop; a comma wants digits.
                if !digit_follows && c == ',' {
                    self.at += 1;
                    return Err(self.missing("5"));
                }
                mark = Some((self.at, c));
            } else {
                break;
            }
            self.at += 1;
        }
        if let Some((mark_at, ',')) = mark {
            let whole = self.slice(start, mark_at);
            if digits_after == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0') {
                let rest = self.slice(mark_at + 1, self.at);
                let kind = Kind::TwoReadings {
                    written: self.slice(start, self.at).to_owned(),
                    one: format!("{whole}.{rest}"),
                    other: format!("{whole}{rest}"),
                };
                return Err(self.error(mark_at, kind));
            }
        }
        Ok(Some(ratio))
    }

    /// An error for a number with several marks. Where they differ the last one is the decimal
    /// mark (1.234,5); where they are all alike they part thousands (1,234,567).
    fn two_marks(&self, start: usize) -> ParseError {
        let rest = self.chars.get(start..).unwrap_or_default();
        let written: String =
            rest.iter().map(|&(_, c)| c).take_while(|&c| is_digit(c) || is_mark(c)).collect();
        let last = written.rfind(is_mark).unwrap_or_default();
        let differs = written.contains('.') && written.contains(',');
        let plain = written
            .char_indices()
            .filter_map(|(i, c)| match c {
                c if is_digit(c) => Some(c),
                _ => (differs && i == last).then_some('.'),
            })
            .collect();
        self.error(self.at, Kind::TwoMarks { written, plain })
    }
}

const fn is_digit(c: char) -> bool {
    c.is_ascii_digit()
}

const fn is_mark(c: char) -> bool {
    matches!(c, '.' | ',')
}

const fn is_slash(c: char) -> bool {
    matches!(c, '/' | '\u{2044}' | '\u{2215}')
}

/// Hyphen, minus and the dashes a phone keyboard puts in their place.
pub const fn is_dash(c: char) -> bool {
    matches!(c, '-' | '\u{2010}'..='\u{2014}' | '\u{2212}' | '\u{fe63}' | '\u{ff0d}')
}

/// Spaces of any width, and marks nobody can see.
fn is_space(c: char) -> bool {
    c.is_whitespace() || matches!(c, '\u{200b}'..='\u{200f}' | '\u{2060}' | '\u{feff}')
}

const fn is_prime(c: char) -> bool {
    matches!(c, '\'' | '′' | '’' | '‘' | '´' | '`')
}

const fn is_double_prime(c: char) -> bool {
    matches!(c, '"' | '″' | '”' | '“' | '„')
}
