//! The page: one pure state, views of the engine's answers, and effects kept apart.
//!
//! [`state`] knows what is true and how it changes, and runs anywhere; [`infra`] and [`hooks`] are
//! the only places that touch the browser; [`pages`] and [`components`] turn state into markup;
//! [`drawing`] puts the solved axle on paper; [`seek`] is the search for the best plan, in a worker. No geometry is computed here: every number on the
//! page is an answer of `fitment`.

pub mod answers;
pub mod app;
pub mod components;
pub mod drawing;
pub mod hooks;
pub mod infra;
pub mod pages;
pub mod seek;
pub mod state;
pub mod words;

/// Mounts the app over the page's first paint; in a worker, which has no page, serves the search.
pub fn mount() {
    let Some(window) = web_sys::window() else { return infra::room::serve() };
    let root = window.document().and_then(|document| document.get_element_by_id("app"));
    match root {
        Some(root) => {
            root.set_inner_html("");
            yew::Renderer::<app::App>::with_root(root).render();
        }
        None => {
            yew::Renderer::<app::App>::new().render();
        }
    }
}
