//! The three views and what they drop.

use fitment::truck::{End, Side};

/// From where the axle is seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum View {
    /// Along the truck: a front axle from the front, a rear axle from behind.
    Across,
    /// From the driver's left; the truck faces left.
    Side,
    /// From above; the truck faces up.
    Plan,
    /// From the driver's right; the truck faces right.
    Right,
}

impl View {
    /// In reading order; the right side is looked at only where it is asked for.
    pub const ALL: [Self; 3] = [Self::Across, Self::Side, Self::Plan];

    /// The three views that show one side's wheel.
    pub const fn of_side(side: Side) -> [Self; 3] {
        let from = match side {
            Side::Left => Self::Side,
            Side::Right => Self::Right,
        };
        [Self::Across, from, Self::Plan]
    }

    /// The side of the truck that this view hides behind the other.
    pub const fn hides(self) -> Option<Side> {
        match self {
            Self::Side => Some(Side::Right),
            Self::Right => Some(Side::Left),
            Self::Across | Self::Plan => None,
        }
    }

    /// Its name on the sheet.
    pub const fn title(self, end: End) -> &'static str {
        match (self, end) {
            (Self::Across, End::Front) => "Front view",
            (Self::Across, End::Rear) => "Rear view",
            (Self::Side, _) => "Left side",
            (Self::Right, _) => "Right side",
            (Self::Plan, _) => "From above",
        }
    }

    /// A point (forward, left, up) on the paper: right and down, mm.
    pub fn project(self, end: End, [x, y, z]: [f64; 3]) -> [f64; 2] {
        match (self, end) {
            (Self::Across, End::Front) => [y, -z],
            (Self::Across, End::Rear) => [-y, -z],
            (Self::Side, _) => [-x, -z],
            (Self::Right, _) => [x, -z],
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
            (View::Right, End::Front, [[1.0, 0.0], [0.0, 0.0], [0.0, -1.0]]),
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
