//! What is wrong with a truck as filled in, where, and what would mend it.
//!
//! The ranges are in [`bounds`]; this file walks the fields in order and adds the rules between
//! fields. Finding nothing means the engine can work with the truck, not that its numbers are
//! right.
//!
//! `#[inline]` on all that is walked through once: it is compiled with the crate that asks, small for the
//! page, and not with the engine, for speed. So are findings, their words and the scene.

mod axle;
mod lateral;
mod layout;
mod leaf;
mod part;
mod readings;
mod rest;
mod setup;
mod shape;
mod steering;
mod surroundings;
mod thing;

use super::{Balance, Truck, bounds};
use crate::measure::Known;
use crate::truck::bounds::Bound;

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
    #[inline]
    pub fn check(&self) -> Vec<Problem> {
        let mut check = Check::default();
        check.known("wheelbase_mm", &self.wheelbase_mm, bounds::WHEELBASE);
        check.within("balance", |check| balance(check, &self.balance));
        rest::truck(&mut check, self);
        for (name, axle) in [("front", &self.front), ("rear", &self.rear)] {
            if let Some(axle) = axle {
                check.within(name, |check| axle::check(check, axle));
            }
        }
        check.problems
    }
}

#[inline]
fn balance(check: &mut Check, balance: &Balance) {
    check.known("cg_height_mm", &balance.cg_height_mm, bounds::CG_HEIGHT);
    check.known("front_brake_percent", &balance.front_brake_percent, bounds::FRONT_BRAKE);
    check.known("front_drive_percent", &balance.front_drive_percent, bounds::FRONT_DRIVE);
}

/// Collects problems while walking down the fields.
#[derive(Debug, Default)]
struct Check {
    path: String,
    problems: Vec<Problem>,
}

impl Check {
    /// Walks into a field, or a list's item when `name` starts with a bracket.
    #[inline]
    fn within(&mut self, name: &str, walk: impl FnOnce(&mut Self)) {
        let length = self.enter(name);
        walk(self);
        self.path.truncate(length);
    }

    /// Goes down into a field; how long the path was.
    #[inline(never)]
    fn enter(&mut self, name: &str) -> usize {
        let length = self.path.len();
        self.path = self.to(name);
        length
    }

    /// Walks into each item of a list, which must not be longer than a list may be.
    #[inline]
    fn each<T>(&mut self, name: &str, items: &[T], mut walk: impl FnMut(&mut Self, &T)) {
        if items.len() > bounds::LIST {
            self.problem(
                name,
                format!("{} entries", items.len()),
                Rule::Range,
                format!("Keep at most {} entries.", bounds::LIST),
            );
            return;
        }
        for (index, item) in items.iter().enumerate() {
            self.within(&format!("{name}[{index}]"), |check| walk(check, item));
        }
    }

    // A truck has hundreds of fields: what looks at one is once in the page.
    #[inline(never)]
    fn problem(&mut self, name: &str, found: String, rule: Rule, remedy: String) {
        let path = self.to(name);
        self.problems.push(Problem { path, found, rule, remedy });
    }

    /// A plain number; true when it is within its range.
    #[inline(never)]
    fn number(&mut self, name: &str, value: f64, bound: &Bound) -> bool {
        let rule = if value.is_finite() { Rule::Range } else { Rule::Finite };
        let fine = bound.holds(value);
        if !fine {
            self.problem(name, format!("{value} {}", bound.unit), rule, bound.remedy());
        }
        fine
    }

    /// A number with its uncertainty and what was typed; true when all of it is fine.
    #[inline(never)]
    fn known(&mut self, name: &str, known: &Known, bound: &Bound) -> bool {
        let fine = self.number(name, known.value, bound);
        self.uncertainty(name, known, bound.unit) && fine
    }

    /// The uncertainty and the typed text of a number whose value is checked elsewhere.
    #[inline(never)]
    fn uncertainty(&mut self, name: &str, known: &Known, unit: &str) -> bool {
        let before = self.problems.len();
        if !(known.sigma >= 0.0 && known.sigma.is_finite()) {
            let rule = if known.sigma.is_finite() { Rule::Range } else { Rule::Finite };
            self.problem(
                &format!("{name}.sigma"),
                format!("{} {unit}", known.sigma),
                rule,
                "An uncertainty is 0 or more. Give how far the value may be off either way.".into(),
            );
        }
        if let Some(entered) = &known.entered {
            self.text(&format!("{name}.entered"), entered);
        }
        self.problems.len() == before
    }

    #[inline(never)]
    fn maybe(&mut self, name: &str, known: Option<&Known>, bound: &Bound) {
        if let Some(known) = known {
            self.known(name, known, bound);
        }
    }

    #[inline(never)]
    fn text(&mut self, name: &str, text: &str) {
        let length = text.chars().count();
        if length > bounds::TEXT {
            self.problem(
                name,
                format!("{length} characters"),
                Rule::Range,
                format!("Shorten it to {} characters.", bounds::TEXT),
            );
        }
    }

    #[inline(never)]
    fn to(&self, name: &str) -> String {
        match (self.path.is_empty(), name.is_empty()) {
            (true, _) => name.to_owned(),
            (false, true) => self.path.clone(),
            (false, false) => format!("{}.{name}", self.path),
        }
    }
}

#[cfg(test)]
mod tests;
