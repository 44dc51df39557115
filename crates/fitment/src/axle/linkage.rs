//! The members that locate the axle, as numbers: hardpoints, lengths, bush rates.

use super::real::Real;
use nalgebra::Vector3;

/// A link that pivots freely at both ends.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Link<T> {
    /// Pivot on the axle, axle's stock frame, mm.
    pub axle: Vector3<T>,
    /// Pivot on the chassis, mm.
    pub chassis: Vector3<T>,
    /// Length eye to eye, mm.
    pub length: T,
}

/// Rates of a bush along its own three directions, and its axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rates<T> {
    /// N/mm along x, y, z of the arm.
    pub shift: Vector3<T>,
    /// N·mm/rad about x, y, z of the arm.
    pub turn: Vector3<T>,
}

/// One bush of an arm: where it sits on the arm and on the body it ties the arm to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bush<T> {
    /// Centre on the arm, stock frame, mm.
    pub on_arm: Vector3<T>,
    /// Centre on the axle or chassis, stock frame, mm.
    pub on_body: Vector3<T>,
    /// Turn of the body relative to the arm about y at which the bush is free of stress, rad.
    pub set: T,
    /// Stiffness.
    pub rates: Rates<T>,
}

/// A radius arm: two bushes to the axle and one to the chassis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Arm<T> {
    /// Axle bush farther from the chassis eye.
    pub far: Bush<T>,
    /// Axle bush nearer the chassis eye.
    pub near: Bush<T>,
    /// Chassis eye.
    pub eye: Bush<T>,
}

/// What locates the axle besides the Panhard bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Members<T> {
    /// Lower left, lower right, upper.
    ThreeLinks([Link<T>; 3]),
    /// Lower left, lower right, upper left, upper right; elastic, all alike.
    FourLinks([Link<T>; 4]),
    /// Left and right arm.
    Arms([Arm<T>; 2]),
}

/// Everything that locates one axle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Linkage<T> {
    /// The Panhard bar.
    pub panhard: Link<T>,
    /// Links or arms.
    pub members: Members<T>,
}

impl<T: Real> Link<T> {
    /// A link as long as its pivots are apart.
    pub(crate) fn between(axle: Vector3<T>, chassis: Vector3<T>) -> Self {
        let d = axle - chassis;
        Self { axle, chassis, length: super::real::norm(&d) }
    }

    fn plain(&self) -> Link<f64> {
        Link {
            axle: super::real::plain(&self.axle),
            chassis: super::real::plain(&self.chassis),
            length: self.length.re(),
        }
    }
}

impl<T: Real> Bush<T> {
    fn plain(&self) -> Bush<f64> {
        Bush {
            on_arm: super::real::plain(&self.on_arm),
            on_body: super::real::plain(&self.on_body),
            set: self.set.re(),
            rates: Rates {
                shift: super::real::plain(&self.rates.shift),
                turn: super::real::plain(&self.rates.turn),
            },
        }
    }
}

impl<T: Real> Linkage<T> {
    /// The plain values.
    pub(crate) fn plain(&self) -> Linkage<f64> {
        Linkage {
            panhard: self.panhard.plain(),
            members: match &self.members {
                Members::ThreeLinks(links) => {
                    Members::ThreeLinks(links.each_ref().map(Link::plain))
                }
                Members::FourLinks(links) => Members::FourLinks(links.each_ref().map(Link::plain)),
                Members::Arms(arms) => Members::Arms(arms.each_ref().map(|arm| Arm {
                    far: arm.far.plain(),
                    near: arm.near.plain(),
                    eye: arm.eye.plain(),
                })),
            },
        }
    }
}

impl Linkage<f64> {
    /// The linkage a fraction `s` of the way from `self` to `other`; they must be of one kind.
    pub(crate) fn toward(&self, other: &Self, s: f64) -> Self {
        let link = |a: &Link<f64>, b: &Link<f64>| Link {
            axle: a.axle.lerp(&b.axle, s),
            chassis: a.chassis.lerp(&b.chassis, s),
            length: a.length + (b.length - a.length) * s,
        };
        let bush = |a: &Bush<f64>, b: &Bush<f64>| Bush {
            on_arm: a.on_arm.lerp(&b.on_arm, s),
            on_body: a.on_body.lerp(&b.on_body, s),
            set: a.set + (b.set - a.set) * s,
            rates: b.rates,
        };
        let members = match (&self.members, &other.members) {
            (Members::ThreeLinks(a), Members::ThreeLinks(b)) => {
                Members::ThreeLinks(std::array::from_fn(|i| link(&a[i], &b[i])))
            }
            (Members::FourLinks(a), Members::FourLinks(b)) => {
                Members::FourLinks(std::array::from_fn(|i| link(&a[i], &b[i])))
            }
            (Members::Arms(a), Members::Arms(b)) => Members::Arms(std::array::from_fn(|i| Arm {
                far: bush(&a[i].far, &b[i].far),
                near: bush(&a[i].near, &b[i].near),
                eye: bush(&a[i].eye, &b[i].eye),
            })),
            _ => other.members,
        };
        Self { panhard: link(&self.panhard, &other.panhard), members }
    }
}
