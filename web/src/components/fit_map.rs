//! The map: least clearance over steering and travel, as colored squares with a hatch where the
//! tire touches, with the line of first contact and the line where too little room is left. A
//! finger slides over it, or the arrow keys; a table says nine places of it in words.

use super::fit_spot::{Spot, share_of};
use super::still::Same;
use crate::answers::Bench;
use crate::hooks::use_width;
use crate::infra::{slices, window};
use crate::words;
use buildfile::Units;
use fitment::clearance::{Cell, ClearanceMap, Contour, Obstacle};
use fitment::truck::Axle;
use std::fmt::Write;
use yew::prelude::*;

/// An obstacle's name on an axle, as within a sentence.
pub fn obstacle(axle: &Axle, which: Obstacle) -> String {
    let name = which.name(&axle.surroundings);
    let named = |number: u8| {
        let thing = axle.surroundings.things.get(usize::from(number));
        thing.is_some_and(|thing| !thing.name.is_empty())
    };
    match which {
        // What a person called it stays as they wrote it.
        Obstacle::Thing(number) if named(number) => name.into_owned(),
        _ => name.to_ascii_lowercase(),
    }
}

/// Upper ends of the classes, mm, and their words; the last has no end. Round numbers of either unit.
const MILLIMETERS: [(f64, &str); 5] = [
    (0.0, "touches"),
    (10.0, "under 10 mm"),
    (25.0, "10–25 mm"),
    (50.0, "25–50 mm"),
    (f64::INFINITY, "over 50 mm"),
];
const INCHES: [(f64, &str); 5] = [
    (0.0, "touches"),
    (0.375 * 25.4, "under 3/8\""),
    (25.4, "3/8–1\""),
    (50.8, "1–2\""),
    (f64::INFINITY, "over 2\""),
];
/// How each is drawn.
const DRAWN: [&str; 5] = ["c0", "c1", "c2", "c3", "c4"];

const fn classes(units: Units) -> &'static [(f64, &'static str); 5] {
    match units {
        Units::Metric => &MILLIMETERS,
        Units::Inch => &INCHES,
    }
}

fn class_of(mm: f64, units: Units) -> usize {
    classes(units).iter().position(|(top, _)| mm < *top).unwrap_or(DRAWN.len() - 1)
}

/// The squares and lines of a map, and the marks around it.
#[derive(Properties, PartialEq, Clone)]
pub struct MapPictureProps {
    /// The map.
    pub map: Same<ClearanceMap>,
    /// Where each thing that touches first does so, were it there alone.
    pub touches: Same<Vec<Contour>>,
    /// One tire's, or the least of both, which turn by different angles.
    pub alone: bool,
    /// Whose obstacles it names.
    pub bench: Bench,
    /// Travel at which the truck rests, mm.
    pub rest_mm: f64,
    /// Room that should be left, mm.
    pub margin_mm: f64,
    /// Units.
    pub units: Units,
}

/// The map under a finger.
#[derive(Properties, PartialEq)]
pub struct FitMapProps {
    /// What is drawn.
    pub picture: MapPictureProps,
    /// Where the finger is.
    pub spot: Spot,
    /// What that is, in words.
    pub said: AttrValue,
    /// The wheel's steer there, degrees.
    pub steer_deg: f64,
    /// Called as it moves.
    pub moved: Callback<Spot>,
}

/// Where the map lies on its paper, px.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Plot {
    width: f64,
    height: f64,
}

/// Room for the axes' words, px.
const LEFT: f64 = 70.0;
const TOP: f64 = 14.0;
const RIGHT: f64 = 14.0;
const BELOW: f64 = 24.0;

impl Plot {
    fn of(width: f64) -> Self {
        Self { width, height: (width * 0.62).clamp(200.0, 400.0) }
    }

    /// Left steer on the left.
    fn x(&self, across: f64) -> f64 {
        LEFT + (1.0 - across) * (self.width - LEFT - RIGHT)
    }

    /// Bump on top.
    fn y(&self, up: f64) -> f64 {
        TOP + (1.0 - up) * (self.height - TOP - BELOW)
    }

    fn spot(&self, x: f64, y: f64) -> Spot {
        let across = 1.0 - (x - LEFT) / (self.width - LEFT - RIGHT);
        let up = 1.0 - (y - TOP) / (self.height - TOP - BELOW);
        Spot { across: 0.0, up: 0.0 }.moved(across, up)
    }
}

/// One step of an arrow key, and of one with the shift key, in shares of the map.
const STEP: f64 = 1.0 / 60.0;
const LEAP: f64 = 1.0 / 8.0;

/// The map.
#[component]
pub fn FitMap(props: &FitMapProps) -> Html {
    let paper = use_node_ref();
    let plot = Plot::of(use_width(&paper, 352.0));
    let touched = {
        let moved = props.moved.clone();
        Callback::from(move |event: PointerEvent| {
            let paper = window::around(&event, "map");
            // A finger that only passes over does not count; nor does a mouse without its button.
            if let Some(paper) = paper.filter(|_| event.buttons() != 0) {
                if event.type_() == "pointerdown" {
                    // A browser that does not keep the finger loses it at the edge.
                    let _ = paper.set_pointer_capture(event.pointer_id());
                }
                slices::finger();
                let rect = paper.get_bounding_client_rect();
                let x = f64::from(event.client_x()) - rect.left();
                moved.emit(plot.spot(x, f64::from(event.client_y()) - rect.top()));
            }
        })
    };
    let onkeydown = {
        let (moved, spot) = (props.moved.clone(), props.spot);
        Callback::from(move |event: KeyboardEvent| {
            let step = if event.shift_key() { LEAP } else { STEP };
            let to = match event.key().as_str() {
                "ArrowLeft" => spot.moved(step, 0.0),
                "ArrowRight" => spot.moved(-step, 0.0),
                "ArrowUp" => spot.moved(0.0, step),
                "ArrowDown" => spot.moved(0.0, -step),
                "PageUp" => spot.moved(0.0, LEAP),
                "PageDown" => spot.moved(0.0, -LEAP),
                "Home" => spot.moved(1.0, 0.0),
                "End" => spot.moved(-1.0, 0.0),
                _ => return,
            };
            event.prevent_default();
            moved.emit(to);
        })
    };
    let (x, y) = (plot.x(props.spot.across), plot.y(props.spot.up));
    let degrees = |share: usize| {
        let axis = &props.picture.map.steer_rad;
        let end = if share == 0 { axis.first() } else { axis.last() };
        format!("{:.0}", end.copied().unwrap_or_default().to_degrees())
    };
    html! {
        <div class="paper map-paper" ref={paper}>
            <svg class="map" viewBox={format!("0 0 {:.0} {:.0}", plot.width, plot.height)}
                width={format!("{:.0}", plot.width)} height={format!("{:.0}", plot.height)}
                role="slider" tabindex="0" aria-label="Steering and travel, by arrow keys: left and right turn the wheel, up and down move it"
                aria-valuemin={degrees(0)} aria-valuemax={degrees(1)} aria-valuenow={format!("{:.0}", props.steer_deg)}
                aria-valuetext={props.said.clone()} onpointerdown={touched.clone()} onpointermove={touched} {onkeydown}>
                <MapPicture picture={props.picture.clone()} {plot} />
                // Shifted, not drawn anew: the browser then leaves the map as it is painted.
                <g class="finger">
                    <path d={format!("M{:.1} 0H{:.1}", plot.x(1.0), plot.x(0.0))} transform={format!("translate(0 {y:.1})")} />
                    <path d={format!("M0 {:.1}V{:.1}", plot.y(1.0), plot.y(0.0))} transform={format!("translate({x:.1} 0)")} />
                    <circle r="11" transform={format!("translate({x:.1} {y:.1})")} />
                </g>
            </svg>
            <ul class="legend">
                { for classes(props.picture.units).iter().zip(DRAWN).map(|((_, words), class)| html! {
                    <li><svg viewBox="0 0 16 16" width="16" height="16" aria-hidden="true" class="map"><rect {class} width="16" height="16" /></svg>{ *words }</li>
                }) }
            </ul>
        </div>
    }
}

#[derive(Properties, PartialEq)]
struct PictureProps {
    picture: MapPictureProps,
    plot: Plot,
}

/// What stays as it is while the finger moves.
#[component]
fn MapPicture(props: &PictureProps) -> Html {
    let (plot, MapPictureProps { map, touches, alone, bench, rest_mm, margin_mm, units }) =
        (props.plot, &props.picture);
    let rest_y = plot.y(share_of(&map.travel_mm, *rest_mm));
    let lock = |end: Option<&f64>, way: &str| match end.filter(|_| *alone) {
        Some(rad) => format!("{:.0}° {way}", rad.to_degrees().abs()),
        None => format!("full {way}"),
    };
    let (right, left) = (lock(map.steer_rad.first(), "right"), lock(map.steer_rad.last(), "left"));
    let (bottom, top) = (map.travel_mm.first(), map.travel_mm.last());
    let travel = |end: Option<&f64>| words::length(end.copied().unwrap_or_default(), *units);
    let (first, near) = (map.contours(0.0), map.contours(*margin_mm));
    let (foot, low, high) =
        (format!("{:.1}", plot.height - 7.0), plot.y(0.0) - 4.0, plot.y(1.0) + 10.0);
    // No two words on the scale over each other.
    let rest_text = (rest_y + 4.0).clamp(high + 13.0, low - 13.0);
    html! {
        <g aria-hidden="true">
            <defs>
                <pattern id="hatch" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
                    <rect width="6" height="6" class="hatch-ground" /><path d="M0 0V6" class="hatch-line" />
                </pattern>
            </defs>
            { for squares(map, &plot, *units).into_iter().zip(DRAWN).map(|(d, class)| html! { <path {class} {d} /> }) }
            <path class="edge" d={format!("M{:.1} {:.1}H{:.1}V{:.1}H{:.1}Z", plot.x(1.0), plot.y(1.0), plot.x(0.0), plot.y(0.0), plot.x(1.0))} />
            <path class="rest" d={format!("M{LEFT} {rest_y:.1}H{:.1}", plot.x(0.0))} />
            <path class="contour margin" d={lines(&near, map, &plot)} />
            <path class="contour each" d={lines(touches, map, &plot)} />
            <path class="contour" d={lines(&first, map, &plot)} />
            { names(if first.is_empty() { &near } else { &first }, touches, map, bench, &plot) }
            <text class="axis-text start" x="4" y={format!("{rest_text:.1}")}>{ "at rest" }</text>
            <text class="axis-text start" x="4" y={format!("{high:.1}")}>{ travel(top) }</text>
            <text class="axis-text start" x="4" y={format!("{low:.1}")}>{ travel(bottom) }</text>
            if map.steer_rad.len() > 1 {
                <text class="axis-text start" x={LEFT.to_string()} y={foot.clone()}>{ left }</text>
                <text class="axis-text middle" x={format!("{:.1}", plot.x(share_of(&map.steer_rad, 0.0)))} y={foot.clone()}>{ "straight" }</text>
                <text class="axis-text end" x={format!("{:.1}", plot.x(0.0))} y={foot}>{ right }</text>
            }
        </g>
    }
}

/// The squares of each class as one path: runs of alike neighbors in a row are one rectangle.
fn squares(map: &ClearanceMap, plot: &Plot, units: Units) -> [String; 5] {
    let mut paths: [String; 5] = Default::default();
    let (columns, rows) = (map.steer_rad.len(), map.travel_mm.len());
    // Half way to the neighbors, and no further than the map goes.
    let edge = |at: f64, count: usize| {
        if count < 2 { at.clamp(0.0, 1.0) } else { (at / (count - 1) as f64).clamp(0.0, 1.0) }
    };
    let half = |count: usize, at: usize, way: f64| {
        let middle = if count < 2 { 0.5 } else { at as f64 };
        edge(middle + way * 0.5, count)
    };
    for row in 0..rows {
        let (low, high) = (plot.y(half(rows, row, -1.0)), plot.y(half(rows, row, 1.0)));
        let mut column = 0;
        while column < columns {
            let class = |column: usize| {
                map.cell(row, column).map(|cell| class_of(cell.clearance_mm, units))
            };
            let (from, here) = (column, class(column));
            while column < columns && class(column) == here {
                column += 1;
            }
            let Some(path) = here.and_then(|class| paths.get_mut(class)) else { continue };
            let (right, left) =
                (plot.x(half(columns, from, -1.0)), plot.x(half(columns, column - 1, 1.0)));
            // Writing to a String does not fail. A hair taller, so that no seam shows.
            let _ = write!(path, "M{left:.1} {high:.1}H{right:.1}V{:.1}H{left:.1}Z", low + 0.4);
        }
    }
    paths
}

/// Where a point of a contour lies on the paper.
fn on_paper([column, row]: [f64; 2], map: &ClearanceMap, plot: &Plot) -> [f64; 2] {
    let share = |at: f64, count: usize| at / count.saturating_sub(1).max(1) as f64;
    [plot.x(share(column, map.steer_rad.len())), plot.y(share(row, map.travel_mm.len()))]
}

fn lines(contours: &[Contour], map: &ClearanceMap, plot: &Plot) -> String {
    let mut d = String::new();
    for contour in contours {
        for (index, point) in contour.points.iter().enumerate() {
            let [x, y] = on_paper(*point, map, plot);
            let _ = write!(d, "{}{x:.1} {y:.1}", if index == 0 { 'M' } else { 'L' });
        }
    }
    d
}

/// Each obstacle's name at the middle of its longest line, where none stands already.
fn names(
    contours: &[Contour],
    touches: &[Contour],
    map: &ClearanceMap,
    bench: &Bench,
    plot: &Plot,
) -> Html {
    let mut said: Vec<(Obstacle, [f64; 2])> = Vec::new();
    let longest_first = |contours: &'_ [Contour]| {
        let mut order: Vec<usize> = (0..contours.len()).collect();
        fitment::few::sort_few(&mut order, |a, b| {
            contours[*b].points.len().cmp(&contours[*a].points.len())
        });
        order
    };
    let shown = [contours, touches].map(|list| (list, longest_first(list)));
    for contour in shown.iter().flat_map(|(list, order)| order.iter().map(|at| &list[*at])) {
        let Some(middle) = contour.points.get(contour.points.len() / 2) else { continue };
        let [x, y] = on_paper(*middle, map, plot);
        let at = [
            x.clamp(plot.x(1.0) + 40.0, plot.x(0.0) - 40.0),
            y.clamp(plot.y(1.0) + 14.0, plot.y(0.0) - 6.0),
        ];
        let taken =
            |other: &[f64; 2]| (other[0] - at[0]).abs() < 90.0 && (other[1] - at[1]).abs() < 16.0;
        if said.iter().all(|(which, other)| *which != contour.obstacle && !taken(other)) {
            said.push((contour.obstacle, at));
        }
    }
    said.into_iter()
        .map(|(which, [x, y])| {
            html! { <text class="contour-name" x={format!("{x:.1}")} y={format!("{y:.1}")}>{ obstacle(&bench.axle, which) }</text> }
        })
        .collect()
}

/// Nine places of the map in words.
pub fn map_table(picture: &MapPictureProps) -> Html {
    let MapPictureProps { map, bench, rest_mm, units, .. } = picture;
    let (columns, rows) = (map.steer_rad.len(), map.travel_mm.len());
    let nearest = |axis: &[f64], to: f64| {
        let miss = |i: &usize| axis.get(*i).map_or(f64::INFINITY, |at| (at - to).abs());
        (0..axis.len()).min_by(|a, b| miss(a).total_cmp(&miss(b))).unwrap_or(0)
    };
    let heights = [
        ("Full bump", rows.saturating_sub(1)),
        ("At rest", nearest(&map.travel_mm, *rest_mm)),
        ("Full droop", 0),
    ];
    let straight = ("Straight", nearest(&map.steer_rad, 0.0));
    let steers = if columns > 1 {
        vec![("Full left", columns - 1), straight, ("Full right", 0)]
    } else {
        vec![straight]
    };
    let said = |cell: Option<&Cell>| match cell {
        None => html! { <td>{ "out of reach" }</td> },
        Some(cell) => {
            let (touches, what) = (cell.clearance_mm < 0.0, obstacle(&bench.axle, cell.obstacle));
            html! {
                <td class={touches.then_some("touch")}>
                    <span class="value">{ words::length(cell.clearance_mm, *units) }</span>
                    <span class="spread">{ if touches { format!("in the {what}") } else { what } }</span>
                </td>
            }
        }
    };
    html! {
        <table class="answers map-table">
            <caption>{ "Least clearance in words" }</caption>
            <thead><tr><td></td>{ for steers.iter().map(|(name, _)| html! { <th scope="col">{ *name }</th> }) }</tr></thead>
            <tbody>
                { for heights.iter().map(|(name, row)| html! {
                    <tr><th scope="row">{ *name }</th>{ for steers.iter().map(|(_, column)| said(map.cell(*row, *column))) }</tr>
                }) }
            </tbody>
        </table>
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn room_is_told_in_the_units_of_its_words() {
        for (mm, metric, inch) in [
            (-1.0, "touches", "touches"),
            (9.8, "under 10 mm", "3/8–1\""),
            (25.2, "25–50 mm", "3/8–1\""),
            (50.5, "over 50 mm", "1–2\""),
            (99.0, "over 50 mm", "over 2\""),
        ] {
            let said = |units| classes(units)[class_of(mm, units)].1;
            assert_eq!((said(Units::Metric), said(Units::Inch)), (metric, inch), "{mm}");
        }
    }
}
