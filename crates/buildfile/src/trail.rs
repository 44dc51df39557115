//! Reads a JSON value into a type and remembers where it was when something did not fit.
//!
//! `serde_path_to_error` does the same around any deserializer, at the price of every visitor
//! compiled once more: a tenth of the page. Over a value already in memory one small deserializer
//! does.

use serde::de::{
    self, DeserializeOwned, DeserializeSeed, Deserializer, EnumAccess, Expected, MapAccess,
    SeqAccess, Unexpected, VariantAccess, Visitor, value::StrDeserializer,
};
use serde::forward_to_deserialize_any;
use serde_json::Value;
use std::cell::RefCell;
use std::fmt;

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
        what: error.0,
    })
}

/// What did not fit, in words.
///
/// Not the parser's own error, which brings its own way of writing numbers with it.
#[derive(Debug)]
struct Fault(String);

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::error::Error for Fault {}

impl de::Error for Fault {
    fn custom<T: fmt::Display>(what: T) -> Self {
        Self(what.to_string())
    }
}

/// A value of the wrong kind.
#[cold]
fn wrong(value: &Value, expected: &dyn Expected) -> Fault {
    let met = match value {
        Value::Null => Unexpected::Other("null"),
        Value::Bool(yes) => Unexpected::Bool(*yes),
        Value::Number(number) => match (number.as_u64(), number.as_i64(), number.as_f64()) {
            (Some(n), _, _) => Unexpected::Unsigned(n),
            (_, Some(n), _) => Unexpected::Signed(n),
            (_, _, Some(n)) => Unexpected::Float(n),
            _ => Unexpected::Other("a number out of range"),
        },
        Value::String(text) => Unexpected::Str(text),
        Value::Array(_) => Unexpected::Seq,
        Value::Object(_) => Unexpected::Map,
    };
    de::Error::invalid_type(met, expected)
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
///
/// What does not depend on the type read stands in functions of its own: everything else here is
/// compiled once for each type of the document.
#[derive(Clone, Copy)]
struct Here<'a> {
    value: &'a Value,
    at: &'a Place<'a>,
    first: &'a RefCell<Option<String>>,
}

impl<'a> Here<'a> {
    /// Notes the innermost place of the first error.
    fn note<T>(self, result: Result<T, Fault>) -> Result<T, Fault> {
        if result.is_err() {
            self.mark();
        }
        result
    }

    #[cold]
    #[inline(never)]
    fn mark(self) {
        self.first.borrow_mut().get_or_insert_with(|| self.at.path());
    }

    #[cold]
    #[inline(never)]
    fn wrong(self, expected: &dyn Expected) -> Fault {
        self.mark();
        wrong(self.value, expected)
    }

    /// The choice's name and what comes with it.
    #[inline(never)]
    fn choice(self) -> Result<(&'a str, Option<&'a Value>), Fault> {
        match self.value {
            Value::String(name) => return Ok((name, None)),
            Value::Object(fields) if fields.len() == 1 => {
                if let Some((name, body)) = fields.iter().next() {
                    return Ok((name, Some(body)));
                }
            }
            _ => {}
        }
        self.mark();
        Err(wrong(self.value, &"one of the choices"))
    }
}

impl<'de> Deserializer<'de> for Here<'_> {
    type Error = Fault;

    fn deserialize_any<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        match self.value {
            Value::Null => self.note(visitor.visit_unit()),
            Value::Bool(yes) => self.note(visitor.visit_bool(*yes)),
            Value::Number(_) => self.deserialize_f64(visitor),
            Value::String(_) => self.deserialize_str(visitor),
            Value::Array(_) => self.deserialize_seq(visitor),
            Value::Object(_) => self.deserialize_map(visitor),
        }
    }

    fn deserialize_f64<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        match self.value.as_f64() {
            Some(number) => self.note(visitor.visit_f64(number)),
            None => Err(self.wrong(&visitor)),
        }
    }

    fn deserialize_u64<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        match self.value.as_u64() {
            Some(number) => self.note(visitor.visit_u64(number)),
            None => Err(self.wrong(&visitor)),
        }
    }

    fn deserialize_u32<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        self.deserialize_u64(visitor)
    }

    fn deserialize_u8<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        self.deserialize_u64(visitor)
    }

    fn deserialize_str<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        match self.value {
            Value::String(text) => self.note(visitor.visit_str(text)),
            _ => Err(self.wrong(&visitor)),
        }
    }

    fn deserialize_string<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        self.deserialize_str(visitor)
    }

    fn deserialize_seq<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        let Value::Array(items) = self.value else { return Err(self.wrong(&visitor)) };
        let mut list = List { around: self, items, next: 0 };
        self.note(visitor.visit_seq(&mut list).and_then(|value| {
            if list.next == items.len() {
                Ok(value)
            } else {
                Err(de::Error::invalid_length(items.len(), &"fewer items"))
            }
        }))
    }

    fn deserialize_tuple<V: Visitor<'de>>(
        self,
        _len: usize,
        visitor: V,
    ) -> Result<V::Value, Fault> {
        self.deserialize_seq(visitor)
    }

    fn deserialize_map<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        let Value::Object(fields) = self.value else { return Err(self.wrong(&visitor)) };
        self.note(visitor.visit_map(Fields { around: self, rest: fields.iter(), value: None }))
    }

    fn deserialize_struct<V: Visitor<'de>>(
        self,
        _name: &'static str,
        _fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Fault> {
        self.deserialize_map(visitor)
    }

    fn deserialize_option<V: Visitor<'de>>(self, visitor: V) -> Result<V::Value, Fault> {
        if self.value.is_null() { visitor.visit_none() } else { visitor.visit_some(self) }
    }

    fn deserialize_newtype_struct<V: Visitor<'de>>(
        self,
        _name: &'static str,
        visitor: V,
    ) -> Result<V::Value, Fault> {
        visitor.visit_newtype_struct(self)
    }

    fn deserialize_enum<V: Visitor<'de>>(
        self,
        _name: &'static str,
        _variants: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Fault> {
        let (name, body) = self.choice()?;
        self.note(visitor.visit_enum(Variant { around: self, name, body }))
    }

    forward_to_deserialize_any! {
        bool i8 i16 i32 i64 i128 u16 u128 f32 char bytes byte_buf unit unit_struct tuple_struct
        identifier ignored_any
    }
}

struct List<'a> {
    around: Here<'a>,
    items: &'a [Value],
    next: usize,
}

impl<'de> SeqAccess<'de> for &mut List<'_> {
    type Error = Fault;

    fn next_element_seed<S: DeserializeSeed<'de>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, Fault> {
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

impl<'a> Fields<'a> {
    #[inline(never)]
    fn step(&mut self) -> Option<&'a str> {
        self.value = self.rest.next().map(|(key, value)| (key.as_str(), value));
        self.value.map(|(key, _)| key)
    }
}

impl<'de> MapAccess<'de> for Fields<'_> {
    type Error = Fault;

    fn next_key_seed<S: DeserializeSeed<'de>>(
        &mut self,
        seed: S,
    ) -> Result<Option<S::Value>, Fault> {
        let Some(key) = self.step() else { return Ok(None) };
        seed.deserialize(StrDeserializer::new(key)).map(Some).inspect_err(|_| {
            let at = Place::Key(self.around.at, key);
            Here { at: &at, ..self.around }.mark();
        })
    }

    fn next_value_seed<S: DeserializeSeed<'de>>(&mut self, seed: S) -> Result<S::Value, Fault> {
        let (key, value) = self.value.ok_or_else(|| Fault("a value before its key".to_owned()))?;
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
    type Error = Fault;
    type Variant = Body<'a>;

    fn variant_seed<S: DeserializeSeed<'de>>(
        self,
        seed: S,
    ) -> Result<(S::Value, Self::Variant), Fault> {
        let name = seed.deserialize(StrDeserializer::<Fault>::new(self.name))?;
        Ok((name, Body { around: self.around, name: self.name, inner: self.body }))
    }
}

struct Body<'a> {
    around: Here<'a>,
    name: &'a str,
    inner: Option<&'a Value>,
}

impl Body<'_> {
    fn with<T>(&self, read: impl FnOnce(Here<'_>) -> Result<T, Fault>) -> Result<T, Fault> {
        let value = self.inner.ok_or_else(|| Fault("a choice that needs more".to_owned()))?;
        let at = Place::Key(self.around.at, self.name);
        let here = Here { value, at: &at, first: self.around.first };
        here.note(read(here))
    }
}

impl<'de> VariantAccess<'de> for Body<'_> {
    type Error = Fault;

    fn unit_variant(self) -> Result<(), Fault> {
        match self.inner {
            None => Ok(()),
            Some(_) => Err(Fault("a choice that takes nothing more".to_owned())),
        }
    }

    fn newtype_variant_seed<S: DeserializeSeed<'de>>(self, seed: S) -> Result<S::Value, Fault> {
        self.with(|here| seed.deserialize(here))
    }

    fn tuple_variant<V: Visitor<'de>>(self, _len: usize, visitor: V) -> Result<V::Value, Fault> {
        self.with(|here| here.deserialize_seq(visitor))
    }

    fn struct_variant<V: Visitor<'de>>(
        self,
        _fields: &'static [&'static str],
        visitor: V,
    ) -> Result<V::Value, Fault> {
        self.with(|here| here.deserialize_map(visitor))
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
        check(&json!([]), ".", "invalid type");
    }
}
