//! The tire as a solid of revolution: half its section as a convex polygon, rounded all round.
//!
//! In the half plane through the wheel's axis a point has two coordinates: `along` the axis from
//! the centre plane, taken without its sign, and `out` from the axis. The core polygon's corners
//! run from the sidewall to the middle of the tread; from the first it goes straight down to the
//! axis, from the last straight across to the centre plane. The solid is every point within the
//! rounding of that core. With one corner it is a cylinder with rounded edges.
//!
//! **Why the sidewall goes straight down.** Below its widest place a real sidewall draws in to the
//! bead. A solid of revolution that did so would not be convex, and what makes the distances here
//! certain is that they are convex functions of the point. So the section keeps its full width
//! from its widest place down to the axis: never less than the real tire, more only beside the
//! wheel. What moves with the wheel's own carrier inside the rim is measured to the rim instead.
//!
//! **The distance** to a convex polygon is exact inside and out (derived here): inside, the
//! nearest edge is the one whose line is nearest. Outside, of all edges' lines that of an edge next
//! to the nearest place lies farthest; if the foot on it falls beyond the edge, the nearest place is
//! the corner there. Every edge faces outward and upward, so the distance never falls as either
//! coordinate grows, and as a function of the point in space it stays convex.

/// Most corners a core has.
const MOST: usize = 4;

/// A tire's section, symmetric about the centre plane; all lengths mm.
///
/// Invariant: finite; corners from the lowest and widest to the highest and narrowest, each turning
/// inward; rounding not negative.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Profile {
    corners: [[f64; 2]; MOST],
    /// From each corner to the next, of unit length; no edge is 0.
    edges: [[f64; 2]; MOST - 1],
    /// How far out each edge's line lies, square to it; infinitely far where there is no edge.
    lines: [f64; MOST - 1],
    /// Corners in use, at least one.
    count: usize,
    rounding: f64,
}

impl Profile {
    /// A cylinder with its edges rounded: outer radius, half the width, radius of the rounding. A
    /// rounding larger than either is cut down to the smaller.
    pub fn rounded(radius_mm: f64, half_width_mm: f64, rounding_mm: f64) -> Self {
        let rounding = rounding_mm.min(radius_mm).min(half_width_mm).max(0.0);
        Self::around(&[[half_width_mm - rounding, radius_mm - rounding]], rounding)
    }

    /// The least convex section that holds the points given, rounded all round by `rounding_mm`.
    /// Points are along the axis and out from it, at most four of them, none negative; those that
    /// add nothing are left out.
    pub fn around(points: &[[f64; 2]], rounding_mm: f64) -> Self {
        let mut sorted = [[0.0; 2]; MOST];
        let given = points.len().min(MOST);
        for (slot, point) in sorted.iter_mut().zip(points) {
            *slot = point.map(|value| value.max(0.0));
        }
        if let Some(used) = sorted.get_mut(..given) {
            // A few at most, so the plainest sort will do.
            for end in (1..used.len()).rev() {
                for i in 0..end {
                    if used[i][1] > used[i + 1][1] {
                        used.swap(i, i + 1);
                    }
                }
            }
        }
        let mut profile = Self {
            corners: [[0.0; 2]; MOST],
            edges: [[0.0; 2]; MOST - 1],
            lines: [f64::INFINITY; MOST - 1],
            count: 0,
            rounding: rounding_mm.max(0.0),
        };
        for point in sorted.into_iter().take(given.max(1)) {
            if let Some([along, out]) = profile.corners().last()
                && point[0] <= *along
                && point[1] <= *out
            {
                continue;
            }
            while profile.count > 0 && profile.hides_last(point) {
                profile.count -= 1;
            }
            profile.corners[profile.count] = point;
            profile.count += 1;
        }
        for unused in profile.corners.iter_mut().skip(profile.count) {
            *unused = [0.0; 2];
        }
        let ends = profile.corners.windows(2).take(profile.count.saturating_sub(1));
        for ((edge, line), ends) in profile.edges.iter_mut().zip(&mut profile.lines).zip(ends) {
            if let [[from_along, from_out], [to_along, to_out]] = *ends {
                let step = [to_along - from_along, to_out - from_out];
                let length = step[0].hypot(step[1]).max(f64::MIN_POSITIVE);
                *edge = step.map(|part| part / length);
                *line = from_along * edge[1] - from_out * edge[0];
            }
        }
        profile
    }

    /// Whether a higher point leaves the last corner nothing to add.
    fn hides_last(&self, [along, out]: [f64; 2]) -> bool {
        let [last_along, last_out] = self.corners[self.count - 1];
        if last_along <= along {
            return true;
        }
        let Some(before) = self.count.checked_sub(2) else { return false };
        let [before_along, before_out] = self.corners[before];
        let turn = (last_along - before_along) * (out - last_out)
            - (last_out - before_out) * (along - last_along);
        turn <= 0.0
    }

    /// Largest radius, at the middle of the tread, mm.
    pub const fn radius_mm(&self) -> f64 {
        self.corners[self.count - 1][1] + self.rounding
    }

    /// Half the largest width, mm.
    pub const fn half_width_mm(&self) -> f64 {
        self.corners[0][0] + self.rounding
    }

    /// Radius its core is rounded by, mm.
    pub const fn rounding_mm(&self) -> f64 {
        self.rounding
    }

    /// The core's corners from sidewall to tread: along the axis and out from it, mm.
    pub fn corners(&self) -> &[[f64; 2]] {
        self.corners.get(..self.count).unwrap_or_default()
    }

    /// Radius of the smallest sphere about the centre that holds the tire, mm.
    pub fn reach_mm(&self) -> f64 {
        let far = self.corners().iter().map(|[along, out]| along.hypot(*out));
        far.fold(0.0, f64::max) + self.rounding
    }

    /// Distance to the surface, mm, negative inside, and its slopes per mm along the axis and out
    /// from it, of a point whose coordinates are not negative.
    #[inline]
    pub fn distance(&self, along: f64, out: f64) -> (f64, f64, f64) {
        let [half, radius] = self.corners[0];
        let (d, per_along, per_out) = if self.count == 1 {
            beyond_corner(along - half, out - radius)
        } else {
            self.beyond_polygon(along, out)
        };
        (d - self.rounding, per_along, per_out)
    }

    fn beyond_polygon(&self, along: f64, out: f64) -> (f64, f64, f64) {
        const TOP: usize = MOST;
        let [half, low] = self.corners[0];
        let [top_along, radius] = self.corners[self.count - 1];
        // The edge whose line the point lies farthest beyond: 0 the sidewall, TOP the tread.
        let (mut far, mut which) = (along - half, 0);
        for i in 0..MOST - 1 {
            let [edge_along, edge_out] = self.edges[i];
            let beyond = along * edge_out - out * edge_along - self.lines[i];
            if beyond > far {
                (far, which) = (beyond, i + 1);
            }
        }
        if out - radius > far {
            (far, which) = (out - radius, TOP);
        }
        let off = |[a, o]: [f64; 2]| beyond_corner(along - a, out - o);
        match which {
            0 if far > 0.0 && out > low => off(self.corners[0]),
            0 => (far, 1.0, 0.0),
            TOP if far > 0.0 && along > top_along => off([top_along, radius]),
            TOP => (far, 0.0, 1.0),
            _ => {
                let [edge_along, edge_out] = self.edges[which - 1];
                let (from, to) = (self.corners[which - 1], self.corners[which]);
                let past = |[a, o]: [f64; 2]| (along - a) * edge_along + (out - o) * edge_out;
                if far > 0.0 && past(from) < 0.0 {
                    off(from)
                } else if far > 0.0 && past(to) > 0.0 {
                    off(to)
                } else {
                    (far, edge_out, -edge_along)
                }
            }
        }
    }

    /// The core's corner farthest in a direction with parts along the axis and out from it, neither
    /// negative.
    fn farthest(&self, along: f64, out: f64) -> [f64; 2] {
        let mut best = self.corners[0];
        for corner in self.corners().iter().skip(1) {
            let more = (corner[0] - best[0]) * along + (corner[1] - best[1]) * out;
            if more > 0.0 {
                best = *corner;
            }
        }
        best
    }

    /// The solid's farthest point in such a direction, of unit length: the point's coordinates.
    pub fn support(&self, along: f64, out: f64) -> [f64; 2] {
        let [aside, up] = self.farthest(along, out);
        [aside + self.rounding * along, up + self.rounding * out]
    }

    /// How far it reaches in such a direction, mm.
    pub fn reaches(&self, along: f64, out: f64) -> f64 {
        let [aside, up] = self.farthest(along, out);
        aside * along + up * out + self.rounding
    }

    /// The section with its tread farther out and its sides farther apart; negative takes away. The
    /// middle of a crowned tread stays in the middle.
    #[must_use]
    pub fn grown(&self, radius_mm: f64, half_width_mm: f64) -> Self {
        let mut corners = self.corners;
        for corner in &mut corners {
            let aside = if corner[0] > 0.0 { half_width_mm } else { 0.0 };
            *corner = [corner[0] + aside, corner[1] + radius_mm];
        }
        Self::around(corners.get(..self.count).unwrap_or_default(), self.rounding)
    }

    /// The section with a layer all round: chains, packed mud or snow. A negative one takes away, as
    /// far as the section is rounded.
    #[must_use]
    pub fn packed(&self, by_mm: f64) -> Self {
        Self { rounding: (self.rounding + by_mm).max(0.0), ..*self }
    }

    /// Radius of the solid at a distance from its centre plane, mm; `None` beyond its width.
    ///
    /// ```
    /// use fitment::tire::Profile;
    /// let tire = Profile::rounded(400.0, 130.0, 50.0);
    /// assert_eq!(tire.radius_at(0.0), Some(400.0));
    /// // 30 mm into the shoulder: 350 + √(50² − 30²) = 390
    /// assert_eq!(tire.radius_at(110.0), Some(390.0));
    /// assert_eq!(tire.radius_at(131.0), None);
    /// ```
    pub fn radius_at(&self, from_centre_mm: f64) -> Option<f64> {
        let along = from_centre_mm.abs();
        if along > self.half_width_mm() || along.is_nan() {
            return None;
        }
        let [top_along, top] = self.corners[self.count - 1];
        if along <= top_along {
            return Some(top + self.rounding);
        }
        // The highest of all it is made of: rounded corners and straight runs between them.
        let arcs = self.corners().iter().filter_map(|[at, out]| {
            let rise = self.rounding.mul_add(self.rounding, -(along - at) * (along - at));
            (rise >= 0.0).then(|| out + rise.sqrt())
        });
        let pairs = self.corners().windows(2).zip(&self.edges);
        let runs = pairs.filter_map(|(ends, [edge_along, edge_out])| {
            let [[a, low], [b, high]] = ends else { return None };
            let shift = self.rounding * edge_out;
            let (from, to) = (a + shift, b + shift);
            let share = (along - from) / (to - from);
            (0.0..=1.0)
                .contains(&share)
                .then(|| low + share * (high - low) - self.rounding * edge_along)
        });
        let highest = arcs.chain(runs).max_by(f64::total_cmp);
        // Beyond the last rounding by a rounding error: the foot of the sidewall.
        highest.or(Some(self.corners[0][1]))
    }

    /// Points along the surface from the widest place of the sidewall to the middle of the tread,
    /// each rounded corner in `steps` parts (at least one): along the axis and out from it, mm.
    pub fn outline(&self, steps: usize) -> Vec<[f64; 2]> {
        let steps = steps.max(1);
        let mut points = Vec::with_capacity(self.count * (steps + 1) + 1);
        let mut facing: f64 = 0.0;
        let last = self.corners().len();
        for (i, [along, out]) in self.corners().iter().enumerate() {
            // The rounding turns from one edge's normal to the next one's.
            let next = match self.edges.get(i) {
                Some([edge_along, edge_out]) if i + 1 < last => (-edge_along).atan2(*edge_out),
                _ => std::f64::consts::FRAC_PI_2,
            };
            let parts = if self.rounding > 0.0 { steps } else { 0 };
            for step in 0..=parts {
                let share = step as f64 / parts.max(1) as f64;
                let (sin, cos) = (facing + share * (next - facing)).sin_cos();
                points.push([along + self.rounding * cos, out + self.rounding * sin]);
            }
            facing = next;
        }
        if points.last().is_some_and(|[along, _]| *along > 0.0) {
            points.push([0.0, self.radius_mm()]);
        }
        points
    }
}

/// Distance beyond a corner whose edges run along both axes, and its slopes.
#[inline]
fn beyond_corner(along: f64, out: f64) -> (f64, f64, f64) {
    if along > 0.0 && out > 0.0 {
        // Lengths of a truck neither overflow nor vanish when squared; `hypot` would guard for it.
        let d = (along * along + out * out).sqrt();
        (d, along / d, out / d)
    } else if along > out {
        (along, 1.0, 0.0)
    } else {
        (out, 0.0, 1.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Sidewall to tread: 140 wide at 300 out, shoulder lug, tread's edge 6 below its middle.
    fn measured() -> Profile {
        Profile::around(&[[140.0, 330.0], [130.0, 380.0], [105.0, 394.0], [0.0, 400.0]], 0.0)
    }

    #[test]
    fn distances_worked_by_hand() {
        let square = Profile::around(&[[100.0, 300.0], [60.0, 330.0], [0.0, 330.0]], 0.0);
        let check = |along: f64, out: f64, want: f64| {
            let got = square.distance(along, out).0;
            assert!((got - want).abs() < 1e-12, "({along}, {out}): {got}, want {want}");
        };
        check(130.0, 200.0, 30.0); // beside the sidewall
        check(50.0, 350.0, 20.0); // over the tread
        // The slanted edge runs 40 in and 30 up, so it faces (3, 4)/5: from its middle (80, 315)
        // out by 10 and in by 10.
        check(86.0, 323.0, 10.0);
        check(74.0, 307.0, -10.0);
        check(103.0, 301.0, 10.0_f64.sqrt()); // off the lower corner, by (3, 1)
        check(61.0, 337.0, 50.0_f64.sqrt()); // off the upper one, by (1, 7)
        check(95.0, 100.0, -5.0); // inside the sidewall
        check(0.0, 0.0, -100.0);
        // Rounded by 10, everything is 10 nearer; packed by 5 more, 15.
        let round = Profile::around(&[[100.0, 300.0], [60.0, 330.0]], 10.0);
        assert!((round.distance(86.0, 323.0).0).abs() < 1e-12);
        assert!(
            (round.packed(5.0).distance(103.0, 301.0).0 - 10.0_f64.sqrt() + 15.0).abs() < 1e-12
        );
    }

    #[test]
    fn points_that_add_nothing_are_left_out() {
        let check = |points: &[[f64; 2]], want: &[[f64; 2]]| {
            let got = Profile::around(points, 0.0);
            assert_eq!(got.corners(), want, "{points:?}");
        };
        check(&[[100.0, 300.0]], &[[100.0, 300.0]]);
        // Below another and no wider; in line with its neighbours; behind the line between them.
        check(&[[90.0, 200.0], [100.0, 300.0]], &[[100.0, 300.0]]);
        let line = [[100.0, 300.0], [50.0, 350.0], [0.0, 400.0]];
        check(&line, &[line[0], line[2]]);
        check(&[line[0], [40.0, 350.0], line[2]], &[line[0], line[2]]);
        // As high as another and nearer the middle.
        check(&[[0.0, 300.0], [100.0, 300.0]], &[[100.0, 300.0]]);
        check(&[[100.0, 300.0], [0.0, 300.0]], &[[100.0, 300.0]]);
        // In any order.
        check(&[line[2], [60.0, 350.0], line[0]], &[line[0], [60.0, 350.0], line[2]]);
        // A lug wider than the section takes its place.
        check(&[[100.0, 300.0], [110.0, 380.0], [80.0, 400.0]], &[[110.0, 380.0], [80.0, 400.0]]);
        check(&[], &[[0.0, 0.0]]);
    }

    #[test]
    fn a_measured_section_is_as_measured() {
        let tire = measured();
        assert!((tire.radius_mm() - 400.0).abs() < 1e-12);
        assert!((tire.half_width_mm() - 140.0).abs() < 1e-12);
        for (along, radius) in [(0.0, 400.0), (52.5, 397.0), (105.0, 394.0), (130.0, 380.0)] {
            let got = tire.radius_at(along).expect("within the width");
            assert!((got - radius).abs() < 1e-9, "{along}: {got}, want {radius}");
        }
        assert!((tire.reach_mm() - 394.0_f64.hypot(105.0)).abs() < 1e-9);
        // Wider by 10 to each side and 5 taller: the middle of the tread stays in the middle.
        let grown = tire.grown(5.0, 10.0);
        let want = [[150.0, 335.0], [140.0, 385.0], [115.0, 399.0], [0.0, 405.0]];
        assert_eq!(grown.corners(), want);
    }

    #[test]
    fn the_outline_runs_from_the_sidewall_to_the_middle_of_the_tread() {
        for tire in [measured(), measured().packed(12.0), Profile::rounded(400.0, 130.0, 50.0)] {
            let points = tire.outline(6);
            assert_eq!(points.first().map(|p| p[0]), Some(tire.half_width_mm()));
            assert_eq!(points.last(), Some(&[0.0, tire.radius_mm()]));
            for [along, out] in points {
                let apart = tire.distance(along, out).0;
                assert!(apart.abs() < 1e-9, "({along}, {out}) is {apart} off {tire:?}");
            }
        }
    }

    fn any() -> impl Strategy<Value = Profile> {
        (
            prop::collection::vec([0.0..220.0_f64, 200.0..550.0_f64], 1..5),
            prop_oneof![Just(0.0), 0.0..60.0_f64],
        )
            .prop_map(|(points, rounding)| Profile::around(&points, rounding))
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(2000))]

        #[test]
        fn the_corners_are_in_order_and_hold_what_was_given(
            points in prop::collection::vec([0.0..220.0_f64, 200.0..550.0_f64], 1..5),
        ) {
            let tire = Profile::around(&points, 0.0);
            for ends in tire.corners().windows(2) {
                prop_assert!(ends[0][0] > ends[1][0] && ends[0][1] < ends[1][1], "{tire:?}");
            }
            for [along, out] in points {
                prop_assert!(tire.distance(along, out).0 <= 1e-9, "({along}, {out}) in {tire:?}");
            }
        }

        #[test]
        fn distance_agrees_with_the_sampled_surface(
            tire in any(), along in 0.0..300.0_f64, out in 0.0..700.0_f64,
        ) {
            let (d, per_along, per_out) = tire.distance(along, out);
            prop_assert!((0.0..=1.0).contains(&per_along) && (0.0..=1.0).contains(&per_out));
            prop_assert!((per_along.hypot(per_out) - 1.0).abs() < 1e-9);
            // Its surface from the axis out along the sidewall and over the tread, with mirror.
            let mut surface = vec![[tire.half_width_mm(), 0.0]];
            surface.extend(tire.outline(64));
            surface.push([-tire.half_width_mm(), tire.radius_mm()]);
            let nearest = surface.windows(2).map(|ends| {
                let [[a, b], [c, e]] = [ends[0], ends[1]];
                let long = (c - a).hypot(e - b).max(1e-12);
                let t = (((along - a) * (c - a) + (out - b) * (e - b)) / (long * long)).clamp(0.0, 1.0);
                (along - a - t * (c - a)).hypot(out - b - t * (e - b))
            });
            let nearest = nearest.fold(f64::INFINITY, f64::min);
            // Chords of a 64th of a quarter turn lie within 60·(1 − cos 0.0123) of the arc.
            prop_assert!((d.abs() - nearest).abs() < 0.01, "{d} {nearest}");
        }

        #[test]
        fn slopes_are_tangents_below_it(
            tire in any(),
            p in [0.0..300.0_f64, 0.0..700.0_f64], q in [0.0..300.0_f64, 0.0..700.0_f64],
        ) {
            let (d, per_along, per_out) = tire.distance(p[0], p[1]);
            let there = tire.distance(q[0], q[1]).0;
            prop_assert!(there >= d + per_along * (q[0] - p[0]) + per_out * (q[1] - p[1]) - 1e-9);
        }

        #[test]
        fn support_is_farthest_and_on_the_surface(tire in any(), turn in 0.0..1.57_f64) {
            let (sin, cos) = turn.sin_cos();
            let [along, out] = tire.support(cos, sin);
            prop_assert!(tire.distance(along, out).0.abs() < 1e-9);
            for [a, o] in tire.outline(8) {
                prop_assert!(a * cos + o * sin <= along * cos + out * sin + 1e-9);
            }
        }

        #[test]
        fn the_solid_narrows_outward_and_is_its_own_mirror(tire in any(), share in 0.0..1.0_f64) {
            let along = share * tire.half_width_mm();
            let inner = tire.radius_at(along).unwrap();
            prop_assert!(tire.radius_at(tire.half_width_mm()).unwrap() <= inner + 1e-6);
            prop_assert!(inner <= tire.radius_mm() + 1e-9);
            prop_assert_eq!(tire.radius_at(-along), Some(inner));
            prop_assert!(tire.distance(along, inner).0.abs() < 1e-6);
        }

        #[test]
        fn larger_holds_smaller(
            tire in any(), by in [0.0..40.0_f64, 0.0..40.0_f64], pack in 0.0..40.0_f64,
            along in 0.0..300.0_f64, out in 0.0..700.0_f64,
        ) {
            let d = tire.distance(along, out).0;
            let grown = tire.grown(by[0], by[1]).distance(along, out).0;
            prop_assert!(grown <= d + 1e-9 && grown >= d - by[0].hypot(by[1]) - 1e-9);
            prop_assert!((tire.packed(pack).distance(along, out).0 - (d - pack)).abs() < 1e-9);
        }
    }
}
