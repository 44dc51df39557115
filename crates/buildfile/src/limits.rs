//! How big anything from outside may be, in one place.

/// Longest JSON document that is parsed at all, bytes.
pub const JSON_BYTES: usize = 1 << 20;
/// Deepest nesting of a JSON document. The deepest build has 12 levels.
pub const JSON_DEPTH: usize = 24;
/// Longest list anywhere in a document.
pub const LIST: usize = 64;
/// Longest text of a name, a designation, a typed entry, characters.
pub const TEXT: usize = 200;
/// Longest note, characters.
pub const NOTE: usize = 4000;
/// Longest link that is decoded, characters.
pub const LINK_CHARS: usize = 16_384;
/// Most values a link may unfold into.
pub const LINK_VALUES: usize = 20_000;
