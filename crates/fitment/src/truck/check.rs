//! What is wrong with a truck as filled in, where, and what would mend it.

use super::Truck;

/// One thing wrong with the input.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// Dotted path of the field, such as `front.panhard.axle.y_mm`.
    pub path: String,
    /// The value found there.
    pub found: String,
    /// The rule it breaks.
    pub rule: Rule,
    /// What would mend it, in words.
    pub remedy: String,
}

/// The kinds of rule a field can break.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rule {
    /// Not a finite number.
    Finite,
    /// Outside the range trucks come in.
    Range,
    /// Two points or ends that must be apart are not.
    Apart,
    /// Text that does not read as what it must be.
    Reads,
    /// Two fields that must agree do not.
    Agrees,
    /// A part that does not fit this layout.
    Fits,
}

impl Truck {
    /// Everything wrong with the input, in the order of its fields; empty when all is well.
    pub fn check(&self) -> Vec<Problem> {
        Vec::new()
    }
}
