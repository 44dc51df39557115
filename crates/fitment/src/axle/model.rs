//! One axle in one state, as numbers: the person's inputs read, the state's parts fitted.

use super::{
    linkage::{Arm, Bush, Link, Linkage, Members, Rates},
    parts,
    reader::{Input, Reader},
    readings,
    real::Real,
    rotation::about_y,
};
use crate::{
    tire::{self, TireError},
    truck::{Axis, Axle, Bar, BushRates, End, Layout, Part, Point, RadiusArm, Setup, Side, State},
};
use nalgebra::Vector3;

/// A steering axis in the axle's stock frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SteeringAxis<T> {
    /// Point on the axis at hub height, mm.
    pub point: Vector3<T>,
    /// Direction, upward; not of unit length.
    pub direction: Vector3<T>,
}

/// One axle in one state, resolved to numbers in mm and rad.
#[derive(Debug, Clone, PartialEq)]
pub struct AxleModel<T> {
    /// Which end of the truck.
    pub end: End,
    /// The linkage as designed: the position free of stress, and the branch every pose starts on.
    pub design: Linkage<T>,
    /// The linkage with the state's parts fitted.
    pub fitted: Linkage<T>,
    /// Rim centreline of the straight-ahead stock wheel from the truck's centreline, mm.
    pub stock_wheel_y: T,
    /// Rim centreline of this state's wheel, spacer included, from the truck's centreline, mm.
    pub wheel_y: T,
    /// Left and right steering axes; `None` on an axle that does not steer.
    pub steering: Option<[SteeringAxis<T>; 2]>,
    /// Axle centreline to pinion flange, axle's stock frame, mm.
    pub pinion: Vector3<T>,
    /// Pinion flange left of the centreline, mm.
    pub pinion_y: T,
    /// Left and right wheel travel as the truck rests in this state, mm: minus the lift.
    pub ride: [T; 2],
    /// Wheel centre to ground under load, mm.
    pub loaded_radius: T,
}

/// Why an axle cannot be read as numbers.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ModelError {
    /// The tire cannot be resolved.
    #[error("{state:?} tire: {error}")]
    Tire {
        /// State whose tire it is.
        state: State,
        /// What is wrong with it.
        error: TireError,
    },
    /// A part names a hole that its bracket does not have.
    #[error("part {part} names hole {hole}, but its bracket has {holes}: choose one of them")]
    Hole {
        /// Index of the part in the state's list.
        part: usize,
        /// Hole asked for.
        hole: usize,
        /// Holes there are.
        holes: usize,
    },
    /// A part does not go with the axle's layout.
    #[error("part {part} does not fit this layout: {why}")]
    Part {
        /// Index of the part in the state's list.
        part: usize,
        /// What it needs.
        why: &'static str,
    },
    /// A number is not finite.
    #[error("an input of the axle is not a finite number: correct it first")]
    NotFinite,
}

impl AxleModel<f64> {
    /// Reads an axle in a state.
    ///
    /// # Errors
    /// When the tire's size does not read, a part does not fit, or a number is not finite.
    pub fn of(axle: &Axle, end: End, state: State) -> Result<Self, ModelError> {
        Self::read(axle, end, state, &mut Reader::plain())
    }

    /// Every input the model depends on, in the order of [`AxleModel::read`].
    pub(crate) fn inputs(axle: &Axle, end: End, state: State) -> Result<Vec<Input>, ModelError> {
        let mut reader = Reader::listing();
        Self::read(axle, end, state, &mut reader)?;
        Ok(reader.into_list())
    }

    /// The same axle with other parts fitted: for trying corrections without re-reading inputs.
    ///
    /// # Errors
    /// When a part does not fit.
    pub fn with_parts(&self, fitted: &[Part]) -> Result<Self, ModelError> {
        let mut model = self.clone();
        model.fitted = model.design;
        parts::fit(&mut model.fitted, self.end, fitted, &mut Reader::plain())?;
        Ok(model)
    }
}

impl<T: Real> AxleModel<T> {
    /// Reads an axle in a state, input by input.
    pub(crate) fn read(
        axle: &Axle,
        end: End,
        state: State,
        r: &mut Reader,
    ) -> Result<Self, ModelError> {
        // The lift as it sits comes first: readings taken under the truck were taken at it.
        let now = r.within("sitting", |r| lift::<T>(&axle.sitting, r));
        let mut members = r.within("layout", |r| members(&axle.layout, r));
        let mut panhard = r.within("panhard", |r| link(&axle.panhard, r));
        r.within("readings", |r| {
            readings::lean_on(&axle.readings, &mut panhard, &mut members, now, r);
        });
        let design = Linkage { panhard, members };

        let hub = r.read::<T>("hub_face_width_mm", &axle.hub_face_width_mm) * 0.5;
        let stock_offset = r.within("stock", |r| {
            r.within("wheel", |r| r.read::<T>("offset_mm", &axle.stock.wheel.offset_mm))
        });
        let stock_wheel_y = hub - stock_offset;

        let setup = axle.setup(state);
        let tire = tire::resolve(&setup.tire, &setup.wheel)
            .map_err(|error| ModelError::Tire { state, error })?;
        let name = state_name(state);
        let mut fitted = design;
        let (ride, wheel_y, loaded_radius) = r.within(name, |r| {
            // Springs that stay as they are keep the lift that was measured, error and all.
            let same = setup.lift_mm == axle.sitting.lift_mm
                && setup.lift_right_mm == axle.sitting.lift_right_mm;
            let [left, right] = if same { now } else { lift::<T>(setup, r) };
            let offset = if state == State::Stock {
                stock_offset
            } else {
                r.within("wheel", |r| r.read::<T>("offset_mm", &setup.wheel.offset_mm))
            };
            let spacer = r.read::<T>("spacer_mm", &setup.spacer_mm);
            let radius = r.within("tire", |r| r.read::<T>("loaded_radius_mm", &tire.loaded_radius));
            parts::fit(&mut fitted, end, &setup.parts, r)?;
            Ok(([-left, -right], hub - offset + spacer, radius))
        })?;

        let steering = axle.kingpin.as_ref().map(|k| {
            r.within("kingpin", |r| {
                let caster = r.read_deg::<T>("caster_deg", &k.caster_deg);
                let inclination = r.read_deg::<T>("inclination_deg", &k.inclination_deg);
                let y = hub - r.read::<T>("hub_offset_mm", &k.hub_offset_mm);
                let x = r.read::<T>("hub_trail_mm", &k.hub_trail_mm);
                let up = T::from(1.0);
                let o = T::from(0.0);
                [1.0, -1.0].map(|side| SteeringAxis {
                    point: Vector3::new(x, y * side, o),
                    direction: Vector3::new(-caster.tan(), -inclination.tan() * side, up),
                })
            })
        });
        let (pinion, pinion_y) = r.within("pinion", |r| {
            let angle = r.read_deg::<T>("angle_deg", &axle.pinion.angle_deg);
            let length = r.read::<T>("length_mm", &axle.pinion.length_mm);
            let y = r.read::<T>("y_mm", &axle.pinion.y_mm);
            // The front flange looks rearward, the rear one forward.
            let ahead = if end == End::Front { -1.0 } else { 1.0 };
            (Vector3::new(length * angle.cos() * ahead, T::from(0.0), length * angle.sin()), y)
        });
        let model = Self {
            end,
            design,
            fitted,
            stock_wheel_y,
            wheel_y,
            steering,
            pinion,
            pinion_y,
            ride,
            loaded_radius,
        };
        if model.is_finite() { Ok(model) } else { Err(ModelError::NotFinite) }
    }

    /// The straight-ahead stock wheel centre of a side, axle's stock frame, mm.
    pub(crate) fn stock_wheel(&self, side: Side) -> Vector3<T> {
        let o = T::from(0.0);
        Vector3::new(o, self.stock_wheel_y * side.sign(), o)
    }

    /// The plain values.
    pub(crate) fn plain(&self) -> AxleModel<f64> {
        AxleModel {
            end: self.end,
            design: self.design.plain(),
            fitted: self.fitted.plain(),
            stock_wheel_y: self.stock_wheel_y.re(),
            wheel_y: self.wheel_y.re(),
            steering: self.steering.map(|axes| {
                axes.map(|a| SteeringAxis {
                    point: super::real::plain(&a.point),
                    direction: super::real::plain(&a.direction),
                })
            }),
            pinion: super::real::plain(&self.pinion),
            pinion_y: self.pinion_y.re(),
            ride: self.ride.map(|r| r.re()),
            loaded_radius: self.loaded_radius.re(),
        }
    }

    fn is_finite(&self) -> bool {
        let m = self.plain();
        let vec = |v: &Vector3<f64>| v.iter().all(|c| c.is_finite());
        let link = |l: &Link<f64>| vec(&l.axle) && vec(&l.chassis) && l.length.is_finite();
        let bush = |b: &Bush<f64>| {
            vec(&b.on_arm)
                && vec(&b.on_body)
                && b.set.is_finite()
                && vec(&b.rates.shift)
                && vec(&b.rates.turn)
        };
        let linkage = |l: &Linkage<f64>| {
            link(&l.panhard)
                && match &l.members {
                    Members::ThreeLinks(links) => links.iter().all(link),
                    Members::FourLinks(links) => links.iter().all(link),
                    Members::Arms(arms) => {
                        arms.iter().all(|a| bush(&a.far) && bush(&a.near) && bush(&a.eye))
                    }
                }
        };
        linkage(&m.design)
            && linkage(&m.fitted)
            && [m.stock_wheel_y, m.wheel_y, m.pinion_y, m.loaded_radius]
                .iter()
                .all(|v| v.is_finite())
            && m.ride.iter().all(|v| v.is_finite())
            && vec(&m.pinion)
            && m.steering.iter().flatten().all(|a| vec(&a.point) && vec(&a.direction))
    }
}

/// Lift at the left and right wheel.
fn lift<T: Real>(setup: &Setup, r: &mut Reader) -> [T; 2] {
    let left = r.read::<T>("lift_mm", &setup.lift_mm);
    [left, setup.lift_right_mm.as_ref().map_or(left, |k| r.read::<T>("lift_right_mm", k))]
}

/// The field name of a state, as paths spell it.
pub(crate) const fn state_name(state: State) -> &'static str {
    match state {
        State::Stock => "stock",
        State::Sitting => "sitting",
        State::Planned => "planned",
    }
}

fn point<T: Real>(p: &Point, r: &mut Reader) -> Vector3<T> {
    Vector3::new(r.read("x_mm", &p.x_mm), r.read("y_mm", &p.y_mm), r.read("z_mm", &p.z_mm))
}

fn link<T: Real>(bar: &Bar, r: &mut Reader) -> Link<T> {
    let axle = r.within("axle", |r| point(&bar.axle, r));
    let chassis = r.within("chassis", |r| point(&bar.chassis, r));
    Link::between(axle, chassis)
}

/// A right-hand link, or the mirror image of the left where none is given.
fn right_link<T: Real>(
    left: &Link<T>,
    right: Option<&Bar>,
    name: &'static str,
    r: &mut Reader,
) -> Link<T> {
    right.map_or_else(
        || Link {
            axle: mirrored(&left.axle),
            chassis: mirrored(&left.chassis),
            length: left.length,
        },
        |bar| r.within(name, |r| link(bar, r)),
    )
}

fn mirrored<T: Real>(v: &Vector3<T>) -> Vector3<T> {
    Vector3::new(v.x, -v.y, v.z)
}

fn members<T: Real>(layout: &Layout, r: &mut Reader) -> Members<T> {
    match layout {
        Layout::RadiusArms { left, right, axle_bush, chassis_bush } => {
            let axle_rates = r.within("axle_bush", |r| rates(axle_bush, r));
            let chassis_rates = r.within("chassis_bush", |r| rates(chassis_bush, r));
            let left = r.within("left", |r| arm(left, axle_rates, chassis_rates, r));
            let right = if let Some(right) = right {
                r.within("right", |r| arm(right, axle_rates, chassis_rates, r))
            } else {
                let mirror = |b: &Bush<T>| Bush {
                    on_arm: mirrored(&b.on_arm),
                    on_body: mirrored(&b.on_body),
                    ..*b
                };
                Arm { far: mirror(&left.far), near: mirror(&left.near), eye: mirror(&left.eye) }
            };
            Members::Arms([left, right])
        }
        Layout::ThreeLink { lower_left, lower_right, upper } => {
            let left = r.within("lower_left", |r| link(lower_left, r));
            let right = right_link(&left, lower_right.as_ref(), "lower_right", r);
            let upper = r.within("upper", |r| link(upper, r));
            Members::ThreeLinks([left, right, upper])
        }
        Layout::FourLink { lower_left, lower_right, upper_left, upper_right } => {
            let left = r.within("lower_left", |r| link(lower_left, r));
            let right = right_link(&left, lower_right.as_ref(), "lower_right", r);
            let up_left = r.within("upper_left", |r| link(upper_left, r));
            let up_right = right_link(&up_left, upper_right.as_ref(), "upper_right", r);
            Members::FourLinks([left, right, up_left, up_right])
        }
    }
}

fn arm<T: Real>(arm: &RadiusArm, axle: Rates<T>, chassis: Rates<T>, r: &mut Reader) -> Arm<T> {
    let mut bush = |name, p: &Point, rates| {
        let centre = r.within(name, |r| point(p, r));
        Bush { on_arm: centre, on_body: centre, set: T::from(0.0), rates }
    };
    Arm {
        far: bush("axle_far", &arm.axle_far, axle),
        near: bush("axle_near", &arm.axle_near, axle),
        eye: bush("chassis", &arm.chassis, chassis),
    }
}

fn rates<T: Real>(bush: &BushRates, r: &mut Reader) -> Rates<T> {
    // N·m per degree to N·mm per radian.
    const TURN: f64 = 1000.0 * 180.0 / std::f64::consts::PI;
    let radial = r.read::<T>("radial_n_per_mm", &bush.radial_n_per_mm);
    let axial = r.read::<T>("axial_n_per_mm", &bush.axial_n_per_mm);
    let conical = r.read::<T>("conical_nm_per_deg", &bush.conical_nm_per_deg) * TURN;
    let torsion = r.read::<T>("torsion_nm_per_deg", &bush.torsion_nm_per_deg) * TURN;
    let along = |own: T, across: T| match bush.axis {
        Axis::Lateral => Vector3::new(across, own, across),
        Axis::Longitudinal => Vector3::new(own, across, across),
    };
    Rates { shift: along(axial, radial), turn: along(torsion, conical) }
}

/// Turns a radius arm's seat on the axle: eccentric bushes turn the axle by `-about_y` the other way.
pub(super) fn turn_in_arms<T: Real>(arm: &mut Arm<T>, caster: T) {
    // Adding caster leans the axle's top rearward: a negative turn about y of the axle in its arms,
    // which in the axle's own frame moves the bush centres the opposite way.
    let middle = (arm.far.on_body + arm.near.on_body) * T::from(0.5);
    let turn = about_y(caster);
    for bush in [&mut arm.far, &mut arm.near] {
        bush.on_body = middle + turn * (bush.on_body - middle);
        bush.set -= caster;
    }
}
