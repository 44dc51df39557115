//! A card: what it asks, and what comes of the answers.

use super::{Drawing, Quantity};
use fitment::{
    axle::Real,
    finding::{Band, Verdict, judge},
    measure::{Known, ParseError, format, units::MM_PER_INCH},
    source::Source,
    tire::{self, Size, TireDims, TireError},
    truck,
};
use num_dual::Dual64;

/// The number cards reckon in: with its slope by one input, which is how doubt is carried on. One
/// kind for value and slopes keeps every room once in the page.
pub(super) type N = Dual64;

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
    Choice(&'static [(&'static str, &'static str)]),
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

/// A number as a field's start: typical, nobody looked yet.
pub(super) const fn number(
    key: &'static str,
    label: &'static str,
    quantity: Quantity,
    start: Known,
    range: [f64; 2],
    help: &'static str,
) -> Field {
    Field { key, label, help, kind: Kind::Number { quantity, start, range } }
}

/// One of a few as a field.
pub(super) const fn choice(
    key: &'static str,
    label: &'static str,
    options: &'static [(&'static str, &'static str)],
    help: &'static str,
) -> Field {
    Field { key, label, help, kind: Kind::Choice(options) }
}

/// A tire as a field.
pub(super) const fn tire_size(
    key: &'static str,
    label: &'static str,
    start: &'static str,
    help: &'static str,
) -> Field {
    Field { key, label, help, kind: Kind::Tire(start) }
}

/// A band without a stop.
pub(super) const fn within(
    low: f64,
    high: f64,
    slack: f64,
    source: Source,
    why: &'static str,
) -> Band {
    Band { low, high, slack, stop: (None, None), source, why }
}

/// A number without its sign.
pub(super) fn size(value: N) -> N {
    if value.re < 0.0 { -value } else { value }
}

/// A number in a formula's words.
pub(super) const fn n(value: N) -> f64 {
    value.re
}

/// A formula in words: each `{2}` gives way to the next figure, with so many decimals.
fn filled(template: &str, figures: &[f64]) -> String {
    let mut words = String::with_capacity(template.len() + 8 * figures.len());
    let mut parts = template.split('{');
    words.push_str(parts.next().unwrap_or_default());
    for (part, value) in parts.zip(figures) {
        let (decimals, rest) = part.split_once('}').unwrap_or(("", part));
        words.push_str(&format::number(*value, decimals.parse().unwrap_or(0)));
        words.push_str(rest);
    }
    words
}

/// A card.
pub struct Card {
    /// Name in files and links.
    pub slug: &'static str,
    /// Heading.
    pub title: &'static str,
    /// What it is good for.
    pub about: &'static str,
    /// Words of the trade to find it by, besides those of its heading.
    pub words: &'static [&'static str],
    /// What it asks.
    pub fields: &'static [Field],
    /// What must be said wherever its answers are shown.
    pub cautions: &'static [&'static str],
    /// The work.
    pub(super) work: fn(&Given, &mut Report),
    /// What it compares, drawn to scale.
    pub(super) drawing: Option<fn(&Given) -> Drawing>,
}

impl std::fmt::Debug for Card {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.slug)
    }
}

/// The answers a card works from.
pub struct Given {
    fields: &'static [Field],
    numbers: Vec<Slot>,
    tires: Vec<(&'static str, Tire)>,
    choices: Vec<(&'static str, usize)>,
}

struct Slot {
    key: &'static str,
    value: N,
}

/// A tire looked up from its size.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tire {
    /// Overall diameter, mm.
    pub diameter: N,
    /// Diameter of the rim, mm.
    pub rim: f64,
    /// Width of the rim it is measured on, mm.
    pub measuring_rim: f64,
    /// Section width, mm.
    pub section: N,
    /// Section width on the sidewall, mm, and height over width; none for inch sizes.
    pub metric: Option<[f64; 2]>,
    /// Wheel centre to ground under load, mm.
    pub loaded_radius: N,
    /// Distance rolled in one turn, mm.
    pub circumference: N,
}

impl Given {
    /// A number, in its quantity's own unit; not a number when the card has no such field.
    pub fn number(&self, key: &str) -> N {
        debug_assert!(self.fields.iter().any(|field| field.key == key), "{key}");
        let found = self.numbers.iter().find(|slot| slot.key == key);
        found.map_or_else(|| N::from(f64::NAN), |slot| slot.value)
    }

    /// A tire.
    pub fn tire(&self, key: &str) -> Tire {
        debug_assert!(self.fields.iter().any(|field| field.key == key), "{key}");
        let nan = N::from(f64::NAN);
        let none = Tire {
            diameter: nan,
            rim: f64::NAN,
            measuring_rim: f64::NAN,
            section: nan,
            metric: None,
            loaded_radius: nan,
            circumference: nan,
        };
        self.tire_if_any(key).unwrap_or(none)
    }

    /// A tire of a field that may be left empty.
    pub fn tire_if_any(&self, key: &str) -> Option<Tire> {
        self.tires.iter().find(|(name, _)| *name == key).map(|(_, tire)| *tire)
    }

    /// Which of the few was chosen, by its key.
    pub fn choice(&self, key: &str) -> &'static str {
        let index = self.choices.iter().find(|(name, _)| *name == key).map_or(0, |(_, i)| *i);
        self.fields
            .iter()
            .find(|field| field.key == key)
            .and_then(|field| match field.kind {
                Kind::Choice(options) => options.get(index).map(|(key, _)| *key),
                _ => None,
            })
            .unwrap_or_default()
    }
}

struct Found {
    key: &'static str,
    label: &'static str,
    quantity: Quantity,
    value: N,
    source: Source,
    formula: String,
    band: Option<Band>,
}

/// What a card's work writes its answers on.
pub struct Report {
    lines: Vec<Found>,
    notes: Vec<&'static str>,
    /// False while only slopes are asked for.
    in_words: bool,
}

impl Report {
    /// Adds an answer. `formula` says how it came about, with `{2}` where a number goes,
    /// and its decimals.
    #[expect(clippy::too_many_arguments, reason = "one call for each answer, read as one line")]
    pub fn line(
        &mut self,
        key: &'static str,
        label: &'static str,
        quantity: Quantity,
        value: N,
        source: Source,
        formula: &str,
        figures: &[f64],
    ) {
        debug_assert_eq!(formula.matches('{').count(), figures.len(), "{key}: {formula}");
        let formula = if self.in_words { filled(formula, figures) } else { String::new() };
        let band = None;
        self.lines.push(Found { key, label, quantity, value, source, formula, band });
    }

    /// Judges the answer added last by a band; the uncertainty has its say.
    pub fn judge(&mut self, band: Band) {
        if let Some(line) = self.lines.last_mut() {
            line.band = Some(band);
        }
    }

    /// Says something that follows from what was put in.
    pub fn note(&mut self, words: &'static str) {
        self.notes.push(words);
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

/// One uncertain number that answers may hang on.
struct Input {
    field: &'static str,
    sigma: f64,
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
        self.check(entries)?;
        let (given, inputs) = self.given(entries, None)?;
        let mut report = Report { lines: Vec::new(), notes: Vec::new(), in_words: true };
        (self.work)(&given, &mut report);
        let mut slopes: Vec<(&Input, Vec<f64>)> = Vec::new();
        for (index, input) in inputs.iter().enumerate().filter(|(_, input)| input.sigma > 0.0) {
            let (given, _) = self.given(entries, Some(index))?;
            slopes.push((input, self.slopes(&given)));
        }
        let lines = report.lines.into_iter().enumerate().map(|(i, found)| {
            let shares = slopes.iter().map(|(input, slopes)| {
                let share = slopes.get(i).copied().unwrap_or(0.0) * input.sigma;
                (input.field, share * share)
            });
            let (variance, driver) = add_up(shares);
            let sigma = variance.sqrt();
            let judged = |band: Band| (band, judge(found.value.re, sigma, &band));
            Line {
                key: found.key,
                label: found.label,
                quantity: found.quantity,
                value: Some(found.value.re).filter(|value| value.is_finite()),
                sigma,
                driver,
                formula: found.formula,
                source: found.source,
                // What has no value has no verdict either.
                verdict: found.band.filter(|_| found.value.re.is_finite()).map(judged),
            }
        });
        Ok(Answered { lines: lines.collect(), notes: report.notes })
    }

    /// The fields each answer hangs on, by their slopes, certain or not.
    pub(super) fn leans(&self, entries: &[Entry]) -> Result<Vec<Vec<&'static str>>, CardError> {
        let (given, inputs) = self.given(entries, None)?;
        let lines = self.slopes(&given).len();
        let mut leans = vec![Vec::new(); lines];
        for (index, input) in inputs.iter().enumerate() {
            let (given, _) = self.given(entries, Some(index))?;
            for (leans, slope) in leans.iter_mut().zip(self.slopes(&given)) {
                if slope != 0.0 {
                    leans.push(input.field);
                }
            }
        }
        Ok(leans)
    }

    /// Each answer's slope by the input that is followed.
    fn slopes(&self, given: &Given) -> Vec<f64> {
        let mut dual = Report { lines: Vec::new(), notes: Vec::new(), in_words: false };
        (self.work)(given, &mut dual);
        dual.lines.iter().map(|line| line.value.slope()).collect()
    }

    /// What the card compares, drawn to scale; `None` where there is nothing to draw.
    ///
    /// # Errors
    /// As [`Card::answer`].
    pub fn drawing(&self, entries: &[Entry]) -> Result<Option<Drawing>, CardError> {
        let Some(draw) = self.drawing else { return Ok(None) };
        self.check(entries)?;
        Ok(Some(draw(&self.given(entries, None)?.0)))
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

    /// The entries as numbers, one of them followed, and what may be followed.
    fn given(
        &self,
        entries: &[Entry],
        follow: Option<usize>,
    ) -> Result<(Given, Vec<Input>), CardError> {
        let mut inputs = Vec::new();
        let mut read = |field: &'static str, known: &Known| {
            let index = inputs.len();
            inputs.push(Input { field, sigma: known.sigma });
            N::input(known.value, follow == Some(index))
        };
        let mut given = Given {
            fields: self.fields,
            numbers: Vec::new(),
            tires: Vec::new(),
            choices: Vec::new(),
        };
        for (field, entry) in self.fields.iter().zip(entries) {
            match entry {
                Entry::Number(known) => {
                    let value = read(field.key, known);
                    given.numbers.push(Slot { key: field.key, value });
                }
                Entry::Choice(index) => given.choices.push((field.key, *index)),
                // A tire that is not there is not compared.
                Entry::Tire(size) if size.is_empty() && field.kind == Kind::Tire("") => {}
                Entry::Tire(size) => {
                    let dims = look_up(size)
                        .map_err(|error| CardError::Tire { field: field.key, error })?;
                    let diameter = read(field.key, &dims.diameter);
                    // The spread of the circumference beyond that of the diameter is load's and
                    // pressure's.
                    let per_diameter = dims.rolling_circumference.value / dims.diameter.value;
                    let factor = Known::assumed(per_diameter, tire::ROLLING_SPREAD * per_diameter);
                    let tire = Tire {
                        circumference: read(field.key, &factor) * diameter,
                        diameter,
                        rim: dims.rim_diameter_mm,
                        measuring_rim: dims.measuring_rim_code * MM_PER_INCH,
                        section: read(field.key, &dims.section),
                        metric: metric(dims.designation.size),
                        loaded_radius: read(field.key, &dims.loaded_radius),
                    };
                    given.tires.push((field.key, tire));
                }
            }
        }
        Ok((given, inputs))
    }
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
fn add_up(shares: impl Iterator<Item = (&'static str, f64)>) -> (f64, Option<(&'static str, f64)>) {
    let mut by_field: Vec<(&'static str, f64)> = Vec::new();
    for (field, share) in shares.filter(|(_, share)| share.is_finite() && *share > 0.0) {
        match by_field.iter_mut().find(|(name, _)| *name == field) {
            Some((_, sum)) => *sum += share,
            None => by_field.push((field, share)),
        }
    }
    let variance: f64 = by_field.iter().map(|(_, share)| share).sum();
    let most = by_field.into_iter().max_by(|a, b| a.1.total_cmp(&b.1));
    (variance, most.map(|(field, share)| (field, share / variance)))
}
