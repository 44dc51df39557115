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
/// Trail and scrub radius from caster and kingpin inclination.
pub const TRAIL_SCRUB: Source =
    Source::Published("Reimpell, The Automotive Chassis, ch. 3 (value from memory)");
/// Propagation of uncertainty.
pub const GUM: Source = Source::Published(
    "JCGM 100:2008, Guide to the expression of uncertainty in measurement, eq. 10",
);
