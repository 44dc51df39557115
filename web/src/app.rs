//! Layout and providers: the title block above, the page, the tabs in reach of a thumb.

use crate::components::builds::Builds;
use crate::components::header::header;
use crate::components::notices::Notices;
use crate::components::tab_bar::tab_bar;
use crate::hooks::{BenchProvider, DeskProvider, use_desk};
use crate::pages::corrections::CorrectionsPage;
use crate::pages::fit::FitPage;
use crate::pages::lift::LiftPage;
use crate::pages::sheet::SheetPage;
use crate::pages::truck::TruckPage;
use crate::state::Page;
use yew::prelude::*;

/// The app.
#[component]
pub fn App() -> Html {
    html! { <DeskProvider><BenchProvider><Shell /></BenchProvider></DeskProvider> }
}

#[component]
fn Shell() -> Html {
    let desk = use_desk();
    let listed = use_state(|| false);
    let page = desk.state().page;
    let open = {
        let listed = listed.clone();
        Callback::from(move |()| listed.set(true))
    };
    let close = {
        let listed = listed.clone();
        Callback::from(move |()| listed.set(false))
    };
    html! {
        <>
            { header(&desk, &open) }
            if !*listed { <Notices /> }
            <main id="page" class={format!("page at-{}", page.slug())} tabindex="-1">
                { match page {
                    Page::Truck => html! { <TruckPage /> },
                    Page::Lift => html! { <LiftPage /> },
                    Page::Fit => html! { <FitPage /> },
                    Page::Corrections => html! { <CorrectionsPage /> },
                    Page::Sheet => html! { <SheetPage /> },
                } }
            </main>
            { tab_bar(page) }
            <Builds open={*listed} {close} />
        </>
    }
}
