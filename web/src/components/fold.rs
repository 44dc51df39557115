//! What is folded away: built only once somebody opens it, for a page of closed folds is drawn anew with
//! every touch.

use std::rc::Rc;
use wasm_bindgen::JsCast;
use yew::prelude::*;

/// What is in a fold.
#[derive(Clone)]
pub struct Inside(Rc<dyn Fn() -> Html>);

impl Inside {
    /// What a call builds.
    pub fn of(build: impl Fn() -> Html + 'static) -> Self {
        Self(Rc::new(build))
    }
}

impl PartialEq for Inside {
    /// Only the very same call is sure to build the same.
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.0, &other.0)
    }
}

/// A fold.
#[derive(Properties, PartialEq)]
pub struct FoldProps {
    /// Its class.
    #[prop_or("part-edit")]
    pub class: &'static str,
    /// What is said while it is closed.
    pub summary: AttrValue,
    /// What is in it.
    pub inside: Inside,
    /// Whether what was opened once stays built: what is half typed in it is not lost then.
    #[prop_or(true)]
    pub keep: bool,
}

/// A line to open, and what it opens.
#[component]
pub fn Fold(props: &FoldProps) -> Html {
    let built = use_state_eq(|| false);
    let ontoggle = {
        let (built, keep) = (built.setter(), props.keep);
        Callback::from(move |event: Event| {
            // The event does not bubble: a fold within hears of itself alone.
            let of = event.target().and_then(|of| of.dyn_into::<web_sys::Element>().ok());
            if let Some(open) = of.map(|it| it.has_attribute("open")).filter(|open| *open || !keep)
            {
                built.set(open);
            }
        })
    };
    html! {
        <details class={props.class} {ontoggle}>
            <summary>{ props.summary.clone() }</summary>
            if *built { { (props.inside.0)() } }
        </details>
    }
}
