//! A number or text by its dotted path from where one stands, such as `front.panhard.axle.y_mm`.
//!
//! Which layout an axle has and what kind a part is are not in the path: the truck knows.

use super::{Fields, Node, See, Touch};
use fitment::measure::Known;

/// A number's place, to read it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Slot<'a> {
    /// Always there.
    Must(&'a Known),
    /// There once somebody gave it.
    May(Option<&'a Known>),
}

impl<'a> Slot<'a> {
    /// The number, if there is one.
    pub const fn known(self) -> Option<&'a Known> {
        match self {
            Self::Must(known) => Some(known),
            Self::May(known) => known,
        }
    }
}

/// A number's place, to change it.
pub enum SlotMut<'a> {
    /// Always there.
    Must(&'a mut Known),
    /// There once somebody gave it.
    May(&'a mut Option<Known>),
}

/// The number at a path; `None` where there is no such place.
pub fn slot<'a>(node: &'a dyn Node, path: &str) -> Option<Slot<'a>> {
    match see(node, path)? {
        See::Known(known) => Some(Slot::Must(known)),
        See::MayKnown(known) => Some(Slot::May(known)),
        _ => None,
    }
}

/// The number at a path, to change it; `None` where there is no such place.
pub fn slot_mut<'a>(node: &'a mut dyn Node, path: &str) -> Option<SlotMut<'a>> {
    match touch(node, path)? {
        Touch::Known(known) => Some(SlotMut::Must(known)),
        Touch::MayKnown(known) => Some(SlotMut::May(known)),
        _ => None,
    }
}

/// The text at a path; `None` where there is none.
pub fn text<'a>(node: &'a dyn Node, path: &str) -> Option<&'a str> {
    match see(node, path)? {
        See::Text(text) => Some(text),
        _ => None,
    }
}

/// The text at a path, to change it; `None` where there is none.
pub fn text_mut<'a>(node: &'a mut dyn Node, path: &str) -> Option<&'a mut String> {
    match touch(node, path)? {
        Touch::Text(text) => Some(text),
        _ => None,
    }
}

/// What is at a path.
fn see<'a>(node: &'a dyn Node, path: &str) -> Option<See<'a>> {
    let Some(step) = Step::of(path) else { return Some(node.see()) };
    match (node.see(), &step) {
        (See::May(inner), _) => see(inner?, path),
        (See::Fields(fields), Step::Name(name, rest)) => {
            see(fields.field(number(fields, name)?)?, rest)
        }
        (See::Tagged(tagged), Step::Name(name, rest)) => {
            let fields: &dyn Fields = tagged;
            see(fields.field(number(fields, name)?)?, rest)
        }
        (See::List(list), Step::Item(at, rest)) => see(list.item(*at)?, rest),
        _ => None,
    }
}

/// What is at a path, to change it.
fn touch<'a>(node: &'a mut dyn Node, path: &str) -> Option<Touch<'a>> {
    let Some(step) = Step::of(path) else { return Some(node.touch()) };
    match (node.touch(), &step) {
        (Touch::May(inner), _) => touch(inner.get_mut()?, path),
        (Touch::Fields(fields), Step::Name(name, rest)) => {
            let at = number(fields, name)?;
            touch(fields.field_mut(at)?, rest)
        }
        (Touch::Tagged(tagged), Step::Name(name, rest)) => {
            let fields: &mut dyn Fields = tagged;
            let at = number(fields, name)?;
            touch(fields.field_mut(at)?, rest)
        }
        (Touch::List(list), Step::Item(at, rest)) => touch(list.item_mut(*at)?, rest),
        _ => None,
    }
}

/// The number of a field among its like.
fn number(fields: &dyn Fields, name: &str) -> Option<usize> {
    fields.about().names.iter().position(|known| *known == name)
}

/// The first step of a path and what is left of it.
enum Step<'a> {
    Name(&'a str, &'a str),
    Item(usize, &'a str),
}

impl<'a> Step<'a> {
    /// None at the path's end.
    fn of(path: &'a str) -> Option<Self> {
        if path.is_empty() {
            return None;
        }
        if let Some((at, rest)) = path.strip_prefix('[').and_then(|path| path.split_once(']'))
            && let Ok(at) = at.parse()
        {
            return Some(Self::Item(at, rest.strip_prefix('.').unwrap_or(rest)));
        }
        let end = path.find(['.', '[']).unwrap_or(path.len());
        let (name, rest) = path.split_at(end);
        Some(Self::Name(name, rest.strip_prefix('.').unwrap_or(rest)))
    }
}
