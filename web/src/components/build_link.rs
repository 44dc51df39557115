//! The build as a link: made, and put onto the clipboard by a button.

use crate::infra::{address, clipboard};
use buildfile::{Build, Units, link};
use std::rc::Rc;
use yew::prelude::*;

/// Copies the link of `build` and says so in `said`; shows the link itself, or why there is none,
/// where it could not be copied.
pub fn copy_link(
    build: &Rc<Build>,
    units: Units,
    said: &UseStateHandle<String>,
) -> Callback<MouseEvent> {
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
}

/// The build's link, with the person's units in it.
///
/// # Errors
/// In words, when the build cannot be a link.
pub fn link_of(build: &Build, units: Units) -> Result<String, String> {
    let build = Build { units, ..build.clone() };
    let fragment = link::encode(&build).map_err(|error| error.to_string())?;
    Ok(format!("{}#{fragment}", address::base()))
}
