//! What is read under the truck: one measurement at a time, what came of it, and the log.

use crate::answers::Bench;
use crate::components::el::{el, say};
use crate::components::log_table::{foretold, log_table, name_of, reading};
use crate::components::number_field::{complaint, text_of};
use crate::components::page_head::page_head;
use crate::components::phone_gauge::PhoneGauge;
use crate::components::segments::segments;
use crate::drawing::{Drawing, Frame, drawing, readings};
use crate::hooks::{Desk, use_desk, use_width};
use crate::infra::window;
use crate::state::readings::{draft_of, quantity};
use crate::state::{Action, Draft, LogAct, catalog, field};
use crate::words;
use buildfile::Units;
use fitment::calibrate::{
    Calibration, Checked, Doubt, Kind, Learned, Next, Note, Taken, Trust, worked,
};
use fitment::measure::Instrument;
use fitment::truck::State;
use fitment::words::{capital, inside};
use yew::prelude::*;

/// The page.
pub fn page(bench: &Bench) -> Html {
    html! { <Measure bench={bench.clone()} /> }
}

#[derive(Properties, PartialEq)]
struct MeasureProps {
    bench: Bench,
}

#[component]
fn Measure(props: &MeasureProps) -> Html {
    let desk = use_desk();
    let paper = use_node_ref();
    let width = use_width(&paper, 360.0);
    let bench = &props.bench;
    let state = desk.state();
    let fitted = match bench.fitted() {
        Ok(fitted) => fitted,
        Err(why) => {
            return html! {
                <>
                    { page_head("Measure", &desk) }
                    { say("p", "no-answer", why) }
                    { log_table(bench, state.preferences.units) }
                    { sets(bench, &desk) }
                </>
            };
        }
    };
    let hand = &state.hand;
    let nexts = bench.next();
    let best = || nexts.iter().find(|next| !hand.skipped.contains(&next.what));
    let again = again(bench, &desk);
    let kind = hand.picked.or_else(|| again.first().copied()).or_else(|| Some(best()?.what));
    let next = kind.and_then(|kind| nexts.iter().find(|next| next.what == kind));
    html! {
        <>
            { page_head("Measure", &desk) }
            <div class="two measuring">
                <section class="take" aria-label="What to measure now">
                    if let Some(kind) = kind {
                        { asked(kind, next, &desk) }
                        <div ref={paper}>{ picture(kind, fitted, bench, width) }</div>
                        { entry(kind, bench, &desk) }
                        if kind.is_angle() { <PhoneGauge kind={Some(kind)} /> }
                        { taken(kind, bench, &desk) }
                    } else {
                        { say("p", "", "Everything that can be read of this axle was read in this set.") }
                    }
                </section>
                <div>
                    { read_so_far(fitted, bench, &desk) }
                    { comes_to(bench, &desk) }
                    { surer(fitted, bench, state.preferences.units) }
                    { others(&again, nexts, &desk) }
                </div>
            </div>
            { sets(bench, &desk) }
            { log_table(bench, state.preferences.units) }
            { foretold(bench, &desk) }
            { say("p", "caution", "Lower the truck onto stands that are rated for it before you go under, wheels chocked, on firm ground: never under a jack. A home reading shows what changed, not that the steering is right; have the alignment measured on a rig by someone licensed for it.") }
        </>
    }
}

/// What, with what, in which state, and why now.
fn asked(kind: Kind, next: Option<&Next>, desk: &Desk) -> Html {
    let units = desk.state().preferences.units;
    let with = match kind.instrument() {
        Instrument::Tape => "Tape",
        Instrument::AngleGauge => "Angle gauge, or a phone",
        Instrument::PhoneLevel => "Phone or angle gauge",
        Instrument::PlumbLine => "Plumb line and tape",
        Instrument::Caliper => "Caliper",
    };
    let sigma = words::spread(2.0 * kind.instrument().typical_sigma(), quantity(kind), units);
    let stands = match kind {
        Kind::FloorAlong | Kind::FloorAcross | Kind::Frame => "where it stands now",
        _ => "on its wheels, settled by rolling it; the floor level, or its slope read once too",
    };
    let about =
        next.map(|next| format!(" It will read about {}.", reading(next.about, kind, units)));
    let why = next.map(|next| {
        let more = |(output, ..): &(fitment::axle::Output, f64, f64)| {
            format!(" and helps {}", inside(output.label()))
        };
        match next.helps.first() {
            Some((output, before, after)) => format!(
                "Tightens {} from {} to {}{}.",
                inside(output.label()),
                words::output_spread(*before, *output, units),
                words::output_spread(*after, *output, units),
                next.helps.get(1).map(more).unwrap_or_default(),
            ),
            None if next.worth < 5e-4 => "Takes next to none of the doubt that is left.".to_owned(),
            None => format!("Takes {:.1} % of the doubt that is left.", next.worth * 100.0),
        }
    });
    html! {
        <>
            <h2 aria-live="polite">{ kind.label() }</h2>
            if let Some(why) = why { { say("p", "why-now", &why) } }
            { say("p", "", kind.how()) }
            { say("p", "help", &format!("{with}, usually good to {sigma}. {}.{}", capital(stands), about.unwrap_or_default())) }
        </>
    }
}

/// Where to hold it, on the truck as fitted.
fn picture(kind: Kind, fitted: &Calibration, bench: &Bench, width: f64) -> Html {
    let Ok(sitting) = bench.state(State::Sitting) else { return html! {} };
    let held = fitted.held(kind).ok().flatten();
    let Some(dim) = readings::of_reading(kind, held, &sitting.scene, "here".into()) else {
        return html! {};
    };
    let most = if width > 560.0 { 360.0 } else { 220.0 };
    let frame = Frame::around(dim.view, bench.end, &[&sitting.scene], width, most);
    let words = format!("{}: where to hold it", kind.label());
    let path = kind.key();
    let caption = format!("{}, as it sits", dim.view.title(bench.end));
    html! {
        <figure class="paper">
            { drawing(&Drawing { lit: Some(&path), ..Drawing::new(frame, &sitting.scene, &[dim], words) }) }
            { say("figcaption", "", &caption) }
        </figure>
    }
}

/// Rows of four keys; the last digit is as wide as its row leaves it.
const KEYS: [&str; 13] = ["7", "8", "9", "⌫", "4", "5", "6", "±", "1", "2", "3", ".", "0"];
/// What inches need besides: any fraction by its stroke and a space, the usual ones at once.
const INCH_KEYS: [&str; 9] = ["/", "1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8", "space"];

/// What a key is called aloud, and the text once it was pressed.
fn pressed(key: &'static str, typed: &str) -> (&'static str, String) {
    match key {
        "⌫" => {
            let mut shorter = typed.to_owned();
            shorter.pop();
            ("one back", shorter)
        }
        "±" => {
            let sign = typed.strip_prefix('-').map_or_else(|| format!("-{typed}"), str::to_owned);
            ("plus or minus", sign)
        }
        "space" => ("space", format!("{typed} ")),
        // A fraction stands apart from what is before it.
        part if part.len() > 1 => {
            (part, format!("{} {part}", typed.trim_end()).trim_start().into())
        }
        digit => (digit, format!("{typed}{digit}")),
    }
}

/// The field and its keys.
fn entry(kind: Kind, bench: &Bench, desk: &Desk) -> Html {
    let state = desk.state();
    let units = state.preferences.units;
    let draft: Option<&Draft> = state.entry().drafts.get(&draft_of(kind));
    let typed = draft.map_or(String::new(), |draft| draft.text.clone());
    let wrong = draft.filter(|draft| draft.why != crate::state::edit::Refusal::Empty);
    let key = |key: &'static str| {
        let (label, text) = pressed(key, &typed);
        let onclick = desk.on(move |_: MouseEvent| Action::Log(LogAct::Type(kind, text.clone())));
        html! { <button type="button" aria-label={label} {onclick}>{ key }</button> }
    };
    let oninput = {
        let desk = desk.clone();
        Callback::from(move |event: InputEvent| {
            if let Some(text) = text_of(&event) {
                desk.act(Action::Log(LogAct::Type(kind, text)));
            }
        })
    };
    let take = {
        let typed = typed.clone();
        desk.on(move |event: SubmitEvent| {
            event.prevent_default();
            Action::Log(LogAct::Take(kind, typed.clone(), window::today()))
        })
    };
    let inch = !kind.is_angle() && units == Units::Inch;
    let times = one(kind, bench, desk).map_or(0, |(_, taken)| taken.read.len());
    let onward = desk.on(|_: MouseEvent| Action::Log(LogAct::Pick(None)));
    html! {
        <form class="entry" onsubmit={take}>
            <div class="field">
                <label for="reading">{ format!("Reading {} ({})", times + 1, words::unit(quantity(kind), units)) }</label>
                <input id="reading" type="text" inputmode="none" autocomplete="off" value={typed.clone()} {oninput}
                    aria-invalid={wrong.is_some().then_some("true")} aria-describedby={wrong.is_some().then_some("reading-wrong")} />
                if let Some(draft) = wrong { { complaint(draft, "reading-wrong") } }
            </div>
            <div class="keys" role="group" aria-label="Keys">
                { for KEYS.into_iter().map(key) }
                if inch { { for INCH_KEYS.into_iter().map(key) } }
            </div>
            <div class="steps">
                if times > 0 { <button type="button" onclick={onward}>{ "Next one" }</button> }
                else { <button type="button" onclick={desk.on(move |_: MouseEvent| Action::Log(LogAct::Skip(kind)))}>{ "Skip" }</button> }
                <button type="submit" class="primary">{ if times == 0 { "Take it" } else { "Take again" } }</button>
            </div>
        </form>
    }
}

/// The reading of a kind in the set in hand.
fn one<'a>(kind: Kind, bench: &'a Bench, desk: &Desk) -> Option<((usize, usize), &'a Taken)> {
    let sets = &bench.log.sets;
    let set = desk.state().hand.set_of(sets.len())?;
    let mut readings = sets.get(set)?.readings.iter().enumerate();
    let (index, taken) = readings.find(|(_, it)| it.what == kind && it.end == bench.end)?;
    Some(((set, index), taken))
}

/// What was read of it in this set: each value, mean and spread.
fn taken(kind: Kind, bench: &Bench, desk: &Desk) -> Html {
    let units = desk.state().preferences.units;
    let Some((_, taken)) = one(kind, bench, desk) else { return html! {} };
    let Some((mean, sigma)) = taken.mean() else { return html! {} };
    let each: Vec<String> = taken.read.iter().map(|v| reading(*v, kind, units)).collect();
    let hint = match taken.read.len() {
        1 => " Take it three times: a slip shows, and the mean is surer.",
        2 => " Once more.",
        _ => "",
    };
    let said = format!(
        "Taken: {}. Mean {} {}.{hint}",
        each.join(", "),
        reading(mean, kind, units),
        words::spread(2.0 * sigma, quantity(kind), units)
    );
    el("div", "taken", vec![html! { <p role="status">{ said }</p> }])
}

/// Everything read of this axle, with what it should have been.
fn read_so_far(fitted: &Calibration, bench: &Bench, desk: &Desk) -> Html {
    let units = desk.state().preferences.units;
    let set = desk.state().hand.set_of(bench.log.sets.len());
    let Some((set, log)) = set.and_then(|set| Some((set, bench.log.sets.get(set)?))) else {
        return say(
            "p",
            "help",
            "Nothing is read yet. What was assumed stands, with a wide give-or-take; each reading narrows it.",
        );
    };
    let many = fitted.notes.contains(&Note::ManyDisagree);
    let rows = log.readings.iter().enumerate().filter(|(_, it)| it.end == bench.end);
    let rows = rows.map(|(index, taken)| {
        let checked = fitted
            .readings
            .iter()
            .find(|read| read.place.set == Some(set) && read.place.index == index);
        row(set, index, taken, checked, desk)
    });
    html! {
        <section>
            <h2>{ "Read so far" }</h2>
            if many { { say("p", "caution", "More readings disagree than slips explain. Look at the layout, the state and the side first.") } }
            <ul class="readings">{ for rows }</ul>
            { say("p", "help", if units == Units::Inch { "± covers about 95 %." } else { "± covers about 95 % (two standard deviations)." }) }
        </section>
    }
}

fn row(set: usize, index: usize, taken: &Taken, checked: Option<&Checked>, desk: &Desk) -> Html {
    let units = desk.state().preferences.units;
    let kind = taken.what;
    let (mean, sigma) = taken.mean().unwrap_or_default();
    let spread = words::spread(2.0 * sigma, quantity(kind), units);
    let doubt = checked.map_or(Doubt::Agrees, |it| it.doubt);
    let (class, verdict) = match (taken.trust, checked, doubt) {
        (Trust::LeftOut, ..) => ("", "left out by you".to_owned()),
        (_, None, _) => ("attention", "this axle has no such thing".to_owned()),
        (_, Some(it), Doubt::Agrees) => {
            let off = reading((it.read.0 - it.fitted).abs(), kind, units);
            ("", format!("fits the rest to {off}"))
        }
        (_, Some(it), Doubt::Confirmed) => (
            "",
            format!("stands by your word; the rest says {}", reading(it.foretold.0, kind, units)),
        ),
        (_, Some(it), Doubt::SetAside) => (
            "attention",
            format!(
                "look again: the rest says {}. Left out until you do",
                reading(it.foretold.0, kind, units)
            ),
        ),
        (_, Some(it), Doubt::OneOfSeveral) => (
            "attention",
            format!(
                "look again: this or another marked so is wrong; the rest says {}",
                reading(it.foretold.0, kind, units)
            ),
        ),
    };
    let slip = checked.and_then(|it| it.slip.as_ref()).map(|slip| {
        format!(" It fits ({}) if {}.", reading(slip.meant, kind, units), slip.how.words())
    });
    let button = |words: &'static str, act: LogAct| {
        let label = format!("{words}: {}", kind.label());
        html! { <button type="button" aria-label={label} onclick={desk.on(move |_: MouseEvent| Action::Log(act.clone()))}>{ words }</button> }
    };
    let trust = |trust| LogAct::Trust(set, index, trust);
    html! {
        <li key={kind.key()}>
            { headed(&kind.label(), &format!("{} {spread}", reading(mean, kind, units))) }
            <p class={class}>{ format!("{}.", capital(&verdict)) }{ slip.unwrap_or_default() }</p>
            <div class="row-buttons">
                { button("Take it anew", LogAct::Drop(set, index)) }
                if taken.trust != Trust::Usual { { button("Judge it again", trust(Trust::Usual)) } }
                else if doubt != Doubt::Agrees { { button("It stands", trust(Trust::Confirmed)) } { button("Leave it out", trust(Trust::LeftOut)) } }
                else { { button("Once more", LogAct::Pick(Some(kind))) } }
            </div>
        </li>
    }
}

/// What something is, and its number, which is not broken over two lines.
fn headed(what: &str, number: &str) -> Html {
    html! { <p><b>{ what }</b>{ " " }{ say("span", "unbroken", number) }</p> }
}

/// What the readings of this set say together.
fn comes_to(bench: &Bench, desk: &Desk) -> Html {
    let units = desk.state().preferences.units;
    let set = desk.state().hand.set_of(bench.log.sets.len());
    let Some(set) = set.and_then(|set| bench.log.sets.get(set)) else { return html! {} };
    let Ok(stands) = bench.state(set.state) else { return html! {} };
    let all = worked(set, &bench.axle, (&stands.answer.model, &stands.answer.pose));
    if all.is_empty() {
        return html! {};
    }
    let rows = all.into_iter().map(|it| {
        let spread = words::spread(2.0 * it.sigma, quantity(it.like), units);
        html! {
            <li key={it.what.clone()}>
                { headed(&it.what, &format!("{} {spread}", reading(it.value, it.like, units))) }
                { say("p", "help", &it.how) }
            </li>
        }
    });
    html! {
        <section>
            <h2>{ "What this set comes to" }</h2>
            <ul class="readings">{ for rows }</ul>
        </section>
    }
}

/// How many of the inputs that became surer are shown.
const SHOWN: usize = 8;

/// What the readings made surer: the numbers, assumed ones first to shrink.
fn surer(fitted: &Calibration, bench: &Bench, units: Units) -> Html {
    let end = field::end_name(bench.end);
    let mut learned: Vec<&Learned> = fitted
        .inputs
        .iter()
        .filter(|it| {
            it.shrunk() > 0.05 && !it.path.starts_with("now.") && !it.path.starts_with("sets[")
        })
        .collect();
    if learned.is_empty() {
        return html! {};
    }
    fitment::few::sort_few(&mut learned, |a, b| b.shrunk().total_cmp(&a.shrunk()));
    let rows = learned.into_iter().take(SHOWN).map(|it| {
        let path = match it.path.strip_prefix("truck.") {
            Some(path) => path.to_owned(),
            None => format!("{end}.{}", it.path),
        };
        let quantity = crate::state::edit::quantity(&path);
        let spread = |sigma: f64| words::spread(2.0 * sigma, quantity, units);
        let left = (it.after.1 / it.before.1).clamp(0.0, 1.0);
        html! {
            <li key={path.clone()}>
                { headed(&catalog::long_name(&bench.truck, &path), &format!("{} {}", words::quantity(it.after.0, quantity, units), spread(it.after.1))) }
                <progress max="1" value={format!("{left:.2}")} aria-label="doubt left"></progress>
                <small>{ format!("was {} {}", words::quantity(it.before.0, quantity, units), spread(it.before.1)) }</small>
            </li>
        }
    });
    html! {
        <section>
            <h2>{ "What the readings made surer" }</h2>
            <ul class="surer">{ for rows }</ul>
        </section>
    }
}

/// What was read in sets before and not in this one: to compare, it is read again.
fn again(bench: &Bench, desk: &Desk) -> Vec<Kind> {
    let sets = &bench.log.sets;
    let here = desk.state().hand.set_of(sets.len()).unwrap_or(0);
    let mut kinds: Vec<Kind> = Vec::new();
    for taken in sets.iter().take(here).flat_map(|set| &set.readings) {
        let there = one(taken.what, bench, desk).is_some() || kinds.contains(&taken.what);
        if taken.end == bench.end && !there && !desk.state().hand.skipped.contains(&taken.what) {
            kinds.push(taken.what);
        }
    }
    kinds
}

/// What else can be measured: what was read before, then the worthiest first.
fn others(again: &[Kind], nexts: &[Next], desk: &Desk) -> Html {
    let again = again.iter().map(|kind| (*kind, "read before: to compare".to_owned()));
    let next = nexts.iter().map(|it| (it.what, format!("{:.1} % of all doubt", it.worth * 100.0)));
    let rows = again.chain(next).map(|(kind, worth)| {
        html! {
            <li key={kind.key()}>
                <button type="button" class="inline" onclick={desk.on(move |_: MouseEvent| Action::Log(LogAct::Pick(Some(kind))))}>{ kind.label() }</button>
                <small>{ worth }</small>
            </li>
        }
    });
    html! {
        <details>
            <summary>{ "Measure something else" }</summary>
            <ul class="others">{ for rows }</ul>
            { say("p", "help", "The order is by how much of the doubt about the judged answers each takes. For caster by sweep, read camber with the wheel turned 20° both ways; for toe, at hub height and again near the floor.") }
        </details>
    }
}

/// Names worth offering for a set; any other will do.
const SETS: [&str; 4] = ["Before", "After the bracket", "After alignment", "After a season"];

/// The sets of the log.
fn sets(bench: &Bench, desk: &Desk) -> Html {
    let state = desk.state();
    let log = &state.entry().build.log;
    let here = state.hand.set_of(log.sets.len());
    let fresh = desk.on(|_: MouseEvent| Action::Log(LogAct::NewSet(window::today())));
    let names = log.sets.iter().enumerate().map(|(at, set)| AttrValue::from(name_of(set, at)));
    let pick = desk.on(|set| Action::Log(LogAct::Set(set)));
    let line = |id: &'static str,
                label: &'static str,
                value: &str,
                act: fn(usize, String) -> LogAct| {
        let (desk, set) = (desk.clone(), here.unwrap_or_default());
        let oninput = Callback::from(move |event: InputEvent| {
            if let Some(text) = text_of(&event) {
                desk.act(Action::Log(act(set, text)));
            }
        });
        html! {
            <div class="field"><label for={id}>{ label }</label><input {id} type="text" autocomplete="off" list={format!("{id}s")} value={value.to_owned()} {oninput} /></div>
        }
    };
    html! {
        <section class="sets" aria-label="Sets of readings">
            <h2>{ "The log" }</h2>
            if log.sets.len() > 1 { { segments("Set", "many", names.collect(), here.unwrap_or(0), &pick) } }
            if let Some((at, set)) = here.and_then(|at| Some((at, log.sets.get(at)?))) {
                <details open={set.readings.is_empty()}>
                    <summary>{ format!("This set: {} {}", set.name, set.date) }</summary>
                    <datalist id="set-names">{ for SETS.into_iter().map(|name| html! { <option value={name} /> }) }</datalist>
                    <div class="fields">
                        { line("set-name", "Name", &set.name, LogAct::Name) }
                        { line("set-date", "Day", &set.date, LogAct::Date) }
                        { line("set-note", "Note", &set.note, LogAct::Note) }
                    </div>
                    <p class="help">{ "How the truck stood:" }</p>
                    { segments("How the truck stood", "", vec!["Stock".into(), "As it sits".into(), "As planned".into()],
                        State::ALL.iter().position(|it| *it == set.state).unwrap_or(1),
                        &desk.on(move |index: usize| Action::Log(LogAct::Stands(at, State::ALL.get(index).copied().unwrap_or(State::Sitting))))) }
                    <button type="button" onclick={desk.on(move |_: MouseEvent| Action::Log(LogAct::DropSet(at)))}>{ "Take this set away" }</button>
                </details>
            }
            <div class="row-buttons">
                <button type="button" onclick={fresh}>{ if log.sets.is_empty() { "Start a set" } else { "New set: after a part, an alignment, a season" } }</button>
            </div>
            { say("p", "help", &kept(bench, desk)) }
        </section>
    }
}

/// Where the log is kept, and how much of it is in no file yet.
fn kept(bench: &Bench, desk: &Desk) -> String {
    let count: usize = bench.log.sets.iter().map(|set| set.readings.len()).sum();
    let fresh = count.saturating_sub(desk.state().entry().in_file);
    let place = "Kept on this device with the build, and in its file; a link carries the truck, not the log.";
    match fresh {
        0..10 => place.to_owned(),
        _ => format!(
            "{place} {fresh} readings are in no file yet: save one under Builds when it suits you."
        ),
    }
}
