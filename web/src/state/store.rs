//! The book as text under named keys, and back; what does not read is handed back, never dropped.

use super::edit::Refusal;
use super::entry::{Draft, Entry, EntryId, Kind, Revision};
use super::{Preferences, Theme};
use buildfile::{Units, json};
use fitment::few::sort_few;
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use std::rc::Rc;

/// Every key of ours starts with this.
pub const PREFIX: &str = "tapewright.";
/// The order of the builds, which is open, and preferences.
pub const BOOK: &str = "tapewright.book";
const BUILD: &str = "tapewright.build.";
const TRAIL: &str = "tapewright.trail.";
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

/// What came out of the store.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Restored {
    /// The builds that read, in the person's order.
    pub entries: Vec<Rc<Entry>>,
    /// Which one was open.
    pub open: Option<EntryId>,
    /// The person's preferences.
    pub preferences: Preferences,
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

#[derive(Serialize, Deserialize)]
struct BookText {
    version: u32,
    order: Vec<EntryId>,
    open: Option<EntryId>,
    #[serde(default)]
    units: Option<Units>,
    #[serde(default)]
    theme: Theme,
}

#[derive(Serialize, Deserialize)]
struct BuildText {
    version: u32,
    kind: Kind,
    edited_ms: f64,
    #[serde(default)]
    drafts: BTreeMap<String, String>,
    /// The build document as text, so that its own reader checks and migrates it.
    build: String,
}

#[derive(Serialize, Deserialize)]
struct TrailText {
    version: u32,
    versions: Vec<(f64, String)>,
}

const VERSION: u32 = 1;

/// The book's own line: order, which is open, preferences.
pub fn book_text(entries: &[Rc<Entry>], open: EntryId, preferences: Preferences) -> String {
    let book = BookText {
        version: VERSION,
        order: entries.iter().map(|entry| entry.id).collect(),
        open: Some(open),
        units: Some(preferences.units),
        theme: preferences.theme,
    };
    // Numbers, names and flags: nothing in it can fail to write.
    json::write_record(&book).unwrap_or_default()
}

/// A build with its half-typed text; `None` when it cannot be written.
pub fn entry_text(entry: &Entry) -> Option<String> {
    let mut drafts = BTreeMap::new();
    for (path, draft) in entry.drafts.iter() {
        drafts.insert(path.clone(), draft.text.clone());
    }
    let text = BuildText {
        version: VERSION,
        kind: entry.kind,
        edited_ms: entry.edited_ms,
        drafts,
        build: json::to_json(&entry.build).ok()?,
    };
    json::write_record(&text).ok()
}

/// A build's earlier versions.
pub fn trail_text(entry: &Entry) -> String {
    let text = TrailText {
        version: VERSION,
        versions: entry.trail.iter().map(|r| (r.at_ms, r.text.to_string())).collect(),
    };
    json::write_record(&text).unwrap_or_default()
}

/// Reads everything under our keys.
pub fn restore(items: &[(String, String)]) -> Restored {
    let mut restored = Restored::default();
    let mut order = Vec::new();
    let mut unread = |key: &str, text: &str, why: String| {
        restored.unread.push(Unread { key: key.into(), text: text.into(), why });
    };
    let mut book = None;
    let mut entries: Vec<Entry> = Vec::new();
    let mut trails: BTreeMap<EntryId, Vec<Revision>> = BTreeMap::new();
    for (key, text) in items {
        if key == BOOK {
            match json::read_record::<BookText>(text) {
                Ok(read) if read.version <= VERSION => book = Some(read),
                Ok(read) => unread(key, text, later(read.version)),
                Err(why) => unread(key, text, why),
            }
        } else if let Some(id) = key.strip_prefix(BUILD).and_then(|id| id.parse().ok()) {
            match read_entry(id, text) {
                Ok(entry) => entries.push(entry),
                Err(why) => unread(key, text, why),
            }
        } else if let Some(id) = key.strip_prefix(TRAIL).and_then(|id| id.parse().ok()) {
            match json::read_record::<TrailText>(text) {
                Ok(read) => {
                    let versions = read.versions.into_iter();
                    let versions =
                        versions.map(|(at_ms, text)| Revision { at_ms, text: text.into() });
                    trails.insert(id, versions.collect());
                }
                Err(why) => unread(key, text, why),
            }
        }
    }
    restored.first_visit = book.is_none() && entries.is_empty() && restored.unread.is_empty();
    if let Some(book) = book {
        order = book.order;
        restored.open = book.open;
        restored.preferences =
            Preferences { units: book.units.unwrap_or_default(), theme: book.theme };
    }
    // Builds the book does not list come last, oldest first.
    let place = |entry: &Entry| {
        (order.iter().position(|id| *id == entry.id).unwrap_or(usize::MAX), entry.id)
    };
    sort_few(&mut entries, |a, b| place(a).cmp(&place(b)));
    restored.entries = entries
        .into_iter()
        .map(|mut entry| {
            entry.trail = Rc::new(trails.remove(&entry.id).unwrap_or_default());
            Rc::new(entry)
        })
        .collect();
    restored
}

fn read_entry(id: EntryId, text: &str) -> Result<Entry, String> {
    let read: BuildText = json::read_record(text)?;
    if read.version > VERSION {
        return Err(later(read.version));
    }
    let build = json::read_json(read.build.as_bytes()).map_err(|error| error.to_string())?;
    let mut entry = Entry::new(id, read.kind, build, read.edited_ms);
    for (path, text) in read.drafts {
        entry.set_draft(&path, Some(Draft { text, why: Refusal::Empty }));
    }
    Ok(entry)
}

fn later(version: u32) -> String {
    format!("written by a later version of this page ({version}); update the page to open it")
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
