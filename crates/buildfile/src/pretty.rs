//! Writes JSON for people, every number as the standard library writes it.
//!
//! The writer is `serde_json`'s; only numbers are told apart. Its own shortest-digits code and
//! tables are a second copy, eleven kilobytes of the page as sent, of what the standard library
//! does for every text on screen. Both write the shortest digits that read back as the number.

use serde::Serialize;
use serde_json::ser::{Formatter, PrettyFormatter, Serializer};
use serde_json::{Error, Value};
use std::io::{self, Write};

/// Writes a record, indented.
///
/// # Errors
/// What the writer says of a map whose keys are not texts.
pub(crate) fn write<T: Serialize>(record: &T) -> Result<String, Error> {
    let mut bytes = Vec::new();
    record.serialize(&mut Serializer::with_formatter(&mut bytes, Indented::default()))?;
    // The writer writes UTF-8 only.
    Ok(String::from_utf8(bytes).unwrap_or_default())
}

/// A value in words, for an error.
pub(crate) fn words(value: &Value) -> String {
    write(value).unwrap_or_default()
}

/// [`PrettyFormatter`] with numbers of our own.
#[derive(Default)]
struct Indented(PrettyFormatter<'static>);

impl Formatter for Indented {
    fn write_f64<W: ?Sized + Write>(&mut self, writer: &mut W, value: f64) -> io::Result<()> {
        // With a point or an exponent, so that it reads back as a number that is not whole.
        write!(writer, "{value:?}")
    }

    fn begin_array<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.begin_array(writer)
    }

    fn end_array<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.end_array(writer)
    }

    fn begin_array_value<W: ?Sized + Write>(
        &mut self,
        writer: &mut W,
        first: bool,
    ) -> io::Result<()> {
        self.0.begin_array_value(writer, first)
    }

    fn end_array_value<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.end_array_value(writer)
    }

    fn begin_object<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.begin_object(writer)
    }

    fn end_object<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.end_object(writer)
    }

    fn begin_object_key<W: ?Sized + Write>(
        &mut self,
        writer: &mut W,
        first: bool,
    ) -> io::Result<()> {
        self.0.begin_object_key(writer, first)
    }

    fn begin_object_value<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.begin_object_value(writer)
    }

    fn end_object_value<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.0.end_object_value(writer)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn writes_what_the_usual_writer_writes() {
        let value =
            json!({"a": [1.5, 0.1, -0.0, 1480.0, 1, -3], "b": {}, "c": [], "d": "\"\u{e9}"});
        assert_eq!(words(&value), serde_json::to_string_pretty(&value).expect("writes"));
    }

    #[test]
    fn every_number_reads_back_to_the_last_bit() {
        for bits in [f64::MIN_POSITIVE, f64::MAX, 5e-324, 1e16, 1e21, 1e-7, 0.1 + 0.2, 1.0 / 3.0] {
            for number in [bits, -bits] {
                let text = write(&number).expect("writes");
                let back: Value = serde_json::from_str(&text).expect("reads");
                assert!(back.is_f64(), "{text}");
                assert_eq!(back.as_f64().map(f64::to_bits), Some(number.to_bits()), "{text}");
            }
        }
    }

    #[test]
    fn what_is_no_number_becomes_null() {
        assert_eq!(write(&f64::NAN).expect("writes"), "null");
    }
}
