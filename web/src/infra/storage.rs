//! The device's storage for this page. It may be blocked or full; both are answers, not crashes.

use crate::state::store::{ASIDE, PREFIX, Unread};
use web_sys::Storage;

/// Why something was not stored.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StoreError {
    /// The browser lets this page keep nothing.
    Blocked,
    /// It does, but not this much.
    Full,
}

impl StoreError {
    /// What to tell the person.
    pub const fn message(&self) -> &'static str {
        match self {
            Self::Blocked => {
                "This browser keeps nothing for this page (private window, or storage is switched off). Save the build as a file, under Builds, before you close the tab; a link carries the truck, but not what was read of it."
            }
            Self::Full => {
                "The storage of this page is full, so the last change is not saved on this device. Save builds you want to keep as files, then delete some."
            }
        }
    }
}

fn storage() -> Result<Storage, StoreError> {
    web_sys::window()
        .and_then(|window| window.local_storage().ok().flatten())
        .ok_or(StoreError::Blocked)
}

/// Everything stored under our keys.
///
/// # Errors
/// [`StoreError::Blocked`].
pub fn read_all() -> Result<Vec<(String, String)>, StoreError> {
    let storage = storage()?;
    let length = storage.length().map_err(|_| StoreError::Blocked)?;
    let mut items = Vec::new();
    for index in 0..length {
        let key = storage.key(index).ok().flatten();
        let Some(key) = key.filter(|key| key.starts_with(PREFIX) && !key.starts_with(ASIDE)) else {
            continue;
        };
        if let Ok(Some(text)) = storage.get_item(&key) {
            items.push((key, text));
        }
    }
    Ok(items)
}

/// Stores a text.
///
/// # Errors
/// Any [`StoreError`].
pub fn write(key: &str, text: &str) -> Result<(), StoreError> {
    storage()?.set_item(key, text).map_err(|_| StoreError::Full)
}

/// Forgets a text.
///
/// # Errors
/// [`StoreError::Blocked`].
pub fn remove(key: &str) -> Result<(), StoreError> {
    storage()?.remove_item(key).map_err(|_| StoreError::Blocked)
}

/// Asks the browser not to clear this page's storage by itself; what it answers changes nothing.
pub fn keep() {
    let storage = web_sys::window().map(|window| window.navigator());
    // Only pages that came by https have one.
    let there = |it: &web_sys::Navigator| js_sys::Reflect::has(it, &"storage".into()) == Ok(true);
    if let Some(navigator) = storage.filter(there)
        && let Ok(asked) = navigator.storage().persist()
    {
        wasm_bindgen_futures::spawn_local(async move {
            let _ = wasm_bindgen_futures::JsFuture::from(asked).await;
        });
    }
}

/// Moves texts that did not read out of the way, untouched.
///
/// # Errors
/// Any [`StoreError`]; a text that could not be copied stays where it was.
pub fn set_aside(unread: &[Unread], now_ms: f64) -> Result<(), StoreError> {
    for item in unread {
        let name = item.key.strip_prefix(PREFIX).unwrap_or(&item.key);
        write(&format!("{ASIDE}{now_ms:.0}.{name}"), &item.text)?;
        remove(&item.key)?;
    }
    Ok(())
}
