//! What the search says: ready to be shown, in the person's words and units.

use super::{FIELD, RECORD};
use fitment::finding::Severity;
use std::rc::Rc;
use yew::AttrValue;

/// Where the search is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Stage {
    /// Looking.
    #[default]
    Looking,
    /// Told to stop before all was known.
    Stopped,
    /// The ranking stands.
    Done,
    /// There is no answer; the count says why.
    Failed,
}

/// All that is known so far.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Told {
    /// Where it is.
    pub stage: Stage,
    /// How much of the work is done, in thousandths.
    pub progress: u32,
    /// How many combinations, in words; or why there is no answer.
    pub count: String,
    /// The best plans, best first.
    pub plans: Vec<Rc<Proposal>>,
    /// What fights.
    pub clashes: Vec<Clash>,
    /// The plan as the person has it.
    pub pick: Option<Pick>,
}

/// One plan.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Proposal {
    /// Whether it is what is planned now.
    pub planned: bool,
    /// What to fit, a part a line.
    pub fits: Vec<String>,
    /// Every target, the worst first.
    pub rows: Vec<Row>,
    /// What gets worse.
    pub costs: Vec<String>,
    /// How likely it meets its targets; empty while that is not known.
    pub odds: String,
    /// The work it takes.
    pub work: String,
    /// Price and hours, as far as they were entered.
    pub sums: String,
    /// A build with it planned, as its document.
    pub doc: AttrValue,
}

/// A target and how a plan meets it.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// What is judged.
    pub name: String,
    /// Its value.
    pub value: String,
    /// How sure that is.
    pub spread: String,
    /// Where it should be.
    pub band: String,
    /// How it comes out.
    pub severity: Severity,
    /// Whether no plan may miss it.
    pub must: bool,
}

/// Something to be done about it with one tap.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Way {
    /// What is on the button.
    pub label: String,
    /// A build with it done, as its document: its target, or, where it has none, its planned parts.
    pub doc: AttrValue,
}

/// Targets that cannot all be met.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Clash {
    /// Which.
    pub what: String,
    /// By how much one of them would have to give.
    pub words: String,
    /// What could give.
    pub ways: Vec<Way>,
}

/// The plan as the person has it, which is none of the best.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Pick {
    /// What it does.
    pub plan: Rc<Proposal>,
    /// Why it is not among the best.
    pub why: String,
    /// What would be better.
    pub ways: Vec<Way>,
}

/// From the best to the worst.
pub(super) const SEVERITIES: [Severity; 5] =
    [Severity::InBand, Severity::Unknown, Severity::Watch, Severity::Out, Severity::Stop];
const STAGES: [Stage; 4] = [Stage::Looking, Stage::Stopped, Stage::Done, Stage::Failed];

/// A text being written.
struct Pen(String);

impl Pen {
    fn record(&mut self, tag: &str, fields: &[&str]) {
        self.0.push_str(tag);
        for field in fields {
            self.0.push(FIELD);
            for part in field.split([FIELD, RECORD]) {
                self.0.push_str(part);
            }
        }
        self.0.push(RECORD);
    }

    fn plan(&mut self, tag: &str, plan: &Proposal) {
        let Proposal { planned, odds, work, sums, doc, .. } = plan;
        self.record(tag, &[flag(*planned), odds, work, sums, doc]);
        for fit in &plan.fits {
            self.record("f", &[fit]);
        }
        for row in &plan.rows {
            let at = SEVERITIES.iter().position(|one| *one == row.severity).unwrap_or(0);
            let Row { name, value, spread, band, .. } = row;
            self.record("r", &[name, value, spread, band, &at.to_string(), flag(row.must)]);
        }
        for cost in &plan.costs {
            self.record("c", &[cost]);
        }
    }

    fn ways(&mut self, tag: &str, ways: &[Way]) {
        for way in ways {
            self.record(tag, &[&way.label, &way.doc]);
        }
    }
}

const fn flag(on: bool) -> &'static str {
    if on { "1" } else { "" }
}

impl Told {
    /// That there is no answer, and why.
    pub fn failed(why: String) -> Self {
        Self { stage: Stage::Failed, count: why, ..Self::default() }
    }

    /// As a text, for whoever was told `before`: a plan that was in it is not told again.
    pub fn write(&self, before: &Self) -> String {
        let mut pen = Pen(String::new());
        let stage = STAGES.iter().position(|one| *one == self.stage).unwrap_or(0);
        pen.record("s", &[&stage.to_string(), &self.progress.to_string(), &self.count]);
        for plan in &self.plans {
            match before.plans.iter().position(|known| known == plan) {
                Some(at) => pen.record("=", &[&at.to_string()]),
                None => pen.plan("p", plan),
            }
        }
        for clash in &self.clashes {
            pen.record("x", &[&clash.what, &clash.words]);
            pen.ways("w", &clash.ways);
        }
        if self.pick.is_some() && self.pick == before.pick {
            pen.record("K", &[]);
        } else if let Some(pick) = &self.pick {
            pen.plan("k", &pick.plan);
            pen.record("y", &[&pick.why]);
            pen.ways("v", &pick.ways);
        }
        pen.0
    }

    /// From a text and what was told before it; what is not one of these records is passed over.
    pub fn read(text: &str, before: &Self) -> Self {
        let mut told = Self::default();
        for record in text.split(RECORD) {
            let mut fields = record.split(FIELD);
            let tag = fields.next().unwrap_or_default();
            let mut next = || fields.next().unwrap_or_default().to_owned();
            match tag {
                "s" => {
                    let stage = next().parse().unwrap_or(0_usize);
                    told.stage = STAGES.get(stage).copied().unwrap_or_default();
                    told.progress = next().parse().unwrap_or(0);
                    told.count = next();
                }
                "p" | "k" => {
                    let planned = !next().is_empty();
                    let [odds, work, sums] = [next(), next(), next()];
                    let doc = next().into();
                    let plan = Proposal { planned, odds, work, sums, doc, ..Proposal::default() };
                    let plan = Rc::new(plan);
                    if tag == "p" {
                        told.plans.push(plan);
                    } else {
                        told.pick = Some(Pick { plan, ..Pick::default() });
                    }
                }
                "=" => {
                    let at = next().parse().unwrap_or(usize::MAX);
                    told.plans.extend(before.plans.get(at).cloned());
                }
                "K" => told.pick.clone_from(&before.pick),
                "x" => told.clashes.push(Clash { what: next(), words: next(), ways: Vec::new() }),
                "w" => {
                    let way = Way { label: next(), doc: next().into() };
                    told.clashes.last_mut().into_iter().for_each(|it| it.ways.push(way.clone()));
                }
                "y" | "v" => {
                    let (words, doc) = (next(), next());
                    if let Some(pick) = &mut told.pick {
                        if tag == "y" {
                            pick.why = words;
                        } else {
                            pick.ways.push(Way { label: words, doc: doc.into() });
                        }
                    }
                }
                "f" | "c" | "r" => {
                    let Some(plan) = told.open() else { continue };
                    match tag {
                        "f" => plan.fits.push(next()),
                        "c" => plan.costs.push(next()),
                        _ => {
                            let [name, value, spread, band] = [next(), next(), next(), next()];
                            let at = next().parse().unwrap_or(0_usize);
                            let severity = SEVERITIES.get(at).copied().unwrap_or(Severity::Unknown);
                            let must = !next().is_empty();
                            plan.rows.push(Row { name, value, spread, band, severity, must });
                        }
                    }
                }
                _ => {}
            }
        }
        told
    }

    /// The plan that was begun last.
    fn open(&mut self) -> Option<&mut Proposal> {
        let plan = match &mut self.pick {
            Some(pick) => &mut pick.plan,
            None => self.plans.last_mut()?,
        };
        // Nobody else has it yet.
        Rc::get_mut(plan)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_told_comes_back_as_it_was() {
        let row = |severity| Row {
            name: "Caster".into(),
            value: "3.1°".into(),
            spread: "±0.4°".into(),
            band: "4.0° to 7.5°".into(),
            severity,
            must: severity == Severity::Out,
        };
        let way = |label: &str| Way { label: label.into(), doc: "{\n  \"a\": 1\n}".into() };
        let plan = |planned| Proposal {
            planned,
            fits: vec!["Panhard bar, 14 mm longer".into(), "hole “2”".into()],
            rows: SEVERITIES.map(row).to_vec(),
            costs: vec!["pinion goes from 2° to 3°".into()],
            odds: "8 of 10".into(),
            work: "bolts only".into(),
            sums: String::new(),
            doc: "{}".into(),
        };
        for stage in STAGES {
            for pick in [
                None,
                Some(Pick {
                    plan: plan(true).into(),
                    why: "beaten".into(),
                    ways: vec![way("this"), way("that")],
                }),
            ] {
                let told = Told {
                    stage,
                    progress: 412,
                    count: "12 of 30".into(),
                    plans: vec![plan(false).into(), plan(true).into()],
                    clashes: vec![
                        Clash {
                            what: "caster and pinion".into(),
                            words: "by this".into(),
                            ways: vec![way("allow")],
                        },
                        Clash { what: "alone".into(), ..Clash::default() },
                    ],
                    pick,
                };
                let first = Told::default();
                let text = told.write(&first);
                assert_eq!(Told::read(&text, &first), told);
                // Told again, in another order and with one more: only that one is written.
                let mut next = told.clone();
                next.plans.reverse();
                let new = Proposal { work: "welding".into(), ..plan(false) };
                next.plans.push(new.into());
                let again = next.write(&told);
                assert_eq!(Told::read(&again, &told), next);
                assert!(again.len() < text.len(), "{again}");
                assert_eq!(again.matches("8 of 10").count(), 1, "{again}");
            }
        }
    }

    #[test]
    fn no_name_breaks_the_text_and_no_text_breaks_the_reader() {
        let mut told = Told { count: "a\u{1f}b\u{1e}c".into(), ..Told::default() };
        let first = Told::default();
        let back = Told::read(&told.write(&first), &first);
        told.count = "abc".into();
        assert_eq!(back, told);
        for text in
            ["", "zzz", "p", "r\u{1f}x", "w\u{1f}x\u{1e}v", "s\u{1f}99\u{1f}no", "=\u{1f}7", "K"]
        {
            let _ = Told::read(text, &first).write(&first);
        }
    }
}
