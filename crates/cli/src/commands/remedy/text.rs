//! The answer for people.

use super::{Answers, Asked};
use crate::commands::text::fixed;
use fitment::finding::plain;
use fitment::remedy::{Job, Sum, Target};
use fitment::words::{capital, inside};
use std::fmt::Write;

const CAUTION: &str = "Steering and brackets carry the truck: have welding done by a qualified welder, have the alignment \
     measured after any change, and ask what your local rules allow.\n";

impl Asked<'_> {
    pub(super) fn to_text(&self, answers: &Answers) -> String {
        let Answers { found, plans, by_hand } = answers;
        let system = self.system();
        let mut text = format!(
            "{} axle, planned: {} combinations, {} of them solved{}{}\n",
            self.args.axle.name(),
            fixed(found.combinations, 0),
            found.solved,
            found.clear.map_or_else(String::new, |clear| match found.judged {
                0 => String::new(),
                judged => format!(", {judged} with their tires, of which {clear} have the room"),
            }),
            if found.proven { "" } else { "; the ranking is not proven" },
        );
        if let Some(why) = &self.ground.unheeded {
            let _ = writeln!(text, "What was read is not in this, for {why}");
        }
        let musts: Vec<String> =
            self.targets.iter().filter(|target| target.must).map(|t| self.must(t)).collect();
        if !musts.is_empty() {
            let _ = writeln!(text, "Musts: {}", musts.join("; "));
        }
        for (number, (plan, listed)) in found.ranked.iter().zip(plans).enumerate() {
            let _ = writeln!(text, "{:>2}. {}", number + 1, found.words(plan, system));
            let _ = writeln!(text, "    {}.", capital(plan.work.words()));
            if let Some(odds) = &listed.odds {
                let _ = writeln!(text, "    {}", odds.words());
            }
        }
        for one in &found.conflicts {
            let _ = writeln!(text, "{}", one.words(system));
        }
        match by_hand {
            Some(Ok(why)) => {
                let _ =
                    writeln!(text, "\nThe parts planned in this build\n  {}", why.words(system));
            }
            Some(Err(why)) => {
                let _ = writeln!(text, "\nThe parts planned in this build do not stand: {why}");
            }
            None => {}
        }
        let number = self.args.plan;
        let chosen = number.checked_sub(1).and_then(|at| plans.get(at)?.job.as_ref());
        if let Some(job) = chosen {
            work(&mut text, number, job);
        }
        text + CAUTION
    }

    fn must(&self, target: &Target) -> String {
        let (of, system) = (target.output, self.system());
        let band = target.band.words(&|value| plain(of, value, system));
        format!("{} {band}", inside(of.label()))
    }
}

/// Parts and cut list, order of work and totals of one plan.
fn work(text: &mut String, number: usize, job: &Job) {
    let _ = writeln!(text, "\nPlan {number}: parts and cut list");
    if job.items.is_empty() {
        let _ = writeln!(text, "  Nothing to fit.");
    }
    for item in &job.items {
        let name = if item.name.is_empty() { String::new() } else { format!(" ({})", item.name) };
        let touches = item.part.kind().traits().touches;
        let _ = writeln!(text, "  {}{name}. {}.", item.words, capital(item.work.words()));
        let _ = writeln!(text, "    Touches: {}", inside(touches));
    }
    for part in &job.off {
        let _ = writeln!(text, "  Comes off: {}", inside(part.kind().label()));
    }
    let total = |sum: &Sum| sum.words().unwrap_or_else(|| "none entered".to_owned());
    let _ = writeln!(
        text,
        "  Price: {}. Hours: {}. Work: {} points.",
        total(&job.totals.price),
        total(&job.totals.hours),
        job.totals.work.points
    );
    let mut stage = None;
    for task in &job.tasks {
        if stage != Some(task.stage) {
            let _ = writeln!(text, "{}", task.stage.label());
            stage = Some(task.stage);
        }
        let _ = writeln!(text, "  - {}", task.words);
        if let Some(caution) = task.caution {
            let _ = writeln!(text, "    Caution: {caution}");
        }
    }
}
