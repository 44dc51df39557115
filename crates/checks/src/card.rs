//! A card: what it asks, and what comes of the answers.

use super::formula::{Formula, N, spelled};
use super::{Drawing, Quantity, overlay, text};
use fitment::{
    finding::{Band, Verdict, judge},
    measure::{Known, ParseError, System, format, units::MM_PER_INCH},
    source::Source,
    tire::{self, Size, TireDims, TireError},
    truck,
};

/// One thing a card asks.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    /// Name in files.
    pub key: &'static str,
    /// Name for people.
    pub label: &'static str,
    /// How to find it out.
    pub help: &'static str,
    /// What can be put in, and what it starts from.
    pub kind: Kind,
    /// Place of its first number among the card's names.
    pub(super) first: usize,
}

/// What can be put in.
#[derive(Debug, Clone, PartialEq)]
pub enum Kind {
    /// A number.
    Number {
        /// What it measures.
        quantity: Quantity,
        /// What it starts from.
        start: Known,
        /// Least and largest that is taken.
        range: [f64; 2],
    },
    /// One of a few: key and words of each; the first to start from.
    Choice(Vec<(&'static str, &'static str)>),
    /// A tire's size as on its sidewall; what it starts from. One that starts from nothing may be
    /// left empty.
    Tire(&'static str),
}

/// What was put in.
#[derive(Debug, Clone, PartialEq)]
pub enum Entry {
    /// A number.
    Number(Known),
    /// Which of the few, from 0.
    Choice(usize),
    /// A tire's size.
    Tire(String),
}

/// A card, as its text says.
pub struct Card {
    /// Name in files and links.
    pub slug: &'static str,
    /// Heading.
    pub title: &'static str,
    /// What it is good for.
    pub about: &'static str,
    /// Words of the trade to find it by, besides those of its heading.
    pub words: Vec<&'static str>,
    /// What it asks.
    pub fields: Vec<Field>,
    /// What must be said wherever its answers are shown.
    pub cautions: Vec<&'static str>,
    /// What its formulas may name.
    pub(super) names: Vec<String>,
    /// The work, in order.
    pub(super) steps: Vec<Step>,
}

/// Something to do.
pub(super) struct Step {
    /// Only where this comes to more than 0.
    pub guard: Option<Formula>,
    pub work: Work,
}

pub(super) enum Work {
    /// What a choice sets: field and which of its few, the name's place, the number.
    Chosen((usize, usize), usize, Formula),
    /// A number on the way.
    Name(usize, Formula),
    Answer(Box<Answer>),
    Note(&'static str),
}

/// An answer to be worked out.
pub(super) struct Answer {
    pub key: &'static str,
    pub label: &'static str,
    pub quantity: Quantity,
    pub source: Source,
    /// The formula as written.
    pub text: &'static str,
    /// What is printed in its place.
    pub words: Option<&'static str>,
    pub formula: Formula,
    pub place: usize,
    pub limits: Option<Limits>,
}

/// The band of an answer, its ends still to be worked out.
pub(super) struct Limits {
    pub band: [Option<Formula>; 2],
    pub slack: Option<Formula>,
    pub stop: [Option<Formula>; 2],
    pub source: Source,
    pub why: &'static str,
}

impl Limits {
    fn band(&self, names: &[N]) -> Band {
        let at = |end: &Option<Formula>| end.as_ref().map(|end| end.value(names)[0]);
        let ([low, high], [under, over]) = (&self.band, &self.stop);
        Band {
            low: at(low).unwrap_or(f64::NEG_INFINITY),
            high: at(high).unwrap_or(f64::INFINITY),
            slack: at(&self.slack).unwrap_or(0.0),
            stop: (at(under), at(over)),
            source: self.source,
            why: self.why,
        }
    }
}

impl std::fmt::Debug for Card {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.slug)
    }
}

/// One answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// Name in files.
    pub key: &'static str,
    /// Name for people.
    pub label: &'static str,
    /// What it measures.
    pub quantity: Quantity,
    /// Best value; `None` where it has no meaning.
    pub value: Option<f64>,
    /// One standard deviation.
    pub sigma: f64,
    /// The field it hangs on most, and that one's share of the variance; `None` when nothing it depends
    /// on is uncertain.
    pub driver: Option<(&'static str, f64)>,
    /// How it came about, with the numbers in it.
    pub formula: String,
    /// Where the formula comes from.
    pub source: Source,
    /// How it stands to a limit, and which.
    pub verdict: Option<(Band, Verdict)>,
}

/// A card's answers.
#[derive(Debug, Clone, PartialEq)]
pub struct Answered {
    /// In reading order.
    pub lines: Vec<Line>,
    /// What follows from what was put in.
    pub notes: Vec<&'static str>,
}

/// What cannot be worked with.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum CardError {
    /// The entries are not those of the card.
    #[error("{what}: this card asks for {fields} things and was given {given}")]
    Entries {
        /// The card.
        what: &'static str,
        /// How many it asks.
        fields: usize,
        /// How many came.
        given: usize,
    },
    /// An entry of another kind than its field.
    #[error("{field}: this is not what the field takes; give it {takes}")]
    Kind {
        /// Key of the field.
        field: &'static str,
        /// What it takes.
        takes: &'static str,
    },
    /// A number out of its range.
    #[error("{field}: {value} is outside {least} to {most}; check the unit and the figure")]
    Range {
        /// Key of the field.
        field: &'static str,
        /// The number.
        value: f64,
        /// Least taken.
        least: f64,
        /// Largest taken.
        most: f64,
    },
    /// A name the card has no field for.
    #[error("{field}: this card asks no such thing; it asks {asks}")]
    NoField {
        /// The name.
        field: String,
        /// The names it knows.
        asks: String,
    },
    /// A number that does not read.
    #[error("{field}: {error}")]
    Unreadable {
        /// Key of the field.
        field: &'static str,
        /// Where and why.
        error: ParseError,
    },
    /// A unit of another quantity.
    #[error("{field}: {unit:?} is no unit for this; write {takes}")]
    Unit {
        /// Key of the field.
        field: &'static str,
        /// The unit as written.
        unit: String,
        /// What may be written.
        takes: String,
    },
    /// None of the few.
    #[error("{field}: {given:?} is none of its choices; write one of {takes}")]
    Choice {
        /// Key of the field.
        field: &'static str,
        /// What was written.
        given: String,
        /// What may be written.
        takes: String,
    },
    /// A tire's size that does not read.
    #[error("{field}: {error}")]
    Tire {
        /// Key of the field.
        field: &'static str,
        /// What is wrong with it.
        error: TireError,
    },
}

impl CardError {
    /// Key of the field it is about, where it is about one of the card's own.
    pub const fn field(&self) -> Option<&'static str> {
        match self {
            Self::Entries { .. } | Self::NoField { .. } => None,
            Self::Kind { field, .. }
            | Self::Range { field, .. }
            | Self::Unreadable { field, .. }
            | Self::Unit { field, .. }
            | Self::Choice { field, .. }
            | Self::Tire { field, .. } => Some(*field),
        }
    }
}

/// One number that answers may hang on.
struct Input {
    field: &'static str,
    sigma: f64,
    /// The names it moves, and by how much for each of its own unit.
    moves: [(usize, f64); 2],
}

/// The entries as numbers.
struct Given {
    /// By place; not a number where nothing is put in.
    names: Vec<N>,
    inputs: Vec<Input>,
}

impl Card {
    /// What the card starts from.
    pub fn start(&self) -> Vec<Entry> {
        let start = |field: &Field| match &field.kind {
            Kind::Number { start, .. } => Entry::Number(start.clone()),
            Kind::Choice(_) => Entry::Choice(0),
            Kind::Tire(size) => Entry::Tire((*size).to_owned()),
        };
        self.fields.iter().map(start).collect()
    }

    /// What the card starts from, with these entries in place of its own.
    pub fn with(&self, told: &[(&'static str, Entry)]) -> Vec<Entry> {
        let mut entries = self.start();
        for (field, entry) in self.fields.iter().zip(&mut entries) {
            if let Some((_, told)) = told.iter().find(|(key, _)| *key == field.key) {
                *entry = told.clone();
            }
        }
        entries
    }

    /// The answers for these entries, in the order of the fields.
    ///
    /// # Errors
    /// [`CardError`] names the field, what is wrong with it and what would fix it.
    pub fn answer(&self, entries: &[Entry]) -> Result<Answered, CardError> {
        Ok(self.answer_leaning(entries, false)?.0)
    }

    /// The same, and the fields each answer hangs on by their slopes, certain or not, where that is
    /// asked for.
    pub(super) fn answer_leaning(
        &self,
        entries: &[Entry],
        leaning: bool,
    ) -> Result<(Answered, Vec<Vec<&'static str>>), CardError> {
        self.check(entries)?;
        let given = self.given(entries)?;
        let mut names = given.names.clone();
        let mut answered = Answered { lines: Vec::new(), notes: Vec::new() };
        self.work(entries, &mut names, &mut |work, names, [value, _]| match work {
            Work::Answer(answer) => answered.lines.push(self.line(answer, names, value)),
            Work::Note(words) => answered.notes.push(words),
            Work::Chosen(..) | Work::Name(..) => {}
        });
        let mut shares: Vec<Vec<(&'static str, f64)>> = vec![Vec::new(); answered.lines.len()];
        let mut leans: Vec<Vec<&'static str>> = vec![Vec::new(); answered.lines.len()];
        for input in given.inputs.iter().filter(|input| leaning || input.sigma > 0.0) {
            let mut names = given.names.clone();
            for (place, slope) in input.moves {
                if let Some(name) = names.get_mut(place) {
                    name[1] = slope;
                }
            }
            let mut at = 0;
            self.work(entries, &mut names, &mut |work, _, [_, slope]| {
                if !matches!(work, Work::Answer(_)) {
                    return;
                }
                if let (Some(shares), Some(leans)) = (shares.get_mut(at), leans.get_mut(at)) {
                    shares.push((input.field, (slope * input.sigma).powi(2)));
                    if slope != 0.0 {
                        leans.push(input.field);
                    }
                }
                at += 1;
            });
        }
        for (line, shares) in answered.lines.iter_mut().zip(shares) {
            let (variance, driver) = add_up(shares);
            line.sigma = variance.sqrt();
            line.driver = driver;
            if let (Some((band, verdict)), Some(value)) = (&mut line.verdict, line.value) {
                *verdict = judge(value, line.sigma, band);
            }
        }
        Ok((answered, leans))
    }

    /// Runs the steps; `done` sees each with what it came to and the names as they were before.
    fn work<'a>(
        &'a self,
        entries: &[Entry],
        names: &mut [N],
        done: &mut dyn FnMut(&'a Work, &[N], N),
    ) {
        for step in &self.steps {
            // What is no number is no reason either.
            let holds = |guard: &Formula| guard.value(names)[0] > 0.0;
            if !step.guard.as_ref().is_none_or(holds) {
                continue;
            }
            let (place, formula) = match &step.work {
                Work::Chosen((field, which), ..)
                    if entries.get(*field) != Some(&Entry::Choice(*which)) =>
                {
                    continue;
                }
                Work::Chosen(_, place, formula) | Work::Name(place, formula) => (place, formula),
                Work::Answer(answer) => (&answer.place, &answer.formula),
                Work::Note(_) => {
                    done(&step.work, names, [0.0; 2]);
                    continue;
                }
            };
            let value = formula.value(names);
            done(&step.work, names, value);
            if let Some(name) = names.get_mut(*place) {
                *name = value;
            }
        }
    }

    /// An answer as yet without its doubt.
    fn line(&self, answer: &Answer, names: &[N], value: f64) -> Line {
        let place = |name: &str| self.place(name).and_then(|place| names.get(place));
        let number = |name: &str| {
            let [value, _] = place(name).copied().unwrap_or([f64::NAN; 2]);
            digits(value)
        };
        let unit = answer.quantity.unit(System::Metric).1;
        let space = if unit.is_empty() || unit == "°" { "" } else { " " };
        let result = format!("{}{space}{unit}", digits(value));
        let told = if let Some(words) = answer.words {
            filled(words, &number)
        } else {
            let spoken = spelled(answer.text, &|name| name.replace(['_', '.'], " "));
            let numbers = spelled(answer.text, &number);
            if self.place(answer.text).is_some() { spoken } else { format!("{spoken} = {numbers}") }
        };
        let verdict = answer.limits.as_ref().filter(|_| value.is_finite()).map(|limits| {
            let band = limits.band(names);
            (band, judge(value, 0.0, &band))
        });
        Line {
            key: answer.key,
            label: answer.label,
            quantity: answer.quantity,
            value: Some(value).filter(|value| value.is_finite()),
            sigma: 0.0,
            driver: None,
            formula: format!("{told} = {result}"),
            source: answer.source,
            verdict,
        }
    }

    /// Where a name's number stands.
    pub(super) fn place(&self, name: &str) -> Option<usize> {
        self.names.iter().position(|known| known == name)
    }

    /// What the card compares, drawn to scale; `None` where there is nothing to draw.
    ///
    /// # Errors
    /// As [`Card::answer`].
    pub fn drawing(&self, entries: &[Entry]) -> Result<Option<Drawing>, CardError> {
        let Some(draw) = overlay::of(self.slug) else { return Ok(None) };
        self.check(entries)?;
        let names = self.given(entries)?.names;
        let value = |name: &str| {
            self.place(name).and_then(|place| names.get(place)).map_or(f64::NAN, |n| n[0])
        };
        Ok(Some(draw(&value)))
    }

    /// Everything wrong with the entries, the first of it.
    fn check(&self, entries: &[Entry]) -> Result<(), CardError> {
        if entries.len() != self.fields.len() {
            let (fields, given) = (self.fields.len(), entries.len());
            return Err(CardError::Entries { what: self.title, fields, given });
        }
        for (field, entry) in self.fields.iter().zip(entries) {
            let wrong = |takes| Err(CardError::Kind { field: field.key, takes });
            match (&field.kind, entry) {
                (Kind::Number { range, .. }, Entry::Number(known)) => {
                    let [least, most] = *range;
                    if !(least..=most).contains(&known.value) {
                        let value = known.value;
                        return Err(CardError::Range { field: field.key, value, least, most });
                    }
                    if !(known.sigma.is_finite() && known.sigma >= 0.0) {
                        return wrong("an uncertainty of 0 or more");
                    }
                }
                (Kind::Choice(options), Entry::Choice(index)) if *index < options.len() => {}
                (Kind::Tire(_), Entry::Tire(_)) => {}
                (Kind::Number { .. }, _) => return wrong("a number"),
                (Kind::Choice(_), _) => return wrong("one of its choices"),
                (Kind::Tire(_), _) => return wrong("a tire's size"),
            }
        }
        Ok(())
    }

    /// The entries as numbers, and what of them may be doubted.
    fn given(&self, entries: &[Entry]) -> Result<Given, CardError> {
        let mut given =
            Given { names: vec![[f64::NAN, 0.0]; self.names.len()], inputs: Vec::new() };
        for (field, entry) in self.fields.iter().zip(entries) {
            let (key, first) = (field.key, field.first);
            match entry {
                Entry::Choice(_) => {}
                Entry::Number(known) => {
                    given.put(first, known.value);
                    given.doubt(key, known.sigma, [(first, 1.0); 2]);
                }
                // A tire that is not there is not compared.
                Entry::Tire(size) if size.is_empty() && field.kind == Kind::Tire("") => {
                    given.put(first, 0.0);
                }
                Entry::Tire(size) => {
                    let dims =
                        look_up(size).map_err(|error| CardError::Tire { field: key, error })?;
                    let diameter = dims.diameter.value;
                    // The spread of the circumference beyond that of the diameter is load's and
                    // pressure's.
                    let rolled = dims.rolling_circumference.value;
                    let metric = metric(dims.designation.size);
                    let [width, aspect] = metric.unwrap_or([f64::NAN; 2]);
                    let values = [
                        1.0,
                        diameter,
                        dims.rim_diameter_mm,
                        dims.measuring_rim_code * MM_PER_INCH,
                        dims.section.value,
                        width,
                        aspect,
                        f64::from(u8::from(metric.is_some())),
                        dims.loaded_radius.value,
                        rolled,
                    ];
                    let place = |part: &str| {
                        first + text::TIRE.iter().position(|known| *known == part).unwrap_or(0)
                    };
                    for (place, value) in (first..).zip(values) {
                        given.put(place, value);
                    }
                    let around = place("rolled");
                    let both = [(place("diameter"), 1.0), (around, rolled / diameter)];
                    given.doubt(key, dims.diameter.sigma, both);
                    given.doubt(key, tire::ROLLING_SPREAD * rolled, [(around, 1.0); 2]);
                    given.doubt(key, dims.section.sigma, [(place("section"), 1.0); 2]);
                    given.doubt(key, dims.loaded_radius.sigma, [(place("loaded"), 1.0); 2]);
                }
            }
        }
        Ok(given)
    }
}

impl Given {
    fn put(&mut self, place: usize, value: f64) {
        if let Some(name) = self.names.get_mut(place) {
            *name = [value, 0.0];
        }
    }

    fn doubt(&mut self, field: &'static str, sigma: f64, moves: [(usize, f64); 2]) {
        self.inputs.push(Input { field, sigma, moves });
    }
}

/// A number in a formula: four digits that tell.
fn digits(value: f64) -> String {
    match value.abs() {
        none if none < 1e-12 => "0".to_owned(),
        small if small < 0.01 => format!("{value:.3e}").replace('-', "−"),
        part if part < 1.0 => {
            format::number(value, 4).trim_end_matches('0').trim_end_matches('.').to_owned()
        }
        _ => format::brief(value),
    }
}

/// Words with each `{name}` given way to its number.
fn filled(words: &str, number: &dyn Fn(&str) -> String) -> String {
    let mut parts = words.split('{');
    let mut whole = parts.next().unwrap_or_default().to_owned();
    for part in parts {
        let (name, rest) = part.split_once('}').unwrap_or((part, ""));
        whole.push_str(&number(name));
        whole.push_str(rest);
    }
    whole
}

/// A tire by its size alone, on its own measuring rim.
fn look_up(size: &str) -> Result<TireDims, TireError> {
    let tire = truck::Tire::sized(size);
    let on = |width_mm: f64| truck::Wheel::new(Known::exact(width_mm), Known::exact(0.0));
    // Any wheel will do to find out which one it is measured on.
    let rim = tire::resolve(&tire, &on(200.0))?.measuring_rim_code * MM_PER_INCH;
    tire::resolve(&tire, &on(rim))
}

/// Section width, mm, and height over width of a metric size.
fn metric(size: Size) -> Option<[f64; 2]> {
    match size {
        Size::Metric { section_mm, aspect_pct } => Some([section_mm, aspect_pct / 100.0]),
        Size::Flotation { .. } | Size::Numeric { .. } => None,
    }
}

/// Adds up independent shares of a variance and keeps the largest, fields taken together.
fn add_up(shares: Vec<(&'static str, f64)>) -> (f64, Option<(&'static str, f64)>) {
    let mut by_field: Vec<(&'static str, f64)> = Vec::new();
    for (field, share) in shares.into_iter().filter(|(_, share)| share.is_finite() && *share > 0.0)
    {
        match by_field.iter_mut().find(|(name, _)| *name == field) {
            Some((_, sum)) => *sum += share,
            None => by_field.push((field, share)),
        }
    }
    let variance: f64 = by_field.iter().map(|(_, share)| share).sum();
    let most = by_field.into_iter().max_by(|a, b| a.1.total_cmp(&b.1));
    (variance, most.map(|(field, share)| (field, share / variance)))
}
