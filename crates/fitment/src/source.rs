//! The list of sources that formulas, limits and default values point to.

/// Where a formula, limit or default value comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Source {
    /// A document anyone can get hold of.
    Published(&'static str),
    /// What people in the trade go by; nobody has published it that we know of.
    CommonPractice,
    /// Worked out here from the geometry; the checks are in the tests.
    Derived(&'static str),
    /// The figure this truck had when stock.
    ThisTruckStock,
    /// A limit the person set.
    Person,
}

impl Source {
    /// The source in words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Published(title) | Self::Derived(title) => title,
            Self::CommonPractice => "common practice, no source",
            Self::ThisTruckStock => {
                "this truck's own stock figure; the width of the band is common practice, no source"
            }
            Self::Person => "your own limit",
        }
    }
}

/// Axes, signs and the terms caster, trail, toe, roll centre.
pub const ISO_8855: Source = Source::Published(
    "ISO 8855:2011, Road vehicles: vehicle dynamics and road-holding ability, vocabulary",
);
/// The solved pose of the axle.
pub const POSE: Source = Source::Derived(
    "3D pose of the axle: link lengths held (rubber at least energy) at the given wheel heights; checked against an independent solver",
);
/// Roll centre of a Panhard axle.
pub const GILLESPIE_ROLL_CENTRE: Source = Source::Published(
    "Gillespie, Fundamentals of Vehicle Dynamics, ch. 7 (value from memory): the bar's line at the centre plane",
);
/// Instant centre, anti-dive and anti-squat.
pub const MILLIKEN_ANTI: Source = Source::Published(
    "Milliken & Milliken, Race Car Vehicle Dynamics, ch. 17 (value from memory): share · tan φ · wheelbase / height of the center of gravity, brakes outboard",
);
/// Ackermann's condition and the turning circle.
pub const ACKERMANN: Source = Source::Published(
    "Ackermann's condition, a standard result of the theory of machines: cot outer − cot inner = spacing of the axes / wheelbase",
);
/// Bump steer and the drag link's likeness to the Panhard bar.
pub const BUMP_STEER: Source = Source::Published(
    "Reimpell, The Automotive Chassis, ch. 4 (value from memory), solved here in 3D: drag link and Panhard bar alike in slope and length steer nothing",
);
/// Joint angles, slip and hose.
pub const LINES: Source = Source::Derived(
    "angles and distances between points of the solved pose, in 3D: cos β = u₁ · u₂, unit directions of the two shafts",
);
/// Lift of the body by a sloped bar.
pub const JACKING: Source =
    Source::Derived("side force · tan of the bar's angle, from the bar's line of force");
/// A leaf spring as three links.
pub const LEAF_THREE_LINKS: Source = Source::Published(
    "SAE Spring Design Manual, HS-788 (value from memory): three-link equivalent of a leaf spring",
);
/// Trail and scrub radius from caster and kingpin inclination.
pub const TRAIL_SCRUB: Source =
    Source::Published("Reimpell, The Automotive Chassis, ch. 3 (value from memory)");
/// Propagation of uncertainty.
pub const GUM: Source = Source::Published(
    "JCGM 100:2008, Guide to the expression of uncertainty in measurement, eq. 10",
);
