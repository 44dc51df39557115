//! Tire against a box whose edges run along the chassis axes.
//!
//! The distance wanted is the least of the tire's signed distance over the box: a convex function
//! over a convex set. So a place where no step into the box brings it nearer is the answer, and
//! the search ends at the first such place.

use super::convex::Along;
use super::error::{MOST_MM, ShapeError, ordered, within};
use super::face::tire_plane;
use super::segment::{Least, search};
use super::solid::PosedTire;
use nalgebra::Vector3;

/// A box along the chassis axes, mm.
///
/// Invariant: finite, and `low` is below `high` on each axis; only a flat plate within this room may
/// have no thickness on one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Block {
    low: Vector3<f64>,
    high: Vector3<f64>,
    centre: Vector3<f64>,
}

/// Names of the ends of a box along each axis, for errors.
const ENDS: [(&str, &str); 3] =
    [("rear end", "front end"), ("right side", "left side"), ("bottom edge", "top edge")];

impl Block {
    /// A box from its rear right bottom corner and its front left top one, mm.
    ///
    /// # Errors
    /// [`ShapeError`] when a coordinate is not finite or beyond 20 m, or the corners are not in
    /// order on some axis.
    pub fn try_new(low: Vector3<f64>, high: Vector3<f64>) -> Result<Self, ShapeError> {
        for (axis, (low_name, high_name)) in ENDS.into_iter().enumerate() {
            let a = within(low_name, low[axis], -MOST_MM, MOST_MM)?;
            let b = within(high_name, high[axis], -MOST_MM, MOST_MM)?;
            ordered((low_name, a), (high_name, b))?;
        }
        Ok(Self { low, high, centre: (low + high) / 2.0 })
    }

    /// A box from the origin to `size`, whose last figure may be 0: then it is a flat plate.
    pub(super) fn of_size(size: Vector3<f64>) -> Self {
        Self { low: Vector3::zeros(), high: size, centre: size / 2.0 }
    }

    /// Whether it has no thickness along an axis: there is then no step either way.
    fn thin(&self, axis: usize) -> bool {
        self.low[axis] >= self.high[axis]
    }

    /// A number no larger than the distance from the tire to the box, found at once.
    pub fn quick_bound(&self, tire: &PosedTire) -> f64 {
        tire.distance_to_box(&self.low, &self.high)
    }

    /// The least of way · point over the box, mm.
    pub fn lowest(&self, way: &Vector3<f64>) -> f64 {
        (0..3).map(|i| (way[i] * self.low[i]).min(way[i] * self.high[i])).sum()
    }

    /// Its three edges from its lower corner: where each starts and how it runs.
    pub fn edges(&self) -> [(Vector3<f64>, Vector3<f64>); 3] {
        [0, 1, 2].map(|i| {
            let mut edge = Vector3::zeros();
            edge[i] = self.high[i] - self.low[i];
            (self.low, edge)
        })
    }

    const fn side(&self, high: bool) -> &Vector3<f64> {
        if high { &self.high } else { &self.low }
    }

    fn contains(&self, p: &Vector3<f64>, but: Option<usize>) -> bool {
        (0..3).all(|i| Some(i) == but || (self.low[i] <= p[i] && p[i] <= self.high[i]))
    }
}

/// Slopes closer to level than this count as level.
const LEVEL: f64 = 1e-9;

/// Least signed distance from the tire to a box, within `tolerance` mm.
///
/// On overlap this is how far the box's deepest point lies inside the tire, as a negative number.
pub fn tire_block(tire: &PosedTire, block: &Block, tolerance: f64) -> Least {
    if let Some(found) = over_a_face(tire, block) {
        return found;
    }
    if block.contains(&tire.centre, None) {
        let distance = tire.distance(&tire.centre);
        return Least { distance, lower: distance, point: tire.centre };
    }
    let mut best: Option<Least> = None;
    let mut consider = |found: Least| {
        if best.is_none_or(|b| found.distance < b.distance) {
            best = Some(found);
        }
    };
    // Edges, those on the tire's side of the box first.
    let near: [bool; 3] = std::array::from_fn(|i| tire.centre[i] > block.centre[i]);
    for flip in [[false, false], [false, true], [true, false], [true, true]] {
        for along in 0..3 {
            let (j, k) = ((along + 1) % 3, (along + 2) % 3);
            if block.thin(along) || (flip[0] && block.thin(j)) || (flip[1] && block.thin(k)) {
                continue;
            }
            let mut from = block.low;
            from[j] = block.side(near[j] ^ flip[0])[j];
            from[k] = block.side(near[k] ^ flip[1])[k];
            let mut to = from;
            to[along] = block.high[along];
            let found = search(tire, &from, &to, tolerance);
            let point = from + (to - from) * found.t;
            let least = Least { distance: found.least, lower: found.lower, point };
            let slope = mixed_slope(tire, &from, &to, &found);
            if [j, k].into_iter().all(|i| {
                let inward = if point[i] > block.centre[i] { -slope[i] } else { slope[i] };
                inward >= -LEVEL || block.thin(i)
            }) {
                return least;
            }
            consider(least);
        }
    }
    // What is left is overlap through the middle of a face.
    let fine = tolerance / 10.0;
    for (normal, near_side) in near.into_iter().enumerate() {
        if block.thin((normal + 1) % 3) || block.thin((normal + 2) % 3) {
            continue;
        }
        for high in [near_side, !near_side] {
            if high != near_side && block.thin(normal) {
                continue;
            }
            if let Some(least) = on_face(tire, block, normal, high, fine) {
                consider(least);
            }
        }
    }
    // A face's least just beyond its edge may be less than the edge's by what was left open there.
    let none = Least { distance: f64::NAN, lower: f64::NAN, point: block.centre };
    best.map_or(none, |best| Least { lower: best.lower - fine, ..best })
}

/// The answer when the tire stands clear over the middle of a face: the gap to its plane.
fn over_a_face(tire: &PosedTire, block: &Block) -> Option<Least> {
    for normal in 0..3 {
        for high in [false, true] {
            let outward = if high { 1.0 } else { -1.0 };
            let face = block.side(high)[normal];
            if (tire.centre[normal] - face) * outward <= 0.0 {
                continue;
            }
            let mut direction = Vector3::zeros();
            direction[normal] = -outward;
            let nearest = tire.support(&direction);
            let gap = (nearest[normal] - face) * outward;
            if gap >= 0.0 && block.contains(&nearest, Some(normal)) {
                let mut point = nearest;
                point[normal] = face;
                return Some(Least { distance: gap, lower: gap, point });
            }
        }
    }
    None
}

/// How far beyond a place that proves a search its slope is taken, as a share of the segment: where
/// two parts of the tire's surface are equally near, the slope must be that of the right one.
const BESIDE: f64 = 1e-9;

/// The mix of slopes at the two places that prove a search along a segment: level along it.
fn mixed_slope(
    tire: &PosedTire,
    from: &Vector3<f64>,
    to: &Vector3<f64>,
    found: &Along,
) -> Vector3<f64> {
    let along = to - from;
    let slope = |t: f64| tire.distance_and_slope(&(from + along * t)).1;
    let (low, high) = found.touch;
    if low >= high {
        // At an end it is the segment's own side that counts.
        let beside = if low <= 0.0 {
            BESIDE
        } else if low >= 1.0 {
            -BESIDE
        } else {
            0.0
        };
        return slope(low + beside);
    }
    let (falling, rising) = (slope(low - BESIDE), slope(high + BESIDE));
    let (down, up) = (falling.dot(&along), rising.dot(&along));
    // What is level is their own mix; rounding may leave them without one.
    let share = if down < 0.0 && up > 0.0 { up / (up - down) } else { found.share };
    falling * share + rising * (1.0 - share)
}

/// Least over one face where it falls inside; where it does not, an edge is no farther.
fn on_face(
    tire: &PosedTire,
    block: &Block,
    normal: usize,
    high: bool,
    tolerance: f64,
) -> Option<Least> {
    let mut outward = Vector3::zeros();
    outward[normal] = 1.0;
    let least = tire_plane(tire, block.side(high), &outward, tolerance);
    block.contains(&least.point, Some(normal)).then(|| {
        let mut point = least.point;
        point[normal] = block.side(high)[normal];
        Least { point, ..least }
    })
}

#[cfg(test)]
mod tests {
    use super::super::solid::TireSolid;
    use super::*;
    use proptest::prelude::*;

    fn tire() -> PosedTire {
        TireSolid::try_new(400.0, 140.0, 40.0).expect("a tire").at(Vector3::zeros(), Vector3::y())
    }

    fn block(low: [f64; 3], high: [f64; 3]) -> Block {
        Block::try_new(low.into(), high.into()).expect("a box")
    }

    #[test]
    fn boxes_worked_by_hand() {
        let check = |low: [f64; 3], high: [f64; 3], want: f64| {
            let got = tire_block(&tire(), &block(low, high), 1e-7);
            assert!((got.distance - want).abs() < 1e-6, "{low:?}: {got:?}, want {want}");
            assert!((got.lower - want).abs() < 1e-6, "{low:?}: {got:?}, want {want}");
        };
        // A rail beside the sidewall, past the hub: 200 − 140.
        check([-600.0, -600.0, 130.0], [550.0, -200.0, 270.0], 60.0);
        // The same rail 10 mm into the sidewall.
        check([-600.0, -600.0, 130.0], [550.0, -130.0, 270.0], -10.0);
        // Above the tread: 450 − 400.
        check([-600.0, -600.0, 450.0], [550.0, 600.0, 500.0], 50.0);
        // 5 mm into the tread from above, edges all clear of it.
        check([-600.0, -600.0, 395.0], [550.0, 600.0, 500.0], -5.0);
        // Off the shoulder: core corner (y −100, z 360) to (−130, 400) is 50; less 40.
        check([-600.0, -600.0, 400.0], [550.0, -130.0, 500.0], 10.0);
        // A corner ahead and above, level with the middle: √(480² + 360²) − 400.
        check([480.0, -50.0, 360.0], [900.0, 50.0, 900.0], 200.0);
        // Swallowed whole.
        check([-900.0, -900.0, -900.0], [900.0, 900.0, 900.0], -140.0);
    }

    #[test]
    fn what_describes_no_box_is_refused() {
        for (low, high) in [
            ([f64::NAN, 0.0, 0.0], [1.0, 1.0, 1.0]),
            ([0.0; 3], [1.0, f64::INFINITY, 1.0]),
            ([0.0; 3], [1.0, 1.0, 0.0]),
            ([0.0, 5.0, 0.0], [1.0, 1.0, 1.0]),
        ] {
            assert!(Block::try_new(low.into(), high.into()).is_err(), "{low:?} {high:?}");
        }
    }

    /// No point of a grid in the box is nearer than the lower bound, which is as close as asked.
    fn bounds_hold(low: Vector3<f64>, size: Vector3<f64>, turn: (f64, f64)) -> Result<(), String> {
        let block = Block::try_new(low, low + size).expect("a box");
        let axis = Vector3::new(-turn.0.sin(), turn.0.cos(), turn.1).normalize();
        let tire = tire().solid.at(Vector3::zeros(), axis);
        let got = tire_block(&tire, &block, 1e-4);
        let near = (tire.distance(&got.point) - got.distance).abs() < 1e-3;
        if got.distance - got.lower > 1.3e-4 || !near || !block.contains(&got.point, None) {
            return Err(format!("{got:?}"));
        }
        let grid = || (0..=12).map(|i| f64::from(i) / 12.0);
        for (x, y, z) in
            grid().flat_map(|x| grid().flat_map(move |y| grid().map(move |z| (x, y, z))))
        {
            let p = low + size.component_mul(&Vector3::new(x, y, z));
            if tire.distance(&p) < got.lower - 1e-9 {
                return Err(format!("{p} is nearer by {} {got:?}", got.lower - tire.distance(&p)));
            }
        }
        Ok(())
    }

    #[test]
    fn the_bound_holds_deep_in_the_tire() {
        // The searches along the box leave a little open; the bound has to allow for it.
        let low = [-279.637_459_182_870_7, -450.177_587_836_337_5, -249.639_929_026_896_08];
        let size = [733.283_914_737_286_6, 332.544_355_757_164_6, 663.241_494_257_403_7];
        let turn = (0.282_562_067_472_738_4, 0.186_832_121_122_198_5);
        bounds_hold(low.into(), size.into(), turn).unwrap();
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(4000))]

        #[test]
        fn no_sample_is_nearer_than_the_bound(
            low in prop::array::uniform3(-700.0..500.0_f64),
            size in prop::array::uniform3(1.0..900.0_f64),
            turn in (-0.6..0.6_f64, -0.2..0.2_f64),
        ) {
            let held = bounds_hold(low.into(), size.into(), turn);
            prop_assert!(held.is_ok(), "{held:?}");
        }
    }
}
