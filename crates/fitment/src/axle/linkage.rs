//! The members that locate the axle, as numbers: hardpoints, lengths, bush rates.

use super::real::{Real, norm};
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
    /// N/mm along x, y, z of the limb.
    pub shift: Vector3<T>,
    /// N·mm/rad about x, y, z of the limb.
    pub turn: Vector3<T>,
}

/// One bush of a limb: where it sits on the limb and on the body it ties the limb to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bush<T> {
    /// Centre on the limb, stock frame, mm.
    pub on_limb: Vector3<T>,
    /// Centre on the other body, stock frame, mm.
    pub on_body: Vector3<T>,
    /// Turn of the body relative to the limb about y at which the bush is free of stress, rad.
    pub set: T,
    /// Stiffness.
    pub rates: Rates<T>,
}

/// A rigid piece between the axle and the chassis, held on rubber: a radius arm, half a leaf
/// spring, a shackle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limb<T> {
    /// Bushes to the axle.
    pub to_axle: [Option<Bush<T>>; 2],
    /// Bush to the chassis.
    pub to_chassis: Option<Bush<T>>,
    /// Bush to the limb that follows in the list and hangs on this one.
    pub to_next: Option<Bush<T>>,
}

/// A Watts linkage: a crank between two links.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Watts<T> {
    /// True when the crank rides on the axle, false on the chassis.
    pub on_axle: bool,
    /// The crank's pivot, stock frame, mm.
    pub pivot: Vector3<T>,
    /// Left and right link.
    pub links: [Link<T>; 2],
}

/// What locates the axle fore and aft and in pitch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Members<T> {
    /// Lower left, lower right, upper.
    ThreeLinks([Link<T>; 3]),
    /// Lower left, lower right, upper left, upper right.
    FourLinks([Link<T>; 4]),
    /// Left and right radius arm: two bushes to the axle, far and near, and an eye on the chassis.
    Arms([Limb<T>; 2]),
    /// Left and right leaf spring: the half with the fixed eye, the half with the shackle's eye, and
    /// the shackle.
    Leaves([[Limb<T>; 3]; 2]),
}

/// Everything that locates one axle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Linkage<T> {
    /// The Panhard bar, if there is one.
    pub panhard: Option<Link<T>>,
    /// The Watts linkage, if there is one.
    pub watts: Option<Watts<T>>,
    /// Links, arms or springs.
    pub members: Members<T>,
}

/// The most limbs any layout has.
pub(crate) const MAX_LIMBS: usize = 6;

impl<T: Real> Link<T> {
    /// A link as long as its pivots are apart.
    pub(crate) fn between(axle: Vector3<T>, chassis: Vector3<T>) -> Self {
        Self { axle, chassis, length: norm(&(axle - chassis)) }
    }

    /// Number by number.
    #[inline(never)]
    pub(crate) fn map<V: Real>(&self, f: &mut impl FnMut(T) -> V) -> Link<V> {
        Link {
            axle: vector(&self.axle, f),
            chassis: vector(&self.chassis, f),
            length: f(self.length),
        }
    }
}

impl<T: Real> Bush<T> {
    #[inline(never)]
    fn map<V: Real>(&self, f: &mut impl FnMut(T) -> V) -> Bush<V> {
        Bush {
            on_limb: vector(&self.on_limb, f),
            on_body: vector(&self.on_body, f),
            set: f(self.set),
            rates: Rates { shift: vector(&self.rates.shift, f), turn: vector(&self.rates.turn, f) },
        }
    }
}

impl<T: Real> Limb<T> {
    fn map<V: Real>(&self, f: &mut impl FnMut(T) -> V) -> Limb<V> {
        let mut bush = |b: &Option<Bush<T>>| b.as_ref().map(|b| b.map(f));
        Limb {
            to_axle: self.to_axle.each_ref().map(&mut bush),
            to_chassis: bush(&self.to_chassis),
            to_next: bush(&self.to_next),
        }
    }

    /// The middle of its bushes on the axle, stock frame: an arm's own end there.
    pub(crate) fn axle_end(&self) -> Vector3<T> {
        match &self.to_axle {
            [Some(a), Some(b)] => (a.on_limb + b.on_limb) * T::from(0.5),
            [Some(a), None] | [None, Some(a)] => a.on_limb,
            [None, None] => Vector3::from_element(T::from(0.0)),
        }
    }
}

impl<T: Real> Watts<T> {
    /// Number by number.
    pub(crate) fn map<V: Real>(&self, f: &mut impl FnMut(T) -> V) -> Watts<V> {
        Watts {
            on_axle: self.on_axle,
            pivot: vector(&self.pivot, f),
            links: self.links.each_ref().map(|l| l.map(f)),
        }
    }
}

impl<T: Real> Linkage<T> {
    /// The two-ended links among the members.
    pub(crate) const fn links(&self) -> &[Link<T>] {
        match &self.members {
            Members::ThreeLinks(links) => links,
            Members::FourLinks(links) => links,
            Members::Arms(_) | Members::Leaves(_) => &[],
        }
    }

    /// The pieces on rubber, each right after the one it hangs on.
    pub(crate) const fn limbs(&self) -> &[Limb<T>] {
        match &self.members {
            Members::ThreeLinks(_) | Members::FourLinks(_) => &[],
            Members::Arms(arms) => arms,
            Members::Leaves(leaves) => leaves.as_flattened(),
        }
    }

    /// Number by number, always in the same order.
    pub(crate) fn map<V: Real>(&self, f: &mut impl FnMut(T) -> V) -> Linkage<V> {
        let members = match &self.members {
            Members::ThreeLinks(links) => Members::ThreeLinks(links.each_ref().map(|l| l.map(f))),
            Members::FourLinks(links) => Members::FourLinks(links.each_ref().map(|l| l.map(f))),
            Members::Arms(arms) => Members::Arms(arms.each_ref().map(|a| a.map(f))),
            Members::Leaves(leaves) => {
                Members::Leaves(leaves.each_ref().map(|leaf| leaf.each_ref().map(|l| l.map(f))))
            }
        };
        Linkage {
            members,
            panhard: self.panhard.as_ref().map(|bar| bar.map(f)),
            watts: self.watts.as_ref().map(|w| w.map(f)),
        }
    }
}

impl Linkage<f64> {
    /// The linkage a fraction `s` of the way from `self` to `other`, which is of the same kind.
    pub(crate) fn toward(&self, other: &Self, s: f64) -> Self {
        let mut there = Vec::new();
        other.map(&mut |v: f64| {
            there.push(v);
            v
        });
        let mut there = there.into_iter();
        self.map(&mut |v| v + (there.next().unwrap_or(v) - v) * s)
    }
}

// Called for every point of every layout: kept out of line, since small matters more here than fast.
#[inline(never)]
pub(crate) fn vector<T: Real, V: Real>(v: &Vector3<T>, f: &mut impl FnMut(T) -> V) -> Vector3<V> {
    Vector3::new(f(v.x), f(v.y), f(v.z))
}
