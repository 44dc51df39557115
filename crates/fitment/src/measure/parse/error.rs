//! What is wrong with a number a person typed, at which character, and what would mend it.

/// A text that does not read as a measurement.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{kind} (character {})", .column + 1)]
pub struct ParseError {
    /// Byte offset in the text of the character at fault; the text's length when it ends too soon.
    pub byte: usize,
    /// The same place counted in characters from 0, for a mark under the text.
    pub column: usize,
    /// What is wrong there.
    pub kind: ParseErrorKind,
}

/// The ways a measurement can fail to read.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum ParseErrorKind {
    /// Nothing but spaces.
    #[error("nothing is written here: write a number, such as {example}")]
    Empty {
        /// A text that reads.
        example: &'static str,
    },
    /// Longer than any measurement.
    #[error("this is longer than {limit} characters: write only the number and its unit")]
    TooLong {
        /// Most characters read.
        limit: usize,
    },
    /// A number should follow.
    #[error("after {after} a number is missing: write for example {example}")]
    NumberMissing {
        /// What was read so far.
        after: String,
        /// A text that reads.
        example: String,
    },
    /// A number should stand at the start.
    #[error("{found} is not a number: write a number, such as {example}")]
    NotANumber {
        /// What stands there.
        found: String,
        /// A text that reads.
        example: &'static str,
    },
    /// A character with no meaning there.
    #[error("{found} has no meaning here: write for example {example}")]
    Unexpected {
        /// The character.
        found: char,
        /// A text that reads.
        example: &'static str,
    },
    /// Two numbers with nothing that joins them.
    #[error("two numbers stand side by side: put a unit between them, or take out the space")]
    TwoNumbers,
    /// A word that is no unit.
    #[error("{word} is not a unit known here: use {known}")]
    UnknownUnit {
        /// The word.
        word: String,
        /// The units that are.
        known: &'static str,
    },
    /// The second number needs a unit.
    #[error("this number has no unit: add one of {known}")]
    UnitMissing {
        /// The units that fit.
        known: &'static str,
    },
    /// Units that do not go together in this order.
    #[error(
        "these units do not go together in this order: write the larger one first, as in {example}"
    )]
    UnitOrder {
        /// A text that reads.
        example: &'static str,
    },
    /// A comma or point that may be a thousands mark.
    #[error("{written} can be read two ways: write {one} or {other}")]
    TwoReadings {
        /// The number as it stands.
        written: String,
        /// One thing it may mean.
        one: String,
        /// The other.
        other: String,
    },
    /// Both marks, or one of them twice.
    #[error("{written} has more than one point or comma: use no thousands mark, write {plain}")]
    TwoMarks {
        /// The number as it stands.
        written: String,
        /// The same number with at most a decimal point.
        plain: String,
    },
    /// 3.5 1/2.
    #[error("a fraction cannot follow a decimal number: write one or the other")]
    FractionOfDecimal,
    /// 13 5/4.
    #[error("after a whole number the fraction must be less than one")]
    FractionTooLarge,
    /// 1/0.
    #[error("a fraction cannot be divided by zero")]
    DivisionByZero,
    /// 13 1/2 where millimetres are meant by a bare number.
    #[error(
        "a fraction without a unit may mean inches: write {inches} for inches, or a decimal number for mm"
    )]
    FractionNeedsUnit {
        /// The text with an inch mark.
        inches: String,
    },
}
