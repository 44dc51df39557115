//! A number in few bits, bit for bit the same on the way back. Frozen: links of every version are read by it.
//!
//! People type decimals and sixteenths of an inch, so a number is sent as a whole number of
//! tenths, hundredths or sixteenths where that gives exactly the same bits, less the same form of
//! a number both sides already know. Anything else travels as its 64 bits.

use super::bits::{Place, Reader, Writer, count_length};
use super::walk::Bad;

/// Largest whole number a double holds without gaps.
const WHOLE: f64 = 9_007_199_254_740_992.0;
/// Order of the code: most corrections to a known number are below 32 steps.
const K: u32 = 5;

#[derive(Debug, Clone, Copy, PartialEq)]
enum Form {
    /// Steps of 10^-e, e up to 9.
    Decimal(u32),
    /// Steps of 1/16 in.
    Sixteenth,
}

impl Form {
    /// The nearest number of steps, 0 where there is none.
    fn nearest(self, value: f64) -> i64 {
        let steps = match self {
            Self::Decimal(e) => value * power(e),
            Self::Sixteenth => value / 25.4 * 16.0,
        }
        .round();
        if steps.abs() <= WHOLE { to_whole(steps) } else { 0 }
    }

    fn value(self, steps: i64) -> f64 {
        match self {
            Self::Decimal(e) => steps as f64 / power(e),
            Self::Sixteenth => steps as f64 / 16.0 * 25.4,
        }
    }

    /// Steps that give exactly this number.
    fn exactly(self, value: f64) -> Option<i64> {
        let steps = self.nearest(value);
        (self.value(steps).to_bits() == value.to_bits()).then_some(steps)
    }

    /// Ones its code begins with, and bits that code has side by side.
    const fn code(self) -> (u8, u32) {
        match self {
            Self::Decimal(0) => (0, 1),
            Self::Decimal(1) => (1, 2),
            Self::Sixteenth => (2, 3),
            Self::Decimal(_) => (3, 7),
        }
    }
}

/// Writes a number, near `base` if that is known.
pub(super) fn write(writer: &mut Writer, value: f64, base: f64) {
    let decimal = (0..=9).map(Form::Decimal).find(|form| form.exactly(value).is_some());
    let best = [decimal, Some(Form::Sixteenth)]
        .into_iter()
        .flatten()
        .filter_map(|form| {
            let code = zigzag(form.exactly(value)? - form.nearest(base));
            Some((form.code().1 + count_length(code, K), form, code))
        })
        .min_by_key(|(length, _, _)| *length);
    if let Some((_, form, code)) = best {
        writer.ones(Place::Form, form.code().0, 4);
        if let Form::Decimal(e @ 2..) = form {
            writer.bits(u64::from(e) - 2, 3);
        }
        writer.count(Place::Steps, code, K);
    } else {
        writer.ones(Place::Form, 4, 4);
        writer.bits(value.to_bits(), 64);
    }
}

/// Reads a number written with the same `base`; always finite.
pub(super) fn read(reader: &mut Reader<'_>, base: f64) -> Result<f64, Bad> {
    let form = match reader.ones(Place::Form, 4)? {
        0 => Form::Decimal(0),
        1 => Form::Decimal(1),
        2 => Form::Sixteenth,
        3 => {
            let places = u32::try_from(reader.bits(3)?).map_err(|_| Bad("too many places"))?;
            Form::Decimal(places + 2)
        }
        _ => {
            let value = f64::from_bits(reader.bits(64)?);
            return if value.is_finite() { Ok(value) } else { Err(Bad("a number that is none")) };
        }
    };
    let steps = form
        .nearest(base)
        .checked_add(unzigzag(reader.count(Place::Steps, K)?))
        .filter(|steps| steps.unsigned_abs() <= 1 << 53)
        .ok_or(Bad("a number too large"))?;
    Ok(form.value(steps))
}

const fn power(e: u32) -> f64 {
    // Exact: every power of ten up to 10^22 is.
    10_u64.pow(if e > 9 { 9 } else { e }) as f64
}

#[expect(clippy::cast_possible_truncation, reason = "only called within ±2^53, already rounded")]
const fn to_whole(steps: f64) -> i64 {
    steps as i64
}

/// Small whatever the sign: 0, −1, 1, −2, 2 … become 0, 1, 2, 3, 4 …
#[expect(clippy::cast_sign_loss, reason = "the sign is moved into the lowest bit")]
const fn zigzag(number: i64) -> u64 {
    (number << 1 ^ number >> 63) as u64
}

#[expect(clippy::cast_possible_wrap, reason = "halved first")]
const fn unzigzag(code: u64) -> i64 {
    (code >> 1) as i64 ^ -((code & 1) as i64)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn round_trip(value: f64, base: f64) -> (f64, usize) {
        let mut writer = Writer::default();
        write(&mut writer, value, base);
        let bytes = writer.finish();
        (read(&mut Reader::weighed(&bytes), base).unwrap(), bytes.len())
    }

    #[test]
    fn what_people_type_is_short() {
        // (value, known number, bytes at most)
        let table = [
            (89.0, 75.0, 1),
            (75.5, 75.0, 2),
            (13.5 * 25.4, 340.0, 2),
            ((1.0 + 3.0 / 16.0) * 25.4, 0.0, 2),
            (2612.5, 2600.0, 2),
            (-0.001, 0.0, 2),
            (0.1 + 0.2, 0.0, 9),
            (-0.0, 0.0, 9),
            (f64::MAX, 0.0, 9),
            (f64::MIN_POSITIVE, 1e300, 9),
        ];
        for (value, base, bytes) in table {
            let (back, length) = round_trip(value, base);
            assert_eq!(back.to_bits(), value.to_bits(), "{value} near {base}");
            assert!(length <= bytes, "{value} near {base}: {length} bytes");
        }
    }

    proptest! {
        #[test]
        fn every_finite_number_comes_back(bits in any::<u64>(), base in any::<f64>()) {
            let value = f64::from_bits(bits);
            prop_assume!(value.is_finite());
            prop_assert_eq!(round_trip(value, base).0.to_bits(), value.to_bits());
        }

        #[test]
        fn every_decimal_comes_back(steps in -1_000_000_000_i64..1_000_000_000, e in 0_i32..10, base in -5000.0..5000.0) {
            let value = steps as f64 / 10_f64.powi(e);
            prop_assert_eq!(round_trip(value, base).0.to_bits(), value.to_bits());
        }
    }
}
