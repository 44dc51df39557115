//! The search at work: takes orders, goes on step by step, and says what it knows in words.

use super::order::{Order, alone};
use super::told::{Clash, Pick, Proposal, Row, SEVERITIES, Stage, Told, Way};
use crate::components::answer_table;
use crate::components::findings::{band_words, said_already};
use crate::components::part_card::part_words;
use crate::state::edit::{Quantity, system};
use crate::words;
use buildfile::{Build, Target, Units, json};
use fitment::axle::{Answer, Output};
use fitment::calibrate::Log;
use fitment::finding::{self, Finding, Goal, aim, findings};
use fitment::remedy::{
    self, Conflict, Found, Ground, Nearest, Plan, Relax, Search, SideEffect, Totals, WhyNot,
    is_searched, totals,
};
use fitment::truck::{End, Offer, Part, State, Truck};
use fitment::words::{capital, inside};
use std::cell::{OnceCell, RefCell};
use std::rc::Rc;
use yew::AttrValue;

/// One search, and what was worked out about what it found.
pub struct Seeker {
    order: Order,
    hunt: Hunt,
    /// What was found when the ranking was last looked at.
    found: Option<Found>,
    /// Plans by what they fit, with how sure they are.
    sure: Vec<(Vec<Part>, Sure)>,
    /// Plans as documents: each is written once.
    docs: RefCell<Vec<(Vec<Part>, AttrValue)>>,
    /// What speaks against the plan as the person has it; none before it was asked.
    against: Option<Result<WhyNot, String>>,
}

/// What is searched.
struct Hunt {
    search: Search,
    /// The truck without what the search decides on, and without what it does not look at.
    truck: Truck,
    /// What was read of it.
    log: Log,
    /// The truck as it was read.
    ground: Ground,
    own: Vec<finding::Target>,
    stock: Answer,
    /// The same where slopes do not tell how sure it is, once a plan is told.
    surely: OnceCell<Answer>,
    targets: Vec<remedy::Target>,
}

/// How sure a plan is.
#[derive(Clone)]
struct Sure {
    findings: Vec<Finding>,
    odds: String,
    /// What it comes to by the prices there were.
    totals: Option<Totals>,
}

impl Seeker {
    /// Takes a first order.
    ///
    /// # Errors
    /// In words, when the axle has no answer.
    pub fn begin(order: Order) -> Result<Self, String> {
        let hunt = Hunt::begin(&order)?;
        let docs = RefCell::default();
        Ok(Self { order, hunt, found: None, sure: Vec::new(), docs, against: None })
    }

    /// Takes another: goes on where it was when that asks for the same, and begins anew otherwise.
    ///
    /// # Errors
    /// In words, when the axle has no answer.
    pub fn take(&mut self, order: Order) -> Result<(), String> {
        let same = order.end == self.order.end
            && order.build.own_targets() == self.hunt.own
            && order.build.log == self.hunt.log
            && bare(&order.build.truck, order.end) == self.hunt.truck;
        if !same {
            *self = Self::begin(order)?;
            return Ok(());
        }
        if planned(&order) != planned(&self.order) {
            self.against = None;
        }
        if shelf(&order) != shelf(&self.order) {
            // Other names or prices.
            self.sure.clear();
        }
        self.docs.take();
        self.order = order;
        Ok(())
    }

    /// Goes on for about as long as so many combinations take to look at; true when there is nothing
    /// left to do.
    pub fn step(&mut self, combinations: usize) -> bool {
        let going = !self.order.stop;
        if going && !self.hunt.search.is_settled() {
            self.hunt.search.step(combinations);
            self.found = None;
            return false;
        }
        // How sure the best is, why not the one there is, how sure the others are, then what fights.
        if self.sure.is_empty()
            && let Some(plan) = self.next_unsure()
        {
            self.make_sure(plan);
            return false;
        }
        if self.against.is_none() && self.hunt.search.has_guess() {
            let why = self.hunt.search.why_not(planned(&self.order));
            self.against = Some(why.map_err(|why| why.to_string()));
            return false;
        }
        if let Some(plan) = self.next_unsure() {
            self.make_sure(plan);
            return false;
        }
        let done = !going || self.hunt.search.step(combinations);
        if done && going {
            self.found = None;
        }
        done
    }

    /// Whether there is a plan, and whether the ranking stands and how sure its best is: what is not to
    /// wait until the next telling.
    pub const fn news(&self) -> (bool, bool) {
        let Self { hunt, sure, .. } = self;
        (hunt.search.has_guess(), hunt.search.is_settled() && !sure.is_empty())
    }

    fn make_sure(&mut self, plan: Plan) {
        let sure = self.hunt.sure(&plan, &self.order);
        self.sure.push((plan.fitted, sure));
    }

    /// What was found, looked at once between two changes.
    fn found(&mut self) -> &Found {
        self.found.get_or_insert_with(|| self.hunt.search.so_far())
    }

    fn next_unsure(&mut self) -> Option<Plan> {
        self.found();
        let (found, sure) = (self.found.as_ref()?, &self.sure);
        let known = |plan: &&Plan| sure.iter().any(|(fitted, _)| *fitted == plan.fitted);
        let picked = self.against.as_ref().and_then(|why| Some(&why.as_ref().ok()?.plan));
        found.ranked.iter().chain(picked).find(|plan| !known(plan)).cloned()
    }

    /// All that is known so far, in words.
    pub fn told(&mut self) -> Told {
        if !self.hunt.search.has_guess() && !self.order.stop {
            return Told { count: "Solving the first combinations".into(), ..Told::default() };
        }
        self.found();
        let Some(found) = &self.found else { return Told::default() };
        // Not before what fights is known too: nothing moves under the finger from then on.
        let stage = match (found.done, self.order.stop) {
            (true, _) => Stage::Done,
            (false, true) => Stage::Stopped,
            (false, false) => Stage::Looking,
        };
        let plans: Vec<Rc<Proposal>> =
            found.ranked.iter().map(|plan| self.proposal(plan).into()).collect();
        let units = self.order.units;
        let conflicts = found.conflicts.iter().map(|conflict| self.clash(conflict, units));
        let pick = match &self.against {
            Some(Ok(why)) if !plans.iter().any(|plan| plan.planned) => Some(self.pick(why, found)),
            _ => None,
        };
        Told {
            stage,
            progress: thousandths(found.progress),
            count: count(found, stage),
            clashes: conflicts.collect(),
            plans,
            pick,
        }
    }

    fn proposal(&self, plan: &Plan) -> Proposal {
        let units = &self.order.units;
        let offers = shelf(&self.order);
        let fits = plan.parts.iter().map(|part| named(offers, part, *units)).collect();
        let sure = self.sure.iter().find(|(fitted, _)| *fitted == plan.fitted);
        let mut costs: Vec<String> =
            plan.side_effects.iter().map(|side| cost(side, *units)).collect();
        costs.extend(self.found.as_ref().and_then(|found| found.to_add(plan)).map(|(of, more)| {
            let name = inside(answer_table::name(of));
            let more: Vec<String> = more.iter().map(|part| part_words(part, *units)).collect();
            format!("To bring {name} in band, add: {}", more.join(" + "))
        }));
        Proposal {
            planned: same_parts(&plan.fitted, planned(&self.order)),
            fits,
            rows: self.rows(plan, sure.map(|(_, sure)| &sure.findings[..])),
            costs,
            odds: sure.map_or_else(String::new, |(_, sure)| sure.odds.clone()),
            work: capital(plan.work.words()),
            sums: sure.and_then(|(_, sure)| sure.totals).map(sums).unwrap_or_default(),
            doc: self.planning(plan),
        }
    }

    /// A build with a plan planned, as its document.
    fn planning(&self, plan: &Plan) -> AttrValue {
        let mut docs = self.docs.borrow_mut();
        if let Some((_, doc)) = docs.iter().find(|(fitted, _)| *fitted == plan.fitted) {
            return doc.clone();
        }
        let doc = document(&self.order.build, self.order.end, &plan.fitted, None);
        docs.push((plan.fitted.clone(), doc.clone()));
        doc
    }

    /// Every target with how a plan meets it, the worst first.
    fn rows(&self, plan: &Plan, sure: Option<&[Finding]>) -> Vec<Row> {
        let units = self.order.units;
        let must = |output: Output| {
            self.hunt.targets.iter().any(|target| target.output == output && target.must)
        };
        let row = |output, value, sigma: f64, band: &finding::Band, severity| Row {
            name: answer_table::name(output).into(),
            value: answer_table::text(output, value, units),
            spread: if sigma > 0.0 {
                words::output_spread(sigma, output, units)
            } else {
                String::new()
            },
            band: band_words(band, output, units),
            severity,
            must: must(output),
        };
        let mut rows: Vec<Row> = match sure {
            Some(all) => all
                .iter()
                .filter(|finding| !said_already(finding, all))
                .map(|it| row(it.output, it.value, it.sigma, &it.band, it.verdict.severity))
                .collect(),
            None => plan
                .misses
                .iter()
                .map(|it| row(it.output, it.value, 0.0, &it.band, it.severity))
                .collect(),
        };
        rows.extend(plan.clearance.as_ref().map(|it| near(it, units)));
        // Musts before the rest, the worst first.
        let mut sorted = Vec::new();
        for must in [true, false] {
            for severity in SEVERITIES.into_iter().rev() {
                let is = |row: &&Row| row.must == must && row.severity == severity;
                sorted.extend(rows.iter().filter(is).cloned());
            }
        }
        sorted
    }

    fn clash(&self, conflict: &Conflict, units: Units) -> Clash {
        let ways = conflict.between.iter().map(|relax| self.relaxed(relax, units)).collect();
        let all = conflict.words(system(units));
        let (what, words) = all.split_once(": ").unwrap_or((&all, ""));
        Clash { what: what.into(), words: words.into(), ways }
    }

    /// A target widened until the others leave room for it.
    fn relaxed(&self, relax: &Relax, units: Units) -> Way {
        let Order { end, build, .. } = &self.order;
        let key = relax.output.key();
        let own = build.targets.iter().find(|it| it.end == *end && it.of == key).cloned();
        let mut target = own.unwrap_or_else(|| Target::new(*end, key.into(), None, None));
        // A little beyond, so that what was computed lies in it.
        let room = relax.by * 1e-3 + 1e-6;
        let end_of = |value: f64| value.is_finite().then_some(value);
        target.low = end_of(relax.band.low.min(relax.nearest - room));
        target.high = end_of(relax.band.high.max(relax.nearest + room));
        let label = format!(
            "Allow {} {}",
            inside(answer_table::name(relax.output)),
            answer_table::text(relax.output, relax.nearest, units)
        );
        Way { label, doc: document(build, *end, planned(&self.order), Some(target)) }
    }

    fn pick(&self, why: &WhyNot, found: &Found) -> Pick {
        let units = &self.order.units;
        let mut plan = self.proposal(&why.plan);
        plan.planned = true;
        let way = |label: String, plan: &Plan| Way { label, doc: self.planning(plan) };
        let mut ways = Vec::new();
        if let Some(change) = &why.change {
            let part = |part: &Part| part_words(part, *units);
            let label = match (&change.off, &change.on) {
                (Some(off), Some(on)) => format!("{} instead of {}", part(on), inside(&part(off))),
                (None, Some(on)) => format!("Add: {}", part(on)),
                (Some(off), None) => format!("Leave off: {}", part(off)),
                (None, None) => "Change it".into(),
            };
            ways.push(way(label, &change.plan));
        }
        let beaten = why.beaten_by.as_ref();
        let at = beaten.and_then(|by| found.ranked.iter().position(|it| it.fitted == by.fitted));
        if let Some(by) = beaten {
            let label = at.map_or_else(
                || "Plan what is better in every way".into(),
                |at| format!("Plan number {} instead", at + 1),
            );
            ways.push(way(label, by));
        }
        Pick { plan: plan.into(), why: why_words(why, at), ways }
    }
}

impl Hunt {
    fn begin(order: &Order) -> Result<Self, String> {
        let (build, end) = (&order.build, order.end);
        let said = |why: fitment::axle::NoAnswer| why.to_string();
        let ground = Ground::of(&build.truck, end, &build.log);
        let stock = ground.answer(State::Stock).map_err(said)?;
        let own = build.own_targets();
        let targets = remedy::Target::usual(end, &stock, &own);
        let truck = bare(&build.truck, end);
        let room = aim(Goal::Clearance, end, &stock, &own);
        let search = Search::begin(&ground.truck, end, &stock, &targets).map_err(said)?;
        let search = search.judging(&ground.truck, end, room);
        Ok(Self {
            search,
            truck,
            log: build.log.clone(),
            ground,
            own,
            stock,
            surely: OnceCell::new(),
            targets,
        })
    }

    fn sure(&self, plan: &Plan, order: &Order) -> Sure {
        let end = order.end;
        let planned = plan.planned_on(&order.build.truck, end);
        let totals = planned.axle(end).map(totals);
        let Ok(now) = self.ground.with(plan) else {
            return Sure { findings: Vec::new(), odds: String::new(), totals };
        };
        let odds = plan.odds(&now, &self.stock, &self.targets);
        let stock = self.surely.get_or_init(|| {
            self.ground.answer_surely(State::Stock).unwrap_or_else(|_| self.stock.clone())
        });
        let findings = findings(end, State::Planned, stock, &now, &self.own);
        Sure { findings, odds: odds.words(), totals }
    }
}

/// The planned parts of an order.
fn planned(order: &Order) -> &[Part] {
    order.build.truck.axle(order.end).map_or(&[], |axle| &axle.planned.parts)
}

/// The shelf of an order, with what was entered for each part.
fn shelf(order: &Order) -> &[Offer] {
    order.build.truck.axle(order.end).map_or(&[], |axle| &axle.shelf.parts)
}

/// Whether two lists fit the same to the axle, in whatever order, what makes room for the tire aside.
fn same_parts(a: &[Part], b: &[Part]) -> bool {
    let geometry = |parts: &[Part]| parts.iter().filter(|part| !part.makes_room()).count();
    let in_b = |part: &Part| b.iter().any(|other| alike(part, other));
    geometry(a) == geometry(b) && a.iter().filter(|part| !part.makes_room()).all(in_b)
}

/// Whether two parts are set alike: a text between them may have cost a number its last digit.
fn alike(a: &Part, b: &Part) -> bool {
    let close = |a: f64, b: f64| (a - b).abs() < 1e-6;
    a.kind() == b.kind()
        && match (a, b) {
            (Part::Length { change_mm: a, .. }, Part::Length { change_mm: b, .. })
            | (Part::Turn { angle_deg: a, .. }, Part::Turn { angle_deg: b, .. })
            | (Part::Step { step_mm: a, .. }, Part::Step { step_mm: b, .. }) => {
                close(a.value, b.value)
            }
            (
                Part::Bracket { holes: a, hole: at, .. },
                Part::Bracket { holes: b, hole: other, .. },
            ) => match (a.get(*at), b.get(*other)) {
                (Some(a), Some(b)) => {
                    close(a.x_mm.value, b.x_mm.value)
                        && close(a.y_mm.value, b.y_mm.value)
                        && close(a.z_mm.value, b.z_mm.value)
                }
                (a, b) => a.is_none() && b.is_none(),
            },
            (a, b) => a == b,
        }
}

/// A truck without what the search decides on, and without names and prices, which it does not look
/// at: what must not change for it to go on.
fn bare(truck: &Truck, end: End) -> Truck {
    let mut truck = truck.clone();
    if let Some(axle) = truck.axle_mut(end) {
        axle.planned.parts.retain(|part| !is_searched(part));
        for offer in &mut axle.shelf.parts {
            *offer = Offer::of(offer.part.clone());
        }
    }
    truck
}

/// A build of this axle alone with parts planned, and perhaps one target, to be taken over from.
fn document(build: &Build, end: End, parts: &[Part], target: Option<Target>) -> AttrValue {
    let mut build = alone(build, end);
    if let Some(axle) = build.truck.axle_mut(end) {
        axle.shelf.parts.clear();
        axle.surroundings.things.clear();
        axle.planned.parts = parts.to_vec();
    }
    build.targets = target.into_iter().collect();
    json::to_json(&build).unwrap_or_default().into()
}

/// A part as the person calls it, and how it is set.
fn named(offers: &[Offer], part: &Part, units: Units) -> String {
    let own = offers.iter().find(|offer| !offer.name.is_empty() && part.comes_from(&offer.part));
    let words = part_words(part, units);
    own.map_or_else(|| words.clone(), |offer| format!("{}: {}", offer.name, inside(&words)))
}

fn cost(side: &SideEffect, units: Units) -> String {
    let text = |value| answer_table::text(side.output, value, units);
    let name = inside(answer_table::name(side.output));
    format!("It costs: {name} goes from {} to {}", text(side.before), text(side.now))
}

/// Where the tires come nearest to anything.
fn near(nearest: &Nearest, units: Units) -> Row {
    let text = |mm| words::length(mm, units);
    Row {
        name: format!("Tire to {}", inside(&nearest.name)),
        value: text(nearest.clearance_mm),
        spread: words::spread((2.0 * nearest.sigma_mm).round(), Quantity::Length, units),
        band: nearest.band.words(&text),
        severity: nearest.severity,
        must: nearest.must,
    }
}

/// Price and hours, where any were entered.
fn sums(totals: Totals) -> String {
    let [price, hours] = [totals.price.words(), totals.hours.words()];
    let said = [price.map(|sum| format!("Price {sum}.")), hours.map(|sum| format!("Hours {sum}."))];
    said.into_iter().flatten().collect::<Vec<_>>().join(" ")
}

fn count(found: &Found, stage: Stage) -> String {
    let all = grouped(found.combinations);
    let cut = if found.cut { ", the first parts of the list only" } else { "" };
    match stage {
        Stage::Done if found.ranked.is_empty() => {
            "The truck does not stand with any of these parts at the planned height".into()
        }
        Stage::Done if found.proven => format!("The best of {all} combinations{cut}"),
        Stage::Done => {
            format!("The best found of {all} combinations{cut}; a better one cannot be ruled out")
        }
        _ => {
            format!("{} of {all} combinations{cut}", grouped(found.passed.min(found.combinations)))
        }
    }
}

/// A whole number, its thousands apart.
fn grouped(number: f64) -> String {
    let digits = format!("{number:.0}");
    let mut text = String::new();
    for (at, digit) in digits.chars().enumerate() {
        if at > 0 && (digits.len() - at).is_multiple_of(3) {
            text.push('\u{202f}');
        }
        text.push(digit);
    }
    text
}

/// Why a pick is none of the best; by number, where what beats it is listed.
fn why_words(why: &WhyNot, at: Option<usize>) -> String {
    match (at, &why.beaten_by, &why.change) {
        (Some(at), ..) => format!("Number {} is nowhere worse and somewhere better.", at + 1),
        (None, Some(_), _) => "Another plan is nowhere worse and somewhere better.".into(),
        (None, None, Some(_)) => {
            "No plan found is better in every way; one change makes it miss less.".into()
        }
        (None, None, None) => {
            "No plan found is better in every way, and no single change from the list helps.".into()
        }
    }
}

/// A share from 0 to 1, in thousandths.
fn thousandths(share: f64) -> u32 {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "saturates")]
    let thousandths = (share * 1000.0) as u32;
    thousandths
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::state::Change;

    /// As the page asks.
    fn order(build: &Build) -> Order {
        let text = crate::seek::ask_text(Units::Metric, End::Front, false, build).unwrap();
        Order::read(&text).unwrap()
    }

    fn through(seeker: &mut Seeker) -> Told {
        while !seeker.step(5000) {}
        seeker.told()
    }

    fn planned_of(doc: &str) -> Vec<Part> {
        let build = json::read_json(doc).unwrap();
        build.truck.front.unwrap().planned.parts
    }

    #[test]
    fn the_example_has_plans_with_every_target_and_one_can_be_planned() {
        let mut build = Build::example();
        let mut seeker = Seeker::begin(order(&build)).unwrap();
        let told = through(&mut seeker);
        assert_eq!(told.stage, Stage::Done);
        assert!(told.plans.len() > 1 && told.count.starts_with("The best"), "{told:?}");
        let best = &told.plans[0];
        assert!(!best.odds.is_empty() && best.rows.len() > 5, "{best:?}");
        assert!(best.rows.iter().any(|row| !row.spread.is_empty()), "{best:?}");
        // What the example has planned is none of them, and is told why.
        let pick = told.pick.expect("the owner's own plan");
        assert!(!pick.why.is_empty() && !pick.ways.is_empty(), "{pick:?}");
        // Planned, it is marked, and nothing is begun anew.
        let parts = planned_of(&best.doc);
        build = Change::Parts(End::Front, parts.clone()).apply(&build).unwrap();
        seeker.take(order(&build)).unwrap();
        assert!(seeker.hunt.search.is_settled());
        let after = through(&mut seeker);
        assert!(after.plans[0].planned && after.pick.is_none(), "{after:?}");
        assert_eq!(planned_of(&after.plans[0].doc), parts);
    }

    #[test]
    fn one_way_out_of_a_pick_is_taken_as_it_says() {
        let build = Build::example();
        let mut seeker = Seeker::begin(order(&build)).unwrap();
        let told = through(&mut seeker);
        let pick = told.pick.unwrap();
        let missed = |plan: &Proposal| {
            plan.rows.iter().filter(|row| row.severity > finding::Severity::Watch).count()
        };
        let before = missed(&pick.plan);
        let next = Change::Parts(End::Front, planned_of(&pick.ways[0].doc)).apply(&build).unwrap();
        seeker.take(order(&next)).unwrap();
        let after = through(&mut seeker);
        let now = after
            .pick
            .map(|pick| pick.plan)
            .or_else(|| after.plans.into_iter().find(|p| p.planned));
        assert!(missed(&now.expect("it is somewhere")) <= before);
    }

    #[test]
    fn a_price_does_not_begin_it_anew_and_a_height_does() {
        let mut build = Build::example();
        let mut seeker = Seeker::begin(order(&build)).unwrap();
        through(&mut seeker);
        let front = |build: &mut Build| build.truck.front.take().unwrap();
        let mut axle = front(&mut build);
        axle.shelf.parts[0].price = Some(fitment::measure::Known::exact(120.0));
        axle.shelf.parts[0].name = "The blue one".into();
        build.truck.front = Some(axle);
        seeker.take(order(&build)).unwrap();
        assert!(seeker.hunt.search.is_settled());
        let mut axle = front(&mut build);
        axle.planned.lift_mm.value += 10.0;
        build.truck.front = Some(axle);
        seeker.take(order(&build)).unwrap();
        assert!(!seeker.hunt.search.is_settled());
    }

    #[test]
    fn a_stopped_search_keeps_what_it_has_and_goes_on() {
        let build = Build::example();
        let mut seeker = Seeker::begin(order(&build)).unwrap();
        while !seeker.hunt.search.has_guess() {
            seeker.step(100);
        }
        seeker.take(Order { stop: true, ..order(&build) }).unwrap();
        let told = through(&mut seeker);
        assert_eq!(told.stage, Stage::Stopped);
        assert!(!told.plans.is_empty() && told.plans.iter().all(|plan| !plan.odds.is_empty()));
        seeker.take(order(&build)).unwrap();
        assert_eq!(through(&mut seeker).stage, Stage::Done);
    }

    #[test]
    fn what_fights_can_be_allowed_for_with_one_tap() {
        let mut build = Build::example();
        // Caster far beyond what the parts bring, and the pinion where it is.
        build.targets =
            vec![Target::new(End::Front, Output::Caster.key().into(), Some(12.0), Some(13.0))];
        let mut seeker = Seeker::begin(order(&build)).unwrap();
        let told = through(&mut seeker);
        let clash = told.clashes.first().expect("it cannot be had");
        assert!(!clash.words.is_empty(), "{clash:?}");
        let way = clash.ways.first().expect("a way out");
        let target = json::read_json(&*way.doc).unwrap().targets.remove(0);
        let next = Change::Target(target).apply(&build).unwrap();
        seeker.take(order(&next)).unwrap();
        let after = through(&mut seeker);
        assert!(after.clashes.iter().all(|it| it.words != clash.words), "{after:?}");
    }

    #[test]
    fn thousands_stand_apart() {
        for (number, want) in [
            (0.0, "0"),
            (999.0, "999"),
            (1000.0, "1\u{202f}000"),
            (1_048_576.0, "1\u{202f}048\u{202f}576"),
        ] {
            assert_eq!(grouped(number), want);
        }
    }
}
