//! Reads a JSON value into a type and remembers where it was when something did not fit.
//!
//! `serde_path_to_error` does the same around any deserializer, at the price of every visitor
//! compiled once more: a tenth of the page. Over a value already in memory one small deserializer
//! does.

use serde::de::{
    DeserializeOwned, DeserializeSeed, Deserializer, EnumAccess, Error as _, MapAccess, SeqAccess,
    Unexpected, VariantAccess, Visitor, value::StrDeserializer,
};
use serde::forward_to_deserialize_any;
use serde_json::{Error, Value};
use std::cell::RefCell;

/// What did not fit, and the dotted path to it (`.` for the document itself).
#[derive(Debug)]
pub(crate) struct Misfit {
    pub path: String,
    pub what: String,
}

/// Reads `value` as a `T`.
pub(crate) fn read<T: DeserializeOwned>(value: &Value) -> Result<T, Misfit> {
    let first = RefCell::new(None);
    T::deserialize(Here { value, at: &Place::Root, first: &first }).map_err(|error| Misfit {
        path: first.into_inner().unwrap_or_else(|| ".".into()),
        what: error.to_string(),
    })
}

/// A place in the document, linked to the one around it.
enum Place<'a> {
    Root,
    Key(&'a Self, &'a str),
    Index(&'a Self, usize),
}

impl Place<'_> {
    fn path(&self) -> String {
        match self {
            Self::Root => ".".into(),
            Self::Key(Self::Root, key) => (*key).into(),
            Self::Key(around, key) => format!("{}.{key}", around.path()),
            Self::Index(around, index) => format!("{}[{index}]", around.path()),
        }
    }
}

/// A value, where it is, and where the first error is to be noted.
#[derive(Clone, Copy)]
struct Here<'a> {
    value: &'a Value,
    at: &'a Place<'a>,
    first: &'a RefCell<Option<String>>,
}

impl Here<'_> {
    /// Notes the innermost place of the first error.
    fn note<T>(self, result: Result<T, Error>) -> Result<T, Error> {
        if result.is_err() {
            self.first.borrow_mut().get_or_insert_with(|| self.at.path());
        }
        result
    }
}

impl<'de> Deserializer<'de> for Here<'_> {
    type Error = Error;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        self.note(match self.value {
            Value::Null => visitor.visit_unit(),
            Value::Bool(yes) => visitor.visit_bool(*yes),
            Value::Number(number) => match (number.as_u64(), number.as_i64(), number.as_f64()) {
                (Some(n), _, _) => visitor.visit_u64(n),
                (_, Some(n), _) => visitor.visit_i64(n),
                (_, _, Some(n)) => visitor.visit_f64(n),
                _ => Err(Error::custom("a number out of range")),
            },
            Value::String(text) => visitor.visit_str(text),
            Value::Array(items) => {
                let mut list = List { around: self, items, next: 0 };
                visitor.visit_seq(&mut list).and_then(|value| {
                    if list.next == items.len() {
                        Ok(value)
                    } else {
                        Err(Error::invalid_length(items.len(), &"fewer items"))
                    }
                })
            }
            Value::Object(fields) => {
                visitor.visit_map(Fields { around: self, rest: fields.iter(), value: None })
            }
        })
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Error> {
        if self.value.is_null() { visitor.visit_none() } else { visitor.visit_some(self) }
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        _name: &'static str,
        visitor: V,
    ) -> Result<V::Value, Error> {
        visitor.visit_newtype_struct(self)
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _name: &'static str,
        _variants: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        self.note(match self.value {
            Value::String(name) => visitor.visit_enum(Variant { around: self, name, body: None }),
            Value::Object(fields) if fields.len() == 1 => match fields.iter().next() {
                Some((name, body)) => {
                    visitor.visit_enum(Variant { around: self, name, body: Some(body) })
                }
                None => Err(Error::custom("an empty choice")),
            },
            _ => Err(Error::invalid_type(
                Unexpected::Other(&self.value.to_string()),
                &"one of the choices",
            )),
        })
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u8 u16 u32 u64 u128 f32 f64 char str string bytes byte_buf unit
        unit_struct seq tuple tuple_struct map struct identifier ignored_any
    }
}

struct List<'a> {
    around: Here<'a>,
    items: &'a [Value],
    next: usize,
}

impl<'de> SeqAccess<'de> for &mut List<'_> {
    type Error = Error;

    fn next_element_seed<S: DeserializeSeed<'de>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, Error> {
        let Some(value) = self.items.get(self.next) else { return Ok(None) };
        let at = Place::Index(self.around.at, self.next);
        self.next += 1;
        let here = Here { value, at: &at, first: self.around.first };
        here.note(seed.deserialize(here)).map(Some)
    }

    fn size_hint(&self) -> Option<usize> {
        Some(self.items.len() - self.next)
    }
}

struct Fields<'a> {
    around: Here<'a>,
    rest: serde_json::map::Iter<'a>,
    value: Option<(&'a str, &'a Value)>,
}

impl<'de> MapAccess<'de> for Fields<'_> {
    type Error = Error;

    fn next_key_seed<S: DeserializeSeed<'de>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, Error> {
        let Some((key, value)) = self.rest.next() else { return Ok(None) };
        self.value = Some((key, value));
        let at = Place::Key(self.around.at, key);
        let here = Here { value, at: &at, first: self.around.first };
        here.note(seed.deserialize(StrDeserializer::new(key))).map(Some)
    }

    fn next_value_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<S::Value, Error> {
        let (key, value) =
            self.value.take().ok_or_else(|| Error::custom("a value before its key"))?;
        let at = Place::Key(self.around.at, key);
        let here = Here { value, at: &at, first: self.around.first };
        here.note(seed.deserialize(here))
    }
}

struct Variant<'a> {
    around: Here<'a>,
    name: &'a str,
    body: Option<&'a Value>,
}

impl<'a, 'de> EnumAccess<'de> for Variant<'a> {
    type Error = Error;
    type Variant = Body<'a>;

    fn variant_seed<S: DeserializeSeed<'de>>(
        self,
        seed: S,
    ) -> Result<(S::Value, Self::Variant), Error> {
        let name = seed.deserialize(StrDeserializer::<Error>::new(self.name))?;
        Ok((name, Body { around: self.around, name: self.name, inner: self.body }))
    }
}

struct Body<'a> {
    around: Here<'a>,
    name: &'a str,
    inner: Option<&'a Value>,
}

impl Body<'_> {
    fn with<T>(&self, read: impl FnOnce(Here<'_>) -> Result<T, Error>) -> Result<T, Error> {
        let value = self.inner.ok_or_else(|| Error::custom("a choice that needs more"))?;
        let at = Place::Key(self.around.at, self.name);
        let here = Here { value, at: &at, first: self.around.first };
        here.note(read(here))
    }
}

impl<'de> VariantAccess<'de> for Body<'_> {
    type Error = Error;

    fn unit_variant(self) -> Result<(), Error> {
        match self.inner {
            None => Ok(()),
            Some(_) => Err(Error::custom("a choice that takes nothing more")),
        }
    }

    fn newtype_variant_seed<S: DeserializeSeed<'de>>(self, seed: S) -> Result<S::Value, Error> {
        self.with(|here| seed.deserialize(here))
    }

    fn tuple_variant<V: Visitor<'de>>(self, _len: usize, visitor: V) -> Result<V::Value, Error> {
        self.with(|here| here.deserialize_any(visitor))
    }

    fn struct_variant<V: Visitor<'de>>(
        self,
        _fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Error> {
        self.with(|here| here.deserialize_any(visitor))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde::Deserialize;
    use serde_json::json;

    #[derive(Debug, Deserialize, PartialEq)]
    #[serde(deny_unknown_fields)]
    struct Inner {
        x: f64,
        kind: Kind,
        list: Vec<Option<u8>>,
    }

    #[derive(Debug, Deserialize, PartialEq)]
    #[serde(rename_all = "snake_case")]
    enum Kind {
        Plain,
        With(String),
    }

    #[derive(Debug, Deserialize, PartialEq)]
    struct Outer {
        inner: Inner,
    }

    fn check(value: &Value, path: &str, word: &str) {
        let misfit = read::<Outer>(value).expect_err("must not fit");
        assert_eq!(misfit.path, path, "{}", misfit.what);
        assert!(misfit.what.contains(word), "{}", misfit.what);
    }

    #[test]
    fn reads_what_serde_json_reads() {
        for value in [
            json!({"inner": {"x": 1, "kind": "plain", "list": [1, null, 3]}}),
            json!({"inner": {"x": -1.5e3, "kind": {"with": "text"}, "list": []}}),
        ] {
            let want: Outer = serde_json::from_value(value.clone()).expect("fits");
            assert_eq!(read::<Outer>(&value).expect("fits"), want);
        }
    }

    #[test]
    fn says_where_it_did_not_fit() {
        let good = json!({"inner": {"x": 1, "kind": "plain", "list": [1, null, 3]}});
        let with = |pointer: &str, new: Value| {
            let mut value = good.clone();
            *value.pointer_mut(pointer).expect("there") = new;
            value
        };
        check(&with("/inner/x", json!("one")), "inner.x", "invalid type");
        check(&with("/inner/list/2", json!(300)), "inner.list[2]", "invalid value");
        check(&with("/inner/kind", json!("fancy")), "inner.kind", "unknown variant");
        check(&with("/inner/kind", json!({"with": 3})), "inner.kind.with", "invalid type");
        check(&with("/inner/kind", json!({"plain": 3})), "inner.kind", "nothing more");
        check(&with("/inner", json!({"x": 1})), "inner", "missing field");
        check(&with("/inner", json!({"x": 1, "y": 2})), "inner.y", "unknown field");
        check(&json!([]), ".", "invalid length");
    }
}
