//! Files in and out.

use gloo::file::{Blob, ObjectUrl};
use wasm_bindgen::JsCast;
use web_sys::HtmlAnchorElement;

/// Hands the person a file to keep; `false` when the browser does not let us.
pub fn download(name: &str, text: &str) -> bool {
    let blob = Blob::new_with_options(text, Some("application/json"));
    let url = ObjectUrl::from(blob);
    let anchor = web_sys::window()
        .and_then(|window| window.document())
        .and_then(|document| document.create_element("a").ok())
        .and_then(|element| element.dyn_into::<HtmlAnchorElement>().ok());
    let Some(anchor) = anchor else { return false };
    anchor.set_href(&url);
    anchor.set_download(name);
    anchor.click();
    // The browser reads the file after the click; let it.
    gloo::timers::callback::Timeout::new(60_000, move || drop(url)).forget();
    true
}

/// A file name from what a person calls a build.
pub fn file_name(build: &str) -> String {
    let plain: String = build
        .chars()
        .map(|c| if c.is_alphanumeric() { c.to_ascii_lowercase() } else { '-' })
        .collect();
    let words: Vec<&str> = plain.split('-').filter(|word| !word.is_empty()).collect();
    if words.is_empty() { "build.json".into() } else { format!("{}.json", words.join("-")) }
}

#[cfg(test)]
mod tests {
    use super::file_name;

    #[test]
    fn names_of_files_are_plain() {
        assert_eq!(file_name("Orchard truck (example)"), "orchard-truck-example.json");
        assert_eq!(file_name("../.."), "build.json");
    }
}
