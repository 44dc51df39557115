//! The document as a tree that one reader, one writer and one search walk, whatever its types.
//!
//! `serde` would compile every one of those once more for each of forty types: a sixth of the
//! page. Here each type only names its fields (`tables`); the walks know a dozen kinds of
//! value.

mod find;
mod kinds;
mod tables;

pub use find::{Slot, SlotMut, slot, slot_mut, text, text_mut};
pub(crate) use tables::Document;

use fitment::calibrate::Kind;
use fitment::measure::Known;

/// A value somewhere in the document.
pub trait Node {
    /// What it is, to read it.
    fn see(&self) -> See<'_>;
    /// What it is, to change it.
    fn touch(&mut self) -> Touch<'_>;
}

/// A value and what is in it.
pub enum See<'a> {
    /// A number with uncertainty and origin.
    Known(&'a Known),
    /// The same, where it may be absent.
    MayKnown(Option<&'a Known>),
    /// Text.
    Text(&'a str),
    /// A plain number.
    Float(f64),
    /// A whole number.
    Whole(usize),
    /// Two plain numbers.
    Pair([f64; 2]),
    /// One of a few words.
    Word(&'static str),
    /// What a reading is of.
    Kind(Kind),
    /// An object of fields.
    Fields(&'a dyn Fields),
    /// One of several objects, under its name.
    Tagged(&'a dyn Tagged),
    /// Something that may be absent.
    May(Option<&'a dyn Node>),
    /// A list.
    List(&'a dyn List),
}

/// A value, to be changed in its place.
pub enum Touch<'a> {
    /// A number with uncertainty and origin.
    Known(&'a mut Known),
    /// The same, where it may be absent.
    MayKnown(&'a mut Option<Known>),
    /// Text.
    Text(&'a mut String),
    /// A plain number.
    Float(&'a mut f64),
    /// A whole number.
    Whole(&'a mut usize),
    /// Two plain numbers.
    Pair(&'a mut [f64; 2]),
    /// One of a few words.
    Word(&'a mut dyn Word),
    /// What a reading is of.
    Kind(&'a mut Kind),
    /// An object of fields.
    Fields(&'a mut dyn Fields),
    /// One of several objects, under its name.
    Tagged(&'a mut dyn Tagged),
    /// Something that may be absent.
    May(&'a mut dyn May),
    /// A list.
    List(&'a mut dyn List),
}

/// What is known of a type of objects.
pub struct About {
    /// What it is called where something else was found.
    pub what: &'static str,
    /// The names of its fields, in the order they are written.
    pub names: &'static [&'static str],
    /// For each, whether the document may leave it out.
    pub how: &'static [How],
}

/// Whether a field may be left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum How {
    /// Always there.
    Must,
    /// Always written, but may be left out by hand.
    Wrote,
    /// Left out when nothing is in it.
    May,
}

/// An object of fields, by their number in [`About::names`].
pub trait Fields {
    /// Its names.
    fn about(&self) -> &'static About;
    /// The field with this number.
    fn field(&self, at: usize) -> Option<&dyn Node>;
    /// The field with this number, to change it.
    fn field_mut(&mut self, at: usize) -> Option<&mut dyn Node>;
    /// True when there is nothing to write.
    fn is_idle(&self) -> bool {
        (0..self.about().names.len()).all(|at| self.field(at).is_none_or(is_idle))
    }
}

/// One of a few words.
pub trait Word {
    /// All of them.
    fn words(&self) -> &'static [&'static str];
    /// Becomes the word with this number.
    fn choose(&mut self, at: usize);
}

/// One of several objects; as [`Fields`] it is the one it is now.
pub trait Tagged: Fields {
    /// The names of all.
    fn tags(&self) -> &'static [&'static str];
    /// The name of this one.
    fn tag(&self) -> &'static str;
    /// Becomes the one with this number, with nothing in it.
    fn choose(&mut self, at: usize);
}

/// Something that may be absent.
pub trait May {
    /// It, if it is there.
    fn get_mut(&mut self) -> Option<&mut dyn Node>;
    /// Takes it away.
    fn clear(&mut self);
    /// Puts one there, with nothing in it.
    fn fill(&mut self) -> &mut dyn Node;
}

/// A list.
pub trait List {
    /// How many items.
    fn len(&self) -> usize;
    /// True when there are none.
    fn is_empty(&self) -> bool {
        self.len() == 0
    }
    /// The item with this number.
    fn item(&self, at: usize) -> Option<&dyn Node>;
    /// The item with this number, to change it.
    fn item_mut(&mut self, at: usize) -> Option<&mut dyn Node>;
    /// Takes all away.
    fn clear(&mut self);
    /// Adds one with nothing in it.
    fn add(&mut self) -> &mut dyn Node;
}

/// True when a field that may be left out is left out.
pub(crate) fn is_idle(node: &dyn Node) -> bool {
    match node.see() {
        See::MayKnown(known) => known.is_none(),
        See::May(inner) => inner.is_none(),
        See::List(list) => list.is_empty(),
        See::Text(text) => text.is_empty(),
        See::Fields(fields) => fields.is_idle(),
        See::Known(_)
        | See::Float(_)
        | See::Whole(_)
        | See::Pair(_)
        | See::Word(_)
        | See::Kind(_)
        | See::Tagged(_) => false,
    }
}
