//! A chart of one answer over a path: three curves told apart by line and marker, each with its
//! name at its end, and a cursor.

use fitment::few::sort_few;
use std::fmt::Write;
use yew::prelude::*;

/// The curves of the three states, in their order: along the path and the value; a gap where there
/// is no answer.
pub type Curves = [Vec<(f64, Option<f64>)>; 3];

/// A chart.
pub struct Chart<'a> {
    /// What it shows, in words.
    pub words: String,
    /// The curves.
    pub curves: &'a Curves,
    /// Ends of the path.
    pub along: [f64; 2],
    /// Ticks along the path, each with its text.
    pub ticks: &'a [(f64, String)],
    /// Their unit.
    pub unit: &'static str,
    /// Least span of values worth filling the chart with.
    pub least: f64,
    /// A value as written at the side.
    pub text: &'a dyn Fn(f64) -> String,
    /// Where the cursor is.
    pub cursor: f64,
    /// Width of the paper, px.
    pub width: f64,
}

/// Height of the paper, px.
pub const HEIGHT: f64 = 168.0;
/// Room for the side's numbers, for names at the curves' ends, and above and below, px.
const LEFT: f64 = 52.0;
const RIGHT: f64 = 58.0;
const TOP: f64 = 12.0;
const BELOW: f64 = 24.0;
/// Names stand at least this far apart, px.
const LINE: f64 = 14.0;
/// Markers about this far apart, px.
const APART: f64 = 44.0;

/// Names at the ends of the curves, and their classes.
pub const NAMES: [(&str, &str); 3] = [("Stock", "stock"), ("Sits", "sits"), ("Planned", "planned")];

/// Where along the path a place on the paper is.
pub fn along_at(px: f64, width: f64, [from, to]: [f64; 2]) -> f64 {
    let share = (px - LEFT) / (width - LEFT - RIGHT).max(1.0);
    from + (to - from) * share.clamp(0.0, 1.0)
}

/// The marker of a curve around a point: ring, square, triangle.
fn marker(d: &mut String, which: usize, [x, y]: [f64; 2]) {
    // Writing to a String does not fail.
    let _ = match which {
        0 => write!(d, "M{:.1} {y:.1}a3.5 3.5 0 1 0 7 0a3.5 3.5 0 1 0 -7 0", x - 3.5),
        1 => write!(d, "M{:.1} {:.1}h6v6h-6z", x - 3.0, y - 3.0),
        _ => write!(d, "M{x:.1} {:.1}l4.2 7.4h-8.4z", y - 4.6),
    };
}

/// A short piece of a curve with its marker, for a key.
pub fn sample(which: usize) -> Html {
    let mut d = String::new();
    marker(&mut d, which, [16.0, 8.0]);
    let class = NAMES.get(which).map_or("", |(_, class)| class);
    html! {
        <svg class={classes!("curve", class)} viewBox="0 0 32 16" width="32" height="16" aria-hidden="true" focusable="false">
            <path class="line" d="M0 8H32" /><path class="mark" {d} />
        </svg>
    }
}

/// Round steps that cut a span into three to six: 1, 2 or 5 times a power of ten.
pub fn round_step(span: f64) -> f64 {
    let rough = span / 4.0;
    let mut step = 1e-3;
    // Three steps to the next power of ten; no chart spans a million.
    for up in [2.0, 2.5, 2.0].into_iter().cycle().take(24) {
        if step * 1.5 > rough {
            break;
        }
        step *= up;
    }
    step
}

impl Chart<'_> {
    /// The lowest and the highest value on the paper, at round steps.
    fn range(&self) -> (f64, f64, f64) {
        let values = || self.curves.iter().flatten().filter_map(|(_, value)| *value);
        let low = values().fold(f64::INFINITY, f64::min);
        let high = values().fold(f64::NEG_INFINITY, f64::max);
        if low > high {
            return (0.0, 1.0, 1.0);
        }
        // A curve that hardly moves is not blown up to fill the paper.
        let spare = ((self.least - (high - low)) / 2.0).max((high - low) * 0.04);
        let (low, high) = (low - spare, high + spare);
        let step = round_step(high - low);
        ((low / step).floor() * step, (high / step).ceil() * step, step)
    }

    /// The chart as SVG; `moved` is told where along the path it is touched, px from its left edge.
    pub fn draw(&self, touched: &Callback<PointerEvent>) -> Html {
        let (low, high, step) = self.range();
        let (width, [from, to]) = (self.width, self.along);
        let x = |at: f64| LEFT + (at - from) / (to - from).max(1e-9) * (width - LEFT - RIGHT);
        let y = |value: f64| TOP + (high - value) / (high - low) * (HEIGHT - TOP - BELOW);
        let bottom = HEIGHT - BELOW;
        let rows = ((high - low) / step).round();
        let levels = std::iter::successors(Some(0.0), |n| Some(n + 1.0)).take_while(|n| *n <= rows);
        let levels: Vec<f64> = levels.map(|n| low + n * step).collect();
        let end = width - RIGHT;
        let cursor = x(self.cursor);
        let names = self.names(&y);
        html! {
            <svg class="chart" viewBox={format!("0 0 {width:.0} {HEIGHT}")} width={format!("{width:.0}")} height={format!("{HEIGHT}")}
                role="img" aria-label={self.words.clone()} onpointerdown={touched.clone()} onpointermove={touched.clone()}>
                { for levels.iter().map(|level| html! {
                    <>
                        <path class={classes!("level", (level.abs() < step * 1e-6).then_some("zero"))} d={format!("M{LEFT} {:.1}H{end:.1}", y(*level))} />
                        <text class="axis-text end" x={format!("{:.0}", LEFT - 6.0)} y={format!("{:.1}", y(*level) + 4.0)}>{ (self.text)(*level) }</text>
                    </>
                }) }
                { for self.ticks.iter().map(|(at, text)| html! {
                    <>
                        <path class="tick" d={format!("M{:.1} {bottom:.1}v4", x(*at))} />
                        <text class="axis-text middle" x={format!("{:.1}", x(*at))} y={format!("{:.1}", HEIGHT - 6.0)}>{ text }</text>
                    </>
                }) }
                <text class="axis-text" x={format!("{:.0}", end + 5.0)} y={format!("{:.1}", HEIGHT - 6.0)}>{ self.unit }</text>
                { for self.curves.iter().enumerate().map(|(which, curve)| self::curve(which, curve, &x, &y)) }
                { for names.into_iter().map(|(which, at)| {
                    let (name, class) = NAMES[which];
                    html! { <text class={classes!("curve-name", class)} x={format!("{:.1}", end + 5.0)} y={format!("{at:.1}")}>{ name }</text> }
                }) }
                <path class="ride" d={format!("M{:.1} {TOP}V{bottom:.1}", x(0.0))} />
                <path class="cursor" d={format!("M{cursor:.1} {TOP}V{bottom:.1}")} />
                { for self.curves.iter().enumerate().filter_map(|(which, curve)| {
                    let value = value_at(curve, self.cursor)?;
                    let mut d = String::new();
                    marker(&mut d, which, [cursor, y(value)]);
                    Some(html! { <g class={classes!("curve", NAMES[which].1)}><path class="mark at" {d} /></g> })
                }) }
            </svg>
        }
    }

    /// Where each name stands, near its curve's end and clear of the others.
    fn names(&self, y: &dyn Fn(f64) -> f64) -> Vec<(usize, f64)> {
        let mut names: Vec<(usize, f64)> = self
            .curves
            .iter()
            .enumerate()
            .filter_map(|(which, curve)| {
                Some((which, y(curve.iter().rev().find_map(|(_, value)| *value)?) + 4.0))
            })
            .collect();
        sort_few(&mut names, |a, b| a.1.total_cmp(&b.1));
        for i in 1..names.len() {
            names[i].1 = names[i].1.max(names[i - 1].1 + LINE);
        }
        let mut floor = HEIGHT - BELOW;
        for (_, at) in names.iter_mut().rev() {
            *at = at.min(floor);
            floor = *at - LINE;
        }
        names
    }
}

/// One curve with its markers.
fn curve(
    which: usize,
    curve: &[(f64, Option<f64>)],
    x: &dyn Fn(f64) -> f64,
    y: &dyn Fn(f64) -> f64,
) -> Html {
    let (mut line, mut marks) = (String::new(), String::new());
    let mut pen_down = false;
    // Markers of the three curves fall between each other.
    let mut next = LEFT + APART * (0.2 + 0.3 * which as f64);
    for (at, value) in curve {
        let Some(value) = value else {
            pen_down = false;
            continue;
        };
        let point = [x(*at), y(*value)];
        let _ = write!(line, "{}{:.1} {:.1}", if pen_down { 'L' } else { 'M' }, point[0], point[1]);
        pen_down = true;
        if point[0] >= next {
            marker(&mut marks, which, point);
            next = point[0] + APART;
        }
    }
    html! {
        <g class={classes!("curve", NAMES[which].1)}>
            <path class="line" d={line} /><path class="mark" d={marks} />
        </g>
    }
}

/// A curve's value at a place along the path, where it has a point there.
pub fn value_at(curve: &[(f64, Option<f64>)], along: f64) -> Option<f64> {
    curve.iter().find(|(at, _)| (at - along).abs() < 1e-6).and_then(|(_, value)| *value)
}

#[cfg(test)]
#[expect(clippy::float_cmp, reason = "round steps are what they say")]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round_and_few() {
        for (span, want) in [(0.9, 0.2), (4.0, 1.0), (7.0, 2.0), (100.0, 20.0), (255.0, 50.0)] {
            assert_eq!(round_step(span), want, "{span}");
        }
    }

    #[test]
    fn a_touch_is_read_back_where_it_fell() {
        let along = [-100.0, 155.0];
        for at in [-100.0, 0.0, 155.0] {
            let px = LEFT + (at - along[0]) / 255.0 * (390.0 - LEFT - RIGHT);
            assert!((along_at(px, 390.0, along) - at).abs() < 1e-9);
        }
        assert_eq!(along_at(0.0, 390.0, along), -100.0);
        assert_eq!(along_at(390.0, 390.0, along), 155.0);
    }

    #[test]
    fn names_never_overlap_and_stay_on_the_paper() {
        let flat = |value: f64| vec![(0.0, Some(value)), (1.0, Some(value))];
        let curves = [flat(1.0), flat(1.0), flat(0.99)];
        let text = |value: f64| format!("{value:.2}");
        let chart = Chart {
            words: String::new(),
            curves: &curves,
            along: [0.0, 1.0],
            ticks: &[],
            unit: "mm",
            least: 0.1,
            text: &text,
            cursor: 0.0,
            width: 360.0,
        };
        for fall in [0.0, HEIGHT] {
            let names = chart.names(&|_| fall);
            assert_eq!(names.len(), 3);
            assert!(names.windows(2).all(|w| w[1].1 - w[0].1 >= 13.9), "{names:?}");
            assert!(names.iter().all(|(_, at)| *at <= HEIGHT - BELOW + 28.0), "{names:?}");
        }
    }
}
