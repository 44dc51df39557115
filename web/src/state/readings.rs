//! The log of readings: what a person takes under the truck, set by set. The truck's own numbers
//! stay what was assumed before.

use super::edit::{self, Quantity, Refusal};
use super::entry::{Draft, Entry};
use buildfile::{Build, Units};
use fitment::calibrate::log::{LARGEST, READINGS, REPEATS, SETS, TEXT};
use fitment::calibrate::{Kind, Set, Taken, Trust};
use fitment::measure::Instrument;
use fitment::truck::{End, State};

/// Half-typed readings are kept under names that start with this; the kind's name in files follows.
pub const DRAFT: &str = "reading ";

/// What is in hand under the truck; it is not stored.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Hand {
    /// The set that is read now; the last one when none was picked.
    pub set: Option<usize>,
    /// What the person wants to measure now.
    pub picked: Option<Kind>,
    /// What they do not want to measure now.
    pub skipped: Vec<Kind>,
}

/// Something done with the log.
#[derive(Debug, Clone, PartialEq)]
pub enum LogAct {
    /// What to measure now; none for what helps most.
    Pick(Option<Kind>),
    /// Not this one.
    Skip(Kind),
    /// A keystroke: all of the text, as typed.
    Type(Kind, String),
    /// The text as a reading; the day is for a set that starts with it.
    Take(Kind, String, String),
    /// An angle the phone read.
    Felt(Kind, f64, String),
    /// The set that is read now.
    Set(usize),
    /// A new set, of this day.
    NewSet(String),
    /// A set away.
    DropSet(usize),
    /// A set's name.
    Name(usize, String),
    /// A set's day.
    Date(usize, String),
    /// A set's note.
    Note(usize, String),
    /// Which state of the truck a set was read in.
    Stands(usize, State),
    /// What to think of a reading: its set and its place there.
    Trust(usize, usize, Trust),
    /// A reading away, to be taken again.
    Drop(usize, usize),
    /// The sets of another build that are not here yet.
    Merge(Vec<Set>),
}

impl Hand {
    /// The set that is read now, in a log of so many.
    pub fn set_of(&self, count: usize) -> Option<usize> {
        self.set.filter(|set| *set < count).or_else(|| count.checked_sub(1))
    }
}

/// Where half-typed text of a kind is kept.
pub fn draft_of(kind: Kind) -> String {
    format!("{DRAFT}{}", kind.key())
}

/// What kind of number a kind is.
pub const fn quantity(kind: Kind) -> Quantity {
    if kind.is_angle() { Quantity::Angle } else { Quantity::Length }
}

/// The build and what is in hand after something was done.
///
/// # Errors
/// In words, when it cannot be.
pub fn act(
    entry: &mut Entry,
    hand: &mut Hand,
    (end, units): (End, Units),
    act: LogAct,
    now_ms: f64,
) -> Result<(), String> {
    let mut next = (*entry.build).clone();
    match act {
        LogAct::Pick(kind) => {
            hand.picked = kind;
            return Ok(());
        }
        LogAct::Skip(kind) => {
            hand.picked = None;
            hand.skipped.push(kind);
            return Ok(());
        }
        LogAct::Set(set) => {
            hand.set = Some(set);
            return Ok(());
        }
        LogAct::Type(kind, text) => {
            let draft = (!text.is_empty()).then_some(Draft { text, why: Refusal::Empty });
            hand.picked = Some(kind);
            entry.edited_ms = now_ms;
            entry.set_draft(&draft_of(kind), draft);
            return Ok(());
        }
        LogAct::Take(kind, text, today) => {
            let read = edit::read(&text, quantity(kind), units).and_then(|(value, entered)| {
                let most = LARGEST[usize::from(kind.is_angle())];
                if value.abs() <= most {
                    return Ok((value, entered));
                }
                let remedy = format!("give a number up to {most} {}", kind.unit());
                Err(Refusal::Rule { found: text.clone(), remedy })
            });
            hand.picked = Some(kind);
            match read {
                Ok((value, entered)) => {
                    take(&mut next, hand, end, kind, (value, entered), today)?;
                    entry.set_draft(&draft_of(kind), None);
                }
                Err(why) => {
                    entry.set_draft(&draft_of(kind), Some(Draft { text, why }));
                    return Ok(());
                }
            }
        }
        LogAct::Felt(kind, value, today) => {
            hand.picked = Some(kind);
            let value = (value * 100.0).round() / 100.0;
            take(&mut next, hand, end, kind, (value, String::new()), today)?;
            let set = hand.set_of(next.log.sets.len()).and_then(|at| next.log.sets.get_mut(at));
            let felt = |taken: &&mut Taken| taken.what == kind && taken.end == end;
            if let Some(taken) = set.and_then(|set| set.readings.iter_mut().find(felt)) {
                taken.with = Some(Instrument::PhoneLevel);
            }
        }
        LogAct::NewSet(today) => {
            add_set(&mut next, today)?;
            hand.set = None;
            hand.skipped.clear();
        }
        LogAct::DropSet(set) => {
            if set < next.log.sets.len() {
                next.log.sets.remove(set);
            }
            hand.set = None;
        }
        LogAct::Name(set, text) => set_text(&mut next, set, |set| &mut set.name, &text),
        LogAct::Date(set, text) => set_text(&mut next, set, |set| &mut set.date, &text),
        LogAct::Note(set, text) => set_text(&mut next, set, |set| &mut set.note, &text),
        LogAct::Stands(set, state) => {
            if let Some(set) = next.log.sets.get_mut(set) {
                set.state = state;
            }
        }
        LogAct::Trust(set, index, trust) => {
            let set = next.log.sets.get_mut(set);
            if let Some(taken) = set.and_then(|set| set.readings.get_mut(index)) {
                taken.trust = trust;
            }
        }
        LogAct::Drop(set, index) => {
            if let Some(set) = next.log.sets.get_mut(set)
                && index < set.readings.len()
            {
                hand.picked = Some(set.readings.remove(index).what);
            }
        }
        LogAct::Merge(sets) => {
            let fresh: Vec<Set> =
                sets.into_iter().filter(|set| !next.log.sets.contains(set)).collect();
            if next.log.sets.len() + fresh.len() > SETS {
                return Err(format!("A log holds {SETS} sets; nothing was brought over."));
            }
            next.log.sets.extend(fresh);
        }
    }
    entry.change(next, None, now_ms);
    Ok(())
}

/// One more value of a kind in the set in hand, which starts with it when there is none.
fn take(
    build: &mut Build,
    hand: &Hand,
    end: End,
    kind: Kind,
    (value, entered): (f64, String),
    today: String,
) -> Result<(), String> {
    if build.log.sets.is_empty() {
        add_set(build, today)?;
    }
    let set = hand.set_of(build.log.sets.len()).and_then(|at| build.log.sets.get_mut(at));
    let Some(set) = set else { return Ok(()) };
    let full = set.readings.len() >= READINGS;
    match set.readings.iter_mut().find(|taken| taken.what == kind && taken.end == end) {
        Some(taken) if taken.read.len() >= REPEATS => {
            return Err(format!("Read {REPEATS} times already: take it anew, or the next one."));
        }
        Some(taken) => {
            taken.read.push(value);
            taken.entered.resize(taken.read.len() - 1, String::new());
            taken.entered.push(entered);
            taken.trust = Trust::Usual;
        }
        None if full => {
            return Err(format!("A set holds {READINGS} readings: start a new set."));
        }
        None => {
            let entered = vec![entered];
            set.readings.push(Taken { end, entered, ..Taken::once(kind, value) });
        }
    }
    Ok(())
}

fn add_set(build: &mut Build, today: String) -> Result<(), String> {
    if build.log.sets.len() >= SETS {
        return Err(format!("A log holds {SETS} sets; take one away first."));
    }
    let name = if build.log.sets.is_empty() { "Before" } else { "After" };
    let set = Set { name: name.into(), date: today, ..Set::of(State::Sitting, Vec::new()) };
    build.log.sets.push(set);
    Ok(())
}

fn set_text(build: &mut Build, set: usize, of: fn(&mut Set) -> &mut String, text: &str) {
    if let Some(set) = build.log.sets.get_mut(set) {
        *of(set) = text.chars().take(TEXT).collect();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::state::entry::Kind as From;
    use fitment::calibrate::Member;
    use fitment::truck::Side;

    const BAR: Kind = Kind::Length(Member::Panhard);

    fn done(acts: Vec<LogAct>, units: Units) -> (Entry, Hand) {
        let mut entry = Entry::new(1, From::Own, Build::example(), 0.0);
        let mut hand = Hand::default();
        for it in acts {
            act(&mut entry, &mut hand, (End::Front, units), it, 1.0).expect("can be");
        }
        (entry, hand)
    }

    fn took(text: &str) -> LogAct {
        LogAct::Take(BAR, text.into(), "2026-05-02".into())
    }

    #[test]
    fn three_readings_become_one_with_a_mean_and_the_words_are_kept() {
        let (entry, _) = done(vec![took("34 5/8"), took("34 3/4"), took("879 mm")], Units::Inch);
        let sets = &entry.build.log.sets;
        assert_eq!((sets.len(), sets[0].date.as_str()), (1, "2026-05-02"));
        let taken = &sets[0].readings[0];
        let want = [34.625 * 25.4, 34.75 * 25.4, 879.0];
        assert!(taken.read.iter().zip(want).all(|(a, b)| (a - b).abs() < 1e-9), "{taken:?}");
        assert_eq!(taken.entered, ["34 5/8 in", "34 3/4 in", "879 mm"]);
        assert!(entry.build.validate().is_empty() && entry.can_undo());
    }

    #[test]
    fn text_that_does_not_read_stays_beside_the_log() {
        let (entry, hand) = done(vec![took("34 5/")], Units::Inch);
        assert!(entry.build.log.sets.is_empty());
        let draft = &entry.drafts[&draft_of(BAR)];
        assert!(matches!(draft.why, Refusal::Reads(_)) && draft.text == "34 5/");
        assert_eq!(hand.picked, Some(BAR));
        let typed = LogAct::Type(BAR, String::new());
        assert!(done(vec![took("34 5/"), typed], Units::Inch).0.drafts.is_empty());
    }

    #[test]
    fn a_reading_dropped_is_the_next_to_take_and_undo_brings_it_back() {
        let (mut entry, hand) = done(vec![took("880"), LogAct::Drop(0, 0)], Units::Metric);
        assert!(entry.build.log.sets[0].readings.is_empty());
        assert_eq!(hand.picked, Some(BAR));
        entry.undo(2.0);
        assert_eq!(entry.build.log.sets[0].readings.len(), 1);
    }

    #[test]
    fn merging_brings_what_is_not_there_and_nothing_twice() {
        let (mine, _) = done(vec![took("880")], Units::Metric);
        let (theirs, _) =
            done(vec![took("880"), LogAct::NewSet("2027".into()), took("881")], Units::Metric);
        let sets = theirs.build.log.sets.clone();
        let mut merged = mine;
        for _ in 0..2 {
            let mut hand = Hand::default();
            let merge = LogAct::Merge(sets.clone());
            act(&mut merged, &mut hand, (End::Front, Units::Metric), merge, 2.0).expect("can be");
            assert_eq!(merged.build.log, theirs.build.log);
        }
    }

    #[test]
    fn a_phone_is_written_down_as_what_read_it() {
        let felt = LogAct::Felt(Kind::Camber(Side::Left), -0.123_4, String::new());
        let (entry, _) = done(vec![felt], Units::Metric);
        let taken = &entry.build.log.sets[0].readings[0];
        assert_eq!((taken.with.clone(), taken.read[0]), (Some(Instrument::PhoneLevel), -0.12));
        assert!(entry.build.validate().is_empty());
    }
}
