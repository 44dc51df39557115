//! How a [`Known`] reads and writes: an object for people, or a bare number taken as given.

use super::{Instrument, Known, Origin};
use serde::{Deserialize, Deserializer, Serialize, Serializer};

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct Full {
    value: f64,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    sigma: Option<f64>,
    origin: Origin,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    entered: Option<String>,
}

#[derive(Deserialize)]
#[serde(untagged)]
enum Either {
    Number(f64),
    Full(Full),
}

impl Serialize for Known {
    fn serialize<S: Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        Full {
            value: self.value,
            sigma: Some(self.sigma),
            origin: self.origin.clone(),
            entered: self.entered.clone(),
        }
        .serialize(s)
    }
}

impl<'de> Deserialize<'de> for Known {
    fn deserialize<D: Deserializer<'de>>(d: D) -> Result<Self, D::Error> {
        Ok(match Either::deserialize(d)? {
            Either::Number(value) => Self::exact(value),
            Either::Full(full) => {
                let sigma = full.sigma.unwrap_or(match full.origin {
                    Origin::Measured(with) => Instrument::typical_sigma(with),
                    Origin::Assumed | Origin::Published => 0.0,
                });
                Self { value: full.value, sigma, origin: full.origin, entered: full.entered }
            }
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
