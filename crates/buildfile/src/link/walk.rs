//! The walk over a document's fields that both ends of a link make in step.
//!
//! A link is a document written as its difference from one of typical values that both ends know
//! (the base): one bit says "as there", so a value nobody measured costs nothing to speak of, and a
//! number that was measured costs the steps it lies away. A field may be told against one before
//! it, or its mirror image, or the better of two fields of the base; a list item against the one
//! before it; a part or text that came before is named by its number. After that there is nothing
//! left for a general compressor to find.
//!
//! Frozen: links of every version are read by it. What a later version needs otherwise is added
//! beside, so that nothing here reads an old link another way.

use super::bits::{Place, Reader, Writer};
use super::known::{self, Num};
use super::shape::{Field, Kind, Near, Sorted};
use super::{LinkError, number, text};
use crate::limits;
use crate::migrate::Fields;
use crate::pretty;
use serde_json::{Map, Number, Value};
use std::borrow::Cow;

/// What no program of ours would have written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Bad(pub(super) &'static str);

impl From<Bad> for LinkError {
    fn from(Bad(what): Bad) -> Self {
        Self::Malformed { what }
    }
}

/// The body for a document's fields.
pub(super) fn encode(shape: &Kind, base: &Value, fields: Fields) -> Result<Vec<u8>, LinkError> {
    let document = Value::Object(plain(fields));
    if size(&document) > limits::LINK_VALUES {
        return Err(LinkError::NotCarried { what: "the many parts".into() });
    }
    let mut encoder = Encoder {
        writer: Writer::default(),
        texts: Vec::new(),
        again: Vec::new(),
        recent: Recent::default(),
        root: base,
    };
    encoder.value(shape, &document, Some(base)).map_err(|what| LinkError::NotCarried { what })?;
    Ok(encoder.writer.finish())
}

/// The document's fields out of a body.
pub(super) fn decode(shape: &Kind, base: &Value, reader: Reader<'_>) -> Result<Fields, LinkError> {
    let mut decoder = Decoder {
        reader,
        texts: Vec::new(),
        again: Vec::new(),
        recent: Recent::default(),
        left: limits::LINK_VALUES,
        root: base,
    };
    let value = decoder.value(shape, Some(base))?;
    decoder.reader.finish()?;
    match value {
        Value::Object(fields) => Ok(fields),
        _ => Err(Bad("no document").into()),
    }
}

/// The same fields with every number in its one plain form and without what was typed.
fn plain(fields: Fields) -> Fields {
    fields.into_iter().map(|(key, value)| (key, plain_value(value))).collect()
}

fn plain_value(value: Value) -> Value {
    match value {
        Value::Array(items) => Value::Array(items.into_iter().map(plain_value).collect()),
        Value::Object(fields) if fields.contains_key("origin") => {
            let value = Value::Object(fields);
            Num::of(&value).and_then(Num::to_value).unwrap_or(value)
        }
        Value::Object(fields) => Value::Object(plain(fields)),
        other => other,
    }
}

/// Equal to the last bit of every number.
fn same(a: &Value, b: &Value) -> bool {
    match (a, b) {
        (Value::Number(a), Value::Number(b)) => match (a.as_u64(), b.as_u64()) {
            (None, None) => a.as_f64().map(f64::to_bits) == b.as_f64().map(f64::to_bits),
            (a, b) => a == b,
        },
        (Value::Array(a), Value::Array(b)) => {
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| same(a, b))
        }
        (Value::Object(a), Value::Object(b)) => {
            a.len() == b.len()
                && a.iter().zip(b).all(|((ka, va), (kb, vb))| ka == kb && same(va, vb))
        }
        (a, b) => a == b,
    }
}

/// How many values hang on this one, itself included.
fn size(value: &Value) -> usize {
    1 + match value {
        Value::Array(items) => items.iter().map(size).sum(),
        Value::Object(fields) => fields.values().map(size).sum(),
        _ => 0,
    }
}

/// What a field is told against, and what else it could be.
fn field_bases<'a>(
    field: &Field,
    before: &Map<String, Value>,
    base: Option<&'a Value>,
) -> [Option<Cow<'a, Value>>; 2] {
    let of_base = |name: &str| base.and_then(|base| base.get(name)).map(Cow::Borrowed);
    let of_before = |name: &str| before.get(name).cloned().map(Cow::Owned);
    match field.near {
        Near::Base => [of_base(field.name), None],
        Near::Either(other) => [of_base(field.name), of_base(other)],
        Near::Before(name) => [of_before(name), None],
        Near::Mirror(name) => [before.get(name).map(|it| Cow::Owned(mirrored(it, false))), None],
    }
}

/// The same on the other side of the truck: every `y_mm` the other way.
fn mirrored(value: &Value, sideways: bool) -> Value {
    match value {
        Value::Number(number) if sideways => match number.as_f64().map(|y| 0.0 - y) {
            Some(y) => Value::from(y),
            None => value.clone(),
        },
        Value::Object(fields) => Value::Object(
            fields
                .iter()
                .map(|(key, field)| {
                    let sideways = key == "y_mm" || (sideways && key == "value");
                    (key.clone(), mirrored(field, sideways))
                })
                .collect(),
        ),
        other => other.clone(),
    }
}

/// What a list item is told against: the same item of the base, else the item before it.
fn item_base<'a>(
    index: usize,
    before: Option<&'a Value>,
    base: Option<&'a Value>,
) -> Option<&'a Value> {
    base.and_then(|base| base.get(index)).or(before)
}

/// What an item of a collection is told against: the one before it of the same word, else the
/// typical one.
fn sorted_base<'a>(
    before: &'a [Value],
    key: &str,
    word: &str,
    root: &'a Value,
    name: &str,
) -> Option<&'a Value> {
    let last = before.iter().rev().find(|item| item.get(key).is_some_and(|it| it == word));
    last.or_else(|| root.get(name)?.get(word))
}

/// What a part is told against: the last part of its kind, whichever that is.
fn latest_of_each_tag(seen: &[Value]) -> Value {
    let tags = seen.iter().filter_map(Value::as_object).flatten();
    Value::Object(tags.map(|(tag, inner)| (tag.clone(), inner.clone())).collect())
}

/// Bits that number `count` words.
const fn word_bits(count: usize) -> u32 {
    usize::BITS - count.saturating_sub(1).leading_zeros()
}

/// How many of the last two numbers were as in the base: measured numbers keep company.
#[derive(Debug, Clone, Copy, Default)]
struct Recent([bool; 2]);

impl Recent {
    fn place(self, kind: &Kind) -> Place {
        match kind {
            Kind::Known => Place::SameNumber(u8::from(self.0[0]) + u8::from(self.0[1])),
            _ => Place::SameOther,
        }
    }

    const fn saw(&mut self, kind: &Kind, same: bool) {
        if matches!(kind, Kind::Known) {
            self.0 = [self.0[1], same];
        }
    }
}

#[derive(Clone)]
struct Encoder<'a> {
    writer: Writer,
    texts: Vec<String>,
    again: Vec<Value>,
    recent: Recent,
    /// The whole base.
    root: &'a Value,
}

impl Encoder<'_> {
    /// Errors name the field that has no place in the version.
    fn value(&mut self, kind: &Kind, value: &Value, base: Option<&Value>) -> Result<(), String> {
        if let Some(base) = base {
            let same = same(value, base);
            self.writer.bit(self.recent.place(kind), same);
            self.recent.saw(kind, same);
            if same {
                return Ok(());
            }
        }
        let odd = || format!("the value {}", pretty::words(value));
        match kind {
            Kind::Known => {
                known::write(&mut self.writer, &Num::of(value).ok_or_else(odd)?, base);
            }
            Kind::Float => {
                let near = base.and_then(Value::as_f64).unwrap_or(0.0);
                number::write(&mut self.writer, value.as_f64().ok_or_else(odd)?, near);
            }
            Kind::Whole => {
                let whole = value.as_u64().filter(|whole| *whole < 1 << 32).ok_or_else(odd)?;
                self.writer.count(Place::Count, whole, 1);
            }
            Kind::Text(longest) => self.text(value.as_str().ok_or_else(odd)?, *longest)?,
            Kind::Word(words) => {
                let at = words.iter().position(|word| value == word).ok_or_else(odd)?;
                self.writer.bits(at as u64, word_bits(words.len()));
            }
            Kind::Struct(fields) => {
                self.fields(fields, value.as_object().ok_or_else(odd)?, base)?;
            }
            Kind::Tagged(tags) => {
                let object = value.as_object().ok_or_else(odd)?;
                let (key, inner) = object.iter().next().ok_or_else(odd)?;
                let at = tags.iter().position(|(tag, _)| tag == key).ok_or_else(odd)?;
                self.writer.bits(at as u64, word_bits(tags.len()));
                let fields = tags.get(at).map_or(&[][..], |(_, fields)| fields);
                self.value(&Kind::Struct(fields), inner, base.and_then(|base| base.get(key)))?;
            }
            Kind::List(of) => {
                let items = value.as_array().ok_or_else(odd)?;
                if items.len() > limits::LIST {
                    return Err(format!("a list of {}", items.len()));
                }
                self.writer.count(Place::Count, items.len() as u64, 1);
                let mut before = None;
                for (index, item) in items.iter().enumerate() {
                    self.value(of, item, item_base(index, before, base))?;
                    before = Some(item);
                }
            }
            Kind::Sorted(Sorted { name, key, words, fields }) => {
                let items = value.as_array().ok_or_else(odd)?;
                if items.len() > limits::LIST {
                    return Err(format!("a list of {}", items.len()));
                }
                self.writer.count(Place::Count, items.len() as u64, 1);
                for (index, item) in items.iter().enumerate() {
                    let mut object = item.as_object().ok_or_else(odd)?.clone();
                    let word = object.remove(*key).ok_or_else(odd)?;
                    let at = words.iter().position(|it| word == *it).ok_or_else(odd)?;
                    self.writer.bits(at as u64, word_bits(words.len()));
                    let word = words.get(at).copied().unwrap_or_default();
                    let before = items.get(..index).unwrap_or_default();
                    let base = sorted_base(before, key, word, self.root, name);
                    if let Some(base) = base {
                        let same = same(item, base);
                        self.writer.bit(Place::SameOther, same);
                        if same {
                            continue;
                        }
                    }
                    self.fields(fields, &object, base)?;
                }
            }
            Kind::Again(of) => {
                let seen = self.again.iter().rev().position(|seen| same(seen, value));
                self.writer.bit(Place::Again, seen.is_some());
                if let Some(back) = seen {
                    self.writer.count(Place::Count, back as u64, 1);
                } else {
                    let base = latest_of_each_tag(&self.again);
                    self.value(of, value, Some(&base))?;
                    self.again.push(value.clone());
                }
            }
        }
        Ok(())
    }

    fn fields(
        &mut self,
        fields: &[Field],
        object: &Map<String, Value>,
        base: Option<&Value>,
    ) -> Result<(), String> {
        if let Some(key) = object.keys().find(|key| fields.iter().all(|f| f.name != key.as_str())) {
            return Err(format!("the field `{key}`"));
        }
        for field in fields {
            let value = object.get(field.name);
            if !field.always {
                self.writer.bit(field.presence, value.is_some());
            }
            match value {
                Some(value) => self.field(field, value, field_bases(field, object, base))?,
                None if field.always => return Err(format!("the lack of `{}`", field.name)),
                None => {}
            }
        }
        Ok(())
    }

    /// A field against the better of the two it could be told against.
    fn field(
        &mut self,
        field: &Field,
        value: &Value,
        [first, second]: [Option<Cow<'_, Value>>; 2],
    ) -> Result<(), String> {
        let Some(second) = second else {
            return self.value(field.kind, value, first.as_deref());
        };
        let mut other = self.clone();
        self.writer.bit(Place::Second, false);
        self.value(field.kind, value, first.as_deref())?;
        other.writer.bit(Place::Second, true);
        other.value(field.kind, value, Some(&second))?;
        if other.writer.length() < self.writer.length() {
            *self = other;
        }
        Ok(())
    }

    fn text(&mut self, text: &str, longest: usize) -> Result<(), String> {
        if text.chars().count() > longest {
            return Err(format!("a text of more than {longest} characters"));
        }
        let seen = self.texts.iter().rev().position(|seen| seen == text);
        self.writer.bit(Place::Again, seen.is_some());
        if let Some(back) = seen {
            self.writer.count(Place::Count, back as u64, 1);
        } else {
            text::write(&mut self.writer, text);
            self.texts.push(text.to_owned());
        }
        Ok(())
    }
}

struct Decoder<'a> {
    reader: Reader<'a>,
    texts: Vec<String>,
    again: Vec<Value>,
    recent: Recent,
    /// Values that may still unfold.
    left: usize,
    /// The whole base.
    root: &'a Value,
}

impl Decoder<'_> {
    fn value(&mut self, kind: &Kind, base: Option<&Value>) -> Result<Value, Bad> {
        if let Some(base) = base {
            let same = self.reader.bit(self.recent.place(kind))?;
            self.recent.saw(kind, same);
            if same {
                return self.copy(base);
            }
        }
        self.spend(1)?;
        Ok(match kind {
            Kind::Known => known::read(&mut self.reader, base)?,
            Kind::Float => {
                let near = base.and_then(Value::as_f64).unwrap_or(0.0);
                let number = number::read(&mut self.reader, near)?;
                Value::Number(Number::from_f64(number).ok_or(Bad("a number that is none"))?)
            }
            Kind::Whole => match self.reader.count(Place::Count, 1)? {
                whole if whole < 1 << 32 => Value::from(whole),
                _ => return Err(Bad("a whole number too large")),
            },
            Kind::Text(longest) => Value::String(self.text(*longest)?),
            Kind::Word(words) => {
                let word = pick(words, self.reader.bits(word_bits(words.len()))?)?;
                Value::from(*word)
            }
            Kind::Struct(fields) => Value::Object(self.fields(fields, base)?),
            Kind::Tagged(tags) => {
                let (tag, fields) = pick(tags, self.reader.bits(word_bits(tags.len()))?)?;
                let inner =
                    self.value(&Kind::Struct(fields), base.and_then(|base| base.get(tag)))?;
                let mut object = Map::new();
                object.insert((*tag).to_owned(), inner);
                Value::Object(object)
            }
            Kind::List(of) => {
                let length = self.reader.count(Place::Count, 1)?;
                if length > limits::LIST as u64 {
                    return Err(Bad("a list too long"));
                }
                let mut items: Vec<Value> = Vec::new();
                for index in 0..limits::LIST.min(usize::try_from(length).unwrap_or(0)) {
                    let item = self.value(of, item_base(index, items.last(), base))?;
                    items.push(item);
                }
                Value::Array(items)
            }
            Kind::Sorted(Sorted { name, key, words, fields }) => {
                let length = self.reader.count(Place::Count, 1)?;
                if length > limits::LIST as u64 {
                    return Err(Bad("a list too long"));
                }
                let mut items: Vec<Value> = Vec::new();
                for _ in 0..limits::LIST.min(usize::try_from(length).unwrap_or(0)) {
                    let word = *pick(words, self.reader.bits(word_bits(words.len()))?)?;
                    let base = sorted_base(&items, key, word, self.root, name);
                    if let Some(base) = base
                        && self.reader.bit(Place::SameOther)?
                    {
                        let item = self.copy(base)?;
                        items.push(item);
                        continue;
                    }
                    self.spend(2)?;
                    let mut object = self.fields(fields, base)?;
                    object.insert((*key).to_owned(), Value::from(word));
                    items.push(Value::Object(object));
                }
                Value::Array(items)
            }
            Kind::Again(of) => {
                if self.reader.bit(Place::Again)? {
                    let back = self.reader.count(Place::Count, 1)?;
                    let seen = recall(&self.again, back)?.clone();
                    self.copy(&seen)?
                } else {
                    let base = latest_of_each_tag(&self.again);
                    let value = self.value(of, Some(&base))?;
                    self.again.push(value.clone());
                    value
                }
            }
        })
    }

    fn fields(
        &mut self,
        fields: &[Field],
        base: Option<&Value>,
    ) -> Result<Map<String, Value>, Bad> {
        let mut object = Map::new();
        for field in fields {
            if field.always || self.reader.bit(field.presence)? {
                let [first, second] = field_bases(field, &object, base);
                let near = match second {
                    Some(second) if self.reader.bit(Place::Second)? => Some(second),
                    _ => first,
                };
                let value = self.value(field.kind, near.as_deref())?;
                object.insert(field.name.to_owned(), value);
            }
        }
        Ok(object)
    }

    fn text(&mut self, longest: usize) -> Result<String, Bad> {
        if self.reader.bit(Place::Again)? {
            let back = self.reader.count(Place::Count, 1)?;
            return Ok(recall(&self.texts, back)?.clone());
        }
        let text = text::read(&mut self.reader, longest)?;
        self.texts.push(text.clone());
        Ok(text)
    }

    fn copy(&mut self, value: &Value) -> Result<Value, Bad> {
        self.spend(size(value))?;
        Ok(value.clone())
    }

    fn spend(&mut self, values: usize) -> Result<(), Bad> {
        self.left = self.left.checked_sub(values).ok_or(Bad("more than a build"))?;
        Ok(())
    }
}

/// The word or tag with this number.
fn pick<T>(of: &[T], number: u64) -> Result<&T, Bad> {
    usize::try_from(number).ok().and_then(|at| of.get(at)).ok_or(Bad("a word there is not"))
}

/// What came this many before the last.
fn recall<T>(seen: &[T], back: u64) -> Result<&T, Bad> {
    usize::try_from(back)
        .ok()
        .and_then(|back| seen.iter().rev().nth(back))
        .ok_or(Bad("a reference to nothing"))
}
