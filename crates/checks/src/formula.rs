//! Formulas as people write them: read once, worked out with their slope, printed with their numbers.
//!
//! One text gives the value, its slope by one input (forward differentiation, exact) and the words
//! beside the answer, so that no formula can say one thing and do another. Angles are in degrees.

use fitment::measure::units::DEG_PER_RAD;
use std::f64::consts::{E, PI};

/// A value and its slope by the input that is followed.
pub(super) type N = [f64; 2];

/// What no number was found for.
const NONE: N = [f64::NAN, 0.0];

/// What may be called, besides `+ - * / ^ <`. `near(x, a, b, ..)` is the one of the rest nearest to x.
const FUNCTIONS: [&str; 14] = [
    "sin", "cos", "tan", "asin", "acos", "atan", "sqrt", "exp", "abs", "round", "min", "max", "if",
    "near",
];

#[derive(Debug, Clone, Copy, PartialEq)]
enum Op {
    Number(f64),
    /// By its place in the list of names.
    Name(usize),
    Negate,
    /// `+ - * / ^ <`.
    Two(char),
    /// One of [`FUNCTIONS`], and of how many.
    Call(&'static str, usize),
}

/// A formula that reads.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Formula(Vec<Op>);

impl Formula {
    /// Reads one; `None` for what is no formula or names what nobody defined.
    pub fn read(text: &str, place: &dyn Fn(&str) -> Option<usize>) -> Option<Self> {
        let mut reader = Reader { rest: text, place, ops: Vec::new() };
        reader.binary(0)?;
        reader.rest.trim().is_empty().then_some(Self(reader.ops))
    }

    /// Works it out with these numbers for the names.
    pub fn value(&self, names: &[N]) -> N {
        let mut stack: Vec<N> = Vec::new();
        for op in &self.0 {
            let done = match *op {
                Op::Number(value) => [value, 0.0],
                Op::Name(at) => names.get(at).copied().unwrap_or(NONE),
                Op::Negate => stack.pop().map_or(NONE, |[a, da]| [-a, -da]),
                Op::Call(function, count) => {
                    let given = stack.split_off(stack.len().saturating_sub(count));
                    call(function, &given)
                }
                Op::Two(mark) => {
                    let b = stack.pop().unwrap_or(NONE);
                    two(mark, stack.pop().unwrap_or(NONE), b)
                }
            };
            stack.push(done);
        }
        stack.pop().unwrap_or(NONE)
    }
}

fn two(mark: char, [a, da]: N, [b, db]: N) -> N {
    match mark {
        '+' => [a + b, da + db],
        '-' => [a - b, da - db],
        '*' => [a * b, da * b + a * db],
        '/' => [a / b, (da - a / b * db) / b],
        '<' => [f64::from(u8::from(a < b)), 0.0],
        _ => {
            // Exponents are what a choice sets, never what is doubted: no slope by them.
            let slope = if da == 0.0 { 0.0 } else { b * a.powf(b - 1.0) * da };
            [a.powf(b), slope]
        }
    }
}

fn call(function: &str, given: &[N]) -> N {
    let at = |place: usize| given.get(place).copied().unwrap_or(NONE);
    let [a, da] = at(0);
    let (sin, cos) = (a / DEG_PER_RAD).sin_cos();
    let (value, slope) = match function {
        "sin" => (sin, cos / DEG_PER_RAD),
        "cos" => (cos, -sin / DEG_PER_RAD),
        "tan" => (sin / cos, 1.0 / (cos * cos * DEG_PER_RAD)),
        "asin" => (a.asin() * DEG_PER_RAD, DEG_PER_RAD / (1.0 - a * a).sqrt()),
        // Rounding may leave the cosine of no angle above 1.
        "acos" if a >= 1.0 => (0.0, 0.0),
        "acos" => (a.acos() * DEG_PER_RAD, -DEG_PER_RAD / (1.0 - a * a).sqrt()),
        "atan" => (a.atan() * DEG_PER_RAD, DEG_PER_RAD / (1.0 + a * a)),
        "sqrt" => (a.sqrt(), 0.5 / a.sqrt()),
        "exp" => (E.powf(a), E.powf(a)),
        "abs" => (a.abs(), a.signum()),
        "round" => (a.round(), 0.0),
        "if" => return at(if a > 0.0 { 1 } else { 2 }),
        "near" => {
            let nearer = |one: f64, [other, _]: &N| {
                if (other - a).abs() < (one - a).abs() { *other } else { one }
            };
            (given.iter().skip(1).fold(f64::INFINITY, nearer), 0.0)
        }
        _ => {
            let least = function == "min";
            let pick = |one: N, other: &N| if (other[0] < one[0]) == least { *other } else { one };
            return given.iter().skip(1).fold([a, da], pick);
        }
    };
    // A slope without end counts only where there is something to multiply.
    [value, if da == 0.0 { 0.0 } else { slope * da }]
}

struct Reader<'a> {
    rest: &'a str,
    place: &'a dyn Fn(&str) -> Option<usize>,
    ops: Vec<Op>,
}

impl Reader<'_> {
    fn take(&mut self, mark: char) -> bool {
        let rest = self.rest.trim_start().strip_prefix(mark);
        self.rest = rest.unwrap_or(self.rest);
        rest.is_some()
    }

    /// Everything that binds as tightly as `least`, or more so.
    fn binary(&mut self, least: u8) -> Option<()> {
        if self.take('-') {
            self.binary(3)?;
            self.ops.push(Op::Negate);
        } else {
            self.atom()?;
        }
        loop {
            let mark = self.rest.trim_start().chars().next();
            let binds = match mark {
                Some('<') => 0,
                Some('+' | '-') => 1,
                Some('*' | '/') => 2,
                Some('^') => 4,
                _ => return Some(()),
            };
            let mark = mark.filter(|_| binds >= least);
            let Some(mark) = mark else { return Some(()) };
            self.take(mark);
            self.binary(binds + 1)?;
            self.ops.push(Op::Two(mark));
        }
    }

    fn atom(&mut self) -> Option<()> {
        if self.take('(') {
            self.binary(0)?;
            return self.take(')').then_some(());
        }
        let text = self.rest.trim_start();
        let (word, rest) = text.split_at(word_end(text));
        self.rest = rest;
        let op = if word.starts_with(|c: char| c.is_ascii_digit()) {
            Op::Number(decimal(word)?)
        } else if word == "pi" {
            Op::Number(PI)
        } else if self.take('(') {
            let function = FUNCTIONS.iter().find(|name| **name == word)?;
            let mut count = 1;
            self.binary(0)?;
            while self.take(',') {
                self.binary(0)?;
                count += 1;
            }
            self.take(')').then_some(Op::Call(function, count))?
        } else {
            Op::Name((self.place)(word)?)
        };
        self.ops.push(op);
        Some(())
    }
}

/// A decimal number, such as `-12.5`: whole digits over a power of ten, which rounds once. The standard
/// library's own reader brings a table of 10 kB into the page.
pub(super) fn decimal(text: &str) -> Option<f64> {
    let (sign, digits) = text.strip_prefix('-').map_or((1.0, text), |rest| (-1.0, rest));
    let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
    let (mut number, mut scale) = (0.0, 1.0);
    for digit in whole.chars().chain(part.chars()) {
        number = number * 10.0 + f64::from(digit.to_digit(10)?);
    }
    for _ in part.chars() {
        scale *= 10.0;
    }
    (!whole.is_empty()).then_some(sign * number / scale)
}

/// Where the name or number that a text begins with ends.
fn word_end(text: &str) -> usize {
    text.find(|c: char| !(c.is_ascii_alphanumeric() || c == '_' || c == '.')).unwrap_or(text.len())
}

/// A formula as it is printed, with something in place of each name.
pub(super) fn spelled(formula: &str, named: &dyn Fn(&str) -> String) -> String {
    let mut words = String::new();
    let mut rest = formula;
    while let Some(first) = rest.chars().next() {
        let end = word_end(rest).max(first.len_utf8());
        let (word, after) = rest.split_at(end);
        rest = after;
        match word {
            "*" => words.push('·'),
            "-" => words.push('−'),
            "^" if rest.starts_with(['2', '3', '4']) => {
                words.push(if rest.starts_with('2') {
                    '²'
                } else if rest.starts_with('3') {
                    '³'
                } else {
                    '⁴'
                });
                rest = rest.split_at(1).1;
            }
            "sqrt" => words.push('√'),
            "pi" => words.push('π'),
            _ if first.is_ascii_alphabetic() && !rest.starts_with('(') => {
                let named = named(word);
                // A number below 0 does not run into what stands before it or behind it.
                let apart =
                    named.starts_with('−') && (rest.starts_with('^') || !words.ends_with('('));
                let (open, shut) = if apart && !words.is_empty() { ("(", ")") } else { ("", "") };
                for part in [open, &named, shut] {
                    words.push_str(part);
                }
            }
            _ => words.push_str(word),
        }
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A formula's value and slope by x, at x = 3, y = 2.
    fn at(text: &str) -> N {
        let place = |name: &str| ["x", "y"].iter().position(|known| *known == name);
        Formula::read(text, &place)
            .unwrap_or_else(|| panic!("{text}"))
            .value(&[[3.0, 1.0], [2.0, 0.0]])
    }

    #[test]
    fn formulas_are_read_as_people_write_them() {
        for (text, value) in [
            ("x + y * 2 ^ 3 / 4", 7.0),
            ("-x ^ 2 + (x - y) * 5", -4.0),
            ("x - y - 1", 0.0),
            ("x / y / 2", 0.75),
            ("2 ^ -1", 0.5),
            ("max(x, y, 7, 1) - min(x, y)", 5.0),
            ("if(x < y, 1, if(y < x, 2, 3))", 2.0),
            ("near(114, 100, 114.3, 127)", 114.3),
            ("abs(y - x) + round(2.6)", 4.0),
            ("sin(30) + cos(60) + tan(45) + asin(1) + acos(1) + atan(1)", 137.0),
            ("sqrt(x * x + 16) * exp(0) + pi - pi", 5.0),
        ] {
            assert!((at(text)[0] - value).abs() < 1e-12, "{text}: {:?}", at(text));
        }
        for text in ["", "x +", "x y", "(x", "z", "sinh(x)", "max(x,", "x ? y"] {
            assert_eq!(Formula::read(text, &|name| (name == "x").then_some(0)), None, "{text}");
        }
    }

    #[test]
    fn decimals_are_the_standard_librarys() {
        for text in
            ["0", "-500", "6.894757", "0.0000667", "4.0000000000001", "0.00000000000001", "9.80665"]
        {
            assert_eq!(decimal(text), text.parse().ok(), "{text}");
        }
        for text in ["", "-", ".5", "1e3", "1.2.3", "x"] {
            assert_eq!(decimal(text), None, "{text}");
        }
    }

    #[test]
    fn slopes_are_those_of_differences() {
        for text in [
            "x ^ 3 - x / y",
            "y / x",
            "x ^ y * sin(x)",
            "cos(x) - tan(x)",
            "asin(x / 9)",
            "acos(x / 9) + atan(x)",
            "sqrt(x) * exp(-x)",
            "abs(-x) + max(x, y) - min(x, y)",
            "if(y < x, x * x, 0)",
            "-x * -x",
        ] {
            let place = |name: &str| ["x", "y"].iter().position(|known| *known == name);
            let formula = Formula::read(text, &place).unwrap();
            let [above, below] =
                [3.0 + 1e-5, 3.0 - 1e-5].map(|x| formula.value(&[[x, 0.0], [2.0, 0.0]])[0]);
            let slope = (above - below) / 2e-5;
            assert!((at(text)[1] - slope).abs() < 1e-7, "{text}: {:?}, {slope}", at(text));
        }
    }

    #[test]
    fn a_formula_prints_as_it_is_read() {
        let words = spelled("sqrt(wire_d^4 * 2) / -x - sin(pi)", &|name| name.replace('_', " "));
        assert_eq!(words, "√(wire d⁴ · 2) / −x − sin(π)");
    }
}
