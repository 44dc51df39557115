//! Writes JSON for people: indented, every number as the standard library writes it.
//!
//! `serde_json` writes the same, with a second copy of the shortest-digits code and its tables:
//! eleven kilobytes of the page as sent. Both write the shortest digits that read back as the
//! number.

use crate::node::{Fields, How, List, Node, See, is_idle};
use fitment::measure::{Known, Origin};
use serde_json::Value;
use std::fmt::Write as _;

/// A part of the document, indented.
pub(crate) fn write(node: &dyn Node) -> String {
    let mut page = Page::default();
    page.node(node);
    page.text
}

/// A value in words.
pub(crate) fn words(value: &Value) -> String {
    let mut page = Page::default();
    page.value(value);
    page.text
}

/// What is written so far.
#[derive(Default)]
struct Page {
    text: String,
    /// How many brackets are open.
    depth: usize,
    /// True behind an opening bracket.
    first: bool,
}

impl Page {
    fn node(&mut self, node: &dyn Node) {
        match node.see() {
            See::Known(known) | See::MayKnown(Some(known)) => self.known(known),
            See::MayKnown(None) | See::May(None) => self.text.push_str("null"),
            See::Text(text) => self.quoted(text),
            See::Float(number) => self.float(number),
            See::Whole(number) => self.whole(number),
            See::Pair(pair) => {
                self.open('[');
                for number in pair {
                    self.next();
                    self.float(number);
                }
                self.close(']');
            }
            See::Word(word) => self.quoted(word),
            See::Kind(kind) => self.quoted(&kind.key()),
            See::Fields(fields) => self.fields(fields),
            See::Tagged(tagged) => {
                self.open('{');
                self.key(tagged.tag());
                self.fields(tagged);
                self.close('}');
            }
            See::May(Some(inner)) => self.node(inner),
            See::List(list) => self.list(list),
        }
    }

    fn fields(&mut self, fields: &dyn Fields) {
        let about = fields.about();
        self.open('{');
        for (at, (name, how)) in about.names.iter().zip(about.how).enumerate() {
            if let Some(field) = fields.field(at)
                && !(*how == How::May && is_idle(field))
            {
                self.key(name);
                self.node(field);
            }
        }
        self.close('}');
    }

    fn list(&mut self, list: &dyn List) {
        self.open('[');
        for item in (0..list.len()).filter_map(|at| list.item(at)) {
            self.next();
            self.node(item);
        }
        self.close(']');
    }

    /// A bare number where nothing else is to be said. The uncertainty of a measured value is
    /// always written out, so that a file keeps its meaning even if the typical uncertainty of an
    /// instrument is ever revised.
    fn known(&mut self, known: &Known) {
        let Known { value, sigma, origin, entered } = known;
        let measured = matches!(origin, Origin::Measured(_));
        let no_sigma = sigma.to_bits() == 0 && !measured;
        if no_sigma && *origin == Origin::Published && entered.is_none() {
            return self.float(*value);
        }
        self.open('{');
        self.key("value");
        self.float(*value);
        if !no_sigma {
            self.key("sigma");
            self.float(*sigma);
        }
        self.key("origin");
        match origin {
            Origin::Assumed => self.quoted("assumed"),
            Origin::Published => self.quoted("published"),
            Origin::Measured(with) => {
                self.open('{');
                self.key("measured");
                self.node(with);
                self.close('}');
            }
        }
        if let Some(entered) = entered {
            self.key("entered");
            self.quoted(entered);
        }
        self.close('}');
    }

    fn value(&mut self, value: &Value) {
        match value {
            Value::Null => self.text.push_str("null"),
            Value::Bool(yes) => self.text.push_str(if *yes { "true" } else { "false" }),
            Value::Number(number) => match (number.as_u64(), number.as_i64(), number.as_f64()) {
                (Some(whole), _, _) => self.whole(whole),
                (_, Some(whole), _) => self.whole(whole),
                (_, _, number) => self.float(number.unwrap_or(f64::NAN)),
            },
            Value::String(text) => self.quoted(text),
            Value::Array(items) => {
                self.open('[');
                for item in items {
                    self.next();
                    self.value(item);
                }
                self.close(']');
            }
            Value::Object(fields) => {
                self.open('{');
                for (key, field) in fields {
                    self.key(key);
                    self.value(field);
                }
                self.close('}');
            }
        }
    }

    fn open(&mut self, bracket: char) {
        self.text.push(bracket);
        self.depth += 1;
        self.first = true;
    }

    fn close(&mut self, bracket: char) {
        self.depth -= 1;
        if !self.first {
            self.line();
        }
        self.text.push(bracket);
        self.first = false;
    }

    /// The next item of a list or object.
    fn next(&mut self) {
        if !self.first {
            self.text.push(',');
        }
        self.first = false;
        self.line();
    }

    fn line(&mut self) {
        self.text.push('\n');
        for _ in 0..self.depth {
            self.text.push_str("  ");
        }
    }

    fn key(&mut self, name: &str) {
        self.next();
        self.quoted(name);
        self.text.push_str(": ");
    }

    fn float(&mut self, number: f64) {
        if number.is_finite() {
            // With a point or an exponent, so that it reads back as a number that is not whole.
            let _ = write!(self.text, "{number:?}");
        } else {
            self.text.push_str("null");
        }
    }

    fn whole(&mut self, number: impl std::fmt::Display) {
        let _ = write!(self.text, "{number}");
    }

    fn quoted(&mut self, text: &str) {
        self.text.push('"');
        for letter in text.chars() {
            match letter {
                '"' => self.text.push_str("\\\""),
                '\\' => self.text.push_str("\\\\"),
                '\n' => self.text.push_str("\\n"),
                '\r' => self.text.push_str("\\r"),
                '\t' => self.text.push_str("\\t"),
                '\u{8}' => self.text.push_str("\\b"),
                '\u{c}' => self.text.push_str("\\f"),
                '\0'..='\u{1f}' => {
                    let _ = write!(self.text, "\\u{:04x}", u32::from(letter));
                }
                _ => self.text.push(letter),
            }
        }
        self.text.push('"');
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use fitment::truck::{LayoutKind, Truck};
    use serde_json::json;

    #[test]
    fn writes_what_the_usual_writer_writes() {
        let every: String = (0..0x120).filter_map(char::from_u32).collect();
        let value = json!({
            "a": [1.5, 0.1, -0.0, 1480.0, 1, -3, null, true, [[]]],
            "b": {}, "c": [], "d": "\"\u{e9}", "e": every, "\n": false,
        });
        assert_eq!(words(&value), serde_json::to_string_pretty(&value).expect("writes"));
    }

    #[test]
    fn writes_a_truck_as_the_derived_writer_does() {
        let mut trucks = vec![Truck::example()];
        trucks.extend(LayoutKind::ALL.map(|layout| Truck::typical(layout, Some(layout))));
        for truck in trucks {
            assert_eq!(write(&truck), serde_json::to_string_pretty(&truck).expect("writes"));
        }
    }

    #[test]
    fn every_number_reads_back_to_the_last_bit() {
        for bits in [f64::MIN_POSITIVE, f64::MAX, 5e-324, 1e16, 1e21, 1e-7, 0.1 + 0.2, 1.0 / 3.0] {
            for number in [bits, -bits] {
                let text = write(&number);
                let back: Value = serde_json::from_str(&text).expect("reads");
                assert!(back.is_f64(), "{text}");
                assert_eq!(back.as_f64().map(f64::to_bits), Some(number.to_bits()), "{text}");
            }
        }
    }

    #[test]
    fn what_is_no_number_becomes_null() {
        assert_eq!(write(&f64::NAN), "null");
    }
}
