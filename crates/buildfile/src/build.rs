//! `Build`: one truck as a person saves it.

use crate::limits;
use fitment::axle::Output;
use fitment::finding::BandChange;
use fitment::truck::{End, LayoutKind, Problem, Rule, Truck};

/// The version of the document this crate writes.
pub const VERSION: u32 = 3;

/// One truck in its three states, with the person's own limits.
#[derive(Debug, Clone, PartialEq)]
pub struct Build {
    /// What the person calls it.
    pub name: String,
    /// Anything they want to remember about it.
    pub note: String,
    /// The units they like to read and type.
    pub units: Units,
    /// The truck.
    pub truck: Truck,
    /// Limits of their own, in place of the usual ones.
    pub bands: Vec<Band>,
}

/// Units for reading and typing; what is stored is always mm and degrees.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[cfg_attr(feature = "schema", derive(serde::Serialize, schemars::JsonSchema))]
#[cfg_attr(feature = "schema", serde(rename_all = "snake_case"))]
pub enum Units {
    /// Millimetres.
    #[default]
    Metric,
    /// Inches and fractions.
    Inch,
}

/// A limit the person set on one answer, in place of the usual one.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "schema", derive(serde::Serialize, schemars::JsonSchema))]
#[cfg_attr(feature = "schema", serde(deny_unknown_fields))]
pub struct Band {
    /// Which axle.
    pub end: End,
    /// Which answer, by the key the command line prints, such as `caster_deg`.
    pub output: String,
    /// Lowest value that is still in band, in the answer's unit; none when open below.
    #[cfg_attr(feature = "schema", serde(default, skip_serializing_if = "Option::is_none"))]
    pub low: Option<f64>,
    /// Highest value that is still in band, in the answer's unit; none when open above.
    #[cfg_attr(feature = "schema", serde(default, skip_serializing_if = "Option::is_none"))]
    pub high: Option<f64>,
}

impl Build {
    /// The example: an invented truck that shows every page at work.
    pub fn example() -> Self {
        Self {
            name: "Orchard truck (example)".into(),
            note: String::new(),
            units: Units::Metric,
            truck: Truck::example(),
            bands: Vec::new(),
        }
    }

    /// A new build of which nothing is measured yet: a front axle of this layout, all assumed.
    pub fn blank(layout: LayoutKind) -> Self {
        Self {
            name: "New build".into(),
            note: String::new(),
            units: Units::Metric,
            truck: Truck::typical(layout, None),
            bands: Vec::new(),
        }
    }

    /// The person's own limits as the engine takes them.
    pub fn band_changes(&self) -> Vec<BandChange> {
        self.bands.iter().filter_map(Band::change).collect()
    }

    /// Everything wrong with the build, in the order of its fields; empty when all is well.
    /// Paths start at the document's root, such as `truck.front.panhard.axle.y_mm`.
    pub fn validate(&self) -> Vec<Problem> {
        let mut problems = Vec::new();
        text_length(&mut problems, "name", &self.name, limits::TEXT);
        text_length(&mut problems, "note", &self.note, limits::NOTE);
        problems.extend(
            self.truck
                .check()
                .into_iter()
                .map(|problem| Problem { path: format!("truck.{}", problem.path), ..problem }),
        );
        if self.bands.len() > limits::LIST {
            problems.push(Problem {
                path: "bands".into(),
                found: format!("{} limits", self.bands.len()),
                rule: Rule::Range,
                remedy: format!("Keep at most {} limits of your own.", limits::LIST),
            });
        }
        for (index, band) in self.bands.iter().enumerate() {
            band.validate(&format!("bands[{index}]"), &mut problems);
        }
        problems
    }
}

impl Band {
    /// As the engine takes it; none when there is no such answer.
    pub fn change(&self) -> Option<BandChange> {
        let output = Output::ALL.into_iter().find(|output| output.key() == self.output)?;
        Some(BandChange { end: self.end, output, low: self.low, high: self.high })
    }

    fn validate(&self, path: &str, problems: &mut Vec<Problem>) {
        if self.change().is_none() {
            let keys: Vec<&str> = Output::ALL.iter().map(|output| output.key()).collect();
            problems.push(Problem {
                path: format!("{path}.output"),
                found: self.output.chars().take(limits::TEXT).collect(),
                rule: Rule::Reads,
                remedy: format!("Use one of {}.", keys.join(", ")),
            });
        }
        for (key, value) in [("low", self.low), ("high", self.high)] {
            if value.is_some_and(|value| !value.is_finite()) {
                problems.push(Problem {
                    path: format!("{path}.{key}"),
                    found: "not a number".into(),
                    rule: Rule::Finite,
                    remedy: "Give a plain number, or leave the limit out.".into(),
                });
            }
        }
        if let (Some(low), Some(high)) = (self.low, self.high)
            && low > high
        {
            problems.push(Problem {
                path: format!("{path}.low"),
                found: format!("{low} above {high}"),
                rule: Rule::Agrees,
                remedy: "Put the smaller number in `low` and the larger in `high`.".into(),
            });
        }
    }
}

fn text_length(problems: &mut Vec<Problem>, path: &str, text: &str, longest: usize) {
    let length = text.chars().count();
    if length > longest {
        problems.push(Problem {
            path: path.into(),
            found: format!("{length} characters"),
            rule: Rule::Range,
            remedy: format!("Shorten it to {longest} characters."),
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_we_offer_is_without_fault() {
        assert_eq!(Build::example().validate(), []);
        for layout in LayoutKind::ALL {
            assert_eq!(Build::blank(layout).validate(), [], "{layout:?}");
        }
    }

    #[test]
    fn a_band_is_checked_with_its_place() {
        let mut build = Build::example();
        let band = |low, high| Band { end: End::Front, output: "caster_deg".into(), low, high };
        build.bands = vec![band(Some(2.0), Some(4.0)), band(Some(4.0), Some(2.0))];
        build.bands.push(band(None, Some(f64::NAN)));
        build.bands.push(Band { output: "charm".into(), ..band(None, None) });
        let paths: Vec<_> = build.validate().into_iter().map(|p| (p.path, p.rule)).collect();
        assert_eq!(
            paths,
            [
                ("bands[1].low".to_owned(), Rule::Agrees),
                ("bands[2].high".to_owned(), Rule::Finite),
                ("bands[3].output".to_owned(), Rule::Reads),
            ]
        );
        let changes = build.band_changes();
        assert_eq!(changes.len(), 3);
        assert_eq!(changes.first().map(|c| (c.output, c.low)), Some((Output::Caster, Some(2.0))));
    }

    #[test]
    fn paths_start_at_the_document() {
        let mut build = Build::example();
        build.name = "x".repeat(limits::TEXT + 1);
        assert_eq!(build.validate().first().map(|p| p.path.as_str()), Some("name"));
    }
}
