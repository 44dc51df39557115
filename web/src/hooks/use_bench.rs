//! The answers about the axle in view, worked out once for each change of the build.

use super::use_desk;
use crate::answers::Bench;
use std::rc::Rc;
use yew::prelude::*;

/// What the bench is given to.
#[derive(Properties, PartialEq)]
pub struct BenchProps {
    /// The pages.
    pub children: Html,
}

/// The answers, as a context; `None` on a truck without axles.
type Shared = Option<Bench>;

/// Works the answers out for the pages inside.
#[component]
pub fn BenchProvider(props: &BenchProps) -> Html {
    let desk = use_desk();
    let state = desk.state();
    let deps = (Rc::clone(&state.entry().build), state.end);
    let bench = use_memo(deps, |(build, end)| Bench::of(build, *end));
    html! {
        <ContextProvider<Shared> context={(*bench).clone()}>{ props.children.clone() }</ContextProvider<Shared>>
    }
}

/// The answers about the axle in view.
#[hook]
pub fn use_bench() -> Option<Bench> {
    use_context::<Shared>().flatten()
}
