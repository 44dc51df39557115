//! How the shape of a document is written down for the walk.

use super::bits::Place;

/// What a value is and how it travels.
#[derive(Debug)]
pub(super) enum Kind {
    /// A number with uncertainty and origin.
    Known,
    /// A plain number.
    Float,
    /// A small whole number.
    Whole,
    /// Text up to a length.
    Text(usize),
    /// One of a few words.
    Word(&'static [&'static str]),
    /// An object with these fields.
    Struct(&'static [Field]),
    /// An object with one key of these, and its fields inside.
    Tagged(&'static [(&'static str, &'static [Field])]),
    /// A list.
    List(&'static Kind),
    /// A list of objects, each of one of a few kinds.
    Sorted(&'static Sorted),
    /// Something that tends to come again elsewhere; then only its number is sent.
    Again(&'static Kind),
}

/// A list of objects each told against the last one of its kind, or the typical one of its kind.
#[derive(Debug)]
pub(super) struct Sorted {
    /// Where the base keeps the typical ones, by their word, at its root.
    pub(super) name: &'static str,
    /// The field that holds the word.
    pub(super) key: &'static str,
    /// The words there are.
    pub(super) words: &'static [&'static str],
    /// The other fields.
    pub(super) fields: &'static [Field],
}

/// A field of an object.
#[derive(Debug)]
pub(super) struct Field {
    pub(super) name: &'static str,
    pub(super) kind: &'static Kind,
    /// False when the document may leave it out.
    pub(super) always: bool,
    /// Where the bit that it is there is weighed.
    pub(super) presence: Place,
    /// What it most likely resembles.
    pub(super) near: Near,
}

/// What a field is told against.
#[derive(Debug)]
pub(super) enum Near {
    /// The same field of the base.
    Base,
    /// The same field of the base or this other one; a bit says which.
    Either(&'static str),
    /// The field before it of this name.
    Before(&'static str),
    /// The mirror image of the field before it of this name.
    Mirror(&'static str),
}

/// A field that is always there.
pub(super) const fn one(name: &'static str, kind: &'static Kind) -> Field {
    Field { name, kind, always: true, presence: Place::Present, near: Near::Base }
}

/// A field that the document may leave out.
pub(super) const fn maybe(name: &'static str, kind: &'static Kind) -> Field {
    Field { name, kind, always: false, presence: Place::Present, near: Near::Base }
}

/// A field that the document nearly always leaves out.
pub(super) const fn seldom(name: &'static str, kind: &'static Kind) -> Field {
    Field { presence: Place::Seldom, ..maybe(name, kind) }
}

impl Field {
    /// The same field, told against something else.
    pub(super) const fn near(self, near: Near) -> Self {
        Self { near, ..self }
    }
}
