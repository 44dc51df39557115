//! What you have: every number, with a picture of where to hold the tape.

use crate::answers::Bench;
use crate::components::arrangement::{group_choices, layout_choice, layout_details, right_differs};
use crate::components::field_picture::FieldPicture;
use crate::components::guide::guide;
use crate::components::number_field::NumberField;
use crate::components::page_head::page_head;
use crate::components::so_far::so_far;
use crate::components::things::{ThingCard, add_thing};
use crate::hooks::Desk;
use crate::state::catalog::{self, Group, Part, Spec};
use crate::state::{Action, Change, Kind, field};
use fitment::truck::{End, LayoutKind};
use yew::prelude::*;

/// The page.
pub fn page(desk: &Desk, bench: &Bench) -> Html {
    let state = desk.state();
    let entry = state.entry();
    let (axle, end) = (&*bench.axle, bench.end);
    if let Some(step) = state.guide {
        return html! { <><h1>{ entry.build.name.clone() }</h1>{ guide(bench, step, desk) }</> };
    }
    let groups = catalog::groups(axle, end);
    let shown = state.focus.clone().filter(|path| field::end_of(path).is_none_or(|it| it == end));
    // Until a field is picked: what holds the axle sideways.
    let pictured = match (shown, &axle.panhard) {
        (Some(path), _) => path,
        (None, Some(_)) => format!("{}.panhard.chassis.y_mm", field::end_name(end)),
        (None, None) => catalog::first(axle, end).swap_remove(4).path,
    };
    html! {
        <>
            { page_head("What you have", desk) }
            if entry.kind == Kind::Example { { example_banner(desk) } }
            <div class="two">
                <div class="beside">
                    <FieldPicture bench={bench.clone()} path={pictured} edit=true />
                    { so_far(bench, desk) }
                    if entry.kind != Kind::Example {
                        <button type="button" class="wide" onclick={desk.on(|_: MouseEvent| Action::Guide(Some(0)))}>{ "Step through the first eight" }</button>
                    }
                </div>
                <div class="groups">
                    <section class="group plain">
                        <h2>{ "Layout" }</h2>
                        { layout_choice(axle, end, desk) }
                        { layout_details(axle, end, desk) }
                        if end == End::Front { <NumberField spec={catalog::wheelbase()} /> }
                    </section>
                    { for groups.iter().map(|group| group_view(group, bench, desk)) }
                    { other_axle(desk) }
                </div>
            </div>
        </>
    }
}

/// Says that this is an example, and how to get from it to one's own.
fn example_banner(desk: &Desk) -> Html {
    html! {
        <aside class="example" aria-label="This is an example">
            <p><b>{ "An invented truck, to look around." }</b>{ " Change anything; nothing here is real." }</p>
            <div class="row-buttons">
                <button type="button" class="primary" onclick={desk.on(|_: MouseEvent| Action::MineFromExample)}>{ "Replace it with mine, number by number" }</button>
                <button type="button" onclick={desk.on(|_: MouseEvent| Action::NewEmpty(LayoutKind::RadiusArms))}>{ "Start empty" }</button>
            </div>
        </aside>
    }
}

fn group_view(group: &Group, bench: &Bench, desk: &Desk) -> Html {
    let (axle, end) = (&*bench.axle, bench.end);
    let truck = &desk.state().entry().build.truck;
    let specs = || group.parts.iter().flat_map(|part| &part.specs);
    let assumed = specs()
        .filter(|spec| {
            field::known(truck, &spec.path).is_some_and(fitment::measure::Known::is_assumed)
        })
        .count();
    let wrong = specs().any(|spec| desk.state().entry().drafts.contains_key(&spec.path));
    html! {
        <details key={group.slug} class="group" open={group.slug == "now"}>
            <summary>
                <h2>{ group.title }</h2>
                <span class="tally">
                    if wrong { <b class="attention">{ "unfinished" }</b> } else if assumed > 0 { { format!("{assumed} assumed") } } else { { "all known" } }
                </span>
            </summary>
            <p class="help">{ group.why }</p>
            { group_choices(group.slug, axle, end, desk) }
            { for group.parts.iter().map(|part| match part.thing {
                Some(index) => html! { <ThingCard key={format!("thing-{index}")} bench={bench.clone()} {index} /> },
                None => part_view(part, end, desk),
            }) }
            if group.slug == "around" { { add_thing(end, desk) } }
        </details>
    }
}

fn part_view(part: &Part, end: End, desk: &Desk) -> Html {
    html! {
        <fieldset key={part.title}>
            if !part.title.is_empty() { <legend>{ part.title }</legend> }
            <div class={classes!("fields", is_point(&part.specs).then_some("three"))}>
                { for part.specs.iter().map(|spec| html! { <NumberField key={spec.path.clone()} spec={spec.clone()} /> }) }
            </div>
            if let Some((pair, own)) = part.pair { { right_differs(pair, own, end, desk) } }
        </fieldset>
    }
}

fn is_point(specs: &[Spec]) -> bool {
    specs.len() == 3
        && specs.iter().all(|spec| {
            spec.path.ends_with("x_mm")
                || spec.path.ends_with("y_mm")
                || spec.path.ends_with("z_mm")
        })
}

/// A rear axle, for a truck that has none filled in.
fn other_axle(desk: &Desk) -> Html {
    let truck = &desk.state().entry().build.truck;
    if truck.rear.is_some() && truck.front.is_some() {
        return html! {};
    }
    let end = if truck.rear.is_none() { End::Rear } else { End::Front };
    html! {
        <button type="button" class="wide" onclick={desk.on(move |_: MouseEvent| Action::Change(Change::Axle(end, Some(LayoutKind::FourLink))))}>
            { if end == End::Rear { "Add the rear axle" } else { "Add the front axle" } }
        </button>
    }
}
