//! One build in the person's book: its document, what is half typed, and its past.

use super::edit::Refusal;
use super::field::end_name;
use buildfile::{Build, json};
use fitment::truck::{Axle, End};
use std::collections::BTreeMap;
use std::rc::Rc;

/// Most steps that can be taken back.
const HISTORY: usize = 100;
/// Most earlier versions kept of each build.
pub const TRAIL: usize = 20;
/// A new version is kept when the last one is older than this, ms.
const TRAIL_EVERY_MS: f64 = 60_000.0;

/// Names a build in the book.
pub type EntryId = u64;

/// How a build came into the book.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Kind {
    /// The invented example.
    Example,
    /// The person's own.
    Own,
    /// A copy of one that came by a link or file.
    Received,
}

/// Text in a field that is not in the build yet, and why.
#[derive(Debug, Clone, PartialEq)]
pub struct Draft {
    /// To the letter.
    pub text: String,
    /// Why it is not in the build.
    pub why: Refusal,
}

/// An earlier version of a build.
#[derive(Debug, Clone, PartialEq)]
pub struct Revision {
    /// When it was set aside, ms since 1970.
    pub at_ms: f64,
    /// The document.
    pub text: Rc<str>,
}

/// One build in the book.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Its name tag.
    pub id: EntryId,
    /// Where it came from.
    pub kind: Kind,
    /// The document; always one that makes sense.
    pub build: Rc<Build>,
    /// Half-typed text by path.
    pub drafts: Rc<BTreeMap<String, Draft>>,
    /// When it was last changed, ms since 1970.
    pub edited_ms: f64,
    /// Earlier versions, oldest first.
    pub trail: Rc<Vec<Revision>>,
    /// Readings that were in the log when it was last saved as a file.
    pub in_file: usize,
    past: Vec<Rc<Build>>,
    future: Vec<Rc<Build>>,
    /// The field being typed into: its keystrokes are one step.
    step: Option<String>,
}

impl Entry {
    /// A build new to the book.
    pub fn new(id: EntryId, kind: Kind, build: Build, now_ms: f64) -> Self {
        Self {
            id,
            kind,
            build: Rc::new(build),
            drafts: Rc::default(),
            edited_ms: now_ms,
            trail: Rc::default(),
            in_file: 0,
            past: Vec::new(),
            future: Vec::new(),
            step: None,
        }
    }

    /// True when there is a step to take back.
    pub const fn can_undo(&self) -> bool {
        !self.past.is_empty()
    }

    /// True when a step was taken back.
    pub const fn can_redo(&self) -> bool {
        !self.future.is_empty()
    }

    /// The build after a change. Changes under the same `step` name become one step to take back.
    pub fn change(&mut self, next: Build, step: Option<&str>, now_ms: f64) {
        if next == *self.build {
            return;
        }
        self.keep_version(now_ms);
        let same = step.is_some() && self.step.as_deref() == step && self.can_undo();
        if !same {
            self.past.push(Rc::clone(&self.build));
            if self.past.len() > HISTORY {
                self.past.remove(0);
            }
        }
        self.step = step.map(str::to_owned);
        self.future.clear();
        let before = std::mem::replace(&mut self.build, Rc::new(next));
        self.forget_moved(&before);
        self.edited_ms = now_ms;
    }

    /// Half-typed text in a list that an item was taken out of would come to stand in its
    /// neighbor: it goes too.
    fn forget_moved(&mut self, before: &Build) {
        for end in [End::Front, End::Rear] {
            let of = |build: &Build| build.truck.axle(end).map(lists);
            let (Some(old), Some(new)) = (of(before), of(&self.build)) else { continue };
            for ((name, were), (_, are)) in old.into_iter().zip(new) {
                let list = format!("{}.{name}[", end_name(end));
                if are < were && self.drafts.keys().any(|path| path.starts_with(&list)) {
                    Rc::make_mut(&mut self.drafts).retain(|path, _| !path.starts_with(&list));
                }
            }
        }
    }

    /// Ends the step: the next keystroke starts a new one.
    pub fn end_step(&mut self) {
        self.step = None;
    }

    /// Keeps or forgets half-typed text at a path.
    pub fn set_draft(&mut self, path: &str, draft: Option<Draft>) {
        if draft.as_ref() == self.drafts.get(path) {
            return;
        }
        let drafts = Rc::make_mut(&mut self.drafts);
        match draft {
            Some(draft) => drafts.insert(path.to_owned(), draft),
            None => drafts.remove(path),
        };
    }

    /// Takes the last step back; half-typed text goes with it.
    pub fn undo(&mut self, now_ms: f64) {
        if let Some(build) = self.past.pop() {
            self.future.push(std::mem::replace(&mut self.build, build));
            self.settle(now_ms);
        }
    }

    /// Takes a step that was taken back.
    pub fn redo(&mut self, now_ms: f64) {
        if let Some(build) = self.future.pop() {
            self.past.push(std::mem::replace(&mut self.build, build));
            self.settle(now_ms);
        }
    }

    fn settle(&mut self, now_ms: f64) {
        self.step = None;
        self.edited_ms = now_ms;
        self.drafts = Rc::default();
    }

    /// Sets the build aside as a version, at most one a minute.
    fn keep_version(&mut self, now_ms: f64) {
        if self.trail.last().is_some_and(|last| now_ms - last.at_ms < TRAIL_EVERY_MS) {
            return;
        }
        if let Ok(text) = json::to_json(&self.build) {
            let trail = Rc::make_mut(&mut self.trail);
            trail.push(Revision { at_ms: now_ms, text: text.into() });
            if trail.len() > TRAIL {
                trail.remove(0);
            }
        }
    }
}

/// The lists of an axle with numbers to type, and how long they are.
const fn lists(axle: &Axle) -> [(&'static str, usize); 4] {
    [
        ("surroundings.things", axle.surroundings.things.len()),
        ("sitting.parts", axle.sitting.parts.len()),
        ("planned.parts", axle.planned.parts.len()),
        ("shelf.parts", axle.shelf.parts.len()),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn named(entry: &Entry, name: &str) -> Build {
        Build { name: name.into(), ..(*entry.build).clone() }
    }

    #[test]
    fn keystrokes_in_one_field_are_one_step() {
        let mut entry = Entry::new(1, Kind::Own, Build::example(), 0.0);
        let first = entry.build.name.clone();
        for (i, name) in ["B", "Bl", "Blu", "Blue"].into_iter().enumerate() {
            let next = named(&entry, name);
            entry.change(next, Some("name"), i as f64);
        }
        entry.undo(9.0);
        assert_eq!(entry.build.name, first);
        entry.redo(9.0);
        assert_eq!(entry.build.name, "Blue");
    }

    #[test]
    fn a_left_field_starts_a_new_step() {
        let mut entry = Entry::new(1, Kind::Own, Build::example(), 0.0);
        entry.change(named(&entry, "one"), Some("name"), 0.0);
        entry.end_step();
        entry.change(named(&entry, "two"), Some("name"), 0.0);
        entry.undo(0.0);
        assert_eq!(entry.build.name, "one");
    }

    #[test]
    fn a_change_after_undo_forgets_the_redo() {
        let mut entry = Entry::new(1, Kind::Own, Build::example(), 0.0);
        entry.change(named(&entry, "one"), None, 0.0);
        entry.undo(0.0);
        assert!(entry.can_redo());
        entry.change(named(&entry, "two"), None, 0.0);
        assert!(!entry.can_redo());
    }

    #[test]
    fn the_trail_keeps_the_last_versions_a_minute_apart() {
        let mut entry = Entry::new(1, Kind::Own, Build::example(), 0.0);
        for minute in 0..30_u32 {
            for second in [0.0, 10.0, 59.0] {
                let next = named(&entry, &format!("{minute} {second}"));
                entry.change(next, None, f64::from(minute) * 60_000.0 + second * 1000.0);
            }
        }
        assert_eq!(entry.trail.len(), TRAIL);
        let last = json::read_json(entry.trail[TRAIL - 1].text.as_bytes()).expect("reads");
        assert_eq!(last.name, "28 59");
    }

    #[test]
    fn many_steps_stay_bounded() {
        let mut entry = Entry::new(1, Kind::Own, Build::example(), 0.0);
        for i in 0..300 {
            let next = named(&entry, &i.to_string());
            entry.change(next, None, 0.0);
        }
        let mut steps = 0;
        while entry.can_undo() {
            entry.undo(0.0);
            steps += 1;
        }
        assert_eq!(steps, HISTORY);
    }
}
