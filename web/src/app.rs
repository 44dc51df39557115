//! The app: the desk and the answers about what lies on it, the title block above, the page, the
//! tabs in reach of a thumb.

use crate::answers::Bench;
use crate::components::builds::Builds;
use crate::components::header::header;
use crate::components::notices::Notices;
use crate::components::tab_bar::tab_bar;
use crate::hooks::{Desk, use_new_desk, use_surely};
use crate::infra::room;
use crate::pages;
use crate::state::Page;
use std::rc::Rc;
use yew::prelude::*;

/// When the page has settled and the search's worker may start, ms after it is shown.
const SETTLED_MS: u32 = 1500;

/// The app.
#[component]
pub fn App() -> Html {
    let desk = use_new_desk();
    let listed = use_state_eq(|| false);
    use_effect_with((), |()| {
        gloo::timers::callback::Timeout::new(SETTLED_MS, room::open).forget();
    });
    let state = desk.state();
    let deps = (Rc::clone(&state.entry().build), state.end);
    let last = use_mut_ref(|| None::<Bench>);
    let bench = use_memo(deps, |(build, end)| {
        let mut last = last.borrow_mut();
        let bench = Bench::after(build, *end, last.as_ref());
        last.clone_from(&bench);
        bench
    });
    let bench = use_surely((*bench).clone());
    let list = |open: bool| {
        let listed = listed.clone();
        Callback::from(move |()| listed.set(open))
    };
    let page = state.page;
    html! {
        <ContextProvider<Desk> context={desk.clone()}>
            { header(&desk, &list(true)) }
            if !*listed { <Notices /> }
            // Under a key of its own: nothing of one page's elements is left to the next.
            <main key={page.slug()} id="page" class={format!("page at-{}", page.slug())} tabindex="-1">
                { match &bench {
                    _ if page == Page::LookUps => pages::look_ups::page(),
                    None => html! { <p class="no-answer">{ "This build has no axle yet." }</p> },
                    Some(bench) => match page {
                        Page::Truck => pages::truck::page(&desk, bench),
                        Page::Measure => pages::measure::page(bench),
                        Page::Lift => pages::lift::page(&desk, bench),
                        Page::Fit => pages::fit::page(&desk, bench),
                        Page::Corrections => pages::corrections::page(&desk, bench),
                        // Shown above, with or without a build.
                        Page::LookUps => html! {},
                        Page::Sheet => pages::sheet::page(&desk, bench),
                    },
                } }
            </main>
            { tab_bar(page) }
            <Builds open={*listed} close={list(false)} />
        </ContextProvider<Desk>>
    }
}
