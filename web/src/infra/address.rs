//! The address bar: the page's name or a link's text behind the `#`.

use wasm_bindgen::JsValue;

/// What stands behind the `#`, without it.
pub fn fragment() -> String {
    let hash = web_sys::window().and_then(|window| window.location().hash().ok());
    hash.map(|hash| hash.trim_start_matches('#').to_owned()).unwrap_or_default()
}

/// The address without the `#` and what follows.
pub fn base() -> String {
    let href = web_sys::window().and_then(|window| window.location().href().ok());
    let href = href.unwrap_or_default();
    href.split('#').next().unwrap_or_default().to_owned()
}

/// Changes what stands behind the `#` without a step in the history.
pub fn replace(fragment: &str) {
    if let Some(history) = web_sys::window().and_then(|window| window.history().ok()) {
        // A browser that refuses only shows an older address.
        let _ = history.replace_state_with_url(&JsValue::NULL, "", Some(&format!("#{fragment}")));
    }
}

/// Goes to another page of ours, as a step in the history.
pub fn go(fragment: &str) {
    if let Some(window) = web_sys::window() {
        // As above.
        let _ = window.location().set_hash(fragment);
    }
}
