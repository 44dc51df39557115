//! Reads what a person types into a card: `3 1/2"`, `45 psi`, `110 lb·ft ± 10`, `265/75R16`.
//!
//! A number without `±` is taken as it is: no uncertainty. A number without a unit is in the
//! person's own system.

use super::card::{Card, CardError, Entry, Field, Kind};
use super::quantity::Quantity;
use fitment::measure::{Known, System, format, parse_angle, parse_length, parse_number};

impl Card {
    /// The field of a name.
    pub fn field(&self, key: &str) -> Option<&Field> {
        self.fields.iter().find(|field| field.key == key)
    }

    /// The card's entries with these set by name, in words.
    ///
    /// # Errors
    /// [`CardError`] for a name the card does not have, and for words that do not read; ranges are
    /// looked at when the card answers.
    pub fn entries<'a>(
        &self,
        given: impl IntoIterator<Item = (&'a str, &'a str)>,
        system: System,
    ) -> Result<Vec<Entry>, CardError> {
        self.entries_on(self.start(), given, system)
    }

    /// The same over other entries than those the card starts from.
    ///
    /// # Errors
    /// As [`Card::entries`].
    pub fn entries_on<'a>(
        &self,
        mut entries: Vec<Entry>,
        given: impl IntoIterator<Item = (&'a str, &'a str)>,
        system: System,
    ) -> Result<Vec<Entry>, CardError> {
        for (key, text) in given {
            let found = self.fields.iter().zip(&mut entries).find(|(field, _)| field.key == key);
            let Some((field, entry)) = found else {
                let asks: Vec<&str> = self.fields.iter().map(|field| field.key).collect();
                return Err(CardError::NoField { field: key.to_owned(), asks: asks.join(", ") });
            };
            *entry = field.read(text, system)?;
        }
        Ok(entries)
    }
}

impl Field {
    /// An entry from a person's words.
    ///
    /// # Errors
    /// [`CardError`] says what does not read and what would.
    pub fn read(&self, text: &str, system: System) -> Result<Entry, CardError> {
        match &self.kind {
            Kind::Tire(_) => Ok(Entry::Tire(text.trim().to_owned())),
            Kind::Choice(options) => {
                let at = options.iter().position(|(key, _)| *key == text.trim());
                at.map(Entry::Choice).ok_or_else(|| CardError::Choice {
                    field: self.key,
                    given: text.chars().take(48).collect(),
                    takes: options.iter().map(|(key, _)| *key).collect::<Vec<_>>().join(", "),
                })
            }
            Kind::Number { quantity, .. } => {
                let halves = text.split_once('±').or_else(|| text.split_once("+-"));
                let (value, spread) = match halves {
                    None => (text.to_owned(), None),
                    // A unit written once is meant for both.
                    Some((value, spread)) => match (unit_of(value), unit_of(spread)) {
                        ("", unit) => (format!("{value}{unit}"), Some(spread.to_owned())),
                        (unit, "") => (value.to_owned(), Some(format!("{spread}{unit}"))),
                        _ => (value.to_owned(), Some(spread.to_owned())),
                    },
                };
                let entered = Some(text.trim().to_owned());
                let value = self.number(*quantity, &value, system)?;
                let sigma = match spread {
                    None => 0.0,
                    // A spread is a difference: scaled, not shifted.
                    Some(spread) if *quantity == Quantity::Temperature => {
                        let zero = format!("0{}", unit_of(&spread));
                        self.number(*quantity, &spread, system)?
                            - self.number(*quantity, &zero, system)?
                    }
                    Some(spread) => self.number(*quantity, &spread, system)?,
                };
                Ok(Entry::Number(Known { entered, ..Known::published(value, sigma) }))
            }
        }
    }

    /// A person's words with the unit they meant, so that they mean the same in either system:
    /// `12` of pounds per square inch becomes `12 psi`.
    pub fn with_unit(&self, text: &str, system: System) -> String {
        let Kind::Number { quantity, .. } = &self.kind else { return text.to_owned() };
        let unit = written(*quantity, system);
        let named = text.split(['±', '+']).any(|part| !unit_of(part).is_empty());
        if unit.is_empty() || named || text.trim().is_empty() {
            return text.to_owned();
        }
        format!("{text} {unit}")
    }

    /// What such words look like in a person's system: the unit left away where it is their own,
    /// else worked over. What does not read stays as it is.
    pub fn shown(&self, text: &str, system: System) -> String {
        let Kind::Number { quantity, .. } = &self.kind else { return text.to_owned() };
        let unit = written(*quantity, system);
        if let Some(bare) = text.strip_suffix(unit) {
            let bare = bare.strip_suffix(' ').unwrap_or(bare);
            if unit_of(bare.rsplit('±').next().unwrap_or(bare)).is_empty() {
                return bare.to_owned();
            }
        }
        let others = quantity.unit(System::Metric).1 != quantity.unit(System::Inch).1;
        match self.read(text, system) {
            Ok(Entry::Number(known)) if others && !self.is_own(text, system) => {
                self.written(&known, system)
            }
            _ => text.to_owned(),
        }
    }

    /// True for words in units of the person's own system.
    fn is_own(&self, text: &str, system: System) -> bool {
        let Kind::Number { quantity, .. } = &self.kind else { return true };
        let with_unit = text.split(['±', '+']).find(|part| !unit_of(part).is_empty());
        let part = with_unit.unwrap_or(text);
        match quantity {
            Quantity::Length => parse_length(part, system.default_unit())
                .is_ok_and(|reading| reading.unit.system() == system),
            quantity => self.unit(*quantity, unit_of(part), system) == Ok(system),
        }
    }

    /// A number as a person would write it in their system, without its unit.
    pub fn written(&self, known: &Known, system: System) -> String {
        let Kind::Number { quantity, .. } = &self.kind else { return String::new() };
        let value = quantity.brief(known.value, system);
        let spread = quantity.brief(known.sigma, system);
        match (known.sigma > 0.0, quantity) {
            // A difference is not shifted.
            (true, Quantity::Temperature) => {
                format!("{value} ± {}", format::brief(known.sigma * quantity.unit(system).0))
            }
            (true, _) => format!("{value} ± {spread}"),
            (false, _) => value,
        }
    }

    /// An entry in words that read back as it, with the unit; a number to six digits.
    pub fn told(&self, entry: &Entry) -> String {
        match (entry, &self.kind) {
            (Entry::Number(known), Kind::Number { quantity, .. }) => {
                let short = |value: f64| {
                    let text = format!("{value:.4}");
                    text.trim_end_matches('0').trim_end_matches('.').to_owned()
                };
                let text = if known.sigma > 0.0 {
                    format!("{} ± {}", short(known.value), short(known.sigma))
                } else {
                    short(known.value)
                };
                let unit = written(*quantity, System::Metric);
                if unit.is_empty() { text } else { format!("{text} {unit}") }
            }
            (Entry::Choice(at), Kind::Choice(options)) => {
                options.get(*at).map_or(String::new(), |(key, _)| (*key).to_owned())
            }
            (Entry::Tire(size), _) => size.clone(),
            _ => String::new(),
        }
    }

    fn number(&self, quantity: Quantity, text: &str, system: System) -> Result<f64, CardError> {
        let unreadable = |error| CardError::Unreadable { field: self.key, error };
        match quantity {
            Quantity::Length => parse_length(text, system.default_unit())
                .map(|reading| reading.value_mm)
                .map_err(unreadable),
            Quantity::Angle => parse_angle(text).map_err(unreadable),
            _ => {
                let text = text.trim();
                let unit = unit_of(text);
                let number = text.strip_suffix(unit).unwrap_or(text);
                let written = parse_number(number).map_err(unreadable)?;
                let system = self.unit(quantity, unit, system)?;
                Ok(quantity.kept(written, system))
            }
        }
    }

    /// The system a unit belongs to.
    fn unit(&self, quantity: Quantity, unit: &str, own: System) -> Result<System, CardError> {
        let bare = bare(unit);
        if bare.is_empty() {
            return Ok(own);
        }
        let systems = [System::Metric, System::Inch];
        let turned = if bare == "ftlb" { "lbft".to_owned() } else { bare };
        let known = |system: &System| self::bare(quantity.unit(*system).1) == turned;
        systems.into_iter().find(known).ok_or_else(|| CardError::Unit {
            field: self.key,
            unit: unit.chars().take(24).collect(),
            takes: match systems.map(|system| quantity.unit(system).1) {
                ["", _] => "the bare number".to_owned(),
                [metric, inch] if metric == inch => metric.to_owned(),
                [metric, inch] => format!("{metric} or {inch}"),
            },
        })
    }
}

/// The unit a person writes behind a number of this quantity.
const fn written(quantity: Quantity, system: System) -> &'static str {
    match (quantity, system) {
        (Quantity::Length, System::Metric) => "mm",
        (Quantity::Length, System::Inch) => "in",
        (quantity, system) => quantity.unit(system).1,
    }
}

/// What follows the first number: the unit as written.
fn unit_of(text: &str) -> &str {
    text.trim().trim_start_matches(|c: char| {
        c.is_numeric() || c.is_whitespace() || matches!(c, '.' | ',' | '/' | '-' | '−' | '+')
    })
}

/// A unit without the marks people write differently: `N·m`, `N.m` and `Nm` are one.
fn bare(unit: &str) -> String {
    let marks = ['·', '.', '-', ' ', '°', '*'];
    unit.chars()
        .filter(|c| !marks.contains(c))
        .map(|c| match c {
            '²' => '2',
            c => c.to_ascii_lowercase(),
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn number(quantity: Quantity, range: [f64; 2]) -> Field {
        let kind = Kind::Number { quantity, start: Known::exact(0.0), range };
        Field { key: "it", label: "It", help: "", kind, first: 0 }
    }

    fn read(quantity: Quantity, text: &str, system: System) -> (f64, f64) {
        let field = number(quantity, [-1e9, 1e9]);
        match field.read(text, system).unwrap() {
            Entry::Number(known) => (known.value, known.sigma),
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn units_of_either_system_read() {
        use System::{Inch, Metric};
        // Factors of NIST SP 811: 25.4 mm, 6.894757 kPa, 1.355818 N·m, 4.448222 N.
        for (quantity, text, system, value, sigma) in [
            (Quantity::Length, "3 1/2\"", Metric, 88.9, 0.0),
            (Quantity::Length, "2 ± 1/8 in", Inch, 50.8, 3.175),
            (Quantity::Pressure, "45 psi", Metric, 310.264, 0.0),
            (Quantity::Pressure, "45", Inch, 310.264, 0.0),
            (Quantity::Pressure, "300 kPa", Inch, 300.0, 0.0),
            (Quantity::Torque, "100 lb·ft +- 10", Metric, 135.582, 13.5582),
            (Quantity::Torque, "100 ft-lb", Metric, 135.582, 0.0),
            (Quantity::Torque, "100 Nm", Inch, 100.0, 0.0),
            (Quantity::Force, "1000 lbf", Metric, 4448.222, 0.0),
            (Quantity::Temperature, "68 °F", Metric, 20.0, 0.0),
            (Quantity::Temperature, "20 °C ± 5", Metric, 20.0, 5.0),
            (Quantity::Temperature, "68 ± 9", Inch, 20.0, 5.0),
            (Quantity::Length, "1' 3 ± 2 mm", Metric, 381.0, 2.0),
            (Quantity::Angle, "3°30'", Metric, 3.5, 0.0),
            (Quantity::Percent, "5 %", Metric, 5.0, 0.0),
            (Quantity::Speed, "60 mph", Metric, 96.5606, 0.0),
        ] {
            let (got, spread) = read(quantity, text, system);
            assert!((got - value).abs() < 1e-3, "{text}: {got}");
            assert!((spread - sigma).abs() < 1e-3, "{text}: ± {spread}");
        }
    }

    #[test]
    fn words_keep_their_meaning_in_either_system() {
        use System::{Inch, Metric};
        for (quantity, typed, by, kept, metric, inch) in [
            (Quantity::Length, "89", Metric, "89 mm", "89", "3 1/2"),
            (Quantity::Length, "3 1/2", Inch, "3 1/2 in", "88.9", "3 1/2"),
            (Quantity::Length, "3 1/2\"", Inch, "3 1/2\"", "88.9", "3 1/2\""),
            (Quantity::Length, "8.9 cm", Metric, "8.9 cm", "8.9 cm", "3 1/2"),
            (Quantity::Length, "0.1", Metric, "0.1 mm", "0.1", "0.004"),
            (Quantity::Length, "50 ± 2", Metric, "50 ± 2 mm", "50 ± 2", "1.969 ± 0.079"),
            (Quantity::Pressure, "45", Inch, "45 psi", "310.3", "45"),
            (Quantity::Pressure, "300 kPa", Inch, "300 kPa", "300", "43.51"),
            (Quantity::Temperature, "20 ± 5", Metric, "20 ± 5 °C", "20 ± 5", "68 ± 9"),
            (Quantity::Angle, "3°30'", Inch, "3°30'", "3°30'", "3°30'"),
            (Quantity::Ratio, "4.1", Inch, "4.1", "4.1", "4.1"),
            (Quantity::Rpm, "2500", Inch, "2500 rpm", "2500", "2500"),
            (Quantity::Length, "12 1/", Inch, "12 1/ in", "12 1/ in", "12 1/"),
        ] {
            let field = number(quantity, [-1e9, 1e9]);
            let with = field.with_unit(typed, by);
            assert_eq!(with, kept, "{typed}");
            assert_eq!(field.with_unit(&with, Metric), kept, "{typed}");
            assert_eq!(field.shown(&with, Metric), metric, "{typed}");
            assert_eq!(field.shown(&with, Inch), inch, "{typed}");
        }
    }

    #[test]
    fn other_units_and_choices_are_refused_with_what_would_do() {
        let field = number(Quantity::Mass, [0.0, 1.0]);
        let error = field.read("5 psi", System::Metric).unwrap_err().to_string();
        assert!(error.contains("kg or lb"), "{error}");
        let choice = Field {
            kind: Kind::Choice(vec![("a", "A"), ("b", "B")]),
            ..number(Quantity::Count, [0.0; 2])
        };
        let error = choice.read("c", System::Metric).unwrap_err().to_string();
        assert!(error.contains("a, b"), "{error}");
    }
}
