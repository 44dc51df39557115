//! A number with uncertainty and origin, in and out of its JSON form. Frozen: links of every version are read by it.

use super::bits::{Place, Reader, Writer};
use super::number;
use super::walk::Bad;
use serde_json::{Number, Value, json};

/// Where a number can come from, by the codes of the walk.
const INSTRUMENTS: [(&str, f64); 5] = [
    // The typical uncertainties as they were when version 1 was frozen.
    ("tape", 2.0),
    ("angle_gauge", 0.2),
    ("phone_level", 0.5),
    ("plumb_line", 3.0),
    ("caliper", 0.2),
];

/// As the document's `Known`, without what was typed.
#[derive(Debug, Clone, Copy)]
pub(super) struct Num {
    value: f64,
    sigma: f64,
    /// 0 assumed, 1 published, 2 and up an instrument.
    origin: u64,
}

/// What a number is taken to be near when nothing is known of it.
const NOTHING: Num = Num { value: 0.0, sigma: 0.0, origin: 1 };
/// The code of the first instrument, the tape.
const TAPE: u64 = 2;

impl Num {
    pub(super) fn of(value: &Value) -> Option<Self> {
        if let Some(value) = value.as_f64() {
            return Some(Self { value, ..NOTHING });
        }
        let number = value.get("value")?.as_f64()?;
        let origin = match value.get("origin")? {
            Value::String(word) if word == "assumed" => 0,
            Value::String(word) if word == "published" => 1,
            other => {
                let instrument = other.get("measured")?.as_str()?;
                INSTRUMENTS.iter().position(|(name, _)| *name == instrument)? as u64 + TAPE
            }
        };
        let sigma = match value.get("sigma") {
            Some(sigma) => sigma.as_f64()?,
            None => 0.0,
        };
        Some(Self { value: number, sigma, origin })
    }

    pub(super) fn to_value(self) -> Option<Value> {
        let number = Number::from_f64(self.value)?;
        let sigma = Number::from_f64(self.sigma)?;
        let bare_sigma = self.sigma.to_bits() == 0 && self.origin < TAPE;
        let origin = match self.origin {
            0 => json!("assumed"),
            1 if bare_sigma => return Some(Value::Number(number)),
            1 => json!("published"),
            code => json!({ "measured": instrument(code)?.0 }),
        };
        Some(if bare_sigma {
            json!({ "value": number, "origin": origin })
        } else {
            json!({ "value": number, "sigma": sigma, "origin": origin })
        })
    }

    /// The uncertainty that goes without saying.
    fn usual_sigma(origin: u64, base: &Self) -> f64 {
        match instrument(origin) {
            Some((_, sigma)) => *sigma,
            None if origin == base.origin => base.sigma,
            None => 0.0,
        }
    }
}

/// Writes a number other than `base`.
pub(super) fn write(writer: &mut Writer, num: &Num, base: Option<&Value>) {
    let base = base.and_then(Num::of).unwrap_or(NOTHING);
    writer.bit(Place::Origin, num.origin != base.origin);
    if num.origin != base.origin {
        writer.bit(Place::Tape, num.origin != TAPE);
        if num.origin != TAPE {
            writer.bits(num.origin, 3);
        }
    }
    let usual = Num::usual_sigma(num.origin, &base);
    let same_sigma = num.sigma.to_bits() == usual.to_bits();
    writer.bit(Place::Sigma, same_sigma);
    if !same_sigma {
        number::write(writer, num.sigma, 0.0);
    }
    let same_value = num.value.to_bits() == base.value.to_bits();
    writer.bit(Place::Value, same_value);
    if !same_value {
        number::write(writer, num.value, base.value);
    }
}

/// Reads a number written against the same `base`.
pub(super) fn read(reader: &mut Reader<'_>, base: Option<&Value>) -> Result<Value, Bad> {
    let base = base.and_then(Num::of).unwrap_or(NOTHING);
    let origin = if !reader.bit(Place::Origin)? {
        base.origin
    } else if !reader.bit(Place::Tape)? {
        TAPE
    } else {
        reader.bits(3)?
    };
    let sigma = if reader.bit(Place::Sigma)? {
        Num::usual_sigma(origin, &base)
    } else {
        number::read(reader, 0.0)?
    };
    let value =
        if reader.bit(Place::Value)? { base.value } else { number::read(reader, base.value)? };
    Num { value, sigma, origin }.to_value().ok_or(Bad("an origin there is not"))
}

fn instrument(origin: u64) -> Option<&'static (&'static str, f64)> {
    INSTRUMENTS.get(usize::try_from(origin.checked_sub(TAPE)?).ok()?)
}
