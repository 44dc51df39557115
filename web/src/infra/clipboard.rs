//! Copies and shares text.

use wasm_bindgen_futures::JsFuture;

/// Copies a text; `false` when the browser does not let us.
pub async fn copy(text: &str) -> bool {
    let Some(window) = web_sys::window() else { return false };
    // Plain http on the LAN has no clipboard.
    if !window.is_secure_context() {
        return false;
    }
    JsFuture::from(window.navigator().clipboard().write_text(text)).await.is_ok()
}

/// True when the device has a share sheet.
pub fn can_share() -> bool {
    let navigator = web_sys::window().map(|window| window.navigator());
    navigator
        .is_some_and(|navigator| js_sys::Reflect::has(&navigator, &"share".into()).unwrap_or(false))
}

/// Opens the device's share sheet; `false` when it was refused or closed.
pub async fn share(title: &str, url: &str) -> bool {
    let Some(window) = web_sys::window() else { return false };
    let data = web_sys::ShareData::new();
    data.set_title(title);
    data.set_url(url);
    JsFuture::from(window.navigator().share_with_data(&data)).await.is_ok()
}
