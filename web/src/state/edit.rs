//! What typing into a field does to the truck: read it, try it, keep it only when it makes sense.

use super::field::{self, SlotMut};
use super::shelf;
use buildfile::{Build, Units, node};
use fitment::axle::apply_readings;
use fitment::measure::{
    Instrument, Known, LengthUnit, Origin, ParseError, System, parse_angle, parse_length,
    parse_number,
};
use fitment::truck::End;

/// What kind of number a field holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Quantity {
    /// A length, stored in mm.
    Length,
    /// An angle, stored in degrees.
    Angle,
    /// A number in a unit of its own.
    Plain,
}

/// Why typed text is not in the truck yet. The text itself is kept beside it.
#[derive(Debug, Clone, PartialEq)]
pub enum Refusal {
    /// It does not read as a number; the error points at the character.
    Reads(ParseError),
    /// Nothing typed where a number is needed.
    Empty,
    /// It reads, but cannot be right.
    Rule {
        /// What was found.
        found: String,
        /// What would mend it.
        remedy: String,
    },
    /// The truck has no such place (any more).
    NoPlace,
}

impl Refusal {
    /// The message, in words.
    pub fn message(&self) -> String {
        match self {
            Self::Reads(error) => error.to_string(),
            Self::Empty => "Type a number; the last good one is still in use.".into(),
            Self::Rule { found, remedy } => format!("{found}: {remedy}"),
            Self::NoPlace => "This axle has no such number.".into(),
        }
    }

    /// Which character it is about, if it is about one.
    pub const fn at(&self) -> Option<usize> {
        match self {
            Self::Reads(error) => Some(error.column),
            _ => None,
        }
    }
}

/// What kind of number lives at a path: the unit is the end of its name.
pub fn quantity(path: &str) -> Quantity {
    let name = path.rsplit('.').next().unwrap_or(path);
    let name = name.split('[').next().unwrap_or(name);
    if name.ends_with("_deg") && !name.contains("_nm_per") {
        Quantity::Angle
    } else if name.ends_with("_mm") && !name.contains("_per_mm") {
        Quantity::Length
    } else {
        Quantity::Plain
    }
}

/// The measure system that goes with the person's units.
pub const fn system(units: Units) -> System {
    match units {
        Units::Metric => System::Metric,
        Units::Inch => System::Inch,
    }
}

/// Reads text for a path. What was typed is kept to the letter, with the unit added where the
/// person left it to their habit, so that it still reads the same after the habit changes.
///
/// # Errors
/// [`Refusal::Empty`] and [`Refusal::Reads`].
pub fn read(text: &str, quantity: Quantity, units: Units) -> Result<(f64, String), Refusal> {
    let trimmed = text.trim();
    if trimmed.is_empty() {
        return Err(Refusal::Empty);
    }
    match quantity {
        Quantity::Length => {
            let habit = system(units).default_unit();
            let reading = parse_length(text, habit).map_err(Refusal::Reads)?;
            // A bare number means something else in another habit; a number with a unit does not.
            let other = match habit {
                LengthUnit::Inch => LengthUnit::Millimetre,
                _ => LengthUnit::Inch,
            };
            let bare = !parse_length(text, other).is_ok_and(|again| again.unit == reading.unit);
            let entered = match (bare, reading.unit) {
                (true, LengthUnit::Inch) => format!("{trimmed} in"),
                (true, LengthUnit::Millimetre) => format!("{trimmed} mm"),
                _ => trimmed.to_owned(),
            };
            Ok((reading.value_mm, entered))
        }
        Quantity::Angle => {
            parse_angle(text).map(|value| (value, trimmed.to_owned())).map_err(Refusal::Reads)
        }
        Quantity::Plain => {
            parse_number(text).map(|value| (value, trimmed.to_owned())).map_err(Refusal::Reads)
        }
    }
}

/// Numbers that are chosen, not measured: what will be bolted on.
pub fn is_choice(path: &str) -> bool {
    path.contains(".planned.") || path.contains(".shelf.") || path.contains("parts[")
}

/// Puts typed text into the build, where it reads and makes sense.
///
/// # Errors
/// Any [`Refusal`]; the build is then as it was.
pub fn enter(build: &Build, path: &str, text: &str, units: Units) -> Result<Build, Refusal> {
    let mut next = build.clone();
    if path == "name" {
        text.clone_into(&mut next.name);
        return checked(build, next);
    }
    if path == "note" {
        text.clone_into(&mut next.note);
        return checked(build, next);
    }
    if let Some(words) = node::text_mut(&mut next.truck, path) {
        text.trim().clone_into(words);
        shelf::follow(&build.truck, &mut next.truck);
        return checked(build, next);
    }
    let slot = field::slot_mut(&mut next.truck, path).ok_or(Refusal::NoPlace)?;
    if let SlotMut::May(known) = slot {
        if text.trim().is_empty() {
            *known = None;
            return checked(build, next);
        }
        let (value, entered) = read(text, quantity(path), units)?;
        *known = Some(renewed(known.as_ref(), path, value, entered));
        return checked(build, next);
    }
    if let SlotMut::Must(known) = slot {
        let (value, entered) = read(text, quantity(path), units)?;
        *known = renewed(Some(known), path, value, entered);
        supersede(&mut next, path);
        if path.contains(".shelf.") {
            shelf::follow(&build.truck, &mut next.truck);
        }
    }
    checked(build, next)
}

/// Says where a number came from. Going back to "assumed" keeps the value and widens it.
pub fn set_origin(build: &Build, path: &str, origin: Origin) -> Option<Build> {
    let mut next = build.clone();
    let known = match field::slot_mut(&mut next.truck, path)? {
        SlotMut::Must(known) => known,
        SlotMut::May(known) => known.as_mut()?,
    };
    known.sigma = match &origin {
        Origin::Measured(with) => with.typical_sigma(),
        Origin::Assumed => known.sigma.max(assumed_sigma(quantity(path), known.value)),
        Origin::Published => known.sigma.min(match quantity(path) {
            Quantity::Length => 1.0,
            Quantity::Angle => 0.1,
            Quantity::Plain => known.sigma,
        }),
    };
    known.origin = origin;
    Some(next)
}

/// Says how far a number may be off.
///
/// # Errors
/// As [`enter`].
pub fn set_sigma(build: &Build, path: &str, text: &str, units: Units) -> Result<Build, Refusal> {
    let (sigma, _) = read(text, quantity(path), units)?;
    let mut next = build.clone();
    match field::slot_mut(&mut next.truck, path).ok_or(Refusal::NoPlace)? {
        SlotMut::Must(known) | SlotMut::May(Some(known)) => known.sigma = sigma,
        SlotMut::May(None) => return Err(Refusal::NoPlace),
    }
    checked(build, next)
}

/// The spread a number nobody measured on this truck gets, where we have no better: a length
/// 25 mm, an angle 1.5°, anything else a third (our assumption, no source).
pub fn assumed_sigma(quantity: Quantity, value: f64) -> f64 {
    match quantity {
        Quantity::Length => 25.0,
        Quantity::Angle => 1.5,
        Quantity::Plain => value.abs() / 3.0,
    }
}

/// The number after typing: a choice stays exact; whatever was assumed is now measured.
fn renewed(old: Option<&Known>, path: &str, value: f64, entered: String) -> Known {
    if is_choice(path) {
        return Known { entered: Some(entered), ..Known::exact(value) };
    }
    let with = match quantity(path) {
        Quantity::Angle => Instrument::PhoneLevel,
        Quantity::Length | Quantity::Plain => Instrument::Tape,
    };
    match old {
        Some(old) if !old.is_assumed() => {
            Known { value, sigma: old.sigma, origin: old.origin.clone(), entered: Some(entered) }
        }
        _ => Known { entered: Some(entered), ..Known::measured(value, with) },
    }
}

/// Accepts a change only when it brings in no new fault, and lets tape readings place the
/// hardpoints they pin down.
fn checked(before: &Build, mut after: Build) -> Result<Build, Refusal> {
    settle(before, &mut after)?;
    let old = before.validate();
    let fresh = after
        .validate()
        .into_iter()
        .find(|problem| !old.iter().any(|o| o.path == problem.path && o.rule == problem.rule));
    match fresh {
        None => Ok(after),
        Some(problem) => Err(Refusal::Rule { found: problem.found, remedy: problem.remedy }),
    }
}

/// Lets the readings of every axle that changed place its hardpoints.
///
/// # Errors
/// [`Refusal::Rule`] when a reading cannot be.
pub fn settle(before: &Build, after: &mut Build) -> Result<(), Refusal> {
    for end in [End::Front, End::Rear] {
        let old = before.truck.axle(end).cloned();
        let Some(axle) = after.truck.axle_mut(end) else { continue };
        if axle.readings.is_empty() || old.as_ref() == Some(axle) {
            continue;
        }
        apply_readings(axle, end).map_err(|error| {
            let text = error.to_string();
            let (found, remedy) = text.split_once("; ").unwrap_or((&text, "measure both again"));
            Refusal::Rule { found: found.into(), remedy: remedy.into() }
        })?;
    }
    Ok(())
}

/// A hardpoint typed by hand takes the place of the reading that pinned it down.
fn supersede(build: &mut Build, path: &str) {
    let Some((axle, rest)) = field::end_of(path)
        .and_then(|end| build.truck.axle_mut(end))
        .zip(path.split_once('.').map(|(_, rest)| rest))
    else {
        return;
    };
    let readings = &mut axle.readings;
    match rest {
        "panhard.chassis.z_mm" => readings.panhard_rise_mm = None,
        "panhard.chassis.y_mm" => readings.panhard_length_mm = None,
        "layout.left.chassis.z_mm" | "layout.lower_left.chassis.z_mm" => {
            readings.arm_rise_mm = None;
        }
        "layout.left.chassis.x_mm" | "layout.lower_left.chassis.x_mm" => {
            readings.arm_length_mm = None;
        }
        _ => {}
    }
}

#[cfg(test)]
#[expect(clippy::float_cmp, reason = "whole numbers and typed ones come back to the last bit")]
mod tests {
    use super::*;

    fn value(build: &Build, path: &str) -> f64 {
        field::known(&build.truck, path).expect("there").value
    }

    #[test]
    fn units_follow_the_name() {
        for (path, want) in [
            ("front.panhard.axle.y_mm", Quantity::Length),
            ("front.kingpin.caster_deg", Quantity::Angle),
            ("front.layout.axle_bush.radial_n_per_mm", Quantity::Plain),
            ("front.layout.axle_bush.torsion_nm_per_deg", Quantity::Plain),
            ("front.shelf.parts[6].part.step_mm", Quantity::Length),
        ] {
            assert_eq!(quantity(path), want, "{path}");
        }
    }

    #[test]
    fn a_bare_number_keeps_its_meaning_when_the_habit_changes() {
        // 13.5 in is 342.9 mm, by either reading of what was kept.
        let (value, entered) = read("13 1/2", Quantity::Length, Units::Inch).expect("reads");
        assert_eq!((value, entered.as_str()), (342.9, "13 1/2 in"));
        let again = read(&entered, Quantity::Length, Units::Metric).expect("reads");
        assert_eq!(again, (342.9, "13 1/2 in".to_owned()));
        let (_, entered) = read("89", Quantity::Length, Units::Metric).expect("reads");
        assert_eq!(entered, "89 mm");
        let (_, entered) = read("8,9 cm", Quantity::Length, Units::Metric).expect("reads");
        assert_eq!(entered, "8,9 cm");
    }

    #[test]
    fn typing_over_an_assumed_number_makes_it_measured() {
        let build = Build::blank(fitment::truck::LayoutKind::RadiusArms);
        let path = "front.panhard.axle.z_mm";
        assert!(field::known(&build.truck, path).expect("there").is_assumed());
        let next = enter(&build, path, "3 1/2\"", Units::Metric).expect("makes sense");
        let known = field::known(&next.truck, path).expect("there");
        assert_eq!(known.value, 88.9);
        assert_eq!(known.origin, Origin::Measured(Instrument::Tape));
        assert_eq!(known.entered.as_deref(), Some("3 1/2\""));
    }

    #[test]
    fn an_optional_number_comes_and_goes() {
        let build = Build::blank(fitment::truck::LayoutKind::RadiusArms);
        let path = "front.readings.panhard_rise_mm";
        let given = enter(&build, path, "140", Units::Metric).expect("makes sense");
        assert_eq!(value(&given, path), 140.0);
        let gone = enter(&given, path, "  ", Units::Metric).expect("may be empty");
        assert!(field::known(&gone.truck, path).is_none());
    }

    #[test]
    fn a_reading_places_its_hardpoint_and_a_hardpoint_takes_its_place() {
        let build = Build::blank(fitment::truck::LayoutKind::RadiusArms);
        let (reading, point) = ("front.readings.panhard_rise_mm", "front.panhard.chassis.z_mm");
        let read = enter(&build, reading, "140", Units::Metric).expect("makes sense");
        // At stock height the axle has not moved: the rise is the ends' difference in height.
        let rise = value(&read, point) - value(&read, "front.panhard.axle.z_mm");
        assert!((rise - 140.0).abs() < 1e-6, "{rise}");
        let typed = enter(&read, point, "200", Units::Metric).expect("makes sense");
        assert_eq!(value(&typed, point), 200.0);
        assert!(field::known(&typed.truck, reading).is_none());
    }

    #[test]
    fn a_bar_shorter_than_its_rise_is_refused() {
        let build = Build::blank(fitment::truck::LayoutKind::RadiusArms);
        let read = enter(&build, "front.readings.panhard_rise_mm", "300", Units::Metric);
        let build = read.expect("makes sense");
        let short = enter(&build, "front.readings.panhard_length_mm", "250", Units::Metric);
        assert!(matches!(short, Err(Refusal::Rule { .. })), "{short:?}");
    }

    #[test]
    fn what_cannot_be_right_is_refused() {
        let build = Build::example();
        for text in ["", "  ", "abc", "12 mm mm", "NaN", "inf", "-5000", "1e999"] {
            assert!(
                enter(&build, "front.hub_face_width_mm", text, Units::Metric).is_err(),
                "{text}"
            );
        }
        assert!(enter(&build, "front.sitting.tire.size", "315/", Units::Metric).is_err());
        assert_eq!(
            enter(&build, "front.nowhere_mm", "1", Units::Metric).err(),
            Some(Refusal::NoPlace)
        );
    }
}
