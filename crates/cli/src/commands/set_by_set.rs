//! The log of readings set by set: what each comes to by hand's formulas, what changed from the first to the
//! last, and what the sets before had foretold.

use super::text::fixed;
use fitment::calibrate::{
    CalibrateError, Calibration, Foretold, Kind, Log, Set, Taken, Worked, foretell, worked,
};
use fitment::truck::Truck;
use serde_json::{Value, json};
use std::fmt::Write;

/// A set of the log at one axle.
pub(super) struct OfSet<'a> {
    set: &'a Set,
    /// Counted from one.
    number: usize,
    readings: Vec<&'a Taken>,
    worked: Vec<Worked>,
    foretold: Vec<Foretold>,
}

/// Places that a reading is printed to.
pub(super) const fn decimals(kind: Kind) -> usize {
    if kind.is_angle() { 2 } else { 1 }
}

impl<'a> OfSet<'a> {
    /// What the set at a place of the log has to say of the axle that was fitted to all of it.
    pub(super) fn of(
        truck: &Truck,
        found: &Calibration,
        log: &'a Log,
        at: usize,
    ) -> Result<Self, CalibrateError> {
        let set = &log.sets[at];
        let readings: Vec<_> = set.readings.iter().filter(|it| it.end == found.end).collect();
        let (mut comes_to, mut foretold) = (Vec::new(), Vec::new());
        if let (false, Some(axle)) = (readings.is_empty(), found.truck.axle(found.end)) {
            let stood = found.answer(set.state)?;
            comes_to = worked(set, axle, (&stood.model, &stood.pose));
            if at > 0 {
                foretold = foretell(truck, found.end, log, at)?;
            }
        }
        Ok(Self { set, number: at + 1, readings, worked: comes_to, foretold })
    }

    pub(super) fn to_json(&self) -> Value {
        let worked = self.worked.iter().map(|it| {
            json!({
                "what": it.what,
                "unit": it.like.unit(),
                "value": it.value,
                "sigma": it.sigma,
                "how": it.how,
            })
        });
        let foretold = self.foretold.iter().map(|it| {
            json!({
                "what": it.what.label(),
                "unit": it.what.unit(),
                "read": it.read,
                "foretold": it.foretold,
                "sigma": it.sigma,
            })
        });
        json!({
            "name": self.set.name,
            "date": self.set.date,
            "note": self.set.note,
            "state": self.set.state,
            "worked": worked.collect::<Value>(),
            "foretold": foretold.collect::<Value>(),
        })
    }

    fn title(&self) -> String {
        let number = format!("set {}", self.number);
        let words = [number.as_str(), self.set.name.trim(), self.set.date.trim()];
        words.into_iter().filter(|it| !it.is_empty()).collect::<Vec<_>>().join(", ")
    }

    fn mean(&self, kind: Kind) -> Option<(f64, f64)> {
        self.readings.iter().find(|it| it.what == kind)?.mean()
    }
}

/// All of it for people; nothing where nothing was read.
pub(super) fn text(sets: &[OfSet<'_>]) -> String {
    let mut text = String::new();
    for of in sets.iter().filter(|of| !of.worked.is_empty()) {
        // Writing to a string cannot fail.
        let _ = writeln!(text, "\nWhat {} comes to", of.title());
        for it in &of.worked {
            let decimals = decimals(it.like);
            let _ = writeln!(
                text,
                "  {:<44} {:>9} ± {:>5} {}\n      {}",
                it.what,
                fixed(it.value, decimals),
                fixed(it.sigma, decimals),
                it.like.unit(),
                it.how,
            );
        }
    }
    compared(sets, &mut text);
    for of in sets.iter().filter(|of| !of.foretold.is_empty()) {
        let _ = writeln!(text, "\nForetold for {} by the sets before, and read", of.title());
        for it in &of.foretold {
            let decimals = decimals(it.what);
            let _ = writeln!(
                text,
                "  {:<44} {:>9} ± {:>5}  {:>9} {:<2}  {}",
                it.what.label(),
                fixed(it.foretold, decimals),
                fixed(it.sigma, decimals),
                fixed(it.read, decimals),
                it.what.unit(),
                if it.holds() { "as foretold" } else { "NOT as foretold" },
            );
        }
    }
    text
}

/// Every kind over all sets; nothing where there is only one.
fn compared(sets: &[OfSet<'_>], text: &mut String) {
    if sets.iter().filter(|of| !of.readings.is_empty()).count() < 2 {
        return;
    }
    let _ = writeln!(text, "\nThe log, set by set, and what changed from first to last");
    for of in sets {
        let _ = writeln!(text, "  {}: {}", of.title(), of.set.note.replace('\n', " "));
    }
    let mut kinds: Vec<Kind> = Vec::new();
    for taken in sets.iter().flat_map(|of| &of.readings) {
        if !kinds.contains(&taken.what) {
            kinds.push(taken.what);
        }
    }
    for kind in kinds {
        let decimals = decimals(kind);
        let _ = write!(text, "  {:<44}", kind.label());
        let means: Vec<_> = sets.iter().map(|of| of.mean(kind)).collect();
        for mean in &means {
            let _ = match mean {
                Some((value, sigma)) => {
                    write!(text, " {:>9} ± {:>5}", fixed(*value, decimals), fixed(*sigma, decimals))
                }
                None => write!(text, " {:>17}", "–"),
            };
        }
        let mut there = means.iter().flatten();
        if let (Some(first), Some(last)) = (there.next(), there.next_back()) {
            let _ = write!(text, " {:>+9.decimals$}", last.0 - first.0);
        }
        let _ = writeln!(text, " {}", kind.unit());
    }
}
