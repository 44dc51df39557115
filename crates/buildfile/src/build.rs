//! `Build`: one truck as a person saves it.

use crate::limits;
use fitment::calibrate::{Log, LogError};
use fitment::finding::{self, Goal};
use fitment::truck::{End, LayoutKind, Problem, Rule, Truck};

/// The version of the document this crate writes.
pub const VERSION: u32 = 4;

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
    /// Targets of their own, in place of the usual ones.
    pub targets: Vec<Target>,
    /// What was read under the truck. The truck's own numbers are what was assumed before.
    pub log: Log,
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

/// A target the person set: where one answer should lie, in place of the usual band, and how much
/// that counts.
#[derive(Debug, Clone, PartialEq)]
#[cfg_attr(feature = "schema", derive(serde::Serialize, schemars::JsonSchema))]
#[cfg_attr(feature = "schema", serde(deny_unknown_fields))]
pub struct Target {
    /// Which axle.
    pub end: End,
    /// Of which answer, by the key the command line prints, such as `caster_deg`.
    pub of: String,
    /// Lowest value that is still in band, in the answer's unit; none when open below.
    #[cfg_attr(feature = "schema", serde(default, skip_serializing_if = "Option::is_none"))]
    pub low: Option<f64>,
    /// Highest value that is still in band, in the answer's unit; none when open above.
    #[cfg_attr(feature = "schema", serde(default, skip_serializing_if = "Option::is_none"))]
    pub high: Option<f64>,
    /// What a miss weighs beside others; 1 when left out.
    #[cfg_attr(feature = "schema", serde(default, skip_serializing_if = "Option::is_none"))]
    pub weight: Option<f64>,
    /// Whether a plan may miss it.
    #[cfg_attr(feature = "schema", serde(default))]
    pub claim: Claim,
}

/// Whether a plan may miss a target.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
#[cfg_attr(feature = "schema", derive(serde::Serialize, schemars::JsonSchema))]
#[cfg_attr(feature = "schema", serde(rename_all = "snake_case"))]
pub enum Claim {
    /// It may, at a price.
    #[default]
    Wish,
    /// A plan that misses it is no plan.
    Must,
}

impl Build {
    /// The example: an invented truck that shows every page at work.
    pub fn example() -> Self {
        Self {
            name: "Orchard truck (example)".into(),
            note: String::new(),
            units: Units::Metric,
            truck: Truck::example(),
            targets: Vec::new(),
            log: Log::default(),
        }
    }

    /// A new build of which nothing is measured yet: a front axle of this layout, all assumed.
    pub fn blank(layout: LayoutKind) -> Self {
        Self {
            name: "New build".into(),
            note: String::new(),
            units: Units::Metric,
            truck: Truck::typical(layout, None),
            targets: Vec::new(),
            log: Log::default(),
        }
    }

    /// The person's own targets as the engine takes them.
    pub fn own_targets(&self) -> Vec<finding::Target> {
        self.targets.iter().filter_map(Target::read).collect()
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
        if self.targets.len() > limits::LIST {
            problems.push(Problem {
                path: "targets".into(),
                found: format!("{} targets", self.targets.len()),
                rule: Rule::Range,
                remedy: format!("Keep at most {} targets of your own.", limits::LIST),
            });
        }
        for (index, target) in self.targets.iter().enumerate() {
            target.validate(&format!("targets[{index}]"), &mut problems);
        }
        if let Err(LogError { path, found, remedy }) = self.log.check() {
            let path = path.replacen("sets", "log", 1);
            problems.push(Problem { path, found, rule: Rule::Range, remedy });
        }
        problems
    }
}

impl Target {
    /// A band of one's own that counts as much as any other.
    pub const fn new(end: End, of: String, low: Option<f64>, high: Option<f64>) -> Self {
        Self { end, of, low, high, weight: None, claim: Claim::Wish }
    }

    /// As the engine takes it; none when there is no such answer.
    pub fn read(&self) -> Option<finding::Target> {
        let goal = Goal::all().find(|goal| goal.key() == self.of)?;
        Some(finding::Target {
            end: self.end,
            goal,
            low: self.low,
            high: self.high,
            weight: self.weight.unwrap_or(1.0),
            must: self.claim == Claim::Must,
        })
    }

    fn validate(&self, path: &str, problems: &mut Vec<Problem>) {
        let mut problem = |key: &str, found: String, rule, remedy: String| {
            problems.push(Problem { path: format!("{path}.{key}"), found, rule, remedy });
        };
        if self.read().is_none() {
            let keys: Vec<&str> = Goal::all().map(Goal::key).collect();
            let found = self.of.chars().take(limits::TEXT).collect();
            problem("of", found, Rule::Reads, format!("Use one of {}.", keys.join(", ")));
        }
        for (key, value) in [("low", self.low), ("high", self.high), ("weight", self.weight)] {
            if value.is_some_and(|value| !value.is_finite()) {
                let remedy = "Give a plain number, or leave the limit out.".into();
                problem(key, "not a number".into(), Rule::Finite, remedy);
            }
        }
        if let Some(weight) = self.weight.filter(|weight| *weight < 0.0 || *weight > MOST_WEIGHT) {
            let remedy = format!("A weight is 0 to {MOST_WEIGHT}; 1 is as much as any other.");
            problem("weight", format!("{weight}"), Rule::Range, remedy);
        }
        if let (Some(low), Some(high)) = (self.low, self.high)
            && low > high
        {
            let remedy = "Put the smaller number in `low` and the larger in `high`.".into();
            problem("low", format!("{low} above {high}"), Rule::Agrees, remedy);
        }
    }
}

/// The most a target may weigh.
const MOST_WEIGHT: f64 = 100.0;

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
    use fitment::axle::Output;

    #[test]
    fn what_we_offer_is_without_fault() {
        assert_eq!(Build::example().validate(), []);
        for layout in LayoutKind::ALL {
            assert_eq!(Build::blank(layout).validate(), [], "{layout:?}");
        }
    }

    #[test]
    fn a_target_is_checked_with_its_place() {
        let mut build = Build::example();
        let target = |low, high| Target::new(End::Front, "caster_deg".into(), low, high);
        build.targets = vec![target(Some(2.0), Some(4.0)), target(Some(4.0), Some(2.0))];
        build.targets.push(target(None, Some(f64::NAN)));
        build.targets.push(Target { of: "charm".into(), ..target(None, None) });
        build.targets.push(Target { weight: Some(-1.0), ..target(None, None) });
        let paths: Vec<_> = build.validate().into_iter().map(|p| (p.path, p.rule)).collect();
        assert_eq!(
            paths,
            [
                ("targets[1].low".to_owned(), Rule::Agrees),
                ("targets[2].high".to_owned(), Rule::Finite),
                ("targets[3].of".to_owned(), Rule::Reads),
                ("targets[4].weight".to_owned(), Rule::Range),
            ]
        );
        let own = build.own_targets();
        assert_eq!(own.len(), 4);
        let first = own.first().unwrap();
        assert_eq!((first.goal, first.low), (Goal::Output(Output::Caster), Some(2.0)));
        assert!((first.weight - 1.0).abs() < 1e-12 && !first.must);
        let must = Target { claim: Claim::Must, weight: Some(3.0), ..target(None, None) };
        let read = Target { of: "tire_clearance_mm".into(), ..must }.read().unwrap();
        assert_eq!((read.goal, read.weight, read.must), (Goal::Clearance, 3.0, true));
    }

    #[test]
    fn paths_start_at_the_document() {
        let mut build = Build::example();
        build.name = "x".repeat(limits::TEXT + 1);
        assert_eq!(build.validate().first().map(|p| p.path.as_str()), Some("name"));
    }
}
