//! Where to hold the tape for a field, with the fields taken beside it; tapping a dimension opens
//! its field where it is drawn.

use super::number_field::NumberField;
use crate::answers::Bench;
use crate::drawing::{Drawing, Frame, drawing, measures};
use crate::hooks::{use_desk, use_width};
use crate::infra::window;
use crate::state::{Action, catalog, field};
use fitment::truck::State;
use std::rc::Rc;
use yew::prelude::*;

/// Which field to show.
#[derive(Properties, PartialEq)]
pub struct FieldPictureProps {
    /// The answers so far.
    pub bench: Bench,
    /// The field.
    pub path: String,
    /// Whether its neighbors are drawn and dimensions open their fields.
    #[prop_or_default]
    pub edit: bool,
}

/// The drawing of one field.
#[component]
pub fn FieldPicture(props: &FieldPictureProps) -> Html {
    let desk = use_desk();
    let state = desk.state();
    let paper = use_node_ref();
    let width = use_width(&paper, 360.0);
    let open = use_state_eq(|| None::<String>);
    let units = state.preferences.units;
    let truck = &state.entry().build.truck;
    let (stock, sitting) =
        match (props.bench.state(State::Stock), props.bench.state(State::Sitting)) {
            (Ok(stock), Ok(sitting)) => (stock, sitting),
            (Err(why), _) | (_, Err(why)) => {
                return html! { <p class="no-answer" role="status">{ why.clone() }</p> };
            }
        };
    let dim_of = |path: &str| measures::of_field(path, truck, &stock.scene, &sitting.scene, units);
    let Some(lit) = dim_of(&props.path) else { return html! {} };
    let (view, name) = (lit.view, lit.name.clone());
    let now = props.path.contains(".readings.") || props.path.contains(".sitting.");
    let scene = Rc::clone(if now { &sitting.scene } else { &stock.scene });
    let frame =
        Frame::around(view, state.end, &[&scene], width, if width > 560.0 { 400.0 } else { 260.0 });
    let mut dims = vec![lit];
    if props.edit {
        let beside = catalog::beside(truck, &props.path).into_iter();
        let given =
            beside.filter(|path| *path != props.path && field::known(truck, path).is_some());
        dims.extend(given.filter_map(|path| dim_of(&path)));
    }
    let pick = {
        let (desk, open, edit) = (desk.clone(), open.clone(), props.edit);
        Callback::from(move |path: String| {
            if !edit {
                // Its field stands below the drawing.
                window::focus(&format!("g-{path}"));
                return;
            }
            desk.act(Action::Focus(Some(path.clone())));
            let id = format!("d-{path}");
            open.set(Some(path));
            // The field is drawn first.
            gloo::timers::callback::Timeout::new(40, move || window::focus_quietly(&id)).forget();
        })
    };
    let over = (*open).clone().filter(|_| props.edit).and_then(|path| {
        let spec = catalog::spec(truck, &path)?;
        let close = {
            let open = open.clone();
            Callback::from(move |()| open.set(None))
        };
        let onkeydown = {
            let close = close.clone();
            Callback::from(move |event: KeyboardEvent| {
                if event.key() == "Escape" || event.key() == "Enter" {
                    close.emit(());
                }
            })
        };
        let done = close.reform(|_: MouseEvent| ());
        Some((
            path,
            html! {
                <div xmlns="http://www.w3.org/1999/xhtml" class="over" {onkeydown}>
                    <NumberField {spec} at="d" bare=true />
                    <button type="button" class="primary" onclick={done}>{ "Done" }</button>
                </div>
            },
        ))
    });
    let words = format!("{name}: where to hold the tape");
    let caption = format!(
        "{}, {}",
        view.title(state.end),
        if now { "as it sits" } else { "truck at stock height" }
    );
    html! {
        <figure class="paper" ref={paper}>
            { drawing(&Drawing { lit: Some(&props.path), pick, over, ..Drawing::new(frame, &scene, &dims, words) }) }
            <figcaption>{ caption }if props.edit { { " · tap a number to change it" } }</figcaption>
        </figure>
    }
}
