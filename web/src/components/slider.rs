//! A slider with its number, big enough for a thumb.

use wasm_bindgen::JsCast;
use web_sys::HtmlInputElement;
use yew::prelude::*;

/// The slider.
pub struct Slide {
    /// A name for the element.
    pub id: AttrValue,
    /// What it moves.
    pub label: &'static str,
    /// Its value in words.
    pub text: AttrValue,
    /// Least.
    pub low: f64,
    /// Most.
    pub high: f64,
    /// One step.
    pub step: f64,
    /// Where it is.
    pub value: f64,
    /// Called as it moves.
    pub moved: Callback<f64>,
}

/// A range input with label and value.
pub fn slider(props: &Slide) -> Html {
    let moved = props.moved.clone();
    let oninput = Callback::from(move |event: InputEvent| {
        let input = event.target().and_then(|target| target.dyn_into::<HtmlInputElement>().ok());
        // An emptied or foreign value moves nothing.
        if let Some(value) = input.map(|input| input.value_as_number()).filter(|v| v.is_finite()) {
            moved.emit(value);
        }
    });
    html! {
        <div class="slider">
            <label for={props.id.clone()}>{ props.label }</label>
            <output for={props.id.clone()}>{ props.text.clone() }</output>
            <input type="range" id={props.id.clone()} min={props.low.to_string()} max={props.high.to_string()}
                step={props.step.to_string()} value={props.value.to_string()} aria-valuetext={props.text.clone()} {oninput} />
        </div>
    }
}
