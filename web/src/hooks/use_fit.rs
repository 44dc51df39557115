//! Whether the tire fits, worked out once for each change of the axle or the state in view.

use super::use_desk;
use fitment::clearance::{Fit, FitError, Options, fit};
use fitment::truck::State;
use std::rc::Rc;
use yew::prelude::*;

/// The fit of the axle in view in a state; `None` on a truck without that axle.
#[hook]
pub fn use_fit(state: State) -> Rc<Option<Result<Rc<Fit>, FitError>>> {
    let desk = use_desk();
    let end = desk.state().end;
    let deps = (Rc::clone(&desk.state().entry().build), end, state);
    use_memo(deps, |(build, end, state)| {
        build.truck.axle(*end)?;
        Some(fit(&build.truck, *end, *state, &Options::default()).map(Rc::new))
    })
}
