//! The build sheet: everything about one axle of a build on one page, to print and take to the truck.

use crate::answers::Bench;
use crate::components::builds::link_of;
use crate::components::cautions;
use crate::components::end_switch::EndSwitch;
use crate::components::guide::layout_name;
use crate::components::qr::Qr;
use crate::components::{sheet_fit, sheet_lists, sheet_table, sheet_views};
use crate::hooks::{use_bench, use_desk};
use crate::infra::{clipboard, window};
use crate::state::{Action, Kind};
use fitment::clearance::{Options, fit};
use fitment::finding::{Finding, findings};
use fitment::remedy::suggest;
use fitment::truck::{End, LayoutKind, State};
use std::rc::Rc;
use wasm_bindgen::JsCast;
use web_sys::HtmlTextAreaElement;
use yew::prelude::*;

/// The page.
#[component]
pub fn SheetPage() -> Html {
    let desk = use_desk();
    let bench = use_bench();
    let state = desk.state();
    let (entry, end, units) = (state.entry(), state.end, state.preferences.units);
    // Fits and suggestions of both states to come, worked out once for each change.
    let fits = use_memo((Rc::clone(&entry.build), end), |(build, end)| {
        let axle = build.truck.axle(*end)?;
        Some([State::Sitting, State::Planned].map(|s| fit(axle, *end, s, &Options::default())))
    });
    let suggested = use_memo((bench.clone(), end), |(bench, end)| {
        let stock = bench.as_ref()?.state(State::Stock).ok()?;
        suggest(&stock.axle, *end, &stock.answer, &[]).ok()
    });
    let (Some(bench), Some(axle)) = (bench, entry.build.truck.axle(end)) else {
        return html! { <p class="no-answer">{ "This build has no axle yet." }</p> };
    };
    let judged = [State::Sitting, State::Planned].map(|state| judge(&bench, state));
    let drawn = bench.state(State::Planned).or_else(|_| bench.state(State::Sitting));
    let stand_ins = sheet_lists::assumed(&entry.build.truck, end, units);
    let wanted = sheet_lists::next(&judged[1], 4);
    let unsolved: Vec<String> = State::ALL
        .into_iter()
        .filter_map(|state| {
            bench.state(state).err().map(|why| format!("{}: {why}", words_of(state)))
        })
        .collect();
    html! {
        <>
            <SheetTools />
            <article class="sheet" aria-label="Build sheet">
                { title_block(&desk, axle.layout.kind(), end) }
                { for unsolved.iter().map(|why| html! { <p class="no-answer">{ why }</p> }) }
                if let Ok(drawn) = drawn {
                    <section class="sheet-drawing" aria-label="Drawing">
                        { sheet_views::views(drawn, bench.state(State::Stock).ok(), units) }
                        <p class="sheet-note">{ format!("Drawn {}; thin dash-dot-dot lines: stock. Numbers in the drawing are computed.", words_of(drawn.state).to_ascii_lowercase()) }</p>
                    </section>
                }
                <section class="sheet-answers" aria-label="Fitted and answers">
                    { sheet_table::table(&bench, &judged, units) }
                    <p class="sheet-note">{ "Each answer: value ± about 95 % (two standard deviations), then the change since stock, then how it is judged. L and R are the driver's left and right." }</p>
                </section>
                <div class="sheet-columns">
                    <section>
                        <h2>{ "Parts to fit" }</h2>
                        { sheet_lists::parts(axle, (*suggested).as_ref(), units) }
                        if !wanted.is_empty() {
                            <h2>{ "Measure next" }</h2>
                            <ol>{ for wanted.iter().map(|words| html! { <li>{ words }</li> }) }</ol>
                        }
                    </section>
                    <section>
                        <h2>{ "Tire to truck, at its nearest" }</h2>
                        if let Some([sitting, planned]) = &*fits {
                            { sheet_fit::fit("As it sits", sitting, units) }
                            { sheet_fit::fit("Planned", planned, units) }
                        }
                    </section>
                </div>
                if !entry.build.note.is_empty() {
                    <section><h2>{ "Note" }</h2><p class="note">{ entry.build.note.clone() }</p></section>
                }
                if !stand_ins.is_empty() {
                    <section class="sheet-assumed">
                        <h2>{ format!("Assumed, not measured (lengths in {})", if units == buildfile::Units::Inch { "in" } else { "mm" }) }</h2>
                        <p>{ for stand_ins.iter().map(|(title, said)| html! { <><b>{ *title }</b>{ format!(" {said}. ") }</> }) }</p>
                    </section>
                }
                <section class="sheet-cautions">
                    <h2>{ "Before you trust this" }</h2>
                    <ul>{ for cautions::WORDS.iter().map(|words| html! { <li>{ *words }</li> }) }</ul>
                </section>
                { link_block(&entry.build, units) }
            </article>
        </>
    }
}

/// What is done with the sheet; none of it is printed.
#[component]
fn SheetTools() -> Html {
    let desk = use_desk();
    let said = use_state(String::new);
    let (build, units) = (&desk.state().entry().build, desk.state().preferences.units);
    let copy = {
        let (build, said) = (Rc::clone(build), said.clone());
        Callback::from(move |_: MouseEvent| match link_of(&build, units) {
            Ok(url) => {
                let said = said.clone();
                wasm_bindgen_futures::spawn_local(async move {
                    let done = clipboard::copy(&url).await;
                    said.set(if done { "Link copied.".into() } else { url });
                });
            }
            Err(why) => said.set(why),
        })
    };
    let oninput = {
        let desk = desk.clone();
        Callback::from(move |event: InputEvent| {
            let area =
                event.target().and_then(|target| target.dyn_into::<HtmlTextAreaElement>().ok());
            if let Some(area) = area {
                desk.act(Action::Type { path: "note".into(), text: area.value() });
            }
        })
    };
    html! {
        <div class="sheet-tools">
            <h1>{ "Build sheet" }</h1>
            <EndSwitch />
            <div class="row-buttons">
                <button type="button" class="primary" onclick={Callback::from(|_: MouseEvent| window::print())}>{ "Print or save as PDF" }</button>
                <button type="button" onclick={copy}>{ "Copy link" }</button>
            </div>
            <p class="help">{ "One page for each axle, on A4 or US Letter." }</p>
            <p class="said" role="status">{ (*said).clone() }</p>
            <div class="field">
                <label for="note">{ "Note on the sheet" }</label>
                <textarea id="note" rows="2" value={build.note.clone()} {oninput} onblur={desk.on(|_: FocusEvent| Action::Leave)} />
            </div>
        </div>
    }
}

/// What stands out in a state, worst first.
fn judge(bench: &Bench, state: State) -> Vec<Finding> {
    match (bench.state(State::Stock), bench.state(state)) {
        (Ok(stock), Ok(now)) => findings(now.end, state, &stock.answer, &now.answer, &[]),
        _ => Vec::new(),
    }
}

const fn words_of(state: State) -> &'static str {
    match state {
        State::Stock => "Stock",
        State::Sitting => "As it sits",
        State::Planned => "As planned",
    }
}

/// Who, what, when; the blanks are for a pen.
fn title_block(desk: &crate::hooks::Desk, layout: LayoutKind, end: End) -> Html {
    let state = desk.state();
    let (entry, units) = (state.entry(), state.preferences.units);
    let truck = &entry.build.truck;
    let axle = if end == End::Front { "Front axle" } else { "Rear axle" };
    let sheets = usize::from(truck.front.is_some()) + usize::from(truck.rear.is_some());
    let sheet = if sheets == 2 && end == End::Rear { 2 } else { 1 };
    let cell = |label: &'static str, value: String, wide: bool| {
        html! {
            <div class={classes!(wide.then_some("wide"))}><dt>{ label }</dt><dd>{ value }</dd></div>
        }
    };
    let name = match entry.kind {
        Kind::Example => format!("{} — invented, an example", entry.build.name),
        Kind::Own | Kind::Received => entry.build.name.clone(),
    };
    html! {
        <dl class="sheet-title">
            { cell("Build", name, true) }
            { cell("Axle", format!("{axle}, {}", layout_name(layout).to_ascii_lowercase()), true) }
            { cell("Wheelbase, stock", sheet_table::both(truck.wheelbase_mm.value, units), false) }
            { cell("Date", String::new(), false) }
            { cell("By", String::new(), false) }
            { cell("Sheet", format!("{sheet} of {sheets}"), false) }
        </dl>
    }
}

/// The link, to read and to scan.
fn link_block(build: &buildfile::Build, units: buildfile::Units) -> Html {
    html! {
        <footer class="sheet-link">
            { match link_of(build, units) {
                Ok(url) => html! {
                    <>
                        <Qr text={url.clone()} />
                        <div>
                            <h2>{ "This build, to open again" }</h2>
                            <p>{ "Point a phone's camera at the code, or type the link." }</p>
                            <p class="sheet-url">{ url }</p>
                        </div>
                    </>
                },
                Err(why) => html! { <p>{ why }</p> },
            } }
            <p class="sheet-maker">{ concat!("Tapewright ", env!("CARGO_PKG_VERSION")) }</p>
        </footer>
    }
}
