//! The look-ups: which card lies open, and what was put into each, in the person's own words.
//!
//! Words carry their unit (see `checks::Field::with_unit`), so that they mean the same
//! whatever units the page shows. What a link, the truck or a fresh start replaces is kept, and can
//! be put back.

use buildfile::card::{self, CardLinkError};
use checks::{Answered, Card, CardError, Drawing, Entry, Field, Told};
use fitment::measure::{Origin, System};
use std::rc::Rc;

/// Longest words of a field that are kept, characters.
const WORDS: usize = 64;

/// What the person did with a card.
#[derive(Debug, Clone, PartialEq)]
pub enum CardAct {
    /// Opened one by its name, or the list of them.
    Open(Option<String>),
    /// Typed or chose; no words put the field back to what it starts from.
    Put(&'static str, Put),
    /// Filled fields from the truck.
    Fill(&'static str, Told),
    /// Opened one from a link.
    Link(String),
    /// Wants to start over.
    Clear(&'static str),
    /// Wants back what was there before.
    Back(&'static str),
}

/// Words in a field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Put {
    /// The field's key.
    pub field: &'static str,
    /// The words, with their unit.
    pub words: String,
    /// Where the truck has it from, where it came from the truck.
    pub truck: Option<Origin>,
}

/// What was put into one card.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Memory {
    /// Now.
    pub now: Vec<Put>,
    /// What the last link, truck or fresh start replaced.
    pub before: Option<Vec<Put>>,
}

/// The look-ups.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Cards {
    /// The card that lies open, by its name.
    pub open: Option<&'static str>,
    memory: Vec<(&'static str, Rc<Memory>)>,
}

/// What a card shows.
pub struct Shown {
    /// One entry for each field.
    pub entries: Vec<Entry>,
    /// The answers, or what is wrong.
    pub answered: Result<(Answered, Option<Drawing>), CardError>,
}

impl Memory {
    /// The words in a field, where it is not as the card starts.
    pub fn words(&self, field: &str) -> Option<&Put> {
        self.now.iter().find(|put| put.field == field)
    }

    /// The entries of a card and what comes of them.
    pub fn shown(&self, card: &Card) -> Shown {
        let mut entries = card.start();
        let mut wrong = None;
        for (field, entry) in card.fields.iter().zip(&mut entries) {
            let Some(put) = self.words(field.key) else { continue };
            match read(field, put) {
                Ok(read) => *entry = read,
                Err(error) => wrong = wrong.or(Some(error)),
            }
        }
        let answered = match wrong {
            Some(error) => Err(error),
            None => {
                card.answer(&entries).and_then(|answered| Ok((answered, card.drawing(&entries)?)))
            }
        };
        Shown { entries, answered }
    }

    /// The card's link.
    pub fn link(&self, card: &Card) -> String {
        let given: card::Given =
            self.now.iter().map(|put| (put.field, put.words.clone())).collect();
        card::encode(card, &given)
    }

    fn replace(&mut self, now: Vec<Put>) {
        if now != self.now {
            let before = std::mem::replace(&mut self.now, now);
            self.before = Some(before).filter(|before| !before.is_empty());
        }
    }
}

/// An entry from words that carry their unit.
fn read(field: &Field, put: &Put) -> Result<Entry, CardError> {
    let mut entry = field.read(&put.words, System::Metric)?;
    if let (Entry::Number(known), Some(origin)) = (&mut entry, &put.truck) {
        known.origin = origin.clone();
    }
    Ok(entry)
}

impl Cards {
    /// What was put into a card.
    pub fn memory(&self, slug: &str) -> Rc<Memory> {
        let found = self.memory.iter().find(|(known, _)| *known == slug);
        found.map(|(_, memory)| Rc::clone(memory)).unwrap_or_default()
    }

    /// The same with another card open.
    #[must_use]
    pub fn with_open(self, open: Option<&'static str>) -> Self {
        Self { open, ..self }
    }

    /// Every card something was put into.
    pub fn all(&self) -> &[(&'static str, Rc<Memory>)] {
        &self.memory
    }

    /// Sets what was put into a card.
    pub fn set(&mut self, slug: &'static str, memory: Memory) {
        match self.memory.iter_mut().find(|(known, _)| *known == slug) {
            Some((_, held)) => *held = Rc::new(memory),
            None => self.memory.push((slug, Rc::new(memory))),
        }
    }

    /// After the person did something.
    ///
    /// # Errors
    /// [`CardLinkError`] for a link that does not open; nothing is changed then.
    pub fn take(&mut self, act: CardAct) -> Result<(), CardLinkError> {
        let (slug, mut memory) = match &act {
            CardAct::Open(_) | CardAct::Link(_) => ("", Memory::default()),
            CardAct::Put(slug, _)
            | CardAct::Fill(slug, _)
            | CardAct::Clear(slug)
            | CardAct::Back(slug) => (*slug, (*self.memory(slug)).clone()),
        };
        match act {
            CardAct::Open(slug) => {
                self.open = slug.and_then(|slug| checks::card(&slug)).map(|card| card.slug);
                return Ok(());
            }
            CardAct::Link(text) => {
                let (card, given) = card::decode(&text)?;
                let put = |(field, words)| Put { field, words, truck: None };
                memory = (*self.memory(card.slug)).clone();
                memory.replace(given.into_iter().map(put).collect());
                self.open = Some(card.slug);
                self.set(card.slug, memory);
                return Ok(());
            }
            CardAct::Put(_, put) => {
                put_into(&mut memory.now, put);
            }
            CardAct::Fill(slug, told) => {
                let mut now = memory.now.clone();
                told.into_iter()
                    .filter_map(|told| from_truck(slug, told))
                    .for_each(|put| put_into(&mut now, put));
                memory.replace(now);
            }
            CardAct::Clear(_) => memory.replace(Vec::new()),
            CardAct::Back(_) => {
                if let Some(before) = memory.before.take() {
                    memory.replace(before);
                }
            }
        }
        self.set(slug, memory);
        Ok(())
    }
}

/// What the truck told a field, in words.
fn from_truck(slug: &str, (field, entry): (&'static str, Entry)) -> Option<Put> {
    let field = checks::card(slug)?.field(field)?;
    let origin = match &entry {
        Entry::Number(known) => known.origin.clone(),
        Entry::Choice(_) | Entry::Tire(_) => Origin::Published,
    };
    Some(Put { field: field.key, words: field.told(&entry), truck: Some(origin) })
}

fn put_into(now: &mut Vec<Put>, mut put: Put) {
    put.words = put.words.chars().take(WORDS).collect();
    let at = now.iter().position(|held| held.field == put.field);
    match (at, put.words.trim().is_empty()) {
        (Some(at), true) => {
            now.remove(at);
        }
        (Some(at), false) => {
            if let Some(held) = now.get_mut(at) {
                *held = put;
            }
        }
        (None, true) => {}
        (None, false) => now.push(put),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use fitment::finding::Severity;
    use fitment::measure::Known;

    fn put(field: &'static str, words: &str) -> Put {
        Put { field, words: words.into(), truck: None }
    }

    fn value(shown: &Shown, key: &str) -> f64 {
        let (answered, _) = shown.answered.as_ref().unwrap();
        answered.lines.iter().find(|line| line.key == key).unwrap().value.unwrap()
    }

    #[test]
    fn what_is_typed_is_answered_and_what_does_not_read_is_named() {
        let card = checks::card("gearing").unwrap();
        let mut cards = Cards::default();
        cards.take(CardAct::Open(Some("gearing".into()))).unwrap();
        assert_eq!(cards.open, Some("gearing"));
        cards.take(CardAct::Put("gearing", put("tire", "235/85R16"))).unwrap();
        let shown = cards.memory("gearing").shown(card);
        assert!((value(&shown, "speedometer") - 100.0).abs() < 1e-9);
        cards.take(CardAct::Put("gearing", put("speed", "62 mp"))).unwrap();
        let error = cards.memory("gearing").shown(card).answered.unwrap_err();
        assert_eq!(error.field(), Some("speed"));
        cards.take(CardAct::Put("gearing", put("speed", " "))).unwrap();
        assert!(cards.memory("gearing").shown(card).answered.is_ok());
    }

    #[test]
    fn a_link_opens_as_its_card_and_what_it_replaces_can_be_put_back() {
        let card = checks::card("gearing").unwrap();
        let mut cards = Cards::default();
        cards.take(CardAct::Put("gearing", put("speed", "80 km/h"))).unwrap();
        let mine = cards.memory("gearing");
        let sent = Memory { now: vec![put("tire", "33x12.50R15")], before: None };
        cards.take(CardAct::Link(format!("https://x.test/#{}", sent.link(card)))).unwrap();
        assert_eq!(cards.open, Some("gearing"));
        assert_eq!(cards.memory("gearing").now, sent.now);
        cards.take(CardAct::Back("gearing")).unwrap();
        assert_eq!(cards.memory("gearing").now, mine.now);
        // And forth again: nothing is lost either way.
        cards.take(CardAct::Back("gearing")).unwrap();
        assert_eq!(cards.memory("gearing").now, sent.now);
        let before = cards.clone();
        assert!(cards.take(CardAct::Link("c1.00000000.gearing".into())).is_err());
        assert_eq!(cards, before);
    }

    #[test]
    fn an_assumed_number_of_the_truck_stays_assumed() {
        let card = checks::card("tire-load").unwrap();
        let mut cards = Cards::default();
        let fill = vec![("axle_load", Entry::Number(Known::assumed(3000.0, 50.0)))];
        cards.take(CardAct::Fill("tire-load", fill)).unwrap();
        let shown = cards.memory("tire-load").shown(card);
        let at = card.fields.iter().position(|field| field.key == "axle_load").unwrap();
        assert!(matches!(&shown.entries[at], Entry::Number(known) if known.is_assumed()));
        let (answered, _) = shown.answered.unwrap();
        let worst = answered.lines.iter().filter_map(|line| line.verdict).map(|(_, v)| v.severity);
        assert_eq!(worst.max(), Some(Severity::Stop));
    }
}
