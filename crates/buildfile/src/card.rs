//! A card of the look-ups with what was put into it, as a link a person can read.
//!
//! `c1.` and then the CRC-32 of the rest (8 hex digits), `.`, the card's name, `?` and
//! `field=words` joined by `&`. Words carry their unit, so they mean the same in either system;
//! everything but letters, digits and `-._~/` is percent-encoded. Fields left out are as the card
//! starts from.

use crate::limits;
use checks::{self, Card};
use std::fmt::Write as _;

/// What every link of a card begins with, after the `#`.
pub const MARK: &str = "c1.";

/// Longest link of a card that is read, characters.
const CHARS: usize = 6000;
/// Longest words of one field, characters.
const WORDS: usize = 64;

/// What was put into a card: by field, in words.
pub type Given = Vec<(&'static str, String)>;

/// Why a card's link did not open, or could not be made.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum CardLinkError {
    /// No card in the text.
    #[error("there is no look-up in this link; copy it whole, from its start to its very end")]
    NotALink,
    /// Longer than any card's.
    #[error("the link has {chars} characters, a look-up's has at most {CHARS}")]
    TooLong {
        /// Its length.
        chars: usize,
    },
    /// The checksum disagrees.
    #[error(
        "the link was cut short or damaged on its way: its checksum disagrees; copy it again from where it was sent"
    )]
    Checksum,
    /// A card this program does not have.
    #[error("there is no look-up {card:?} here; reload the page or update the program to open it")]
    NoCard {
        /// Its name.
        card: String,
    },
    /// A field the card does not have.
    #[error(
        "the look-up {card} asks for no {field:?} here; reload the page or update the program to open it"
    )]
    NoField {
        /// The card.
        card: &'static str,
        /// The field.
        field: String,
    },
    /// Something no link of ours has.
    #[error("the link is not one this program makes ({what})")]
    Malformed {
        /// What it has.
        what: &'static str,
    },
}

/// The link's fragment for a card, without the `#`.
pub fn encode(card: &Card, given: &[(&'static str, String)]) -> String {
    let mut rest = card.slug.to_owned();
    for (at, (field, words)) in given.iter().enumerate() {
        rest.push(if at == 0 { '?' } else { '&' });
        rest.push_str(field);
        rest.push('=');
        write_words(&mut rest, words);
    }
    format!("{MARK}{:08x}.{rest}", crc32fast::hash(rest.as_bytes()))
}

/// The card in a link and what was put into it: a whole address, a `#…` fragment or the bare code.
///
/// # Errors
/// [`CardLinkError`] says how it was spoiled; a link that opens is the link that was made. Whether
/// the words read is looked at when the card answers.
pub fn decode(text: &str) -> Result<(&'static Card, Given), CardLinkError> {
    let chars = text.len();
    if chars > CHARS {
        return Err(CardLinkError::TooLong { chars });
    }
    let text: String = text.chars().filter(|c| !c.is_whitespace()).collect();
    let code = text.rsplit('#').next().unwrap_or_default();
    let code = code.strip_prefix(MARK).ok_or(CardLinkError::NotALink)?;
    let (sum, rest) = code.split_once('.').ok_or(CardLinkError::Checksum)?;
    if u32::from_str_radix(sum, 16) != Ok(crc32fast::hash(rest.as_bytes())) {
        return Err(CardLinkError::Checksum);
    }
    let (slug, fields) = rest.split_once('?').unwrap_or((rest, ""));
    let card = checks::card(slug)
        .ok_or_else(|| CardLinkError::NoCard { card: slug.chars().take(WORDS).collect() })?;
    let mut given = Given::new();
    for pair in fields.split('&').filter(|pair| !pair.is_empty()) {
        let malformed = |what| CardLinkError::Malformed { what };
        let (key, words) = pair.split_once('=').ok_or(malformed("a field without words"))?;
        let field = card.field(key).ok_or_else(|| CardLinkError::NoField {
            card: card.slug,
            field: key.chars().take(WORDS).collect(),
        })?;
        if given.iter().any(|(known, _)| *known == field.key) {
            return Err(malformed("a field twice"));
        }
        let words = read_words(words).ok_or(malformed("words that are no text"))?;
        if words.chars().count() > WORDS.min(limits::TEXT) {
            return Err(malformed("words too long"));
        }
        given.push((field.key, words));
    }
    Ok((card, given))
}

fn write_words(text: &mut String, words: &str) {
    for byte in words.bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~/".contains(&byte) {
            text.push(char::from(byte));
        } else {
            // Writing to a string does not fail.
            let _ = write!(text, "%{byte:02X}");
        }
    }
}

fn read_words(text: &str) -> Option<String> {
    let mut bytes = Vec::with_capacity(text.len());
    let mut rest = text.bytes();
    while let Some(byte) = rest.next() {
        if byte == b'%' {
            let digits = [rest.next()?, rest.next()?];
            let digits = std::str::from_utf8(&digits).ok()?;
            bytes.push(u8::from_str_radix(digits, 16).ok()?);
        } else {
            bytes.push(byte);
        }
    }
    String::from_utf8(bytes).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn given() -> Given {
        vec![
            ("tire", "33x12.50R15".to_owned()),
            ("speed", "62 ± 1 mph".to_owned()),
            ("gear", "0,72".to_owned()),
        ]
    }

    fn card() -> &'static Card {
        checks::card("gearing").unwrap()
    }

    #[test]
    fn what_is_written_comes_back() {
        let code = encode(card(), &given());
        assert!(code.is_ascii() && code.len() < 120, "{code}");
        for text in [
            code.clone(),
            format!("#{code}"),
            format!("tools.test/#{code}"),
            format!(" {} \n{} ", &code[..20], &code[20..]),
        ] {
            let (read, back) = decode(&text).unwrap();
            assert_eq!((read.slug, back), ("gearing", given()), "{text}");
        }
        assert_eq!(decode(&encode(card(), &[])).unwrap().1, Given::new());
    }

    #[test]
    fn every_card_from_any_words() {
        for card in checks::ALL.iter() {
            let given: Given =
                card.fields.iter().map(|field| (field.key, "½ \"'&=?#%°±".to_owned())).collect();
            let code = encode(card, &given);
            assert!(code.len() <= CHARS, "{}: {}", card.slug, code.len());
            assert_eq!(decode(&code).unwrap().1, given, "{}", card.slug);
        }
    }

    #[test]
    fn every_spoiled_link_says_so() {
        let code = encode(card(), &given());
        for end in 0..code.len() {
            assert!(decode(&code[..end]).is_err(), "{end}");
        }
        let sealed = |rest: &str| format!("{MARK}{:08x}.{rest}", crc32fast::hash(rest.as_bytes()));
        for (text, want) in [
            ("#truck".to_owned(), "no look-up in this link"),
            (sealed("nothing?a=1"), "no look-up \"nothing\""),
            (sealed("gearing?color=1"), "no \"color\""),
            (sealed("gearing?speed"), "without words"),
            (sealed("gearing?speed=1&speed=2"), "twice"),
            (sealed("gearing?speed=%F"), "no text"),
            (sealed("gearing?speed=%FF"), "no text"),
            (sealed(&format!("gearing?speed={}", "1".repeat(65))), "too long"),
            (format!("{code}x"), "checksum"),
            ("c1.".repeat(4000), "characters"),
        ] {
            let error = decode(&text).err().unwrap().to_string();
            assert!(error.contains(want), "{text}: {error}");
        }
    }
}
