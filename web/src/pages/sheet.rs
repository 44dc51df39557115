//! The build sheet: one page to print, with the drawing, the numbers, the cautions and a code that
//! opens the build on a phone.

use crate::components::answer_table::{AnswerTable, FIRST};
use crate::components::builds::link_of;
use crate::components::cautions;
use crate::components::end_switch::EndSwitch;
use crate::components::part_card::{part_name, setting};
use crate::components::qr::Qr;
use crate::drawing::{Drawing, Frame, View, measures};
use crate::hooks::{use_bench, use_desk};
use crate::infra::{clipboard, window};
use crate::state::catalog;
use crate::state::field;
use crate::state::{Action, edit};
use crate::words;
use fitment::truck::{End, State};
use std::rc::Rc;
use wasm_bindgen::JsCast;
use web_sys::HtmlTextAreaElement;
use yew::prelude::*;

/// The page.
#[component]
pub fn SheetPage() -> Html {
    let desk = use_desk();
    let bench = use_bench();
    let said = use_state(String::new);
    let state = desk.state();
    let (end, units) = (state.end, state.preferences.units);
    let build = Rc::clone(&state.entry().build);
    let link = use_memo((Rc::clone(&build), units), |(build, units)| link_of(build, *units));
    let Some(bench) = bench else {
        return html! { <p class="no-answer">{ "This build has no axle yet." }</p> };
    };
    let copy = {
        let (link, said) = (Rc::clone(&link), said.clone());
        Callback::from(move |_: MouseEvent| {
            if let Ok(url) = &*link {
                let (url, said) = (url.clone(), said.clone());
                wasm_bindgen_futures::spawn_local(async move {
                    let done = clipboard::copy(&url).await;
                    said.set(if done { "Link copied.".into() } else { url });
                });
            }
        })
    };
    let note = {
        let desk = desk.clone();
        Callback::from(move |event: InputEvent| {
            let area =
                event.target().and_then(|target| target.dyn_into::<HtmlTextAreaElement>().ok());
            if let Some(area) = area {
                desk.act(Action::Type { path: "note".into(), text: area.value() });
            }
        })
    };
    let axle_name = if end == End::Front { "Front axle" } else { "Rear axle" };
    html! {
        <>
            <div class="sheet-tools">
                <h1>{ "Build sheet" }</h1>
                <EndSwitch />
                <div class="row-buttons">
                    <button type="button" class="primary" onclick={Callback::from(|_: MouseEvent| window::print())}>{ "Print" }</button>
                    <button type="button" onclick={copy}>{ "Copy link" }</button>
                </div>
                <p class="said" role="status">{ (*said).clone() }</p>
                <div class="field">
                    <label for="note">{ "Note on the sheet" }</label>
                    <textarea id="note" rows="2" value={build.note.clone()} oninput={note} />
                </div>
            </div>
            <article class="sheet" aria-label="The sheet">
                <div class="sheet-drawings">
                    { for [View::Across, View::Side].into_iter().filter_map(|view| drawing(&bench, view, units)) }
                </div>
                <div class="sheet-columns">
                    <div>
                        <h2>{ format!("{axle_name}: the numbers") }</h2>
                        <AnswerTable bench={bench.clone()} rows={FIRST.to_vec()} />
                        <p class="help">{ "± two standard deviations. L and R are the driver's." }</p>
                    </div>
                    <div>
                        <h2>{ "Planned" }</h2>
                        { plan(&build, end, units) }
                        <h2>{ "Measured" }</h2>
                        { given(&build, end, units) }
                        if !build.note.is_empty() { <><h2>{ "Note" }</h2><p class="note">{ build.note.clone() }</p></> }
                    </div>
                </div>
                <div class="sheet-foot">
                    <ul class="sheet-cautions">{ for cautions::WORDS.iter().map(|words| html! { <li>{ *words }</li> }) }</ul>
                    { match &*link {
                        Ok(url) => html! { <Qr text={url.clone()} /> },
                        Err(why) => html! { <p class="help">{ why.clone() }</p> },
                    } }
                </div>
                <dl class="sheet-block">
                    <div><dt>{ "Build" }</dt><dd>{ build.name.clone() }</dd></div>
                    <div><dt>{ "Axle" }</dt><dd>{ axle_name }</dd></div>
                    <div><dt>{ "Drawn" }</dt><dd>{ window::date_text(state.entry().edited_ms) }</dd></div>
                    <div><dt>{ "By" }</dt><dd>{ "Tapewright" }</dd></div>
                </dl>
            </article>
        </>
    }
}

/// One view of the plan over the stock pose.
fn drawing(bench: &crate::answers::Bench, view: View, units: buildfile::Units) -> Option<Html> {
    let planned = bench.state(State::Planned).or_else(|_| bench.state(State::Sitting)).ok()?;
    let ghost = bench.state(State::Stock).ok().map(|stock| Rc::clone(&stock.scene));
    let frame = Frame::around(view, planned.end, &[&planned.scene], 360.0, 250.0);
    let dims = Rc::new(measures::of_answer(&planned.scene, &planned.answer.attitude, units));
    let words = format!("{} of the plan, stock as a ghost", view.title(planned.end));
    Some(html! {
        <figure>
            <Drawing {frame} scene={Rc::clone(&planned.scene)} {ghost} {dims} {words} />
            <figcaption>{ format!("{}: planned; stock in thin dashes", view.title(planned.end)) }</figcaption>
        </figure>
    })
}

fn plan(build: &buildfile::Build, end: End, units: buildfile::Units) -> Html {
    let Some(axle) = build.truck.axle(end) else { return html! {} };
    let setup = &axle.planned;
    let mut rows = vec![
        ("Tire".to_owned(), setup.tire.size.clone()),
        ("Lift".to_owned(), words::length(setup.lift_mm.value, units)),
        (
            "Wheel".to_owned(),
            format!(
                "{} wide, offset {}",
                words::length(setup.wheel.width_mm.value, units),
                words::length(setup.wheel.offset_mm.value, units)
            ),
        ),
    ];
    if setup.spacer_mm.value > 0.0 {
        rows.push(("Spacer".to_owned(), words::length(setup.spacer_mm.value, units)));
    }
    rows.extend(setup.parts.iter().map(|part| (part_name(part).to_owned(), setting(part, units))));
    list(rows)
}

/// What was measured or read off, for checking it again.
fn given(build: &buildfile::Build, end: End, units: buildfile::Units) -> Html {
    let rows = catalog::first(end)
        .into_iter()
        .filter_map(|spec| {
            let known = field::known(&build.truck, &spec.path)?;
            let quantity = edit::quantity(&spec.path);
            let mark = crate::drawing::Mark::of(&known.origin).word();
            let value = known
                .entered
                .clone()
                .unwrap_or_else(|| words::quantity(known.value, quantity, units));
            Some((
                spec.label.to_owned(),
                format!("{value} {} ({mark})", words::spread(known.sigma, quantity, units)),
            ))
        })
        .collect();
    list(rows)
}

fn list(rows: Vec<(String, String)>) -> Html {
    html! { <dl class="sheet-list">{ for rows.into_iter().map(|(name, value)| html! { <div><dt>{ name }</dt><dd>{ value }</dd></div> }) }</dl> }
}
