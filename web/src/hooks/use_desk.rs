//! The desk: the state, the way to change it, and everything that keeps it safe.
//!
//! Every change is stored as soon as it is made; only what changed is written.

use crate::infra::{address, storage, window};
use crate::state::cards::Memory;
use crate::state::entry::{Draft, EntryId, Revision};
use crate::state::{Action, CardAct, Entry, Kind, Page, State, Timed, Tone, store};
use buildfile::Build;
use buildfile::card;
use gloo::events::EventListener;
use std::collections::BTreeMap;
use std::rc::Rc;
use yew::prelude::*;

impl Reducible for State {
    type Action = Timed;

    fn reduce(self: Rc<Self>, timed: Timed) -> Rc<Self> {
        Rc::new(self.after(timed))
    }
}

/// The state and the way to change it.
#[derive(Clone, PartialEq)]
pub struct Desk(UseReducerHandle<State>);

impl Desk {
    /// The state.
    pub fn state(&self) -> &State {
        &self.0
    }

    /// Something happened.
    pub fn act(&self, action: Action) {
        self.0.dispatch(Timed { now_ms: window::now_ms(), action });
    }

    /// A callback that turns what a component says into what happened.
    pub fn on<T: 'static>(&self, action: impl Fn(T) -> Action + 'static) -> Callback<T> {
        let desk = self.clone();
        Callback::from(move |said| desk.act(action(said)))
    }
}

/// The desk of the page around.
#[hook]
pub fn use_desk() -> Desk {
    use_context().expect("the app gives every page its desk")
}

/// The desk, set up once: what was stored comes back, every change is stored.
#[hook]
pub fn use_new_desk() -> Desk {
    let state = use_reducer(start);
    use_saving(&state);
    use_address(&state);
    use_other_tabs(&state);
    use_effect_with(state.preferences.theme, |theme| window::set_theme(*theme));
    Desk(state)
}

fn start() -> State {
    let now_ms = window::now_ms();
    let (items, trouble) = match storage::read_all() {
        Ok(items) => (items, None),
        Err(error) => (Vec::new(), Some(error.message())),
    };
    let (state, unread) = State::start(&items, now_ms);
    let trouble =
        trouble.or(storage::set_aside(&unread, now_ms).err().map(|error| error.message()));
    let state = match trouble {
        Some(text) => {
            state.after(Timed { now_ms, action: Action::Tell(Tone::Trouble, text.into()) })
        }
        None => state,
    };
    match from_address() {
        Some(action) => state.after(Timed { now_ms, action }),
        None => state,
    }
}

/// What the address asks for.
fn from_address() -> Option<Action> {
    let fragment = address::fragment();
    if fragment.is_empty() {
        return None;
    }
    let card = fragment.strip_prefix(Page::LookUps.slug()).and_then(|rest| rest.strip_prefix('/'));
    Some(match (Page::of_slug(&fragment), card) {
        (Some(page), _) => Action::Page(page),
        (None, Some(slug)) => Action::Card(CardAct::Open(Some(slug.to_owned()))),
        (None, None) if fragment.starts_with(card::MARK) => Action::Card(CardAct::Link(fragment)),
        (None, None) => Action::OpenLink(fragment),
    })
}

/// A build and its half-typed text.
type WithDrafts = (Rc<Build>, Rc<BTreeMap<String, Draft>>);

/// What of an entry was written last.
struct WrittenEntry {
    id: EntryId,
    build: Option<WithDrafts>,
    trail: Option<Rc<Vec<Revision>>>,
}

/// What was written last, to write only what changed.
#[derive(Default)]
struct Written {
    book: Option<String>,
    entries: Vec<WrittenEntry>,
    cards: Vec<(&'static str, Rc<Memory>)>,
    told: bool,
}

impl Written {
    fn write(&mut self, state: &State) -> Result<(), storage::StoreError> {
        let book = store::book_text(&state.entries, state.open, state.preferences);
        if self.book.as_ref() != Some(&book) {
            storage::write(store::BOOK, &book)?;
            self.book = Some(book);
        }
        for entry in &state.entries {
            self.write_entry(entry)?;
        }
        let same = |a: &(&str, Rc<Memory>), b: &(&str, Rc<Memory>)| Rc::ptr_eq(&a.1, &b.1);
        for card in state.cards.all() {
            if !self.cards.iter().any(|written| same(written, card)) {
                storage::write(&store::card_key(card.0), &store::card_text(&card.1))?;
            }
        }
        self.cards = state.cards.all().to_vec();
        let gone: Vec<EntryId> = self
            .entries
            .iter()
            .map(|written| written.id)
            .filter(|id| state.entries.iter().all(|entry| entry.id != *id))
            .collect();
        for id in gone {
            storage::remove(&store::build_key(id))?;
            storage::remove(&store::trail_key(id))?;
            self.entries.retain(|written| written.id != id);
        }
        Ok(())
    }

    fn write_entry(&mut self, entry: &Entry) -> Result<(), storage::StoreError> {
        let at = self.entries.iter().position(|written| written.id == entry.id);
        let at = at.unwrap_or_else(|| {
            self.entries.push(WrittenEntry { id: entry.id, build: None, trail: None });
            self.entries.len() - 1
        });
        let Some(written) = self.entries.get_mut(at) else { return Ok(()) };
        let same = written.build.as_ref().is_some_and(|(build, drafts)| {
            Rc::ptr_eq(build, &entry.build) && Rc::ptr_eq(drafts, &entry.drafts)
        });
        if !same && let Some(text) = store::entry_text(entry) {
            storage::write(&store::build_key(entry.id), &text)?;
            written.build = Some((Rc::clone(&entry.build), Rc::clone(&entry.drafts)));
        }
        let same = written.trail.as_ref().is_some_and(|trail| Rc::ptr_eq(trail, &entry.trail));
        if !same {
            storage::write(&store::trail_key(entry.id), &store::trail_text(entry))?;
            written.trail = Some(Rc::clone(&entry.trail));
        }
        Ok(())
    }
}

/// Stores every change; once there is something of the person's own, asks that it be kept.
#[hook]
fn use_saving(state: &UseReducerHandle<State>) {
    let own = state.entries.iter().any(|entry| entry.kind != Kind::Example || entry.can_undo());
    use_effect_with(own, |own| {
        if *own {
            storage::keep();
        }
    });
    let written = use_mut_ref(Written::default);
    let seen = state.clone();
    use_effect_with(seen, move |state| {
        let mut written = written.borrow_mut();
        match written.write(state) {
            Ok(()) => written.told = false,
            Err(error) if !written.told => {
                written.told = true;
                let action = Action::Tell(Tone::Trouble, error.message().into());
                state.dispatch(Timed { now_ms: window::now_ms(), action });
            }
            Err(_) => {}
        }
    });
}

/// Keeps the address and the page in step, both ways.
#[hook]
fn use_address(state: &UseReducerHandle<State>) {
    let dispatch = state.dispatcher();
    let place = use_mut_ref(String::new);
    *place.borrow_mut() = state.slug();
    use_effect_with((), move |()| {
        let listener = web_sys::window().map(|window| {
            EventListener::new(&window, "hashchange", move |_| {
                if let Some(action) = from_address() {
                    let is_link =
                        matches!(action, Action::OpenLink(_) | Action::Card(CardAct::Link(_)));
                    dispatch.dispatch(Timed { now_ms: window::now_ms(), action });
                    if is_link {
                        address::replace(&place.borrow());
                    }
                }
            })
        });
        move || drop(listener)
    });
    // A link that was opened gives way to the page's own name, so that a reload does not open it again.
    let seen = (state.slug(), state.entries.len(), state.notices.len());
    use_effect_with(seen, |(slug, _, _)| {
        if address::fragment() != *slug {
            address::replace(slug);
        }
    });
    let first = use_mut_ref(|| true);
    use_effect_with(state.slug(), move |_| {
        if !std::mem::replace(&mut *first.borrow_mut(), false) {
            window::to_top();
            window::focus_quietly("page-title");
        }
    });
}

/// Takes over what other tabs of this page store.
#[hook]
fn use_other_tabs(state: &UseReducerHandle<State>) {
    let dispatch = state.dispatcher();
    use_effect_with((), move |()| {
        let listener = web_sys::window().map(|window| {
            EventListener::new(&window, "storage", move |_| {
                if let Ok(items) = storage::read_all() {
                    let action = Action::Adopt(items);
                    dispatch.dispatch(Timed { now_ms: window::now_ms(), action });
                }
            })
        });
        move || drop(listener)
    });
}
