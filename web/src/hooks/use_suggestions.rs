//! What fixes the axle in view, worked out once for each change of it or of the person's limits.

use super::{use_bench, use_desk};
use fitment::axle::NoAnswer;
use fitment::remedy::{Suggestions, suggest};
use fitment::truck::State;
use std::rc::Rc;
use yew::prelude::*;

/// The ranked corrections; `None` while the stock axle has no answer.
#[hook]
pub fn use_suggestions() -> Rc<Option<Result<Suggestions, NoAnswer>>> {
    let bench = use_bench();
    let bands = use_desk().state().entry().build.band_changes();
    use_memo((bench, bands), |(bench, bands)| {
        let stock = bench.as_ref()?.state(State::Stock).ok()?;
        Some(suggest(&stock.truck, stock.end, &stock.answer, bands))
    })
}
