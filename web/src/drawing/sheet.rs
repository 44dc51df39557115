//! One view on paper: the stock pose as a ghost, the pose in full, dimensions on top.

use super::{Dim, Frame, View, dim, outline};
use fitment::axle::{Kind, SceneItem};
use yew::prelude::*;

/// What a drawing shows.
pub struct Drawing<'a> {
    /// Where everything falls.
    pub frame: Frame,
    /// The pose.
    pub scene: &'a [SceneItem],
    /// The pose to compare with, as [`ghost`] draws it.
    pub ghost: Option<Html>,
    /// Dimensions; those of other views are left out.
    pub dims: &'a [Dim],
    /// The field to light up.
    pub lit: Option<&'a str>,
    /// Called with a field's path when its dimension is picked.
    pub pick: Callback<String>,
    /// What the drawing shows, in words.
    pub words: String,
    /// A point to ring.
    pub near: Option<[f64; 3]>,
    /// Something to lay over the paper at a dimension: its path and what.
    pub over: Option<(String, Html)>,
}

/// Draws back to front.
const ORDER: [Kind; 23] = [
    Kind::CentrePlane,
    Kind::Ground,
    Kind::Arch,
    Kind::Rail,
    Kind::Thing(0),
    Kind::Tire,
    Kind::Rim,
    Kind::AxleTube,
    Kind::Driveshaft,
    Kind::Pinion,
    Kind::Hose,
    Kind::Spring,
    Kind::Shock,
    Kind::LeafSpring,
    Kind::Shackle,
    Kind::Arm,
    Kind::Link,
    Kind::Panhard,
    Kind::Watts,
    Kind::TieRod,
    Kind::DragLink,
    Kind::PitmanArm,
    Kind::SteeringAxis,
];

const fn class(kind: Kind) -> &'static str {
    match kind {
        Kind::Tire => "tire",
        Kind::Rim => "rim",
        Kind::AxleTube => "tube",
        Kind::Link => "link",
        Kind::Arm => "arm",
        Kind::LeafSpring => "leaf",
        Kind::Shackle => "shackle",
        Kind::Panhard | Kind::Watts => "panhard",
        Kind::PitmanArm => "pitman",
        Kind::DragLink => "drag",
        Kind::TieRod | Kind::Hose => "tie",
        Kind::Spring => "spring",
        Kind::Shock => "shock",
        Kind::Pinion | Kind::Driveshaft => "pinion",
        Kind::SteeringAxis => "axis",
        Kind::Rail => "rail",
        Kind::Arch => "arch",
        Kind::Thing(_) => "thing",
        Kind::Ground => "ground",
        Kind::CentrePlane => "centre",
        Kind::RollCentre | Kind::InstantCentre => "mark-centre",
    }
}

/// Seen from a side, what belongs to the far one hides behind the near; arms and links do not.
fn shows(view: View, item: &SceneItem) -> bool {
    item.side.is_none() || item.side != view.hides() || matches!(item.kind, Kind::Arm | Kind::Link)
}

fn draw(scene: &[SceneItem], frame: &Frame, only_moving: bool) -> Html {
    use Kind::{Arch, CentrePlane, Ground, Rail, Spring, Thing};
    let stays = |kind: &Kind| matches!(kind, Rail | Arch | Thing(_) | CentrePlane | Spring);
    let path = |item: &SceneItem| match (item.kind, frame.view) {
        // Seen from the side the ground is a line across the paper.
        (Ground, View::Side | View::Right) => {
            item.points.first().map_or_else(String::new, |point| {
                format!("M6 {:.1}H{:.1}", frame.at(*point)[1], frame.size[0] - 6.0)
            })
        }
        _ => outline::path(item, frame),
    };
    // All of a kind are one path: a browser has less to style and lay out.
    let drawn = ORDER.into_iter().filter(|kind| !(only_moving && stays(kind))).map(|kind| {
        let group = std::mem::discriminant(&kind);
        let alike = scene.iter().filter(|item| std::mem::discriminant(&item.kind) == group);
        let d: String = alike.filter(|item| shows(frame.view, item)).map(path).collect();
        html! { if !d.is_empty() { <path class={class(kind)} {d} /> } }
    });
    drawn.collect()
}

/// Roll center from ahead or behind, instant center from the side, each with its name; one beyond
/// the paper is pointed at from the edge.
fn centres(scene: &[SceneItem], frame: &Frame) -> Html {
    let (kind, name) = match frame.view {
        View::Across => (Kind::RollCentre, "roll center"),
        View::Side | View::Right => (Kind::InstantCentre, "instant center"),
        View::Plan => return html! {},
    };
    let Some(item) = scene.iter().find(|item| item.kind == kind) else { return html! {} };
    let Some(at) = item.points.first().map(|point| frame.at(*point)) else { return html! {} };
    let [w, h] = frame.size;
    let (x, y) = (at[0].clamp(9.0, w - 9.0), at[1].clamp(20.0, h - 12.0));
    let inside = (x - at[0]).abs().max((y - at[1]).abs()) < 0.5;
    let d = if inside {
        outline::path(item, frame)
    } else {
        // An arrowhead that points to where it would be.
        let (dx, dy) = (at[0] - x, at[1] - y);
        let length = dx.hypot(dy).max(1.0);
        let (ux, uy) = (dx / length * 7.0, dy / length * 7.0);
        format!(
            "M{:.1} {:.1}L{:.1} {:.1}L{:.1} {:.1}",
            x - ux - uy * 0.6,
            y - uy + ux * 0.6,
            x + ux,
            y + uy,
            x - ux + uy * 0.6,
            y - uy - ux * 0.6
        )
    };
    // Below what leads up to it.
    let text_y = if inside { y + 17.0 } else { y - 5.0 };
    let (anchor, text_x) = if x > w * 0.6 { ("end", x - 11.0) } else { ("start", x + 11.0) };
    html! {
        <>
            <path class="mark-centre" {d} />
            // The sheet's small views have no room for the name.
            if w > 320.0 { <text class="centre-name" text-anchor={anchor} x={format!("{text_x:.1}")} y={format!("{text_y:.1}")}>{ name }</text> }
        </>
    }
}

fn ends(scene: &[SceneItem], frame: &Frame) -> Html {
    // Pivots: a small open circle on every end of a link, arm or bar.
    let points = scene
        .iter()
        .filter(|item| {
            use Kind::{Arm, DragLink, LeafSpring, Link, Panhard, Shackle, TieRod, Watts};
            let jointed = [Link, Arm, Panhard, Watts, LeafSpring, Shackle, DragLink, TieRod];
            jointed.contains(&item.kind) && shows(frame.view, item)
        })
        .flat_map(|item| &item.points);
    let mut d = String::new();
    for point in points {
        outline::ring(&mut d, frame.at(*point), 3.5);
    }
    html! { <path class="pivot" {d} /> }
}

impl<'a> Drawing<'a> {
    /// A pose with its dimensions; the rest can be set.
    pub fn new(frame: Frame, scene: &'a [SceneItem], dims: &'a [Dim], words: String) -> Self {
        let pick = Callback::noop();
        Self { frame, scene, ghost: None, dims, lit: None, pick, words, near: None, over: None }
    }
}

/// A pose to lay under another, of what moves.
pub fn ghost(scene: &[SceneItem], frame: &Frame) -> Html {
    html! { <g class="ghost" aria-hidden="true">{ draw(scene, frame, true) }</g> }
}

/// One view.
pub fn drawing(props: &Drawing<'_>) -> Html {
    let frame = &props.frame;
    let [w, h] = frame.size;
    let sides = match (frame.view, frame.end) {
        (View::Side | View::Right, _) => None,
        (View::Across, fitment::truck::End::Front) => Some(("R", "L")),
        _ => Some(("L", "R")),
    };
    let lit = |dim: &Dim| props.lit.is_some() && dim.path.as_deref() == props.lit;
    let over = props.over.as_ref().and_then(|(path, what)| {
        let dim = props.dims.iter().find(|d| d.path.as_ref() == Some(path) && d.view == frame.view)?;
        let [x, y] = dim.text_at(frame);
        let (width, height) = (272.0_f64.min(w), 180.0);
        let left = (x - width / 2.0).clamp(0.0, (w - width).max(0.0));
        let top = (y - height / 2.0).clamp(0.0, (h - height).max(0.0));
        Some(html! {
            <foreignObject x={format!("{left:.0}")} y={format!("{top:.0}")} width={format!("{width:.0}")} height={format!("{height:.0}")}>
                { what.clone() }
            </foreignObject>
        })
    });
    html! {
        <svg class={classes!("drawing", props.near.map(|_| "near-by"))} viewBox={format!("0 0 {w:.0} {h:.0}")} width={format!("{w:.0}")} height={format!("{h:.0}")} role="group" aria-label={props.words.clone()}>
            { props.ghost.clone() }
            <g class="pose" aria-hidden="true">{ draw(props.scene, frame, false) }{ ends(props.scene, frame) }
                // Where to hold the tape and where a tire rubs are shown without them.
                if props.lit.is_none() && props.near.is_none() { { centres(props.scene, frame) } }
            </g>
            if let Some((left, right)) = sides {
                <g class="sides" aria-hidden="true">
                    <text x="6" y="18">{ left }</text>
                    <text x={format!("{:.0}", w - 18.0)} y="18">{ right }</text>
                </g>
            }
            { for props.dims.iter().filter(|d| d.view == frame.view).map(|d| dim::draw(d, frame, lit(d), &props.pick)) }
            if let Some([x, y]) = props.near.map(|point| frame.at(point)) {
                <circle class="near" cx={format!("{x:.1}")} cy={format!("{y:.1}")} r="12" />
            }
            { over }
        </svg>
    }
}
