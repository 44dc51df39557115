//! How wide an element is, so that a drawing's lettering and lines keep their size.

use wasm_bindgen::JsCast;
use wasm_bindgen::closure::Closure;
use web_sys::{Element, ResizeObserver};
use yew::prelude::*;

/// Width of the element behind `node`, CSS pixels in steps of 8; `first` until it is known.
#[hook]
pub fn use_width(node: &NodeRef, first: f64) -> f64 {
    let width = use_state_eq(|| first);
    let set = width.setter();
    let node = node.clone();
    use_effect_with((), move |()| {
        let element = node.cast::<Element>();
        let measured = element.clone();
        let measure = Closure::<dyn FnMut()>::new(move || {
            if let Some(element) = &measured {
                let now = f64::from(element.client_width());
                if now > 0.0 {
                    set.set((now / 8.0).floor() * 8.0);
                }
            }
        });
        let observer = ResizeObserver::new(measure.as_ref().unchecked_ref()).ok();
        if let (Some(observer), Some(element)) = (&observer, &element) {
            observer.observe(element);
        }
        move || {
            if let Some(observer) = observer {
                observer.disconnect();
            }
            drop(measure);
        }
    });
    *width
}
