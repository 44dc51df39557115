//! Points on the paper to the text of an SVG path.

use super::Frame;
use fitment::axle::{Form, Kind, SceneItem};
use std::f64::consts::TAU;
use std::fmt::Write;
use std::sync::OnceLock;

/// The path of an item in a frame.
pub fn path(item: &SceneItem, frame: &Frame) -> String {
    let points = item.points.iter().map(|point| frame.at(*point));
    match item.form {
        _ if item.kind == Kind::LeafSpring => leaf(&points.collect::<Vec<_>>()),
        Form::Line => line(points, false),
        Form::Loop => line(points, true),
        Form::Hull => line(hull(points.collect()).into_iter(), true),
        Form::Dots => {
            let mut d = String::new();
            for [x, y] in points {
                // A cross in a circle: the mark of a centre.
                let _ = write!(d, "M{:.1} {y:.1}h14M{x:.1} {:.1}v14", x - 7.0, y - 7.0);
                ring(&mut d, [x, y], 4.0);
            }
            d
        }
    }
}

/// A circle about a point.
pub fn ring(d: &mut String, [x, y]: [f64; 2], r: f64) {
    // Writing to a String does not fail.
    let _ =
        write!(d, "M{:.1} {y:.1}a{r} {r} 0 1 0 {} 0a{r} {r} 0 1 0 -{} 0", x - r, 2.0 * r, 2.0 * r);
}

/// A number with one place behind the point, or none where that is 0: a drawing has hundreds, and is
/// drawn anew with every move of a finger.
fn number(d: &mut String, value: f64) {
    #[expect(clippy::cast_possible_truncation, reason = "px of a paper; a cast saturates")]
    let tenths = (value * 10.0).round() as i32;
    if tenths < 0 {
        d.push('-');
    }
    let tenths = tenths.unsigned_abs();
    let _ = write!(d, "{}", tenths / 10);
    if let Some(digit) = char::from_digit(tenths % 10, 10).filter(|digit| *digit != '0') {
        d.push('.');
        d.push(digit);
    }
}

/// A leaf spring: flat between its two inner points, bent from there to its eyes.
fn leaf(points: &[[f64; 2]]) -> String {
    let [a, b, c, d] = *points else { return line(points.iter().copied(), false) };
    let bend = |eye: [f64; 2], from: [f64; 2], to: [f64; 2]| {
        let flat = (to[0] - from[0]).hypot(to[1] - from[1]).max(1.0);
        let reach = (eye[0] - to[0]).hypot(eye[1] - to[1]) / 2.0 / flat;
        [0, 1].map(|i| to[i] + (to[i] - from[i]) * reach)
    };
    let (p, q) = (bend(a, c, b), bend(d, b, c));
    format!(
        "M{:.1} {:.1}Q{:.1} {:.1} {:.1} {:.1}L{:.1} {:.1}Q{:.1} {:.1} {:.1} {:.1}",
        a[0], a[1], p[0], p[1], b[0], b[1], c[0], c[1], q[0], q[1], d[0], d[1]
    )
}

fn line(points: impl Iterator<Item = [f64; 2]>, closed: bool) -> String {
    let mut d = String::new();
    for (index, [x, y]) in points.enumerate() {
        d.push(if index == 0 { 'M' } else { 'L' });
        number(&mut d, x);
        d.push(' ');
        number(&mut d, y);
    }
    if closed && !d.is_empty() {
        d.push('Z');
    }
    d
}

/// Ways looked in for the outline around points: a tire's then differs from its true one by less
/// than a millimeter.
const WAYS: usize = 64;
/// Their sines and cosines.
static TURNS: OnceLock<[(f64, f64); WAYS]> = OnceLock::new();

/// The outline around points: the farthest of them in each of many directions, once round. A tire has
/// hundreds of points, and is drawn anew with every move of a finger; this needs no sorting.
fn hull(mut points: Vec<[f64; 2]>) -> Vec<[f64; 2]> {
    points.retain(|p| p.iter().all(|c| c.is_finite()));
    let mut outline: Vec<[f64; 2]> = Vec::new();
    // Never square to the paper, where two corners of a box are equally far.
    let turn = |way: usize| ((way as f64 + 0.4) / WAYS as f64 * TAU).sin_cos();
    for (sin, cos) in TURNS.get_or_init(|| std::array::from_fn(turn)) {
        let mut farthest: Option<([f64; 2], f64)> = None;
        for p in &points {
            let far = p[0] * cos + p[1] * sin;
            if farthest.is_none_or(|(_, most)| far > most) {
                farthest = Some((*p, far));
            }
        }
        outline.extend(farthest.map(|(p, _)| p).filter(|p| outline.last() != Some(p)));
    }
    if outline.len() > 1 && outline.first() == outline.last() {
        outline.pop();
    }
    outline
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_hull_leaves_out_what_is_inside() {
        let square = [[0.0, 0.0], [2.0, 0.0], [2.0, 2.0], [0.0, 2.0]];
        let mut points = square.to_vec();
        points.extend([[1.0, 1.0], [0.5, 1.5], [1.0, 0.0]]);
        let outline = hull(points);
        assert_eq!(outline.len(), 4);
        assert!(square.iter().all(|corner| outline.contains(corner)));
    }

    #[test]
    fn a_leaf_is_flat_where_it_is_clamped_and_ends_in_its_eyes() {
        let points = [[0.0, 10.0], [40.0, 20.0], [60.0, 20.0], [100.0, 8.0]];
        let d = leaf(&points);
        assert!(d.starts_with("M0.0 10.0Q") && d.ends_with("100.0 8.0"), "{d}");
        // Both bends leave along the clamp's own line.
        let bends: Vec<&str> =
            d.split('Q').skip(1).filter_map(|bend| bend.split(' ').nth(1)).collect();
        assert_eq!(bends, ["20.0", "20.0"], "{d}");
        assert_eq!(leaf(&points[..2]), "M0 10L40 20");
    }

    #[test]
    fn numbers_have_one_place_at_most() {
        for (value, want) in
            [(0.0, "0"), (12.34, "12.3"), (-0.26, "-0.3"), (-0.02, "0"), (-7.0, "-7"), (9.96, "10")]
        {
            let mut d = String::new();
            number(&mut d, value);
            assert_eq!(d, want, "{value}");
        }
    }

    #[test]
    fn few_points_are_no_trouble() {
        assert!(hull(Vec::new()).is_empty());
        assert!(hull(vec![[1.0, 2.0]]).len() <= 1);
        assert!(hull(vec![[f64::NAN, 2.0]]).is_empty());
    }
}
