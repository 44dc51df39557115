//! The book as text under named keys, and back; what does not read is handed back, never dropped.

use super::cards::{Cards, Memory, Put};
use super::edit::Refusal;
use super::entry::{Draft, Entry, EntryId, Kind, Revision};
use super::{Preferences, Theme};
use buildfile::{Units, json};
use checks;
use fitment::few::sort_few;
use fitment::measure::{Instrument, Origin};
use serde_json::{Map, Value, json as value};
use std::mem;
use std::rc::Rc;

/// Every key of ours starts with this.
pub const PREFIX: &str = "tapewright.";
/// The order of the builds, which is open, and preferences.
pub const BOOK: &str = "tapewright.book";
const BUILD: &str = "tapewright.build.";
const TRAIL: &str = "tapewright.trail.";
const CARD: &str = "tapewright.card.";
/// Text that did not read is kept under keys that start with this.
pub const ASIDE: &str = "tapewright.aside.";

/// The key of a build.
pub fn build_key(id: EntryId) -> String {
    format!("{BUILD}{id}")
}

/// The key of a build's earlier versions.
pub fn trail_key(id: EntryId) -> String {
    format!("{TRAIL}{id}")
}

/// The key of a look-up.
pub fn card_key(slug: &str) -> String {
    format!("{CARD}{slug}")
}

/// What came out of the store.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Restored {
    /// The builds that read, in the person's order.
    pub entries: Vec<Rc<Entry>>,
    /// Which one was open.
    pub open: Option<EntryId>,
    /// The person's preferences.
    pub preferences: Preferences,
    /// What was put into the look-ups.
    pub cards: Cards,
    /// Texts that did not read: key, text, why.
    pub unread: Vec<Unread>,
    /// True when the store held nothing of ours.
    pub first_visit: bool,
}

/// A stored text that did not read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unread {
    /// Where it was.
    pub key: String,
    /// The text.
    pub text: String,
    /// Why it did not read.
    pub why: String,
}

const VERSION: u64 = 1;

const UNITS: [(&str, Units); 2] = [("metric", Units::Metric), ("inch", Units::Inch)];
const YES: [(&str, bool); 2] = [("no", false), ("yes", true)];
const THEMES: [(&str, Theme); 3] =
    [("auto", Theme::Auto), ("light", Theme::Light), ("dark", Theme::Dark)];
const ORIGINS: [(&str, Origin); 3] = [
    ("assumed", Origin::Assumed),
    // With which instrument is the build's to know.
    ("measured", Origin::Measured(Instrument::Tape)),
    ("published", Origin::Published),
];
const KINDS: [(&str, Kind); 3] =
    [("example", Kind::Example), ("own", Kind::Own), ("received", Kind::Received)];

/// The book's own line: order, which is open, preferences.
pub fn book_text(entries: &[Rc<Entry>], open: EntryId, preferences: Preferences) -> String {
    let order: Vec<Value> = entries.iter().map(|entry| entry.id.into()).collect();
    json::write_record(&value!({
        "version": VERSION,
        "order": order,
        "open": open,
        "units": word_of(&UNITS, preferences.units),
        "theme": word_of(&THEMES, preferences.theme),
        "work_sheet": word_of(&YES, preferences.work_sheet),
    }))
}

/// A build with its half-typed text; `None` when it cannot be written.
pub fn entry_text(entry: &Entry) -> Option<String> {
    let mut drafts = Map::new();
    for (path, draft) in &*entry.drafts {
        drafts.insert(path.clone(), draft.text.as_str().into());
    }
    Some(json::write_record(&value!({
        "version": VERSION,
        "kind": word_of(&KINDS, entry.kind),
        "edited_ms": entry.edited_ms,
        "drafts": drafts,
        "in_file": entry.in_file,
        // The build document as text, so that its own reader checks and migrates it.
        "build": json::to_json(&entry.build).ok()?,
    })))
}

/// A build's earlier versions.
pub fn trail_text(entry: &Entry) -> String {
    let versions: Vec<Value> =
        entry.trail.iter().map(|r| value!([r.at_ms, r.text.as_ref()])).collect();
    json::write_record(&value!({ "version": VERSION, "versions": versions }))
}

/// What was put into a look-up.
pub fn card_text(memory: &Memory) -> String {
    let words = |puts: &[Put]| {
        let put = |put: &Put| {
            // By kind alone: which instrument it was does not matter here.
            let origin = put.truck.as_ref().map(|origin| match origin {
                Origin::Assumed => "assumed",
                Origin::Measured(_) => "measured",
                Origin::Published => "published",
            });
            value!([put.field, put.words, origin])
        };
        Value::from(puts.iter().map(put).collect::<Vec<_>>())
    };
    json::write_record(&value!({
        "version": VERSION,
        "now": words(&memory.now),
        "before": memory.before.as_deref().map(words),
    }))
}

fn read_card(slug: &str, text: &str) -> Result<(&'static str, Memory), String> {
    let record = Record::read(text)?;
    let card = checks::card(slug).ok_or_else(|| format!("there is no look-up {slug}"))?;
    let put = |put: &Value| {
        let origin = put.get(2).and_then(Value::as_str);
        let origin = origin.and_then(|word| ORIGINS.iter().find(|(known, _)| *known == word));
        Some(Put {
            field: card.field(put.get(0)?.as_str()?)?.key,
            words: put.get(1)?.as_str()?.to_owned(),
            truck: origin.map(|(_, origin)| origin.clone()),
        })
    };
    let puts = |value: &Value| value.as_array()?.iter().map(put).collect::<Option<Vec<Put>>>();
    let before = match record.0.get("before").filter(|before| !before.is_null()) {
        None => None,
        Some(_) => Some(record.field("before", puts)?),
    };
    Ok((card.slug, Memory { now: record.field("now", puts)?, before }))
}

/// The word for a choice.
fn word_of<T: Copy + PartialEq>(words: &[(&'static str, T)], choice: T) -> &'static str {
    words.iter().find(|(_, known)| *known == choice).map_or("", |(word, _)| word)
}

/// A record of ours, field by field; what is missing or of the wrong kind is said by its name.
struct Record(Value);

impl Record {
    /// Not JSON, or written by a later page.
    fn read(text: &str) -> Result<Self, String> {
        let record = Self(json::read_record(text)?);
        let version = record.field("version", Value::as_u64)?;
        if version > VERSION {
            return Err(format!(
                "written by a later version of this page ({version}); update the page to open it"
            ));
        }
        Ok(record)
    }

    fn field<'a, T>(
        &'a self,
        name: &str,
        read: impl Fn(&'a Value) -> Option<T>,
    ) -> Result<T, String> {
        self.0.get(name).and_then(read).ok_or_else(|| format!("{name}: missing or misread"))
    }

    /// A choice by its word; none where the record says nothing of it.
    fn word<T: Copy>(&self, name: &str, words: &[(&str, T)]) -> Result<Option<T>, String> {
        if self.0.get(name).is_none_or(Value::is_null) {
            return Ok(None);
        }
        let word = self.field(name, Value::as_str)?;
        match words.iter().find(|(known, _)| *known == word) {
            Some((_, choice)) => Ok(Some(*choice)),
            None => Err(format!("{name}: unknown word {word:?}")),
        }
    }
}

/// What the book's own line says.
struct Book {
    order: Vec<EntryId>,
    open: Option<EntryId>,
    preferences: Preferences,
}

fn read_book(text: &str) -> Result<Book, String> {
    let record = Record::read(text)?;
    Ok(Book {
        order: record.field("order", |ids| ids.as_array()?.iter().map(Value::as_u64).collect())?,
        open: record.field("open", |id| Some(id.as_u64())).unwrap_or_default(),
        preferences: Preferences {
            units: record.word("units", &UNITS)?.unwrap_or_default(),
            theme: record.word("theme", &THEMES)?.unwrap_or_default(),
            work_sheet: record.word("work_sheet", &YES)?.unwrap_or_default(),
        },
    })
}

fn read_trail(text: &str) -> Result<Vec<Revision>, String> {
    let revision = |pair: &Value| {
        let text = pair.get(1)?.as_str()?.into();
        Some(Revision { at_ms: pair.get(0)?.as_f64()?, text })
    };
    Record::read(text)?
        .field("versions", |versions| versions.as_array()?.iter().map(revision).collect())
}

/// Reads everything under our keys.
pub fn restore(items: &[(String, String)]) -> Restored {
    let mut restored = Restored::default();
    let mut order = Vec::new();
    let mut unread = |key: &str, text: &str, why: String| {
        restored.unread.push(Unread { key: key.into(), text: text.into(), why });
    };
    let mut book = None;
    let mut cards = Cards::default();
    let mut entries: Vec<Entry> = Vec::new();
    let mut trails: Vec<(EntryId, Vec<Revision>)> = Vec::new();
    for (key, text) in items {
        if key == BOOK {
            match read_book(text) {
                Ok(read) => book = Some(read),
                Err(why) => unread(key, text, why),
            }
        } else if let Some(id) = key.strip_prefix(BUILD).and_then(|id| id.parse().ok()) {
            match read_entry(id, text) {
                Ok(entry) => entries.push(entry),
                Err(why) => unread(key, text, why),
            }
        } else if let Some(id) = key.strip_prefix(TRAIL).and_then(|id| id.parse().ok()) {
            match read_trail(text) {
                Ok(read) => trails.push((id, read)),
                Err(why) => unread(key, text, why),
            }
        } else if let Some(slug) = key.strip_prefix(CARD) {
            match read_card(slug, text) {
                Ok((slug, memory)) => cards.set(slug, memory),
                Err(why) => unread(key, text, why),
            }
        }
    }
    restored.cards = cards;
    restored.first_visit = book.is_none() && entries.is_empty() && restored.unread.is_empty();
    if let Some(book) = book {
        order = book.order;
        restored.open = book.open;
        restored.preferences = book.preferences;
    }
    // Builds the book does not list come last, oldest first.
    let place = |entry: &Entry| {
        (order.iter().position(|id| *id == entry.id).unwrap_or(usize::MAX), entry.id)
    };
    sort_few(&mut entries, |a, b| place(a).cmp(&place(b)));
    restored.entries = entries
        .into_iter()
        .map(|mut entry| {
            let trail = trails.iter_mut().rev().find(|(id, _)| *id == entry.id);
            entry.trail = Rc::new(trail.map(|(_, read)| mem::take(read)).unwrap_or_default());
            Rc::new(entry)
        })
        .collect();
    restored
}

fn read_entry(id: EntryId, text: &str) -> Result<Entry, String> {
    let record = Record::read(text)?;
    let build = json::read_json(record.field("build", Value::as_str)?);
    let build = build.map_err(|error| error.to_string())?;
    let kind = record.word("kind", &KINDS)?.ok_or("kind: missing")?;
    let mut entry = Entry::new(id, kind, build, record.field("edited_ms", Value::as_f64)?);
    let in_file = record.0.get("in_file").and_then(Value::as_u64);
    entry.in_file = in_file.and_then(|count| count.try_into().ok()).unwrap_or(0);
    if record.0.get("drafts").is_some() {
        for (path, text) in record.field("drafts", Value::as_object)? {
            let text = text.as_str().ok_or_else(|| format!("drafts.{path}: not text"))?.to_owned();
            entry.set_draft(path, Some(Draft { text, why: Refusal::Empty }));
        }
    }
    Ok(entry)
}

#[cfg(test)]
#[expect(clippy::float_cmp, reason = "whole numbers and typed ones come back to the last bit")]
mod tests {
    use super::*;
    use buildfile::Build;

    fn items(entries: &[Rc<Entry>], open: EntryId) -> Vec<(String, String)> {
        let mut items = vec![(BOOK.to_owned(), book_text(entries, open, Preferences::default()))];
        for entry in entries {
            items.push((build_key(entry.id), entry_text(entry).expect("writes")));
            items.push((trail_key(entry.id), trail_text(entry)));
        }
        items
    }

    fn two() -> Vec<Rc<Entry>> {
        let mut first = Entry::new(7, Kind::Own, Build::example(), 5.0);
        let next = Build { name: "Mine".into(), ..Build::example() };
        first.change(next, None, 100.0);
        first.set_draft(
            "front.panhard.axle.y_mm",
            Some(Draft { text: "12 1/".into(), why: Refusal::Empty }),
        );
        vec![Rc::new(first), Rc::new(Entry::new(3, Kind::Example, Build::example(), 1.0))]
    }

    #[test]
    fn what_is_written_comes_back() {
        let entries = two();
        let back = restore(&items(&entries, 3));
        assert_eq!(back.unread, []);
        assert_eq!(back.open, Some(3));
        assert!(!back.first_visit);
        let ids: Vec<_> = back.entries.iter().map(|e| e.id).collect();
        assert_eq!(ids, [7, 3]);
        assert_eq!(back.entries[0].build, entries[0].build);
        assert_eq!(back.entries[0].drafts["front.panhard.axle.y_mm"].text, "12 1/");
        assert_eq!(back.entries[0].trail, entries[0].trail);
        assert_eq!(back.entries[0].edited_ms, 100.0);
    }

    #[test]
    fn one_bad_text_costs_only_itself() {
        for spoil in [BOOK.to_owned(), build_key(3), trail_key(7)] {
            let mut items = items(&two(), 3);
            for (key, text) in &mut items {
                if *key == spoil {
                    text.truncate(text.len() / 2);
                }
            }
            let back = restore(&items);
            let unread: Vec<_> = back.unread.iter().map(|u| u.key.clone()).collect();
            assert_eq!(unread, std::slice::from_ref(&spoil));
            let want = if spoil == build_key(3) { 1 } else { 2 };
            assert_eq!(back.entries.len(), want, "{spoil}");
        }
    }

    #[test]
    fn what_was_put_into_a_look_up_comes_back() {
        let put = |field, words: &str, truck| Put { field, words: words.into(), truck };
        let memory = Memory {
            now: vec![
                put("tire", "33x12.50R15", Some(Origin::Published)),
                put("speed", "12 1/", None),
            ],
            before: Some(vec![put("speed", "62 ± 1 mph", None)]),
        };
        let back = restore(&[(card_key("gearing"), card_text(&memory))]);
        assert_eq!(back.unread, []);
        assert_eq!(*back.cards.memory("gearing"), memory);
        for (slug, text) in [
            ("nothing", card_text(&memory)),
            ("tires", card_text(&memory)),
            ("gearing", card_text(&memory)[..40].to_owned()),
        ] {
            assert_eq!(restore(&[(card_key(slug), text)]).unread.len(), 1, "{slug}");
        }
    }

    #[test]
    fn a_later_version_is_left_alone_and_told() {
        let text =
            entry_text(&two()[0]).expect("writes").replacen("\"version\": 1", "\"version\": 9", 1);
        let back = restore(&[(build_key(7), text)]);
        assert!(back.entries.is_empty());
        assert!(back.unread[0].why.contains("later version"), "{}", back.unread[0].why);
    }

    #[test]
    fn an_empty_store_is_a_first_visit_and_a_foreign_key_is_not_ours() {
        assert!(restore(&[]).first_visit);
        let foreign = [("other".to_owned(), "{}".to_owned())];
        assert!(restore(&foreign).first_visit);
    }
}
