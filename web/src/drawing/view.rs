//! The three views and what they drop.

use fitment::truck::End;

/// From where the axle is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum View {
    /// Along the truck: a front axle from the front, a rear axle from behind.
    Across,
    /// From the driver's left; the truck faces left.
    Side,
    /// From above; the truck faces up.
    Plan,
}

impl View {
    /// In reading order.
    pub const ALL: [Self; 3] = [Self::Across, Self::Side, Self::Plan];

    /// Its name on the sheet.
    pub const fn title(self, end: End) -> &'static str {
        match (self, end) {
            (Self::Across, End::Front) => "Front view",
            (Self::Across, End::Rear) => "Rear view",
            (Self::Side, _) => "Left side",
            (Self::Plan, _) => "From above",
        }
    }

    /// A point (forward, left, up) on the paper: right and down, mm.
    pub fn project(self, end: End, [x, y, z]: [f64; 3]) -> [f64; 2] {
        match (self, end) {
            (Self::Across, End::Front) => [y, -z],
            (Self::Across, End::Rear) => [-y, -z],
            (Self::Side, _) => [-x, -z],
            (Self::Plan, _) => [-y, -x],
        }
    }
}

#[cfg(test)]
#[expect(clippy::float_cmp, reason = "whole numbers and typed ones come back to the last bit")]
mod tests {
    use super::*;

    #[test]
    fn each_view_looks_from_where_it_says() {
        // Forward, left and up by one, as they fall on the paper.
        for (view, end, want) in [
            (View::Across, End::Front, [[0.0, 0.0], [1.0, 0.0], [0.0, -1.0]]),
            (View::Across, End::Rear, [[0.0, 0.0], [-1.0, 0.0], [0.0, -1.0]]),
            (View::Side, End::Front, [[-1.0, 0.0], [0.0, 0.0], [0.0, -1.0]]),
            (View::Plan, End::Rear, [[0.0, -1.0], [-1.0, 0.0], [0.0, 0.0]]),
        ] {
            for (axis, want) in want.into_iter().enumerate() {
                let mut point = [0.0; 3];
                point[axis] = 1.0;
                let got = view.project(end, point).map(|c| c + 0.0);
                assert_eq!(got, want, "{view:?} {end:?} {axis}");
            }
        }
    }
}
