//! Small things the window does for us.

use crate::state::Theme;
use wasm_bindgen::JsCast;
use web_sys::{HtmlElement, ScrollBehavior, ScrollIntoViewOptions, ScrollLogicalPosition};

/// The clock, ms since 1970.
pub fn now_ms() -> f64 {
    js_sys::Date::now()
}

/// When something was, for people.
pub fn date_text(ms: f64) -> String {
    let date = js_sys::Date::new(&ms.into());
    String::from(date.to_locale_string("default", &wasm_bindgen::JsValue::UNDEFINED))
}

/// The day it is here, year first.
pub fn today() -> String {
    let now = js_sys::Date::new_0();
    format!("{:04}-{:02}-{:02}", now.get_full_year(), now.get_month() + 1, now.get_date())
}

/// Paper or blueprint.
pub fn set_theme(theme: Theme) {
    let root = web_sys::window().and_then(|w| w.document()).and_then(|d| d.document_element());
    if let Some(root) = root {
        let name = match theme {
            Theme::Auto => "auto",
            Theme::Light => "light",
            Theme::Dark => "dark",
        };
        // An attribute of a plain name always sets.
        let _ = root.set_attribute("data-theme", name);
    }
}

/// Whether a new version of the page waits.
pub fn update_waits() -> bool {
    let root = web_sys::window().and_then(|w| w.document()).and_then(|d| d.document_element());
    root.and_then(|root| root.get_attribute("data-update")).as_deref() == Some("waiting")
}

/// Tells the page's starter that the person agreed to the new version.
pub fn take_over() {
    if let Some(window) = web_sys::window()
        && let Ok(event) = web_sys::Event::new("tapewright:take-over")
    {
        let _ = window.dispatch_event(&event);
    }
}

/// Prints the page; the style sheet shows only the sheet.
pub fn print() {
    if let Some(window) = web_sys::window() {
        // A browser without printing does nothing.
        let _ = window.print();
    }
}

/// Puts the keyboard on an element and brings it into view.
pub fn focus(id: &str) {
    let element = web_sys::window()
        .and_then(|window| window.document())
        .and_then(|document| document.get_element_by_id(id))
        .and_then(|element| element.dyn_into::<HtmlElement>().ok());
    if let Some(element) = element {
        // Closed groups hide their fields; open them first.
        let mut above = element.closest("details").ok().flatten();
        while let Some(group) = above {
            let _ = group.set_attribute("open", "");
            above = group.parent_element().and_then(|up| up.closest("details").ok().flatten());
        }
        let options = ScrollIntoViewOptions::new();
        options.set_behavior(ScrollBehavior::Auto);
        options.set_block(ScrollLogicalPosition::Center);
        element.scroll_into_view_with_scroll_into_view_options(&options);
        let _ = element.focus();
    }
}

/// Puts the keyboard on an element without moving the page.
pub fn focus_quietly(id: &str) {
    let element = web_sys::window()
        .and_then(|window| window.document())
        .and_then(|document| document.get_element_by_id(id))
        .and_then(|element| element.dyn_into::<HtmlElement>().ok());
    if let Some(element) = element {
        let options = web_sys::FocusOptions::new();
        options.set_prevent_scroll(true);
        // An element that takes no focus leaves it where it was.
        let _ = element.focus_with_options(&options);
    }
}

/// Brings an element into view, if it is not.
pub fn show(id: &str) {
    let element = web_sys::window()
        .and_then(|window| window.document())
        .and_then(|document| document.get_element_by_id(id));
    if let Some(element) = element {
        let options = ScrollIntoViewOptions::new();
        options.set_block(ScrollLogicalPosition::Nearest);
        element.scroll_into_view_with_scroll_into_view_options(&options);
    }
}

/// The element of this class that an event happened in. An event's own current target is no help:
/// events are listened to at the root of the page.
pub fn around(event: &web_sys::Event, class: &str) -> Option<web_sys::Element> {
    let target = event.target()?.dyn_into::<web_sys::Element>().ok()?;
    target.closest(&format!(".{class}")).ok().flatten()
}

/// Back to the top of the page.
pub fn to_top() {
    if let Some(window) = web_sys::window() {
        window.scroll_to_with_x_and_y(0.0, 0.0);
    }
}
