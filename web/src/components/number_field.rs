//! A field for one number: label, text, unit, where it came from, how far it may be off, and what
//! is wrong with what was typed, at the character.

use super::number_details::NumberDetails;
use super::origin::origin_mark;
use crate::drawing::Mark;
use crate::hooks::use_desk;
use crate::state::catalog::Spec;
use crate::state::edit::{self, Quantity};
use crate::state::field::{self, Slot};
use crate::state::{Action, Draft};
use crate::words;
use buildfile::{Units, node};
use fitment::measure::Known;
use fitment::truck::Truck;
use wasm_bindgen::JsCast;
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// The field.
#[derive(Properties, PartialEq)]
pub struct NumberFieldProps {
    /// Which number, and its words.
    pub spec: Spec,
    /// A prefix for element names, where a field is on the page twice.
    #[prop_or("f")]
    pub at: &'static str,
    /// Show how to measure it without being asked.
    #[prop_or_default]
    pub explain: bool,
    /// Only the field: no origin, no help.
    #[prop_or_default]
    pub bare: bool,
}

/// What is in the field's place: a number, a tire size or name, or nothing yet.
enum Held<'a> {
    Number(Option<&'a Known>, bool),
    Words(&'a str),
}

/// What an input event typed.
pub fn text_of(event: &InputEvent) -> Option<String> {
    Some(event.target()?.dyn_into::<HtmlInputElement>().ok()?.value())
}

/// The field of one number.
#[component]
pub fn NumberField(props: &NumberFieldProps) -> Html {
    let desk = use_desk();
    let typing = use_state(|| None::<String>);
    let open = use_state(|| false);
    let entry = desk.state().entry();
    let units = desk.state().preferences.units;
    let path = &props.spec.path;
    let quantity = edit::quantity(path);
    let Some(held) = held(&entry.build.truck, path) else { return html! {} };
    let draft = entry.drafts.get(path);

    let (known, size, optional) = match held {
        Held::Number(known, optional) => (known, None, optional),
        Held::Words(size) => (None, Some(size), false),
    };
    let stored = match (known, size) {
        (Some(known), _) => words::field_text(known, quantity, units),
        (None, Some(size)) => size.to_owned(),
        (None, None) => String::new(),
    };
    let text =
        draft.map(|draft| draft.text.clone()).or_else(|| (*typing).clone()).unwrap_or(stored);

    let id = format!("{}-{path}", props.at);
    let (help_id, error_id, details_id) =
        (format!("{id}-help"), format!("{id}-error"), format!("{id}-details"));
    let oninput = {
        let (desk, path, typing) = (desk.clone(), path.clone(), typing.clone());
        Callback::from(move |event: InputEvent| {
            if let Some(text) = text_of(&event) {
                typing.set(Some(text.clone()));
                desk.act(Action::Type { path: path.clone(), text });
            }
        })
    };
    let onblur = {
        let (desk, typing) = (desk.clone(), typing.clone());
        Callback::from(move |_: FocusEvent| {
            typing.set(None);
            desk.act(Action::Leave);
        })
    };
    let onfocus = {
        let (desk, path) = (desk.clone(), path.clone());
        Callback::from(move |event: FocusEvent| {
            // A number is mostly typed anew, not mended.
            let input =
                event.target().and_then(|target| target.dyn_into::<HtmlInputElement>().ok());
            if let Some(input) = input {
                input.select();
            }
            desk.act(Action::Focus(Some(path.clone())));
        })
    };
    let toggle = {
        let open = open.clone();
        Callback::from(move |_: MouseEvent| open.set(!*open))
    };
    let shown_unit =
        (size.is_none() && !words::has_unit(&text)).then(|| words::unit(quantity, units));
    let described = match draft {
        Some(_) => format!("{error_id} {help_id}"),
        None => help_id.clone(),
    };
    let placeholder = match (size, optional) {
        (Some(_), _) if path.rsplit_once('.').is_some_and(|(_, name)| name == "name") => {
            "your own word for it"
        }
        (Some(_), _) => "265/75R16",
        (None, true) => "not measured",
        (None, false) => "",
    };
    let explain = props.explain || *open;
    html! {
        <div class={classes!("field", draft.is_some().then_some("wrong"))}>
            <label for={id.clone()}>{ props.spec.label }</label>
            <div class="field-row">
                <div class="field-box">
                    <input id={id.clone()} type="text" inputmode={keyboard(path, size.is_some(), units)} autocomplete="off"
                        autocapitalize="characters" spellcheck="false" value={text} {placeholder} aria-describedby={described}
                        aria-invalid={draft.is_some().to_string()} enterkeyhint="next" {oninput} {onblur} {onfocus} />
                    if let Some(unit) = shown_unit { <span class="field-unit" aria-hidden="true">{ unit }</span> }
                </div>
                if !props.bare {
                    <button type="button" class="field-more" aria-expanded={open.to_string()} aria-controls={details_id.clone()}
                        aria-label={format!("{}: {}", props.spec.label, state_words(known, size, quantity, units))} onclick={toggle}>
                        { state_mark(known, size, quantity, units) }
                    </button>
                }
            </div>
            if let Some(draft) = draft { { complaint(draft, &error_id) } }
            <p id={help_id} class={classes!("help", (!explain).then_some("unseen"))}>{ props.spec.help }</p>
            <div id={details_id} hidden={!*open}>
                if *open {
                    if let Some(known) = known {
                        <NumberDetails path={path.clone()} known={known.clone()} at={id} />
                    }
                }
            </div>
        </div>
    }
}

/// Where the number came from, for the eye.
fn state_mark(known: Option<&Known>, size: Option<&str>, quantity: Quantity, units: Units) -> Html {
    match (known, size) {
        (Some(known), _) => html! {
            <>
                { origin_mark(Mark::of(&known.origin)) }
                if known.sigma > 0.0 {
                    <span class="field-spread">{ words::spread(known.sigma, quantity, units) }</span>
                }
            </>
        },
        (None, Some(_)) => html! { <span class="origin">{ "as molded" }</span> },
        (None, None) => html! { <span class="origin">{ "not given" }</span> },
    }
}

/// Where the number came from, for the ear.
fn state_words(
    known: Option<&Known>,
    size: Option<&str>,
    quantity: Quantity,
    units: Units,
) -> String {
    match (known, size) {
        (Some(known), _) => {
            let word = Mark::of(&known.origin).word();
            format!(
                "{word}, {}; change how it was measured",
                words::spread(known.sigma, quantity, units)
            )
        }
        (None, Some(_)) => "as molded; how to read it".into(),
        (None, None) => "not given; how to measure it".into(),
    }
}

fn held<'a>(truck: &'a Truck, path: &str) -> Option<Held<'a>> {
    if let Some(text) = node::text(truck, path) {
        return Some(Held::Words(text));
    }
    Some(match field::slot(truck, path)? {
        Slot::Must(known) => Held::Number(Some(known), false),
        Slot::May(known) => Held::Number(known, true),
    })
}

/// Which keyboard a phone should bring: fractions and signs are not on the number pad.
fn keyboard(path: &str, is_size: bool, units: Units) -> &'static str {
    const SIGNED: [&str; 20] = [
        "x_mm",
        "y_mm",
        "z_mm",
        "offset_mm",
        "panhard_rise_mm",
        "arm_rise_mm",
        "angle_deg",
        "caster_deg",
        "hub_trail_mm",
        "lift_mm",
        "lift_right_mm",
        "bottom_mm",
        "rear_mm",
        "change_mm",
        "front_mm",
        "top_mm",
        "inboard_mm",
        "outboard_mm",
        "a_mm",
        "b_mm",
    ];
    let name = path.rsplit('.').next().unwrap_or(path);
    let fraction = edit::quantity(path) == Quantity::Length && units == Units::Inch;
    if is_size || fraction || SIGNED.contains(&name) { "text" } else { "decimal" }
}

/// What is wrong, with the text and a mark at the character it is about.
pub fn complaint(draft: &Draft, id: &str) -> Html {
    let mark = draft.why.at().map(|at| {
        let before: String = draft.text.chars().take(at).collect();
        let here: String = draft.text.chars().skip(at).take(1).collect();
        let after: String = draft.text.chars().skip(at + 1).collect();
        let here = if here.trim().is_empty() { "␣".to_owned() } else { here };
        html! { <span class="typed" aria-hidden="true">{ before }<mark>{ here }</mark>{ after }</span> }
    });
    html! {
        <p class="complaint" id={id.to_owned()} role="status">{ mark }<span>{ draft.why.message() }</span></p>
    }
}
