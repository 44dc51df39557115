//! One tire where the finger has it, from three sides: one view large, two small beside it that
//! change places with it when tapped. The stock tire lies over it.

use crate::answers::{Seen, Standing};
use crate::drawing::{Dim, Drawing, Frame, Mark, Run, View, drawing, ghost};
use crate::words;
use buildfile::Units;
use fitment::axle::{Kind, SceneItem};
use fitment::clearance::{Near, Obstacle};
use fitment::truck::Side;
use yew::prelude::*;

/// Edges of the paper's border, px, and what stands between two papers.
const BORDER: f64 = 3.0;
const GAP: f64 = 8.0;

/// The three frames, the large one first in size, not in order.
pub fn frames(
    side: Side,
    large: usize,
    width: f64,
    standing: &Standing,
    stock: Option<&Standing>,
    reach: &[Vec<SceneItem>],
) -> [Frame; 3] {
    let wide = (width * 0.66).floor();
    let height = (wide * 1.06).min(420.0).floor();
    let small = [width - GAP - wide - BORDER, (height - GAP) / 2.0 - BORDER];
    let order = View::of_side(side);
    [0, 1, 2].map(|index| {
        let size = if index == large { [wide - BORDER, height - BORDER] } else { small };
        let tires =
            [Some(&*standing.scene), stock.map(|stock| &*stock.scene)].into_iter().flatten();
        let tires = tires.chain(reach).flatten();
        let tires = tires.filter(|item| item.kind == Kind::Tire && item.side == Some(side));
        Frame::filled(order[index], standing.end, tires, size, 0.94)
    })
}

/// The nearest points, on the tire and on the truck.
fn ends(near: &Near) -> [[f64; 3]; 2] {
    [near.at_tire, near.at_truck].map(|p| [p.x, p.y, p.z])
}

/// The view that shows the nearest points farthest apart, or the one from the side for an arch, which
/// is measured there.
pub fn telling(seen: &Seen, of: Option<Obstacle>) -> usize {
    let Some([from, to]) = seen.nearest(of).map(ends) else { return 0 };
    let spread = |view: View| {
        let [a, b] = [from, to].map(|point| view.project(seen.end, point));
        (a[0] - b[0]).hypot(a[1] - b[1])
    };
    let spreads = View::of_side(seen.side).map(spread);
    (0..3).max_by(|a, b| spreads[*a].total_cmp(&spreads[*b])).unwrap_or(0)
}

/// What the views show.
pub struct Views<'a> {
    /// The tire and what is near it.
    pub near: Option<&'a Near>,
    /// What to draw, and the stock tire over it.
    pub drawn: [Vec<SceneItem>; 2],
    /// Where everything falls.
    pub frames: &'a [Frame; 3],
    /// Which of them is the large one.
    pub large: usize,
    /// The nearness in words.
    pub what: &'a str,
    /// Called with the one to make large.
    pub pick: &'a Callback<usize>,
    /// Units.
    pub units: Units,
}

/// The views.
pub fn views(props: &Views<'_>) -> Html {
    let &Views { near: nearest, ref drawn, frames, large, what, pick, units } = props;
    let [scene, stock] = drawn;
    let touches = nearest.is_some_and(|near| near.clearance_mm < 0.0);
    let at = nearest.map(ends);
    let one = |index: usize| {
        let frame = frames[index];
        let title = frame.view.title(frame.end);
        let dims: Vec<Dim> = at
            .zip(nearest)
            .filter(|_| index == large)
            .map(|([from, to], near)| Dim {
                view: frame.view,
                from,
                to,
                run: Run::Along(0.0),
                name: what.to_owned(),
                text: words::length(near.clearance_mm, units),
                mark: Mark::Computed,
                path: None,
            })
            .into_iter()
            .collect();
        let ghost = (!stock.is_empty()).then(|| ghost(stock, &frame));
        let near = at.map(|[_, to]| to);
        let words = format!("{title}: {what}");
        (title, drawing(&Drawing { ghost, near, ..Drawing::new(frame, scene, &dims, words) }))
    };
    let (title, picture) = one(large);
    let others = (0..3).filter(|index| *index != large);
    html! {
        <div id="fit-views" class={classes!("views", touches.then_some("touching"))}>
            <figure class="paper">
                { picture }
                <figcaption>{ title }if !stock.is_empty() { { " · dashed: stock tire" } }</figcaption>
            </figure>
            <div class="views-other">
                { for others.map(|index| {
                    let (title, picture) = one(index);
                    let onclick = pick.reform(move |_: MouseEvent| index);
                    html! {
                        <button key={index} type="button" class="paper" {onclick}><span aria-hidden="true">{ picture }</span><small>{ title }<span class="unseen">{ ", make it large" }</span></small></button>
                    }
                }) }
            </div>
        </div>
    }
}
