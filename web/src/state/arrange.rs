//! How an axle is put together, and what each choice does to its points.
//!
//! A choice that only turns something round keeps what was measured and mirrors it; one that puts
//! another thing in its place starts from stand-ins.

use fitment::measure::Known;
use fitment::truck::{
    Axle, Bar, Carrier, End, Joins, Layout, LayoutKind, LeafSpring, Part, Pitman, Point, RadiusArm,
    Shaft, Side, Steering, TieRod, Watts,
};

/// What holds the axle sideways.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sideways {
    /// A Panhard bar.
    Panhard,
    /// A Watts linkage.
    Watts,
    /// The links or leaves themselves.
    Members,
}

/// What the drag link pushes on, as seen from the driver.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Steers {
    /// The knuckle away from the driver.
    Far,
    /// The knuckle on the driver's side, by a link across.
    Near,
    /// The tie rod: an inverted Y.
    TieRod,
    /// The knuckle on the driver's side, by a link fore and aft.
    ForeAft,
}

/// A pair of which the right one may differ from the mirror image.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pair {
    /// Radius arms, lower links or leaf springs.
    Lower,
    /// Upper links.
    Upper,
    /// Ball joints of the tie rod.
    TieRod,
}

/// What springs and damps the axle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spring {
    /// Coil springs.
    Coil,
    /// Shocks.
    Shock,
}

/// What can hold an axle of a layout sideways; only what does.
pub const fn sideways_of(kind: LayoutKind) -> &'static [Sideways] {
    match kind {
        LayoutKind::Triangulated => &[Sideways::Members],
        LayoutKind::Leaf => &[Sideways::Members, Sideways::Panhard, Sideways::Watts],
        _ => &[Sideways::Panhard, Sideways::Watts],
    }
}

/// What holds this axle sideways.
pub const fn sideways(axle: &Axle) -> Sideways {
    match (&axle.panhard, &axle.watts) {
        (Some(_), _) => Sideways::Panhard,
        (None, Some(_)) => Sideways::Watts,
        (None, None) => Sideways::Members,
    }
}

/// Puts another layout in place. Lower links stay when both layouts have them, and so does whatever
/// holds the axle sideways when it still can.
pub fn set_layout(axle: &mut Axle, end: End, kind: LayoutKind) {
    if axle.kind() == kind {
        return;
    }
    let typical = Axle::typical(kind, end);
    let old = std::mem::replace(&mut axle.layout, typical.layout);
    if let (Some(kept), Some((left, right))) = (lower_links(old), lower_slots(&mut axle.layout)) {
        (*left, *right) = kept;
    }
    if kind == LayoutKind::Leaf {
        axle.spring = None;
    } else if axle.spring.is_none() {
        axle.spring = typical.spring;
    }
    let held = sideways_of(kind);
    if !held.contains(&sideways(axle)) {
        set_sideways(axle, end, held.first().copied().unwrap_or(Sideways::Panhard));
    }
    axle.readings.arm_length_mm = None;
    axle.readings.arm_rise_mm = None;
    tidy(axle);
}

/// Holds the axle sideways by something else.
pub fn set_sideways(axle: &mut Axle, end: End, by: Sideways) {
    if sideways(axle) == by {
        return;
    }
    axle.panhard = (by == Sideways::Panhard)
        .then(|| Axle::typical(LayoutKind::RadiusArms, end).panhard)
        .flatten();
    axle.watts = (by == Sideways::Watts).then(|| Watts::typical(end));
    tidy(axle);
}

/// Takes out readings and parts of what is not there any more.
pub fn tidy(axle: &mut Axle) {
    if axle.panhard.is_none() {
        axle.readings.panhard_length_mm = None;
        axle.readings.panhard_rise_mm = None;
    }
    let whole = axle.clone();
    let suits = |part: &Part| part.kind().traits().needs.met(&whole);
    for parts in [&mut axle.sitting.parts, &mut axle.planned.parts] {
        parts.retain(suits);
    }
    axle.shelf.parts.retain(|offer| suits(&offer.part));
}

type Links = (Bar, Option<Bar>);

fn lower_links(layout: Layout) -> Option<Links> {
    match layout {
        Layout::ThreeLink { lower_left, lower_right, .. }
        | Layout::FourLink { lower_left, lower_right, .. } => Some((lower_left, lower_right)),
        _ => None,
    }
}

fn lower_slots(layout: &mut Layout) -> Option<(&mut Bar, &mut Option<Bar>)> {
    match layout {
        Layout::ThreeLink { lower_left, lower_right, .. }
        | Layout::FourLink { lower_left, lower_right, .. } => Some((lower_left, lower_right)),
        _ => None,
    }
}

/// True when the arms' chassis ends, or the springs' shackles, lie ahead of the axle.
pub const fn runs_forward(layout: &Layout) -> bool {
    match layout {
        Layout::RadiusArms { left, .. } => left.chassis.x_mm.value > 0.0,
        Layout::LeafSprings { left, .. } => left.shackle_eye.x_mm.value > left.fixed_eye.x_mm.value,
        Layout::ThreeLink { lower_left, .. } | Layout::FourLink { lower_left, .. } => {
            lower_left.chassis.x_mm.value > 0.0
        }
    }
}

/// Turns arms or leaf springs end for end: what was ahead of the axle is behind it.
pub fn turn_round(layout: &mut Layout) {
    let back = |point: &mut Point| negate(&mut point.x_mm);
    match layout {
        Layout::RadiusArms { left, right, .. } => {
            for RadiusArm { axle_far, axle_near, chassis } in std::iter::once(left).chain(right) {
                for point in [axle_far, axle_near, chassis] {
                    back(point);
                }
            }
        }
        Layout::LeafSprings { left, right, .. } => {
            for spring in std::iter::once(left).chain(right) {
                for point in leaf_points(spring) {
                    back(point);
                }
            }
        }
        Layout::ThreeLink { .. } | Layout::FourLink { .. } => {}
    }
}

/// True when the springs lie over the axle tube.
pub const fn springs_over(layout: &Layout) -> bool {
    matches!(layout, Layout::LeafSprings { left, .. } if left.seat.z_mm.value > 0.0)
}

/// Moves the springs from over the axle tube to under it, or back, in the shape they have.
pub fn turn_over(layout: &mut Layout) {
    let Layout::LeafSprings { left, right, .. } = layout else { return };
    for spring in std::iter::once(left).chain(right) {
        let move_by = -2.0 * spring.seat.z_mm.value;
        for point in leaf_points(spring) {
            point.z_mm.value += move_by;
            point.z_mm.entered = None;
        }
    }
}

const fn leaf_points(spring: &mut LeafSpring) -> [&mut Point; 4] {
    let LeafSpring { seat, fixed_eye, shackle_eye, shackle_chassis } = spring;
    [seat, fixed_eye, shackle_eye, shackle_chassis]
}

/// Gives the right one of a pair its own numbers, starting from the mirror image, or takes them away.
///
/// `None` where the axle has no such pair.
pub fn set_right(axle: &mut Axle, pair: Pair, own: bool) -> Option<()> {
    fn set<T>(left: &T, right: &mut Option<T>, own: bool, mirror: impl FnOnce(&T) -> T) {
        *right = own.then(|| mirror(left));
    }
    match (pair, &mut axle.layout) {
        (Pair::TieRod, _) => {
            let TieRod { left, right } = &mut axle.steering.as_mut()?.tie_rod;
            set(left, right, own, mirrored);
        }
        (Pair::Lower, Layout::RadiusArms { left, right, .. }) => {
            set(left, right, own, |arm| RadiusArm {
                axle_far: mirrored(&arm.axle_far),
                axle_near: mirrored(&arm.axle_near),
                chassis: mirrored(&arm.chassis),
            });
        }
        (Pair::Lower, Layout::LeafSprings { left, right, .. }) => {
            set(left, right, own, |spring| LeafSpring {
                seat: mirrored(&spring.seat),
                fixed_eye: mirrored(&spring.fixed_eye),
                shackle_eye: mirrored(&spring.shackle_eye),
                shackle_chassis: mirrored(&spring.shackle_chassis),
            });
        }
        (
            Pair::Lower,
            Layout::ThreeLink { lower_left: left, lower_right: right, .. }
            | Layout::FourLink { lower_left: left, lower_right: right, .. },
        )
        | (Pair::Upper, Layout::FourLink { upper_left: left, upper_right: right, .. }) => {
            set(left, right, own, mirrored_bar);
        }
        (Pair::Upper, _) => return None,
    }
    Some(())
}

/// What the drag link pushes on.
pub const fn steers(steering: &Steering) -> Steers {
    match (steering.pitman.shaft, steering.drag_link.joins, driver(steering)) {
        (Shaft::Across, ..) => Steers::ForeAft,
        (_, Joins::TieRod, _) => Steers::TieRod,
        (_, Joins::LeftKnuckle, Side::Left) | (_, Joins::RightKnuckle, Side::Right) => Steers::Near,
        _ => Steers::Far,
    }
}

/// The side the steering box, and so the driver, is on.
pub const fn driver(steering: &Steering) -> Side {
    if steering.pitman.pivot.y_mm.value < 0.0 { Side::Right } else { Side::Left }
}

/// Mirrors the whole linkage to the other side.
pub fn swap_driver(steering: &mut Steering) {
    let Steering { pitman, drag_link, tie_rod, .. } = steering;
    for point in [&mut pitman.pivot, &mut pitman.end, &mut drag_link.end] {
        negate(&mut point.y_mm);
    }
    drag_link.joins = match drag_link.joins {
        Joins::LeftKnuckle => Joins::RightKnuckle,
        Joins::RightKnuckle => Joins::LeftKnuckle,
        Joins::TieRod => Joins::TieRod,
    };
    if let Some(right) = &mut tie_rod.right {
        let left = mirrored(right);
        *right = mirrored(&tie_rod.left);
        tie_rod.left = left;
    }
}

/// True when the tie rod lies ahead of the axle.
pub const fn rod_ahead(steering: &Steering) -> bool {
    steering.tie_rod.left.x_mm.value > 0.0
}

/// Moves the tie rod to the other side of the axle. Ahead of it the joints stand as much outside
/// the steering axes as they stood inside behind it, so that the inner wheel still turns further.
pub fn move_rod(axle: &mut Axle) {
    let Some(kingpin) = &axle.kingpin else { return };
    let axis = axle.hub_face_width_mm.value / 2.0 - kingpin.hub_offset_mm.value;
    let Some(steering) = &mut axle.steering else { return };
    let TieRod { left, right } = &mut steering.tie_rod;
    for (joint, side) in std::iter::once(left).zip([1.0]).chain(right.iter_mut().zip([-1.0])) {
        negate(&mut joint.x_mm);
        joint.y_mm = Known::assumed(side * 2.0 * axis - joint.y_mm.value, 40.0);
    }
    if steers(steering) == Steers::TieRod {
        set_steers(steering, Steers::TieRod);
    }
}

/// Lets the drag link push on something else; its two ends and the box start from stand-ins.
pub fn set_steers(steering: &mut Steering, on: Steers) {
    let driver = driver(steering);
    let side = driver.sign();
    let (near, far) = match driver {
        Side::Left => (Joins::LeftKnuckle, Joins::RightKnuckle),
        Side::Right => (Joins::RightKnuckle, Joins::LeftKnuckle),
    };
    let point = |x: f64, y: f64, z: f64| Point {
        x_mm: Known::assumed(x, 40.0),
        y_mm: Known::assumed(y * side, 40.0),
        z_mm: Known::assumed(z, 25.0),
    };
    let typical = Steering::typical(driver);
    let pitman = |pivot, end, shaft| Pitman { pivot, end, shaft };
    let upright =
        |x: f64, y: f64| pitman(point(2.0 * x, y, 190.0), point(x, y, 150.0), Shaft::Upright);
    (steering.pitman, steering.drag_link.end, steering.drag_link.joins) = match on {
        Steers::Far => (typical.pitman, typical.drag_link.end, far),
        Steers::Near => (upright(170.0, 150.0), point(170.0, 555.0, 85.0), near),
        Steers::TieRod => {
            // On the rod's own line, three quarters of the way to the far joint.
            let TieRod { left, right } = &steering.tie_rod;
            let right = right.clone().unwrap_or_else(|| mirrored(left));
            let far = if driver == Side::Left { 0.875 } else { 0.125 };
            let at =
                |l: &Known, r: &Known| Known::assumed(l.value + (r.value - l.value) * far, 25.0);
            let joint = Point {
                x_mm: at(&left.x_mm, &right.x_mm),
                y_mm: at(&left.y_mm, &right.y_mm),
                z_mm: at(&left.z_mm, &right.z_mm),
            };
            (upright(170.0_f64.copysign(left.x_mm.value), 370.0), joint, Joins::TieRod)
        }
        Steers::ForeAft => (
            pitman(point(-650.0, 400.0, 260.0), point(-650.0, 400.0, 90.0), Shaft::Across),
            point(20.0, 470.0, 90.0),
            near,
        ),
    };
}

/// Moves the crank of a Watts linkage from the axle to the chassis, or back.
pub fn move_crank(watts: &mut Watts, on: Carrier) {
    if watts.crank_on == on {
        return;
    }
    watts.crank_on = on;
    for bar in [&mut watts.left, &mut watts.right] {
        std::mem::swap(&mut bar.axle, &mut bar.chassis);
    }
}

fn negate(known: &mut Known) {
    known.value = -known.value;
    known.entered = None;
}

fn mirrored(point: &Point) -> Point {
    let mut point = point.clone();
    negate(&mut point.y_mm);
    point
}

fn mirrored_bar(bar: &Bar) -> Bar {
    Bar { axle: mirrored(&bar.axle), chassis: mirrored(&bar.chassis) }
}
