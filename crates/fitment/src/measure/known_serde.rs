//! How a [`Known`] reads and writes: an object for people, or a bare number taken as given.
//!
//! The uncertainty of a measured value is always written out, so that a file keeps its meaning
//! even if the typical uncertainty of an instrument is ever revised.

use super::{Known, Origin};
use serde::de::{Error, MapAccess, Visitor, value::MapAccessDeserializer};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct Full {
    /// Best value.
    value: f64,
    /// One standard deviation, never negative; left out, the instrument's typical one, else 0.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    sigma: Option<f64>,
    /// Where the value came from.
    origin: Origin,
    /// What the person typed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    entered: Option<String>,
}

impl Serialize for Known {
    #[inline(never)]
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        let no_sigma =
            self.sigma.to_bits() == 0 && matches!(self.origin, Origin::Assumed | Origin::Published);
        if no_sigma && self.origin == Origin::Published && self.entered.is_none() {
            return s.serialize_f64(self.value);
        }
        Full {
            value: self.value,
            sigma: (!no_sigma).then_some(self.sigma),
            origin: self.origin.clone(),
            entered: self.entered.clone(),
        }
        .serialize(s)
    }
}

impl<'de> Deserialize<'de> for Known {
    // A build has hundreds; once is enough in the page.
    #[inline(never)]
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        d.deserialize_any(KnownVisitor)
    }
}

/// Written by hand because an untagged enum would hide which field inside was wrong.
struct KnownVisitor;

impl<'de> Visitor<'de> for KnownVisitor {
    type Value = Known;

    fn expecting(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("a number, or an object with `value` and `origin`")
    }

    fn visit_f64<E: Error>(self, value: f64) -> Result<Known, E> {
        Ok(Known::exact(value))
    }

    fn visit_i64<E: Error>(self, value: i64) -> Result<Known, E> {
        Ok(Known::exact(value as f64))
    }

    fn visit_u64<E: Error>(self, value: u64) -> Result<Known, E> {
        Ok(Known::exact(value as f64))
    }

    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Known, A::Error> {
        let full = Full::deserialize(MapAccessDeserializer::new(map))?;
        let typical = match full.origin {
            Origin::Measured(with) => with.typical_sigma(),
            Origin::Assumed | Origin::Published => 0.0,
        };
        Ok(Known {
            value: full.value,
            sigma: full.sigma.unwrap_or(typical),
            origin: full.origin,
            entered: full.entered,
        })
    }
}

#[cfg(feature = "schema")]
impl schemars::JsonSchema for Known {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Known".into()
    }
    fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
        let full = generator.subschema_for::<Full>();
        schemars::json_schema!({
            "description": "A number with its standard uncertainty and origin, in the unit of the field's name; a bare number is taken as given, with no uncertainty.",
            "anyOf": [ { "type": "number" }, full ]
        })
    }
}
