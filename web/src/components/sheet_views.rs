//! The three views side by side, small enough for the sheet and with the lettering at full size.

use crate::answers::Standing;
use crate::drawing::{Drawing, Frame, View, drawing, ghost, measures};
use buildfile::Units;
use fitment::axle::SceneItem;
use yew::prelude::*;

/// Width of each view and most height of all, px; together they fill the sheet's width.
const VIEWS: [(View, f64); 3] = [(View::Across, 304.0), (View::Side, 232.0), (View::Plan, 160.0)];
const MOST: f64 = 182.0;

/// The views of one state, with the stock pose behind.
pub fn views(standing: &Standing, stock: Option<&Standing>, units: Units) -> Html {
    let scenes: Vec<&[SceneItem]> = std::iter::once(standing.scene.as_slice())
        .chain(stock.map(|stock| stock.scene.as_slice()))
        .collect();
    // From above there is no room for numbers; the table has them.
    let dims: Vec<_> = measures::of_answer(&standing.scene, &standing.answer.attitude, units)
        .into_iter()
        .filter(|dim| dim.view != View::Plan)
        .collect();
    html! {
        <div class="sheet-views">
            { for VIEWS.iter().map(|(view, width)| {
                let frame = Frame::around(*view, standing.end, &scenes, *width, MOST);
                let title = view.title(standing.end);
                html! {
                    <figure key={title}>
                        { drawing(&Drawing { ghost: stock.map(|stock| ghost(&stock.scene, &frame)), ..Drawing::new(frame, &standing.scene, &dims, title.to_owned()) }) }
                        <figcaption>{ title }</figcaption>
                    </figure>
                }
            }) }
        </div>
    }
}
