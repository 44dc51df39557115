//! The build sheet: everything about one axle of a build on one page, to print and take to the truck.

use crate::answers::Bench;
use crate::components::arrangement::layout_name;
use crate::components::build_link::{copy_link, link_of};
use crate::components::cautions;
use crate::components::el::maybe;
use crate::components::job::{job_of, job_sheet};
use crate::components::log_table::{foretold, log_table};
use crate::components::page_head::page_head;
use crate::components::qr::qr;
use crate::components::rest::rest_on_sheet;
use crate::components::sheet_work::work_sheet;
use crate::components::{sheet_fit, sheet_lists, sheet_table, sheet_views};
use crate::hooks::{Desk, use_desk};
use crate::infra::window;
use crate::state::edit::system;
use crate::state::{Action, Kind};
use buildfile::{Build, Units};
use fitment::truck::{End, LayoutKind, State};
use wasm_bindgen::JsCast;
use web_sys::HtmlTextAreaElement;
use yew::prelude::*;

/// The page.
pub fn page(desk: &Desk, bench: &Bench) -> Html {
    let state = desk.state();
    let (entry, end, units) = (state.entry(), state.end, state.preferences.units);
    let axle = &bench.axle;
    let fits = [bench.fit(State::Sitting), bench.fit(State::Planned)];
    let judged = [bench.findings(State::Sitting), bench.findings(State::Planned)];
    let drawn = bench.state(State::Planned).or_else(|_| bench.state(State::Sitting));
    let stand_ins = sheet_lists::assumed(&entry.build.truck, end, units);
    let wanted = sheet_lists::next(judged[1], 2);
    let job = job_of(bench, system(units));
    let name = {
        let axle = if end == End::Front { "front axle" } else { "rear axle" };
        format!("{}, {axle}", entry.build.name)
    };
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
                { title_block(desk, axle.kind(), end) }
                { for unsolved.iter().map(|why| html! { <p class="no-answer">{ why }</p> }) }
                if let Ok(drawn) = drawn {
                    <section class="sheet-drawing" aria-label="Drawing">
                        { sheet_views::views(drawn, bench.state(State::Stock).ok(), units) }
                        <p class="sheet-note">{ format!("Drawn {}; thin lines with two dots: stock; ringed cross: roll and instant center. Numbers are computed. Tapewright {}.", words_of(drawn.state).to_ascii_lowercase(), env!("CARGO_PKG_VERSION")) }</p>
                    </section>
                }
                <section class="sheet-answers" aria-label="Fitted and answers">
                    { sheet_table::table(bench, judged, units) }
                    <p class="sheet-note">{ "± covers about 95 % (two standard deviations); change is since stock. L and R are the driver's. Steered and wheel answers are the left side's." }</p>
                </section>
                <section class="sheet-answers" aria-label="Tire to truck, at its nearest">
                    { sheet_fit::table(&bench.axle, fits, units) }
                </section>
                <div class="sheet-columns">
                    <section>
                        <h2>{ "Parts to fit" }</h2>
                        { sheet_lists::parts(bench, job.as_ref(), units) }
                    </section>
                    if !wanted.is_empty() {
                        <section>
                            <h2>{ "Measure next" }</h2>
                            <ol>{ for wanted.iter().map(|words| html! { <li>{ words }</li> }) }</ol>
                        </section>
                    }
                </div>
                { log_table(bench, units) }
                { foretold(bench, desk) }
                { rest_on_sheet(bench.rest(State::Planned), system(units)) }
                if !entry.build.note.is_empty() {
                    <section><h2>{ "Note" }</h2><p class="note">{ entry.build.note.clone() }</p></section>
                }
                if !stand_ins.is_empty() {
                    <section class="sheet-assumed">
                        <h2>{ format!("Assumed, not measured (lengths in {}; points forward / left / up; bushes across / along / cocking / twist)", if units == Units::Inch { "in" } else { "mm" }) }</h2>
                        <p>{ for stand_ins.iter().map(|(title, said)| html! { <><b>{ *title }</b>{ format!(" {said}. ") }</> }) }</p>
                    </section>
                }
                <footer class="sheet-foot">
                    { code(&entry.build, units) }
                    <div>
                        <h2>{ "Before you trust this" }</h2>
                        <ul class="sheet-cautions">{ for cautions::WORDS.iter().map(|words| html! { <li>{ *words }</li> }) }</ul>
                        { link_text(&entry.build, units) }
                    </div>
                </footer>
            </article>
            { maybe(job.filter(|_| state.preferences.work_sheet).map(|job| job_sheet(&name, &job))) }
            { work_sheet(&name, bench.rest(State::Planned), system(units), state.preferences.work_sheet) }
        </>
    }
}

/// What is done with the sheet; none of it is printed.
#[component]
fn SheetTools() -> Html {
    let desk = use_desk();
    let said = use_state(String::new);
    let (build, units) = (&desk.state().entry().build, desk.state().preferences.units);
    let wanted = desk.state().preferences.work_sheet;
    let copy = copy_link(build, units, &said);
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
            { page_head("Build sheet", &desk) }
            <div class="row-buttons">
                <button type="button" class="primary" onclick={Callback::from(|_: MouseEvent| window::print())}>{ "Print or save as PDF" }</button>
                <button type="button" onclick={copy}>{ "Copy link" }</button>
            </div>
            <label class="check">
                <input id="work-sheet" type="checkbox" checked={wanted} onchange={desk.on(move |_: Event| Action::WorkSheet(!wanted))} />
                { "Work sheets behind it: order of work and lengths for the plan, torques, what else is out of band" }
            </label>
            <p class="help">{ "One page for each axle, on A4 or US Letter; the work sheets are pages of their own. What else is out of band goes behind it with its cautions either way." }</p>
            <p class="said" role="status">{ (*said).clone() }</p>
            <div class="field">
                <label for="note">{ "Note on the sheet" }</label>
                <textarea id="note" rows="2" value={build.note.clone()} {oninput} onblur={desk.on(|_: FocusEvent| Action::Leave)} />
            </div>
        </div>
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
fn title_block(desk: &Desk, layout: LayoutKind, end: End) -> Html {
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
    let kind = match entry.kind {
        Kind::Example => "Invented example",
        Kind::Own | Kind::Received => "Build",
    };
    html! {
        <dl class="sheet-title">
            { cell(kind, entry.build.name.clone(), true) }
            { cell("Axle", format!("{axle}, {}", layout_name(layout).to_ascii_lowercase()), true) }
            { cell("Wheelbase", sheet_table::both(truck.wheelbase_mm.value, units), false) }
            { cell("Date", String::new(), false) }
            { cell("By", String::new(), false) }
            { cell("Sheet", format!("{sheet} / {sheets}"), false) }
        </dl>
    }
}

/// The link, for a camera.
fn code(build: &Build, units: Units) -> Html {
    link_of(build, units).map_or_else(|_| html! {}, |url| qr(&url))
}

/// The link, to read; or why there is none.
fn link_text(build: &Build, units: Units) -> Html {
    match link_of(build, units) {
        Ok(url) => html! {
            <>
                <p class="sheet-note"><b>{ "To open this build again, " }</b>{ "point a phone's camera at the code, or type the link:" }</p>
                <p class="sheet-url">{ url }</p>
            </>
        },
        Err(why) => html! { <p>{ why }</p> },
    }
}
