//! Reads a card from its text: what it is called, what it asks, what comes of that and how.
//!
//! Name, heading, purpose and search words are a line each. Then, a line that begins with
//! - `!` is a caution; `@name p ..` a published source, `@name d ..` one worked out here
//!   (`@trade` is common practice, `@ackermann` the engine's own);
//! - `?` asks: key and `quantity start ± sigma in least..most`, `tire SIZE`, or `choice` with a line
//!   `| key words ; name=number ..` for each of the few; heading and help are the two lines after it;
//! - `:` names a number on the way;
//! - `=` answers: key, quantity, source; its heading and its formula are the two lines after it, then
//!   `~` words to print in the formula's place, and `[ low .. high ; slack ; stop .. stop ] @source why`;
//! - `-` says something; `when FORMULA` up to `end` holds for what stands between;
//! - `each a|b` repeats what stands between `do` and `done` for every row before `do`, `{a}` and `{b}`
//!   filled in.

use super::Quantity;
use super::card::{Answer, Card, Field, Kind, Limits, Step, Work};
use super::formula::{Formula, decimal};
use fitment::measure::Known;
use fitment::source::{ACKERMANN, Source};

/// What a formula may ask of a tire, in the order of its places.
pub(super) const TIRE: [&str; 10] = [
    "given", "diameter", "rim", "measured", "section", "width", "aspect", "metric", "loaded",
    "rolled",
];

/// The card of a text, or the line, from 0, that does not read.
pub(super) fn card(text: &'static str) -> Result<Card, usize> {
    let text: &'static str =
        if text.contains("\neach ") { Box::leak(unrolled(text)) } else { text };
    let mut reader =
        Reader { lines: text.lines().collect(), at: 0, sources: Vec::new(), guard: None };
    reader.card().ok_or(reader.at)
}

/// The text with every `each` written out.
fn unrolled(text: &str) -> Box<str> {
    let mut whole = String::new();
    let mut lines = text.lines();
    while let Some(line) = lines.next() {
        let Some(names) = line.strip_prefix("each ") else {
            whole.push_str(line);
            whole.push('\n');
            continue;
        };
        let rows: Vec<&str> = lines.by_ref().take_while(|line| *line != "do").collect();
        let body: Vec<&str> = lines.by_ref().take_while(|line| *line != "done").collect();
        for row in rows {
            let mut filled = body.join("\n");
            for (name, words) in names.split('|').zip(row.split('|')) {
                filled = filled.replace(&format!("{{{name}}}"), words);
            }
            whole.push_str(&filled);
            whole.push('\n');
        }
    }
    whole.into_boxed_str()
}

struct Reader {
    lines: Vec<&'static str>,
    at: usize,
    sources: Vec<(&'static str, Source)>,
    guard: Option<Formula>,
}

impl Reader {
    fn next(&mut self) -> Option<&'static str> {
        let line = self.lines.get(self.at)?;
        self.at += 1;
        Some(line)
    }

    /// The next line after this mark, where it begins with it.
    fn next_with(&mut self, mark: &str) -> Option<&'static str> {
        let rest = self.lines.get(self.at)?.strip_prefix(mark)?;
        self.at += 1;
        Some(rest)
    }

    fn card(&mut self) -> Option<Card> {
        let mut card = Card {
            slug: self.next()?,
            title: self.next()?,
            about: self.next()?,
            words: self.next()?.split(", ").collect(),
            fields: Vec::new(),
            cautions: Vec::new(),
            names: Vec::new(),
            steps: Vec::new(),
        };
        while let Some(line) = self.next() {
            if line.is_empty() {
                continue;
            }
            let (mark, rest) = line.split_once(' ').unwrap_or((line, ""));
            match mark {
                "!" => card.cautions.push(rest),
                "?" => self.asks(&mut card, rest)?,
                "when" => self.guard = Some(read(&card, rest)?),
                "end" => self.guard = None,
                ":" => {
                    let (name, formula) = rest.split_once(" = ")?;
                    let formula = read(&card, formula)?;
                    let place = place(&mut card, name);
                    self.step(&mut card, Work::Name(place, formula));
                }
                "=" => self.answers(&mut card, rest)?,
                "-" => self.step(&mut card, Work::Note(rest)),
                _ => {
                    let name = mark.strip_prefix('@')?;
                    let (kind, words) = rest.split_once(' ')?;
                    let source = if kind == "p" { Source::Published } else { Source::Derived };
                    self.sources.push((name, source(words)));
                }
            }
        }
        Some(card)
    }

    fn step(&self, card: &mut Card, work: Work) {
        card.steps.push(Step { guard: self.guard.clone(), work });
    }

    fn asks(&mut self, card: &mut Card, rest: &'static str) -> Option<()> {
        let (key, rest) = rest.split_once(' ')?;
        let (kind, rest) = rest.split_once(' ').unwrap_or((rest, ""));
        let (label, help) = (self.next()?, self.next()?);
        let first = card.names.len();
        let kind = match kind {
            "tire" => {
                for part in TIRE {
                    place(card, &format!("{key}.{part}"));
                }
                Kind::Tire(rest)
            }
            "choice" => {
                let mut few = Vec::new();
                while let Some(line) = self.next_with("| ") {
                    let (choice, rest) = line.split_once(' ')?;
                    let (words, sets) = rest.split_once(" ; ").unwrap_or((rest, ""));
                    for set in sets.split_whitespace() {
                        let (name, number) = set.split_once('=')?;
                        let formula = Formula::read(number, &|_| None)?;
                        let place = place(card, name);
                        let chosen = (card.fields.len(), few.len());
                        card.steps
                            .push(Step { guard: None, work: Work::Chosen(chosen, place, formula) });
                    }
                    few.push((choice, words));
                }
                Kind::Choice(few)
            }
            _ => {
                let (start, range) = rest.split_once(" in ")?;
                let (value, sigma) = start.split_once(" ± ").unwrap_or((start, "0"));
                let (least, most) = range.split_once("..")?;
                place(card, key);
                Kind::Number {
                    quantity: Quantity::named(kind)?,
                    start: Known::assumed(decimal(value)?, decimal(sigma)?),
                    range: [decimal(least)?, decimal(most)?],
                }
            }
        };
        card.fields.push(Field { key, label, help, kind, first });
        Some(())
    }

    fn answers(&mut self, card: &mut Card, rest: &'static str) -> Option<()> {
        let (key, rest) = rest.split_once(' ')?;
        let (quantity, source) = rest.split_once(' ')?;
        let (label, text) = (self.next()?, self.next()?);
        let formula = read(card, text)?;
        let words = self.next_with("~ ");
        let limits = match self.next_with("[ ") {
            Some(limits) => Some(self.limits(card, limits)?),
            None => None,
        };
        let (quantity, source) = (Quantity::named(quantity)?, self.source(source)?);
        let place = place(card, key);
        let answer = Answer { key, label, quantity, source, text, words, formula, place, limits };
        self.step(card, Work::Answer(Box::new(answer)));
        Some(())
    }

    fn limits(&self, card: &Card, text: &'static str) -> Option<Limits> {
        let (ends, rest) = text.split_once(" ] ")?;
        let (source, why) = rest.split_once(' ')?;
        let mut parts = ends.split(" ; ");
        let optional = |text: &str| match text.trim() {
            "" => Some(None),
            text => read(card, text).map(Some),
        };
        let pair = |text: &str| {
            let (low, high) = text.split_once("..")?;
            Some([optional(low)?, optional(high)?])
        };
        let band = pair(parts.next()?)?;
        let slack = optional(parts.next().unwrap_or_default())?;
        let stop = pair(parts.next().unwrap_or(".."))?;
        Some(Limits { band, slack, stop, source: self.source(source)?, why })
    }

    fn source(&self, name: &str) -> Option<Source> {
        match name.strip_prefix('@')? {
            "trade" => Some(Source::CommonPractice),
            "ackermann" => Some(ACKERMANN),
            name => {
                self.sources.iter().find(|(known, _)| *known == name).map(|(_, source)| *source)
            }
        }
    }
}

fn read(card: &Card, text: &str) -> Option<Formula> {
    Formula::read(text, &|name| card.place(name))
}

/// The place of a name; a new one where it has none yet.
fn place(card: &mut Card, name: &str) -> usize {
    card.place(name).unwrap_or_else(|| {
        card.names.push(name.to_owned());
        card.names.len() - 1
    })
}
