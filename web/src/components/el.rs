//! Elements without listeners, made by a call: the page carries a call's bytes for each, not a
//! macro's.

use yew::prelude::*;
use yew::virtual_dom::{VTag, VText};

/// What may not be there, in a place of its own: a list whose length changes is drawn anew from its
/// end, and would take the keyboard from a field in it.
pub fn maybe(element: Option<Html>) -> Html {
    element.unwrap_or_default()
}

/// An element with a class (or "") and what is in it.
pub fn el(tag: &'static str, class: &'static str, children: Vec<Html>) -> Html {
    with(tag, &[("class", class)], children)
}

/// An element with attributes, those without a value left out, and what is in it.
pub fn with(tag: &'static str, attributes: &[(&'static str, &str)], children: Vec<Html>) -> Html {
    let mut element = VTag::new(tag);
    for (name, value) in attributes.iter().filter(|(_, value)| !value.is_empty()) {
        element.add_attribute(name, AttrValue::from((*value).to_owned()));
    }
    element.add_children(children);
    element.into()
}

/// An element with words in it.
pub fn say(tag: &'static str, class: &'static str, words: &str) -> Html {
    el(tag, class, vec![text(words)])
}

/// Words.
pub fn text(words: &str) -> Html {
    VText::new(words.to_owned()).into()
}
