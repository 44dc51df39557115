//! Dimensions: extension lines, a line with arrowheads, a number. Where it came from is told by
//! the line and, to those who do not see it, by a word.

use super::{Frame, View};
use fitment::measure::Origin;
use std::f64::consts::{FRAC_PI_2, PI, TAU};
use std::fmt::Write;
use yew::prelude::*;

/// Where a dimension's number came from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Mark {
    /// Read on this truck: a solid line.
    Measured,
    /// Printed somewhere or chosen: a solid line.
    Published,
    /// A stand-in: a dashed line.
    Assumed,
    /// Worked out: a dash-dot line.
    Computed,
}

impl Mark {
    /// Of an input.
    pub const fn of(origin: &Origin) -> Self {
        match origin {
            Origin::Measured(_) => Self::Measured,
            Origin::Published => Self::Published,
            Origin::Assumed => Self::Assumed,
        }
    }

    /// The word for it.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Measured => "measured",
            Self::Published => "given",
            Self::Assumed => "assumed",
            Self::Computed => "computed",
        }
    }

    const fn class(self) -> &'static str {
        match self {
            Self::Measured => "dim measured",
            Self::Published => "dim published",
            Self::Assumed => "dim assumed",
            Self::Computed => "dim computed",
        }
    }
}

/// Along what a dimension runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Run {
    /// Level on the paper, this far below (positive) or above the lower point, px.
    Level(f64),
    /// Upright on the paper, this far right (positive) or left of the right-most point, px.
    Upright(f64),
    /// From point to point, this far to the side, px.
    Along(f64),
    /// An angle against level at the first point, its arc this far out, px.
    Tilt(f64),
    /// An angle against upright at the first point, its arc this far out, px; 0 for just beyond
    /// the second point.
    Lean(f64),
    /// No line: only the number, beside the first point.
    Note,
}

/// One dimension.
#[derive(Debug, Clone, PartialEq)]
pub struct Dim {
    /// In which view.
    pub view: View,
    /// From here (forward, left, up), mm.
    pub from: [f64; 3],
    /// To here.
    pub to: [f64; 3],
    /// How it runs.
    pub run: Run,
    /// What it is, for those who do not see it.
    pub name: String,
    /// The number.
    pub text: String,
    /// Where it came from.
    pub mark: Mark,
    /// The field to change it, where there is one.
    pub path: Option<String>,
}

/// What of a dimension is on the paper.
struct Placed {
    d: String,
    arrows: String,
    at: [f64; 2],
}

const ARROW: f64 = 9.0;

fn arrow(d: &mut String, tip: [f64; 2], way: [f64; 2]) {
    // 1 : 3, filled, as drawing practice has it.
    let base = [0, 1].map(|i| tip[i] + way[i] * ARROW);
    let side = [-way[1] * ARROW / 6.0, way[0] * ARROW / 6.0];
    let _ = write!(
        d,
        "M{:.1} {:.1}L{:.1} {:.1}L{:.1} {:.1}Z",
        tip[0],
        tip[1],
        base[0] + side[0],
        base[1] + side[1],
        base[0] - side[0],
        base[1] - side[1]
    );
}

/// An arc with arrowheads from level (or upright) to the line from `a` to `b`.
fn angle(a: [f64; 2], b: [f64; 2], radius: f64, level: bool) -> Placed {
    // Without a radius, just beyond the end of the line.
    let radius = if radius > 0.0 { radius } else { (b[0] - a[0]).hypot(b[1] - a[1]) + 10.0 };
    let line = (b[1] - a[1]).atan2(b[0] - a[0]);
    let base = match (level, b[0] < a[0], b[1] < a[1]) {
        (true, true, _) => PI,
        (true, false, _) => 0.0,
        (false, _, true) => -FRAC_PI_2,
        (false, _, false) => FRAC_PI_2,
    };
    let turn = (line - base + PI).rem_euclid(TAU) - PI;
    let at = |angle: f64, r: f64| [a[0] + r * angle.cos(), a[1] + r * angle.sin()];
    let (from, to, far) = (at(base, radius), at(base + turn, radius), at(base, radius + 14.0));
    // Below this turn the arrows have no room inside and the arc runs on past both.
    let narrow = turn.abs() * radius < 3.0 * ARROW;
    let reach = if narrow { 2.0 * ARROW / radius } else { 0.0 } * turn.signum();
    let (start, end) = (at(base - reach, radius), at(base + turn + reach, radius));
    let sweep = i32::from(turn > 0.0);
    let mut d = String::new();
    // Writing to a String does not fail.
    let _ = write!(
        d,
        "M{:.1} {:.1}L{:.1} {:.1}M{:.1} {:.1}A{radius:.1} {radius:.1} 0 0 {sweep} {:.1} {:.1}",
        a[0], a[1], far[0], far[1], start[0], start[1], end[0], end[1]
    );
    let along = |angle: f64, way: f64| [-angle.sin() * way, angle.cos() * way];
    let way = if narrow { -turn.signum() } else { turn.signum() };
    let mut arrows = String::new();
    arrow(&mut arrows, from, along(base, way));
    arrow(&mut arrows, to, along(base + turn, -way));
    let text = at(base + turn + reach + 0.02 * turn.signum(), radius);
    let out = if level { [0.0, if turn > 0.0 { 22.0 } else { -4.0 }] } else { [0.0, -2.0] };
    Placed { d, arrows, at: [text[0] + out[0], text[1] + out[1]] }
}

impl Dim {
    fn place(&self, frame: &Frame) -> Placed {
        let (a, b) = (frame.at(self.from), frame.at(self.to));
        let (p, q) = match self.run {
            Run::Tilt(radius) => return angle(a, b, radius, true),
            Run::Lean(radius) => return angle(a, b, radius, false),
            Run::Note => {
                return Placed { d: String::new(), arrows: String::new(), at: [a[0], a[1]] };
            }
            Run::Level(off) => {
                let y = if off < 0.0 { a[1].min(b[1]) + off } else { a[1].max(b[1]) + off };
                ([a[0], y], [b[0], y])
            }
            Run::Upright(off) => {
                let x = if off < 0.0 { a[0].min(b[0]) + off } else { a[0].max(b[0]) + off };
                ([x, a[1]], [x, b[1]])
            }
            Run::Along(off) => {
                let length = (b[0] - a[0]).hypot(b[1] - a[1]).max(1.0);
                let side = [-(b[1] - a[1]) / length * off, (b[0] - a[0]) / length * off];
                ([a[0] + side[0], a[1] + side[1]], [b[0] + side[0], b[1] + side[1]])
            }
        };
        let mut d = String::new();
        for (point, end) in [(a, p), (b, q)] {
            let (dx, dy) = (end[0] - point[0], end[1] - point[1]);
            let length = dx.hypot(dy);
            if length > 4.0 {
                let (ux, uy) = (dx / length, dy / length);
                let _ = write!(
                    d,
                    "M{:.1} {:.1}L{:.1} {:.1}",
                    point[0] + ux * 3.0,
                    point[1] + uy * 3.0,
                    end[0] + ux * 4.0,
                    end[1] + uy * 4.0
                );
            }
        }
        let length = (q[0] - p[0]).hypot(q[1] - p[1]);
        let way = if length > 0.5 {
            [(q[0] - p[0]) / length, (q[1] - p[1]) / length]
        } else {
            [1.0, 0.0]
        };
        let back = way.map(|c| -c);
        let mut arrows = String::new();
        if length > 3.0 * ARROW {
            let _ = write!(d, "M{:.1} {:.1}L{:.1} {:.1}", p[0], p[1], q[0], q[1]);
            arrow(&mut arrows, p, way);
            arrow(&mut arrows, q, back);
        } else {
            // Too short between: arrows from outside.
            let tail = ARROW * 2.0;
            let _ = write!(
                d,
                "M{:.1} {:.1}L{:.1} {:.1}M{:.1} {:.1}L{:.1} {:.1}",
                p[0] - way[0] * tail,
                p[1] - way[1] * tail,
                p[0],
                p[1],
                q[0],
                q[1],
                q[0] + way[0] * tail,
                q[1] + way[1] * tail
            );
            arrow(&mut arrows, p, back);
            arrow(&mut arrows, q, way);
        }
        // A number that has no room between the arrows stands beyond the second one.
        let half = self.half_width();
        let level = (q[1] - p[1]).abs() < 1.0;
        let at = if level && length < 2.0 * half {
            let away = 2.0 * ARROW + 4.0 + half;
            [q[0] + way[0] * away, q[1] + 8.0]
        } else {
            [f64::midpoint(p[0], q[0]), f64::midpoint(p[1], q[1])]
        };
        Placed { d, arrows, at }
    }

    /// Half the width of its number, px, near enough.
    fn half_width(&self) -> f64 {
        self.text.chars().count() as f64 * 3.9 + 2.0
    }

    /// Where its number stands, px.
    pub fn text_at(&self, frame: &Frame) -> [f64; 2] {
        let at = self.place(frame).at;
        let half = self.half_width();
        let x = at[0].clamp(half, (frame.size[0] - half).max(half));
        [x, at[1].clamp(14.0, frame.size[1] - 8.0)]
    }
}

/// Draws a dimension; one with a field is a button that opens it.
pub fn draw(dim: &Dim, frame: &Frame, lit: bool, pick: &Callback<String>) -> Html {
    let placed = dim.place(frame);
    let [x, y] = dim.text_at(frame);
    let class = classes!(dim.mark.class(), lit.then_some("lit"));
    let inside = html! {
        <>
            <path class="dim-line" d={placed.d} />
            <path class="dim-arrow" d={placed.arrows} />
            <text class="dim-text" x={format!("{x:.1}")} y={format!("{:.1}", y - 4.0)}>{ &dim.text }</text>
        </>
    };
    let label = format!("{}: {}, {}", dim.name, dim.text, dim.mark.word());
    match &dim.path {
        None => html! { <g {class}><title>{ label }</title>{ inside }</g> },
        Some(path) => {
            let open = {
                let (pick, path) = (pick.clone(), path.clone());
                move || pick.emit(path.clone())
            };
            let onclick = {
                let open = open.clone();
                Callback::from(move |_: MouseEvent| open())
            };
            let onkeydown = Callback::from(move |event: KeyboardEvent| {
                if event.key() == "Enter" || event.key() == " " {
                    event.prevent_default();
                    open();
                }
            });
            let half = dim.text.chars().count() as f64 * 4.2 + 12.0;
            html! {
                <g class={classes!(class, "pick")} role="button" tabindex="0" aria-label={format!("Change {label}")} {onclick} {onkeydown}>
                    { inside }
                    <rect class="dim-hit" x={format!("{:.1}", x - half.max(24.0))} y={format!("{:.1}", y - 32.0)}
                        width={format!("{:.1}", 2.0 * half.max(24.0))} height="48" rx="4" />
                </g>
            }
        }
    }
}

#[cfg(test)]
#[expect(clippy::float_cmp, reason = "whole numbers and typed ones come back to the last bit")]
mod tests {
    use super::*;
    use fitment::truck::End;

    fn frame() -> Frame {
        Frame {
            view: View::Across,
            end: End::Front,
            low: [0.0, 0.0],
            scale: 1.0,
            size: [400.0, 300.0],
        }
    }

    fn dim(run: Run) -> Dim {
        Dim {
            view: View::Across,
            from: [0.0, 100.0, -100.0],
            to: [0.0, 300.0, -200.0],
            run,
            name: "Bar".into(),
            text: "200".into(),
            mark: Mark::Measured,
            path: None,
        }
    }

    #[test]
    fn a_level_dimension_is_level_and_an_upright_one_upright() {
        let at = dim(Run::Level(20.0)).text_at(&frame());
        assert_eq!(at, [200.0, 220.0]);
        let at = dim(Run::Upright(20.0)).text_at(&frame());
        assert_eq!(at, [320.0, 150.0]);
    }

    #[test]
    fn its_number_stays_on_the_paper() {
        for off in [-900.0, 900.0] {
            for run in [Run::Level(off), Run::Upright(off), Run::Along(off), Run::Tilt(off.abs())] {
                let [x, y] = dim(run).text_at(&frame());
                assert!((0.0..=400.0).contains(&x) && (0.0..=300.0).contains(&y), "{run:?}");
            }
        }
    }
}
