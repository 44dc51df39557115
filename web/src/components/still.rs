//! What stays as it is while a finger moves something beside it: built, compared and drawn again only
//! when it is another.

use std::rc::Rc;
use yew::prelude::*;

/// Something shared that is the same only where it is the very same: whoever compares it need not look
/// through it.
pub struct Same<T>(pub Rc<T>);

impl<T> Clone for Same<T> {
    fn clone(&self) -> Self {
        Self(Rc::clone(&self.0))
    }
}

impl<T> PartialEq for Same<T> {
    fn eq(&self, other: &Self) -> bool {
        Rc::ptr_eq(&self.0, &other.0)
    }
}

impl<T> std::ops::Deref for Same<T> {
    type Target = T;

    fn deref(&self) -> &T {
        &self.0
    }
}

/// What it is.
#[derive(Properties, PartialEq)]
pub struct StillProps {
    /// As it was built.
    pub what: Same<Html>,
}

/// The part.
#[component]
pub fn Still(props: &StillProps) -> Html {
    (*props.what).clone()
}
