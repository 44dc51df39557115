//! Everything the page remembers, and the one function that changes it.
//!
//! [`State::after`] is pure: it has no clock, no storage and no browser, so it is tested where the
//! compiler runs. What the world brings (the time, a stored text, a link) comes in with an action.

pub mod arrange;
pub mod cards;
pub mod catalog;
pub mod change;
pub mod edit;
pub mod entry;
pub mod field;
pub mod notice;
pub mod readings;
pub mod shelf;
pub mod store;
pub mod things;

pub use cards::{CardAct, Cards};
pub use change::Change;
pub use entry::{Draft, Entry, EntryId, Kind};
pub use notice::{Notice, Offer, Tone};
pub use readings::{Hand, LogAct};

use buildfile::{Build, Units, json, link};
use edit::Refusal;
use fitment::measure::Origin;
use fitment::truck::{End, LayoutKind, State as Stance};
use std::rc::Rc;

/// Most deleted builds that can be brought back.
const DELETED: usize = 8;

/// The pages.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Page {
    /// What you have.
    Truck,
    /// What is read under the truck.
    Measure,
    /// What the lift did.
    Lift,
    /// Whether the tire fits.
    Fit,
    /// What fixes it.
    Corrections,
    /// A check by itself, without any build.
    LookUps,
    /// The build sheet.
    Sheet,
}

impl Page {
    /// In the order of the tabs.
    pub const ALL: [Self; 7] = [
        Self::Truck,
        Self::Measure,
        Self::Lift,
        Self::Fit,
        Self::Corrections,
        Self::LookUps,
        Self::Sheet,
    ];

    /// Its name in the address, after the `#`.
    pub const fn slug(self) -> &'static str {
        match self {
            Self::Truck => "truck",
            Self::Measure => "measure",
            Self::Lift => "lift",
            Self::Fit => "tire-fit",
            Self::Corrections => "corrections",
            Self::LookUps => "look-ups",
            Self::Sheet => "sheet",
        }
    }

    /// Its name on the tab.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Truck => "Truck",
            Self::Measure => "Measure",
            Self::Lift => "Lift",
            Self::Fit => "Tire fit",
            Self::Corrections => "Fixes",
            Self::LookUps => "Look-ups",
            Self::Sheet => "Sheet",
        }
    }

    /// The page of a name in the address.
    pub fn of_slug(slug: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|page| page.slug() == slug)
    }
}

/// Paper, blueprint, or as the device says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum Theme {
    /// As the device says.
    #[default]
    Auto,
    /// Paper.
    Light,
    /// Blueprint.
    Dark,
}

/// What goes with the person rather than with a build.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Preferences {
    /// Units they read and type.
    pub units: Units,
    /// Light or dark.
    pub theme: Theme,
    /// Whether the work sheet is shown and printed behind the build sheet.
    pub work_sheet: bool,
}

/// Everything the page remembers.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    /// The builds, in the person's order; never empty.
    pub entries: Vec<Rc<Entry>>,
    /// The one on the bench.
    pub open: EntryId,
    /// Deleted ones that can be brought back, newest last.
    pub deleted: Vec<Rc<Entry>>,
    /// The person's preferences.
    pub preferences: Preferences,
    /// The page in view.
    pub page: Page,
    /// The look-ups; they belong to no build.
    pub cards: Cards,
    /// What is in hand under the truck.
    pub hand: Hand,
    /// The axle in view.
    pub end: End,
    /// The state of the truck that is drawn in full.
    pub drawn: Stance,
    /// Step of the guide, while it is open.
    pub guide: Option<usize>,
    /// The field the drawing points at.
    pub focus: Option<String>,
    /// What the person should be told.
    pub notices: Vec<Notice>,
}

/// What can happen.
#[derive(Debug, Clone, PartialEq)]
pub enum Action {
    /// Another page.
    Page(Page),
    /// The other axle.
    End(End),
    /// The state of the truck to draw in full.
    Drawn(Stance),
    /// Other units.
    Units(Units),
    /// Light, dark or as the device says.
    Theme(Theme),
    /// The work sheet behind the build sheet, or not.
    WorkSheet(bool),
    /// A keystroke in a field: all of its text, as typed.
    Type {
        /// The field.
        path: String,
        /// Its text.
        text: String,
    },
    /// A field was left.
    Leave,
    /// The drawing should point at a field, or at none.
    Focus(Option<String>),
    /// Where a number came from.
    Origin {
        /// The field.
        path: String,
        /// Its origin.
        origin: Origin,
    },
    /// How far a number may be off.
    Sigma {
        /// The field.
        path: String,
        /// As typed.
        text: String,
    },
    /// Something chosen or bolted on.
    Change(Change),
    /// Something done with a look-up.
    Card(CardAct),
    /// Something done with the log of readings.
    Log(LogAct),
    /// The open build was saved as a file.
    Saved,
    /// Take the last step back.
    Undo,
    /// Take it again.
    Redo,
    /// The guide at a step, or closed.
    Guide(Option<usize>),
    /// The example, to look at.
    NewExample,
    /// A build of one's own from the example's numbers, to be replaced one by one.
    MineFromExample,
    /// A build of which nothing is known but the layout.
    NewEmpty(LayoutKind),
    /// Another build on the bench.
    Open(EntryId),
    /// A copy of a build.
    Duplicate(EntryId),
    /// A build's name.
    Rename(EntryId, String),
    /// A build away; it can be brought back.
    Delete(EntryId),
    /// The build deleted last back.
    Undelete,
    /// A file's text.
    Import(String),
    /// A link, whole or only its fragment.
    OpenLink(String),
    /// An earlier version of the open build.
    Restore(usize),
    /// A notice was read.
    Dismiss(u64),
    /// Something to tell.
    Tell(Tone, String),
    /// Another tab changed the store.
    Adopt(Vec<(String, String)>),
}

/// An action and when it happened.
#[derive(Debug, Clone, PartialEq)]
pub struct Timed {
    /// Milliseconds since 1970.
    pub now_ms: f64,
    /// What happened.
    pub action: Action,
}

impl State {
    /// The state a page starts with, from whatever the store held.
    pub fn start(items: &[(String, String)], now_ms: f64) -> (Self, Vec<store::Unread>) {
        let restored = store::restore(items);
        let mut state = Self {
            entries: restored.entries,
            open: 0,
            deleted: Vec::new(),
            preferences: restored.preferences,
            page: Page::Truck,
            cards: restored.cards,
            hand: Hand::default(),
            end: End::Front,
            drawn: Stance::Sitting,
            guide: None,
            focus: None,
            notices: Vec::new(),
        };
        if state.entries.is_empty() {
            state.add(Kind::Example, Build::example(), now_ms);
        }
        state.open = restored
            .open
            .filter(|id| state.entries.iter().any(|entry| entry.id == *id))
            .or_else(|| state.entries.first().map(|entry| entry.id))
            .unwrap_or_default();
        if !restored.unread.is_empty() {
            let keys: Vec<_> =
                restored.unread.iter().map(|u| format!("{} ({})", u.key, u.why)).collect();
            state.tell(Tone::Trouble, format!(
                "Something saved on this device could not be read. It was set aside, untouched, under keys starting with {}: {}. Everything else is here.",
                store::ASIDE, keys.join("; ")
            ), None);
        }
        for entry in &mut state.entries {
            retry(Rc::make_mut(entry), state.preferences.units, now_ms);
        }
        // What was half typed under the truck is in hand again.
        let typed = state.entry().drafts.keys().find_map(|key| key.strip_prefix(readings::DRAFT));
        state.hand.picked = typed.and_then(fitment::calibrate::Kind::of_key);
        state.mend_end();
        (state, restored.unread)
    }

    /// The build on the bench.
    ///
    /// # Panics
    /// Never: the book always holds a build, see [`State::entries`].
    pub fn entry(&self) -> &Rc<Entry> {
        self.entries
            .iter()
            .find(|entry| entry.id == self.open)
            .or_else(|| self.entries.first())
            .expect("the book is never empty")
    }

    /// The state after something happened.
    #[must_use]
    pub fn after(&self, timed: Timed) -> Self {
        let Timed { now_ms, action } = timed;
        let mut next = self.clone();
        next.take(action, now_ms);
        next.mend_end();
        next
    }

    #[expect(clippy::too_many_lines, reason = "one arm for each action, in the order of the list")]
    fn take(&mut self, action: Action, now_ms: f64) {
        let units = self.preferences.units;
        match action {
            Action::Page(page) => {
                self.page = page;
                self.focus = None;
                self.cards.open = None;
            }
            Action::End(end) => {
                self.end = end;
                self.hand = Hand { set: self.hand.set, ..Hand::default() };
                self.focus = None;
            }
            Action::Drawn(drawn) => self.drawn = drawn,
            Action::Units(units) => self.preferences.units = units,
            Action::Theme(theme) => self.preferences.theme = theme,
            Action::WorkSheet(wanted) => self.preferences.work_sheet = wanted,
            Action::Type { path, text } => {
                self.edit(|entry| type_into(entry, &path, text, units, now_ms));
            }
            Action::Leave => self.edit(Entry::end_step),
            Action::Focus(path) => self.focus = path,
            Action::Origin { path, origin } => self.edit(|entry| {
                if let Some(build) = edit::set_origin(&entry.build, &path, origin) {
                    entry.change(build, None, now_ms);
                }
            }),
            Action::Sigma { path, text } => self.edit(|entry| {
                let key = format!("{path}#sigma");
                match edit::set_sigma(&entry.build, &path, &text, units) {
                    Ok(build) => {
                        entry.set_draft(&key, None);
                        entry.change(build, Some(&key), now_ms);
                    }
                    Err(why) => entry.set_draft(&key, Some(Draft { text, why })),
                }
            }),
            Action::Change(change) => self.change(&change, now_ms),
            Action::Card(act) => self.card(act),
            Action::Log(act) => {
                let (mut hand, at) = (self.hand.clone(), (self.end, units));
                let mut refused = Ok(());
                self.edit(|entry| refused = readings::act(entry, &mut hand, at, act, now_ms));
                self.hand = hand;
                if let Err(why) = refused {
                    self.tell(Tone::Trouble, why, None);
                }
            }
            Action::Saved => self.edit(|entry| {
                entry.in_file = entry.build.log.sets.iter().map(|set| set.readings.len()).sum();
                // So that it is written again.
                entry.drafts = Rc::new((*entry.drafts).clone());
            }),
            Action::Undo => self.edit(|entry| entry.undo(now_ms)),
            Action::Redo => self.edit(|entry| entry.redo(now_ms)),
            Action::Guide(step) => {
                self.guide = step;
                self.focus = None;
            }
            Action::NewExample => self.add(Kind::Example, Build::example(), now_ms),
            Action::MineFromExample => {
                let name = self.free_name("My truck");
                let build = Build {
                    name,
                    truck: change::all_assumed(Build::example().truck),
                    ..Build::example()
                };
                self.add(Kind::Own, build, now_ms);
                self.page = Page::Truck;
                self.guide = Some(0);
            }
            Action::NewEmpty(layout) => {
                let name = self.free_name("My truck");
                self.add(Kind::Own, Build { name, ..Build::blank(layout) }, now_ms);
                self.page = Page::Truck;
                self.guide = Some(0);
            }
            Action::Open(id) => {
                if self.entries.iter().any(|entry| entry.id == id) {
                    self.edit(Entry::end_step);
                    self.open = id;
                    self.guide = None;
                    self.hand = Hand::default();
                }
            }
            Action::Duplicate(id) => {
                if let Some(entry) = self.entries.iter().find(|entry| entry.id == id).cloned() {
                    let name = self.free_name(&format!("{} (copy)", entry.build.name));
                    self.add(Kind::Own, Build { name, ..(*entry.build).clone() }, now_ms);
                }
            }
            Action::Rename(id, name) => {
                if let Some(entry) = self.entries.iter_mut().find(|entry| entry.id == id) {
                    type_into(Rc::make_mut(entry), "name", name, units, now_ms);
                }
            }
            Action::Delete(id) => self.delete(id, now_ms),
            Action::Undelete => {
                if let Some(entry) = self.deleted.pop() {
                    self.open = entry.id;
                    self.entries.push(entry);
                    self.notices.retain(|notice| notice.offer != Some(Offer::Undelete));
                }
            }
            Action::Import(text) => match json::from_json(&text) {
                Ok(build) => self.receive(build, "file", now_ms),
                Err(error) => self.tell(
                    Tone::Trouble,
                    format!("That file was not opened, and nothing of yours was changed: {error}."),
                    None,
                ),
            },
            Action::OpenLink(text) => match link::decode(&text) {
                Ok(build) => self.receive(build, "link", now_ms),
                Err(error) => self.tell(
                    Tone::Trouble,
                    format!("That link was not opened, and nothing of yours was changed: {error}."),
                    None,
                ),
            },
            Action::Restore(index) => self.restore(index, now_ms),
            Action::Dismiss(id) => self.notices.retain(|notice| notice.id != id),
            Action::Tell(tone, text) => self.tell(tone, text, None),
            Action::Adopt(items) => self.adopt(&items, now_ms),
        }
    }

    fn edit(&mut self, change: impl FnOnce(&mut Entry)) {
        let open = self.open;
        if let Some(entry) = self.entries.iter_mut().find(|entry| entry.id == open) {
            change(Rc::make_mut(entry));
        }
    }

    fn change(&mut self, change: &Change, now_ms: f64) {
        let units = self.preferences.units;
        let mut refused = None;
        self.edit(|entry| match change.apply(&entry.build) {
            Ok(build) => {
                entry.change(build, None, now_ms);
                retry(entry, units, now_ms);
            }
            Err(why) => refused = Some(why),
        });
        if let Some(why) = refused {
            self.tell(Tone::Trouble, why, None);
        }
    }

    fn card(&mut self, act: CardAct) {
        let opens = matches!(act, CardAct::Open(_) | CardAct::Link(_));
        match self.cards.take(act) {
            Ok(()) if opens => {
                self.page = Page::LookUps;
                self.focus = None;
            }
            Ok(()) => {}
            Err(error) => self.tell(
                Tone::Trouble,
                format!("That link was not opened, and nothing of yours was changed: {error}."),
                None,
            ),
        }
    }

    /// What stands in the address for what is in view.
    pub fn slug(&self) -> String {
        match self.cards.open.filter(|_| self.page == Page::LookUps) {
            Some(card) => format!("{}/{card}", Page::LookUps.slug()),
            None => self.page.slug().to_owned(),
        }
    }

    /// Puts a build in the book and on the bench.
    fn add(&mut self, kind: Kind, build: Build, now_ms: f64) {
        let known = self.entries.iter().chain(&self.deleted).map(|entry| entry.id).max();
        // The clock keeps name tags of two tabs apart; the book keeps them apart within one.
        // Whole milliseconds; a float's cast saturates, and a tag needs no more than that.
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "saturates")]
        let clock = now_ms as u64;
        let id = clock.max(known.map_or(1, |id| id + 1));
        self.entries.push(Rc::new(Entry::new(id, kind, build, now_ms)));
        self.open = id;
        self.guide = None;
        self.focus = None;
    }

    fn delete(&mut self, id: EntryId, now_ms: f64) {
        let Some(place) = self.entries.iter().position(|entry| entry.id == id) else { return };
        let entry = self.entries.remove(place);
        let name = entry.build.name.clone();
        self.deleted.push(entry);
        if self.deleted.len() > DELETED {
            self.deleted.remove(0);
        }
        if self.entries.is_empty() {
            self.add(Kind::Example, Build::example(), now_ms);
        }
        if self.open == id {
            let neighbor =
                self.entries.get(place.saturating_sub(1)).or_else(|| self.entries.first());
            self.open = neighbor.map_or(self.open, |entry| entry.id);
            self.guide = None;
        }
        self.tell(Tone::Word, format!("“{name}” was deleted."), Some(Offer::Undelete));
    }

    /// A build from outside, as a copy beside the person's own.
    fn receive(&mut self, mut build: Build, from: &str, now_ms: f64) {
        // The same thing opened twice is one copy, as long as nobody changed it.
        if let Some(same) =
            self.entries.iter().find(|e| e.kind == Kind::Received && *e.build == build)
        {
            self.open = same.id;
            return;
        }
        if self.entries.iter().all(|entry| entry.kind == Kind::Example) {
            self.preferences.units = build.units;
        }
        build.name = self.free_name(&build.name);
        let name = build.name.clone();
        self.add(Kind::Received, build, now_ms);
        self.tell(
            Tone::Word,
            format!("“{name}” came by {from} and is a copy beside your own builds."),
            None,
        );
    }

    fn restore(&mut self, index: usize, now_ms: f64) {
        let text = self.entry().trail.get(index).map(|revision| Rc::clone(&revision.text));
        match text.map(|text| json::read_json(text.as_bytes())) {
            Some(Ok(build)) => self.edit(|entry| entry.change(build, None, now_ms)),
            Some(Err(error)) => {
                self.tell(Tone::Trouble, format!("That version could not be read. {error}"), None);
            }
            None => {}
        }
    }

    /// Takes over what another tab stored; what is on the bench here stays there if it still exists.
    fn adopt(&mut self, items: &[(String, String)], now_ms: f64) {
        let (other, unread) = Self::start(items, now_ms);
        if !unread.is_empty() {
            return;
        }
        let open = self.open;
        for entry in other.entries {
            match self.entries.iter_mut().find(|mine| mine.id == entry.id) {
                Some(mine) if mine.edited_ms < entry.edited_ms => *mine = entry,
                Some(_) => {}
                None if self.deleted.iter().any(|gone| gone.id == entry.id) => {}
                None => self.entries.push(entry),
            }
        }
        self.open = open;
        self.preferences = other.preferences;
        self.cards = other.cards.with_open(self.cards.open);
    }

    fn tell(&mut self, tone: Tone, text: String, offer: Option<Offer>) {
        let id = self.notices.last().map_or(1, |notice| notice.id + 1);
        self.notices.retain(|notice| notice.text != text);
        self.notices.push(Notice { id, tone, text, offer });
        if self.notices.len() > 4 {
            self.notices.remove(0);
        }
    }

    /// A name no build has yet.
    fn free_name(&self, wish: &str) -> String {
        let taken = |name: &str| self.entries.iter().any(|entry| entry.build.name == name);
        if !taken(wish) {
            return wish.to_owned();
        }
        // One of these is free: there are fewer names than numbers tried.
        let most = self.entries.len() + 2;
        (2..=most).map(|n| format!("{wish} {n}")).find(|name| !taken(name)).unwrap_or_default()
    }

    /// Looks at an axle the build has.
    fn mend_end(&mut self) {
        let truck = &self.entry().build.truck;
        if truck.axle(self.end).is_none() {
            let other = self.end.other();
            if truck.axle(other).is_some() {
                self.end = other;
            }
        }
    }
}

/// A keystroke: into the build where it reads and makes sense, beside it where not yet.
fn type_into(entry: &mut Entry, path: &str, text: String, units: Units, now_ms: f64) {
    match edit::enter(&entry.build, path, &text, units) {
        Ok(build) => {
            entry.set_draft(path, None);
            entry.change(build, Some(path), now_ms);
            retry(entry, units, now_ms);
        }
        Err(why) => {
            entry.edited_ms = now_ms;
            entry.set_draft(path, Some(Draft { text, why }));
        }
    }
}

/// Tries half-typed text again: another field may have made room for it.
fn retry(entry: &mut Entry, units: Units, now_ms: f64) {
    let waiting: Vec<(String, Draft)> =
        entry.drafts.iter().map(|(path, draft)| (path.clone(), draft.clone())).collect();
    // A half-typed reading waits for the person, not for another field.
    let fields = |(path, _): &(String, Draft)| !path.starts_with(readings::DRAFT);
    for (path, draft) in waiting.into_iter().filter(fields) {
        let step = path.clone();
        let tried = match path.strip_suffix("#sigma") {
            Some(path) => edit::set_sigma(&entry.build, path, &draft.text, units),
            None => edit::enter(&entry.build, &path, &draft.text, units),
        };
        match tried {
            Ok(build) => {
                entry.set_draft(&path, None);
                entry.change(build, Some(&step), now_ms);
            }
            Err(Refusal::NoPlace) => entry.set_draft(&path, None),
            Err(why) => entry.set_draft(&path, Some(Draft { text: draft.text, why })),
        }
    }
}

#[cfg(test)]
mod tests;
