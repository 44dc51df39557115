//! A choice from a list too long to be all in view.

use wasm_bindgen::JsCast;
use web_sys::HtmlSelectElement;
use yew::prelude::*;

/// A labeled list: the options' words, which one is on, and what is called with the one picked.
pub fn choice(
    id: &'static str,
    label: &'static str,
    options: &[&'static str],
    on: usize,
    picked: Callback<usize>,
) -> Html {
    let onchange = Callback::from(move |event: Event| {
        let select = event.target().and_then(|target| target.dyn_into::<HtmlSelectElement>().ok());
        if let Some(index) = select.and_then(|select| usize::try_from(select.selected_index()).ok())
        {
            picked.emit(index);
        }
    });
    html! {
        <div class="field">
            <label for={id}>{ label }</label>
            <select {id} {onchange}>
                { for options.iter().enumerate().map(|(index, name)| html! { <option selected={index == on}>{ *name }</option> }) }
            </select>
        </div>
    }
}
