//! Tire against a flat face: the least over its whole plane, and over any outline cut from it.
//!
//! By symmetry the least over a plane lies on a line that can be named (derived here): mirroring in
//! the plane through the tire's centre that holds the tire's axis and the face's normal changes
//! neither tire nor face, and the distance is convex, so half-way between a nearest point and its
//! mirror image is no farther. So a search along that line finds it.
//!
//! Over an outline cut from the plane, the least is that of the plane if it falls inside. If not,
//! every point inside has a nearer one toward it, and so the least lies on the outline.

use super::segment::{Least, search, tire_segment};
use super::solid::PosedTire;
use nalgebra::Vector3;

/// Tilts of the tire's axis out of square to a plane less than this, as a sine, count as none.
const SQUARE: f64 = 1e-12;

/// The least signed distance from the tire to a plane through `on` square to the unit vector
/// `normal`, within `tolerance` mm. Where the plane cuts the tire, how deep it does so.
pub(super) fn tire_plane(
    tire: &PosedTire,
    on: &Vector3<f64>,
    normal: &Vector3<f64>,
    tolerance: f64,
) -> Least {
    let height = (tire.centre - on).dot(normal);
    // Clear of it, the tire's farthest point toward the plane is the nearest.
    let toward = if height > 0.0 { -normal } else { *normal };
    let tip = tire.support(&toward);
    let gap = height.abs() - (tip - tire.centre).dot(&toward);
    let foot = tire.centre - normal * height;
    if gap >= 0.0 {
        return Least { distance: gap, lower: gap, point: tip + toward * gap };
    }
    let along = tire.axis - normal * tire.axis.dot(normal);
    let tilt = along.norm();
    if tilt < SQUARE {
        let distance = tire.distance(&foot);
        return Least { distance, lower: distance, point: foot };
    }
    // Beyond its reach the tire only gets farther.
    let step = along * (tire.reach / tilt);
    let found = search(tire, &(foot - step), &(foot + step), tolerance);
    let point = foot + step * (2.0 * found.t - 1.0);
    Least { distance: found.least, lower: found.lower, point }
}

/// A flat face with a straight-edged outline, mm.
///
/// Invariant: at least three corners, all in the plane through the first square to `normal`.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Face {
    corners: Vec<Vector3<f64>>,
    normal: Vector3<f64>,
}

impl Face {
    /// A face by its corners in order and the unit vector square to it.
    pub const fn new(corners: Vec<Vector3<f64>>, normal: Vector3<f64>) -> Self {
        Self { corners, normal }
    }

    /// A number no larger than the distance from the tire to the face, found at once.
    pub fn quick_bound(&self, tire: &PosedTire) -> f64 {
        let on = self.corners.first().copied().unwrap_or_default();
        let far = self.corners.iter().fold((on, on), |(low, high), p| (low.inf(p), high.sup(p)));
        tire.distance_to_box(&far.0, &far.1)
    }

    /// The least distance where it falls inside the outline, within `tolerance` mm; `None` where it
    /// lies on the outline itself, to within `tolerance`.
    pub fn inside(&self, tire: &PosedTire, tolerance: f64) -> Option<Least> {
        let on = self.corners.first()?;
        let least = tire_plane(tire, on, &self.normal, tolerance);
        self.holds(&least.point).then_some(least)
    }

    /// The least distance over the face within `tolerance` mm, wherever it falls.
    pub fn least(&self, tire: &PosedTire, tolerance: f64) -> Option<Least> {
        let fine = tolerance / 4.0;
        if let Some(least) = self.inside(tire, fine) {
            return Some(least);
        }
        let least =
            self.edges().map(|(from, edge)| tire_segment(tire, &from, &(from + edge), fine));
        let nearest = least.min_by(|a, b| a.distance.total_cmp(&b.distance))?;
        // A least just inside may have been taken for one just outside, to within what was left.
        Some(Least { lower: nearest.distance - 2.0 * fine, ..nearest })
    }

    /// The unit vector across to its nearest point, given nearly: square to the face from a point
    /// inside it, square to the edge from one on that.
    pub fn squared(&self, point: &Vector3<f64>, way: Vector3<f64>) -> Vector3<f64> {
        /// Points nearer than this to an edge, mm, lie on it.
        const ON: f64 = 1e-6;
        let on = self.edges().find(|(from, edge)| {
            let apart = point - from;
            let share = (apart.dot(edge) / edge.norm_squared()).clamp(0.0, 1.0);
            (apart - edge * share).norm() < ON
        });
        match on {
            None => self.normal * way.dot(&self.normal).signum(),
            Some((_, edge)) => way - edge * (way.dot(&edge) / edge.norm_squared()),
        }
    }

    /// Its edges, each with the corner it starts from.
    fn edges(&self) -> impl Iterator<Item = (Vector3<f64>, Vector3<f64>)> + '_ {
        let next = self.corners.iter().skip(1).chain(self.corners.first());
        self.corners.iter().zip(next).map(|(from, to)| (*from, to - from))
    }

    /// The least place of any of its points along a direction, mm.
    pub fn lowest(&self, direction: &Vector3<f64>) -> f64 {
        let places = self.corners.iter().map(|p| direction.dot(p));
        places.fold(f64::INFINITY, f64::min)
    }

    /// Whether a point of its plane lies within the outline: a ray from it crosses the outline an
    /// odd number of times.
    fn holds(&self, point: &Vector3<f64>) -> bool {
        // Seen along the axis the normal leans to most, nothing folds onto a line.
        let (a, b) = match self.normal.iamax() {
            0 => (1, 2),
            1 => (2, 0),
            _ => (0, 1),
        };
        let crossed = self.edges().filter(|(p, edge)| {
            let q = p + edge;
            (p[b] > point[b]) != (q[b] > point[b])
                && point[a] < p[a] + (point[b] - p[b]) * (q[a] - p[a]) / (q[b] - p[b])
        });
        crossed.count() % 2 == 1
    }
}

#[cfg(test)]
mod tests {
    use super::super::solid::TireSolid;
    use super::*;
    use crate::tire::Profile;
    use nalgebra::Rotation3;
    use proptest::prelude::*;

    fn tire() -> PosedTire {
        TireSolid::try_new(400.0, 140.0, 40.0).expect("a tire").at(Vector3::zeros(), Vector3::y())
    }

    #[test]
    fn planes_worked_by_hand() {
        let check = |on: [f64; 3], normal: [f64; 3], want: f64| {
            let normal = Vector3::from(normal).normalize();
            let got = tire_plane(&tire(), &on.into(), &normal, 1e-7);
            assert!((got.distance - want).abs() < 1e-6, "{on:?} {normal:?}: {got:?}, want {want}");
            assert!((got.point - Vector3::from(on)).dot(&normal).abs() < 1e-6, "{got:?}");
            assert!((tire().distance(&got.point) - want).abs() < 1e-6, "{got:?}");
        };
        check([450.0, 7.0, 3.0], [1.0, 0.0, 0.0], 50.0); // ahead of the tread
        check([0.0, -200.0, 0.0], [0.0, 1.0, 0.0], 60.0); // beside the sidewall
        check([0.0, 130.0, 0.0], [0.0, -1.0, 0.0], -10.0); // 10 into the sidewall
        check([395.0, 0.0, 0.0], [1.0, 0.0, 0.0], -5.0); // 5 into the tread
        check([0.0, 0.0, 0.0], [0.0, 1.0, 0.0], -140.0); // through the middle
        // At 3-4-5 the core's corner (y 100, z 360) reaches (0.6·100 + 0.8·360) = 348, and 40 more.
        check([0.0, 0.0, 500.0], [0.0, 0.6, 0.8], 400.0 - 388.0);
    }

    fn solids() -> impl Strategy<Value = TireSolid> {
        let section = [[140.0, 330.0], [130.0, 380.0], [105.0, 394.0], [0.0, 400.0]];
        let measured = TireSolid::of(Profile::around(&section, 0.0)).expect("a tire");
        prop_oneof![Just(tire().solid), Just(measured)]
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(1000))]

        #[test]
        fn no_point_of_the_plane_is_nearer(
            solid in solids(), turn in prop::array::uniform3(-3.0..3.0_f64), height in -600.0..600.0_f64,
        ) {
            let turn = Rotation3::new(Vector3::from(turn));
            let tire = solid.at(Vector3::new(5.0, -8.0, 12.0), turn * Vector3::y());
            let on = Vector3::new(0.0, 0.0, height);
            let got = tire_plane(&tire, &on, &Vector3::z(), 1e-5);
            prop_assert!(got.distance - got.lower <= 1.1e-5, "{got:?}");
            prop_assert!((tire.distance(&got.point) - got.distance).abs() < 1e-9);
            for i in -24..=24 {
                for j in -24..=24 {
                    let p = Vector3::new(f64::from(i) * 20.0, f64::from(j) * 20.0, height);
                    prop_assert!(tire.distance(&p) >= got.lower - 1e-9, "{p} {got:?}");
                }
            }
        }

        #[test]
        fn an_outline_and_its_inside_hold_the_least(
            solid in solids(), turn in prop::array::uniform3(-3.0..3.0_f64), height in -500.0..500.0_f64,
            corners in prop::collection::vec([-500.0..500.0_f64, -500.0..500.0_f64], 3..7),
        ) {
            let turn = Rotation3::new(Vector3::from(turn));
            let tire = solid.at(Vector3::zeros(), turn * Vector3::y());
            // Any outline that does not cross itself: its corners in order about their middle.
            let middle = corners.iter().fold([0.0; 2], |m, c| [m[0] + c[0], m[1] + c[1]])
                .map(|v| v / corners.len() as f64);
            let mut corners = corners;
            corners.sort_by(|a, b| {
                let at = |c: &[f64; 2]| (c[1] - middle[1]).atan2(c[0] - middle[0]);
                at(a).total_cmp(&at(b))
            });
            let corners: Vec<_> = corners.iter().map(|c| Vector3::new(c[0], c[1], height)).collect();
            let face = Face::new(corners.clone(), Vector3::z());
            let next = corners.iter().skip(1).chain(corners.first());
            let outline = corners.iter().zip(next).map(|(a, b)| search(&tire, a, b, 1e-5).lower);
            let whole = face.least(&tire, 1e-5).expect("a face");
            let mut lower = outline.fold(f64::INFINITY, f64::min) - 1e-5;
            if let Some(least) = face.inside(&tire, 1e-5) {
                lower = lower.min(least.lower);
            }
            prop_assert!(face.quick_bound(&tire) <= lower + 1e-4);
            prop_assert!((whole.distance - lower).abs() < 3e-5 && whole.lower <= lower + 2e-5);
            prop_assert!((tire.distance(&whole.point) - whole.distance).abs() < 1e-7);
            for i in -20..=20 {
                for j in -20..=20 {
                    let p = Vector3::new(f64::from(i) * 25.0, f64::from(j) * 25.0, height);
                    prop_assert!(!face.holds(&p) || tire.distance(&p) >= lower - 1e-9, "{p} {lower}");
                }
            }
        }
    }
}
