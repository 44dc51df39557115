//! `tapewright remedy`: which combination of the shelf's parts puts an axle's geometry right, and how
//! the work goes.

mod report;
mod text;

use super::solve::{missing, no_answer};
use super::text::system;
use crate::args::RemedyArgs;
use crate::failure::Failure;
use crate::input;
use buildfile::Build;
use fitment::axle::{Answer, NoAnswer};
use fitment::finding::{Aim, Goal, aim};
use fitment::measure::System;
use fitment::remedy::{Found, Ground, Job, Odds, Plan, Search, Target, WhyNot, is_searched, job};
use fitment::truck::{End, Part, State};

/// Combinations between two looks at how far it is.
const PIECE: usize = 100_000;

pub(crate) fn run(args: &RemedyArgs) -> Result<String, Failure> {
    let build = input::build(&args.build)?;
    let end = args.axle.of_truck();
    let path = format!("truck.{}", args.axle.name());
    let Some(axle) = build.truck.axle(end) else { return Err(missing(path)) };
    let failed = |error: &NoAnswer| no_answer(args.axle, error);
    let own = build.own_targets();
    let ground = Ground::of(&build.truck, end, &build.log);
    let stock = ground.answer(State::Stock).map_err(|error| failed(&error))?;
    let targets = Target::usual(end, &stock, &own);
    let room = aim(Goal::Clearance, end, &stock, &own);
    let mut search = Search::begin(&ground.truck, end, &stock, &targets)
        .map_err(|error| failed(&error))?
        .judging(&ground.truck, end, room);
    while !search.step(PIECE) {}
    let found = search.so_far();
    if found.ranked.is_empty() {
        // Nothing stands, not even without a part: its own error says how far it gets.
        ground.answer(State::Planned).map_err(|error| failed(&error))?;
    }
    let (stock, targets) = (&stock, &targets[..]);
    let asked = Asked { args, build: &build, ground: &ground, end, stock, targets, room };
    let plans = found.ranked.iter().map(|plan| asked.listed(plan)).collect();
    let picked: Vec<Part> =
        axle.planned.parts.iter().filter(|part| is_searched(part)).cloned().collect();
    // What the person has planned by hand, where that is anything.
    let by_hand = (!picked.is_empty()).then(|| search.why_not(&picked));
    let answers = Answers { found, plans, by_hand };
    if args.json { asked.to_json(&answers) } else { Ok(asked.to_text(&answers)) }
}

/// What was asked for, and of what.
struct Asked<'a> {
    args: &'a RemedyArgs,
    build: &'a Build,
    /// What it is tried on.
    ground: &'a Ground,
    end: End,
    stock: &'a Answer,
    targets: &'a [Target],
    /// The room that the tires should have.
    room: Option<Aim>,
}

/// What came of it.
struct Answers {
    found: Found,
    /// How likely each listed plan meets its targets, and what it comes to on the floor.
    plans: Vec<Listed>,
    /// What there is to say about the parts that the build plans already.
    by_hand: Option<Result<WhyNot, NoAnswer>>,
}

/// A plan with what follows from it.
struct Listed {
    odds: Option<Odds>,
    job: Option<Job>,
}

impl Asked<'_> {
    const fn system(&self) -> System {
        system(self.build.units)
    }

    fn listed(&self, plan: &Plan) -> Listed {
        let now = self.ground.with(plan).ok();
        let planned = plan.planned_on(&self.ground.truck, self.end);
        Listed {
            odds: now.map(|now| plan.odds(&now, self.stock, self.targets)),
            job: job(&planned, self.end, self.system()).ok(),
        }
    }
}
