//! What the cards find about a truck as it is filled in.

use super::card::{Card, CardError, Entry, Line};
use super::from_truck::At;
use super::{ALL, Kind};
use fitment::few::sort_few;
use fitment::truck::{End, State, Truck};

/// A judged answer that leans on nothing but what the truck tells.
#[derive(Clone)]
pub struct OfTruck {
    /// Whose answer.
    pub card: &'static Card,
    /// The answer.
    pub line: Line,
}

/// Every judged answer about one axle of a truck in a state, worst first.
///
/// A card counts only as far as it knows this truck: an answer that hangs on a number nobody gave,
/// a card's own typical one, is left out. What starts without doubt is a condition, not a
/// measurement (a road speed, a load factor), and may stay as the card has it.
pub fn of_truck(truck: &Truck, end: End, state: State) -> Vec<OfTruck> {
    let mut found = Vec::new();
    let Some(at) = At::of(truck, end, state) else { return found };
    for card in ALL.iter() {
        let told = card.told(&at);
        if told.is_empty() {
            continue;
        }
        let known =
            |key: &str| told.iter().any(|(field, _)| *field == key) || card.is_condition(key);
        let Ok(lines) = card.judged(&card.with(&told), known) else { continue };
        found.extend(lines.into_iter().map(|line| OfTruck { card, line }));
    }
    let severity = |of: &OfTruck| of.line.verdict.map(|(_, verdict)| verdict.severity);
    sort_few(&mut found, |a, b| severity(b).cmp(&severity(a)));
    found
}

impl Card {
    /// True for a field that starts without doubt.
    fn is_condition(&self, key: &str) -> bool {
        self.field(key).is_some_and(|field| match &field.kind {
            Kind::Number { start, .. } => start.sigma <= 0.0,
            Kind::Choice(_) => true,
            Kind::Tire(size) => size.is_empty(),
        })
    }

    /// The judged answers that hang on known fields alone.
    fn judged(
        &self,
        entries: &[Entry],
        known: impl Fn(&str) -> bool,
    ) -> Result<Vec<Line>, CardError> {
        let (answered, leans) = self.answer_leaning(entries, true)?;
        let judged = answered.lines.into_iter().zip(leans).filter(|(line, leans)| {
            line.verdict.is_some() && leans.iter().all(|field| known(field))
        });
        Ok(judged.map(|(line, _)| line).collect())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_truck_is_judged_by_what_it_tells_and_nothing_else() {
        let truck = Truck::example();
        let found = of_truck(&truck, End::Front, State::Planned);
        let keys: Vec<(&str, &str)> = found.iter().map(|of| (of.card.slug, of.line.key)).collect();
        assert!(keys.contains(&("gearing", "speedometer")), "{keys:?}");
        assert!(keys.contains(&("hub", "scrub")), "{keys:?}");
        assert!(keys.contains(&("turning", "trail")), "{keys:?}");
        // Nobody told the load on the axle, or where the transfer case is.
        assert!(!keys.iter().any(|(card, _)| ["tire-load", "bolts"].contains(card)), "{keys:?}");
        assert!(!keys.contains(&("driveline", "difference")), "{keys:?}");
        let worst = |of: &OfTruck| of.line.verdict.unwrap().1.severity;
        assert!(found.windows(2).all(|pair| worst(&pair[0]) >= worst(&pair[1])));
    }

    #[test]
    fn an_axle_the_truck_lacks_tells_nothing() {
        let truck = Truck { rear: None, ..Truck::example() };
        assert!(of_truck(&truck, End::Rear, State::Sitting).is_empty());
    }
}
