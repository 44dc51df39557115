//! Finds cards by the words a person of the trade would use.

use super::{ALL, Card};
use fitment::few::sort_few;

/// The cards that every word of `text` fits, best first; all of them for no words.
///
/// A word fits where a card's heading, search words, purpose or fields have it, whole or in part;
/// `u-joint` and `ujoint` are one.
pub fn find(text: &str) -> Vec<&'static Card> {
    let wanted: Vec<String> =
        text.split_whitespace().take(8).map(plain).filter(|word| !word.is_empty()).collect();
    let mut found: Vec<(u32, &'static Card)> = ALL
        .iter()
        .filter_map(|card| {
            let ranks = wanted.iter().map(|word| rank(card, word));
            Some((ranks.sum::<Option<u32>>()?, card))
        })
        .collect();
    // In reading order where they fit alike.
    sort_few(&mut found, |a, b| a.0.cmp(&b.0));
    found.into_iter().map(|(_, card)| card).collect()
}

/// How far from the heading a word is found; `None` where it is not.
fn rank(card: &Card, word: &str) -> Option<u32> {
    let has = |text: &str| plain(text).contains(word);
    let fields = || card.fields.iter().any(|field| has(field.label));
    if has(card.title) || has(card.slug) {
        Some(0)
    } else if card.words.iter().any(|words| has(words)) {
        Some(1)
    } else if has(card.about) {
        Some(2)
    } else {
        fields().then_some(3)
    }
}

/// Small letters and digits alone, the British spelling turned.
fn plain(text: &str) -> String {
    let text: String = text
        .chars()
        .filter(|c| c.is_ascii_alphanumeric() || !c.is_ascii())
        .map(|c| c.to_ascii_lowercase())
        .collect();
    text.replace("tyre", "tire").replace("centre", "center")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_of_the_trade_find_their_card_first() {
        for (text, want) in [
            ("speedo", "gearing"),
            ("U joint", "driveline"),
            ("ujoint", "driveline"),
            ("pinion angle", "driveline"),
            ("tyre size", "tires"),
            ("psi", "tire-load"),
            ("air down", "tire-load"),
            ("rollover", "stability"),
            ("bump stop", "ride"),
            ("limit strap", "ride"),
            ("wheel spacer", "hub"),
            ("pcd", "pattern"),
            ("lug nut", "bolts"),
            ("brake line", "hose"),
            ("RTI", "angles"),
            ("mig", "welder"),
            ("fillet", "weld"),
            ("double shear", "bracket"),
            ("ackermann", "turning"),
            ("toe", "toe"),
            ("camber", "caster-sweep"),
        ] {
            assert_eq!(find(text).first().map(|card| card.slug), Some(want), "{text}");
        }
    }

    #[test]
    fn no_words_give_all_and_strange_ones_none() {
        assert_eq!(find(" ").len(), ALL.len());
        assert!(find("marmalade").is_empty());
        assert!(find("tire marmalade").is_empty());
    }
}
