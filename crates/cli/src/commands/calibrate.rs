//! `tapewright calibrate`: hardpoints that agree with what was read, which reading does not, the log set by
//! set (what a set comes to by hand's formulas, what changed, what the sets before had foretold), how sure
//! everything is then, and what to measure next.

use super::set_by_set::{self, OfSet, decimals};
use super::text::fixed;
use crate::args::CalibrateArgs;
use crate::failure::{Failure, pretty};
use crate::input;
use fitment::axle::Output;
use fitment::calibrate::{
    CalibrateError, Calibration, Checked, Doubt, Log, LogError, Next, Note, Settles, Sure,
    calibrate,
};
use serde_json::{Value, json};
use std::fmt::Write;

pub(crate) fn run(args: &CalibrateArgs) -> Result<String, Failure> {
    let build = input::build(&args.build)?;
    let log: Log = match &args.readings {
        Some(file) => input::readings(file)?,
        None => build.log.clone(),
    };
    let end = args.axle.of_truck();
    if build.truck.axle(end).is_none() {
        return Err(super::solve::missing(format!("truck.{}", args.axle.name())));
    }
    let found = calibrate(&build.truck, end, &log).map_err(|error| failure(args, error))?;
    let (state, changes) = (args.state.of_truck(), build.own_targets());
    let of_answers = |why: fitment::axle::NoAnswer| failure(args, why.into());
    let sets = (0..log.sets.len()).map(|at| OfSet::of(&build.truck, &found, &log, at));
    let sets = sets.collect::<Result<_, _>>().map_err(|error| failure(args, error))?;
    let shown = Shown {
        sets,
        sure: found.sure(state).map_err(of_answers)?,
        next: found.next(&changes).map_err(of_answers)?,
        settles: found.settles(&changes).map_err(of_answers)?,
        state: args.state.name(),
        found,
    };
    Ok(if args.json { pretty(&shown.to_json()) } else { shown.to_text(args) })
}

fn failure(args: &CalibrateArgs, error: CalibrateError) -> Failure {
    match error {
        CalibrateError::Log(LogError { path, found, remedy }) => {
            let file = args.readings.as_deref().unwrap_or(&args.build);
            Failure::Field { path: format!("{file}: {path}"), what: found, remedy }
        }
        CalibrateError::Unreachable(why) => {
            let why = why.to_string();
            Failure::Unreachable { answer: json!({ "unreachable": &why }), why }
        }
        other => Failure::Field {
            path: format!("truck.{}", args.axle.name()),
            what: other.to_string(),
            remedy: "correct it, and try again".into(),
        },
    }
}

/// What is printed.
struct Shown<'a> {
    found: Calibration,
    sure: Vec<(Output, Sure)>,
    next: Vec<Next>,
    settles: Vec<Settles>,
    sets: Vec<OfSet<'a>>,
    state: &'static str,
}

/// Measurements worth naming next.
const NEXT: usize = 5;

impl Shown<'_> {
    fn to_json(&self) -> Value {
        let found = &self.found;
        let inputs = found.inputs.iter().map(|learned| {
            json!({
                "path": learned.path,
                "before": learned.before.0,
                "before_sigma": learned.before.1,
                "value": learned.after.0,
                "sigma": learned.after.1,
            })
        });
        let readings = found.readings.iter().map(|checked| {
            json!({
                "set": checked.place.set,
                "index": checked.place.index,
                "what": checked.what.label(),
                "unit": checked.what.unit(),
                "read": checked.read.0,
                "sigma": checked.read.1,
                "fitted": checked.fitted,
                "foretold": checked.foretold.0,
                "foretold_sigma": finite(checked.foretold.1),
                "odd": checked.odd,
                "doubt": doubt_word(checked.doubt),
                "slip": checked.slip.as_ref().map(|slip| json!({
                    "if": slip.how.words(), "meant": slip.meant, "off": slip.off,
                })),
            })
        });
        let answers = self.sure.iter().map(|(output, sure)| {
            let sampled = sure.sampled.map(|sampled| {
                json!({
                    "mean": sampled.mean,
                    "between": sampled.between,
                    "sigma_by_slopes": sampled.by_slopes,
                })
            });
            let value = json!({ "value": sure.value, "sigma": sure.sigma, "sampled": sampled });
            (output.key().to_owned(), value)
        });
        let next = self.next.iter().map(|next| {
            let helps = next.helps.iter().map(|(output, before, after)| {
                json!({ "output": output.key(), "sigma": before, "after": after })
            });
            json!({
                "what": next.what.label(),
                "how": next.what.how(),
                "unit": next.what.unit(),
                "sigma": next.sigma,
                "about": next.about,
                "worth": next.worth,
                "helps": helps.collect::<Value>(),
            })
        });
        let settles = self.settles.iter().map(|settles| {
            json!({
                "output": settles.output.key(),
                "what": settles.what.label(),
                "sigma": settles.sigma[0],
                "after": settles.sigma[1],
                "enough": settles.enough,
            })
        });
        json!({
            "state": self.state,
            "cost": found.cost,
            "steps": found.steps,
            "inputs": inputs.collect::<Value>(),
            "readings": readings.collect::<Value>(),
            "sets": self.sets.iter().map(OfSet::to_json).collect::<Value>(),
            "answers": answers.collect::<serde_json::Map<_, _>>(),
            "next": next.collect::<Value>(),
            "settles": settles.collect::<Value>(),
            "notes": found.notes.iter().map(note).collect::<Value>(),
        })
    }

    fn to_text(&self, args: &CalibrateArgs) -> String {
        let found = &self.found;
        let mut text = format!(
            "{} axle fitted to {} readings in {} steps\n",
            args.axle.name(),
            found.readings.len(),
            found.steps
        );
        // Writing to a string cannot fail.
        let _ = writeln!(text, "\nReadings: read, fitted, and the misfit by what it should be");
        for checked in &found.readings {
            let _ = writeln!(text, "{}", reading_line(checked));
        }
        text.push_str(&set_by_set::text(&self.sets));
        let _ = writeln!(text, "\nInputs that the readings moved or made surer: before, now");
        let mut learned: Vec<_> = found.inputs.iter().filter(|it| it.shrunk() > 0.02).collect();
        learned.sort_by(|a, b| b.shrunk().total_cmp(&a.shrunk()));
        for it in learned {
            let _ = writeln!(
                text,
                "  {:<40} {:>9} ± {:>6}  {:>9} ± {:>6}",
                it.path,
                fixed(it.before.0, 1),
                fixed(it.before.1, 1),
                fixed(it.after.0, 1),
                fixed(it.after.1, 1),
            );
        }
        let _ = writeln!(text, "\nAnswers, {}", self.state);
        for (output, sure) in &self.sure {
            let unit = output.unit().symbol();
            let bent = sure.sampled.map_or_else(String::new, |sampled| {
                let [low, high] = sampled.between.map(|end| fixed(end, 2));
                format!("  sampled: 95 % between {low} and {high}")
            });
            let _ = writeln!(
                text,
                "  {:<33} {:>9} {unit:<8} ± {:>7}{bent}",
                output.label(),
                fixed(sure.value, 2),
                fixed(sure.sigma, 2),
            );
        }
        let _ = writeln!(text, "\nMeasure next");
        for next in self.next.iter().take(NEXT) {
            let _ = writeln!(
                text,
                "  {:<44} about {:>8} {}  takes {} % of the doubt",
                next.what.label(),
                fixed(next.about, usize::from(next.what.is_angle())),
                next.what.unit(),
                fixed(next.worth * 100.0, 0),
            );
        }
        for settles in &self.settles {
            let verb = if settles.enough { "would settle" } else { "helps most with" };
            let _ = writeln!(
                text,
                "  {} {verb} {}: ± {} becomes {}",
                settles.what.label(),
                fitment::words::inside(settles.output.label()),
                fixed(settles.sigma[0], 2),
                fixed(settles.sigma[1], 2),
            );
        }
        for said in found.notes.iter().filter(|it| !matches!(it, Note::Untouched(_))) {
            let _ = writeln!(text, "  note: {}", note(said));
        }
        text.push_str(
            "\n± is one standard deviation. Look again at every reading in doubt before you act on it.\n\
             A home reading shows what changed, not that the steering is right: have the alignment\n\
             measured on a rig by someone licensed for it.\n",
        );
        text
    }
}

fn reading_line(checked: &Checked) -> String {
    let decimals = decimals(checked.what);
    let odd = checked.odd.map_or_else(|| "unchecked".to_owned(), |odd| fixed(odd, 1));
    let mut line = format!(
        "  {:<44} {:>9} ± {:>5}  {:>9} {:<2}  {odd:>9}",
        checked.what.label(),
        fixed(checked.read.0, decimals),
        fixed(checked.read.1, decimals),
        fixed(checked.fitted, decimals),
        checked.what.unit(),
    );
    match checked.doubt {
        Doubt::Agrees => {}
        Doubt::SetAside => line.push_str("  LOOK AGAIN: left out of the fit"),
        Doubt::OneOfSeveral => line.push_str("  LOOK AGAIN: this or another marked so is wrong"),
        Doubt::Confirmed => line.push_str("  odd, but confirmed"),
    }
    if let Some(slip) = &checked.slip {
        let meant = fixed(slip.meant, decimals);
        let _ = write!(line, "; it fits ({meant}) if {}", slip.how.words());
    }
    line
}

const fn doubt_word(doubt: Doubt) -> &'static str {
    match doubt {
        Doubt::Agrees => "agrees",
        Doubt::SetAside => "set_aside",
        Doubt::OneOfSeveral => "one_of_several",
        Doubt::Confirmed => "confirmed",
    }
}

fn note(note: &Note) -> String {
    match note {
        Note::NotOnThisAxle(place) => {
            let set = place.set.map_or_else(|| "the axle's own".into(), |set| format!("set {set}"));
            format!("{set}, reading {}: this axle has not got what it is of", place.index)
        }
        Note::ManyDisagree => {
            "more readings disagree than slips explain: look at layout, state and side first".into()
        }
        Note::Untouched(path) => format!("no reading bears on {path}"),
    }
}

fn finite(value: f64) -> Option<f64> {
    value.is_finite().then_some(value)
}
