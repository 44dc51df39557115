//! One axle in one state, as numbers: the person's inputs read, the state's parts fitted.

use super::{
    line::{BrakeLine, DriveLine},
    linkage::{Bush, Link, Linkage, Members, vector},
    members::{link, members, watts},
    parts,
    reader::{Input, Reader},
    readings,
    real::Real,
    steering::SteeringLinkage,
};
use crate::{
    tire::{self, TireDims, TireError},
    truck::{Axle, Bar, End, Kingpin, Part, Setup, Side, State, Truck},
};
use nalgebra::Vector3;
use num_dual::Dual64;
use std::sync::Arc;

/// A steering axis in the axle's stock frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SteeringAxis<T> {
    /// Point on the axis at hub height, mm.
    pub point: Vector3<T>,
    /// Direction, upward; not of unit length.
    pub direction: Vector3<T>,
}

/// What the rest of the truck has to do with an axle's answers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Around<T> {
    /// Stock wheelbase, mm.
    pub wheelbase: T,
    /// Center of gravity above ground in this state: the stock height, and all the truck's weight
    /// raised by the mean lift and by the larger tire, mm.
    pub cg_height: T,
    /// The front wheels' share of the braking force, 0 to 1.
    pub front_brake: T,
    /// The front wheels' share of the driving force, 0 to 1.
    pub front_drive: T,
    /// Overall diameter of the state's tire, mm.
    pub tire_diameter: T,
}

/// What a state's wheels, tires, spacers and springs come to, before or with its parts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Rolling<T> {
    /// Lift of the left and the right side, mm.
    pub lift: [T; 2],
    pub offset: T,
    pub spacer: T,
    pub loaded_radius: T,
    pub tire_diameter: T,
}

/// What parts change, as it is without any.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Bare<T> {
    pub rolling: Rolling<T>,
    steering: Option<[SteeringAxis<T>; 2]>,
    turning: Option<SteeringLinkage<T>>,
    driveline: Option<DriveLine<T>>,
    hose: Option<BrakeLine<T>>,
    /// Wheel mounting face from the truck's centreline, mm.
    hub: T,
    /// Center of gravity above ground with the truck stock, less the stock tire's loaded radius, mm.
    cg_over_hub: T,
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
    /// What turns the knuckles; `None` where nothing is known of it.
    pub turning: Option<SteeringLinkage<T>>,
    /// The left coil spring, seat to seat.
    pub spring: Option<Link<T>>,
    /// The left shock, eye to eye.
    pub shock: Option<Link<T>>,
    /// Axle centreline to pinion flange, axle's stock frame, mm.
    pub pinion: Vector3<T>,
    /// Pinion flange left of the centreline, mm.
    pub pinion_y: T,
    /// Left and right wheel travel as the truck rests in this state, mm: minus the lift.
    pub ride: [T; 2],
    /// Wheel centre to ground under load, mm.
    pub loaded_radius: T,
    /// The rest of the truck.
    pub around: Around<T>,
    /// How far the middle of both arms stands off the straight line: forward, outboard, up, mm.
    pub bend: Option<Vector3<T>>,
    /// The knuckles' turn on the axle's ends, rad; positive added caster.
    pub flange: T,
    /// The driveshaft; `None` where nothing is known of it.
    pub driveline: Option<DriveLine<T>>,
    /// The brake hose; `None` where nothing is known of it.
    pub hose: Option<BrakeLine<T>>,
    /// The same without its parts.
    pub(super) bare: Bare<T>,
}

/// Why an axle cannot be read as numbers.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ModelError {
    /// The truck has no such axle.
    #[error("this build has no {end:?} axle: fill it in, or ask for the other one")]
    NoAxle {
        /// Which end.
        end: End,
    },
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

/// What a model is read from, with the tires already looked up.
pub(crate) struct Source<'a> {
    truck: &'a Truck,
    axle: &'a Axle,
    end: End,
    pub(super) state: State,
    stock_tire: TireDims,
    tire: TireDims,
}

impl<'a> Source<'a> {
    /// # Errors
    /// When there is no such axle or a tire's size does not read.
    pub fn of(truck: &'a Truck, end: End, state: State) -> Result<Self, ModelError> {
        let axle = truck.axle(end).ok_or(ModelError::NoAxle { end })?;
        let tire = |state: State| {
            let setup = axle.setup(state);
            tire::resolve(&setup.tire, &setup.wheel)
                .map_err(|error| ModelError::Tire { state, error })
        };
        let tire_now = tire(state)?;
        Ok(Self { truck, axle, end, state, stock_tire: tire(State::Stock)?, tire: tire_now })
    }

    /// Every input the model depends on, in the order of [`AxleModel::read`], with other values in
    /// place of the inputs' own where some are given.
    pub fn inputs(
        &self,
        values: Option<&Arc<[f64]>>,
    ) -> Result<(Box<AxleModel<f64>>, Vec<Input>), ModelError> {
        let mut reader = Reader::listing().with(values);
        let model = AxleModel::read(self, &mut reader)?;
        Ok((model, reader.into_list()))
    }
}

impl AxleModel<f64> {
    /// Reads an axle in a state.
    ///
    /// # Errors
    /// When there is no such axle, a tire's size does not read, a part does not fit, or a number is
    /// not finite.
    pub fn of(truck: &Truck, end: End, state: State) -> Result<Self, ModelError> {
        Ok(*Self::read(&Source::of(truck, end, state)?, &mut Reader::plain())?)
    }

    /// The same axle with other parts fitted: for trying corrections without re-reading inputs.
    ///
    /// # Errors
    /// When a part does not fit.
    pub fn with_parts<'a>(
        &self,
        fitted: impl IntoIterator<Item = &'a Part>,
    ) -> Result<Self, ModelError> {
        let mut model = self.clone();
        model.fitted = model.design;
        model.steering = model.bare.steering;
        model.turning = model.bare.turning;
        model.driveline = model.bare.driveline;
        model.hose = model.bare.hose;
        (model.bend, model.flange) = (None, 0.0);
        parts::fit(&mut model, fitted, &mut Reader::plain())?;
        Ok(model)
    }

    /// The same axle on rubber of another stiffness: every bush's rates times `share`. Leaves keep
    /// theirs, since steel does not wear soft.
    #[must_use]
    pub fn with_rubber(&self, share: f64) -> Self {
        let mut model = self.clone();
        for linkage in [&mut model.design, &mut model.fitted] {
            let soften = |bush: &mut Bush<f64>| {
                bush.rates.shift *= share;
                bush.rates.turn *= share;
            };
            match &mut linkage.members {
                Members::ThreeLinks(_) | Members::FourLinks(_) => {}
                Members::Arms(arms) => {
                    for arm in arms {
                        arm.to_axle.iter_mut().flatten().for_each(soften);
                        arm.to_chassis.iter_mut().for_each(soften);
                    }
                }
                Members::Leaves(leaves) => {
                    for limb in leaves.as_flattened_mut() {
                        limb.to_chassis.iter_mut().for_each(soften);
                        limb.to_next.iter_mut().for_each(soften);
                    }
                }
            }
        }
        model
    }
}

impl AxleModel<Dual64> {
    /// Whether any of what a pose hangs on moves with the input that is followed.
    pub(crate) fn moves(&self, travel: [Dual64; 2]) -> bool {
        let mut moves = false;
        let mut look = |v: Dual64| {
            moves |= v.eps != 0.0;
            v
        };
        self.fitted.map(&mut look);
        for v in [self.stock_wheel_y, travel[0], travel[1]] {
            look(v);
        }
        moves
    }
}

impl<T: Real> AxleModel<T> {
    /// Reads an axle in a state, input by input.
    // On the heap: many kilobytes, handed from one to the next.
    pub(crate) fn read(source: &Source<'_>, r: &mut Reader) -> Result<Box<Self>, ModelError> {
        let Source { truck, axle, end, state, .. } = *source;
        // The lift as it sits comes first: readings taken under the truck were taken at it.
        let now = r.within("sitting", |r| lift::<T>(&axle.sitting, r));
        let mut members = r.within("layout", |r| members(&axle.layout, r));
        let mut panhard = axle.panhard.as_ref().map(|bar| r.within("panhard", |r| link(bar, r)));
        let watts = axle.watts.as_ref().map(|w| r.within("watts", |r| watts(w, r)));
        r.within("readings", |r| {
            readings::lean_on(&axle.readings, panhard.as_mut(), &mut members, now, r);
        });
        let design = Linkage { panhard, watts, members };

        let hub = r.read::<T>("hub_face_width_mm", &axle.hub_face_width_mm) * 0.5;
        let (stock_offset, stock_radius) = r.within("stock", |r| {
            let offset =
                r.within("wheel", |r| r.read::<T>("offset_mm", &axle.stock.wheel.offset_mm));
            (offset, loaded_radius::<T>(&source.stock_tire, r))
        });
        let stock_wheel_y = hub - stock_offset;

        let steering = axle.kingpin.as_ref().map(|k| r.within("kingpin", |r| axes(k, hub, r)));
        let turning = axle
            .steering
            .as_ref()
            .filter(|_| steering.is_some())
            .map(|s| r.within("steering", |r| SteeringLinkage::read(s, r)));

        let setup = axle.setup(state);
        let rolling = r.within(state_name(state), |r| {
            // Springs that stay as they are keep the lift that was measured, error and all.
            let same = setup.lift_mm == axle.sitting.lift_mm
                && setup.lift_right_mm == axle.sitting.lift_right_mm;
            let lift = if same { now } else { lift::<T>(setup, r) };
            let (offset, loaded_radius) = if state == State::Stock {
                (stock_offset, stock_radius)
            } else {
                let offset =
                    r.within("wheel", |r| r.read::<T>("offset_mm", &setup.wheel.offset_mm));
                (offset, loaded_radius::<T>(&source.tire, r))
            };
            let spacer = r.read::<T>("spacer_mm", &setup.spacer_mm);
            let tire_diameter =
                r.within("tire", |r| r.read::<T>("diameter_mm", &source.tire.diameter));
            Rolling { lift, offset, spacer, loaded_radius, tire_diameter }
        });

        let (pinion, pinion_y) = r.within("pinion", |r| {
            let angle = r.read_deg::<T>("angle_deg", &axle.pinion.angle_deg);
            let length = r.read::<T>("length_mm", &axle.pinion.length_mm);
            let y = r.read::<T>("y_mm", &axle.pinion.y_mm);
            // The front flange looks rearward, the rear one forward.
            let ahead = if end == End::Front { -1.0 } else { 1.0 };
            (Vector3::new(length * angle.cos() * ahead, T::from(0.0), length * angle.sin()), y)
        });
        let mut mount =
            |name, bar: &Option<Bar>| bar.as_ref().map(|bar| r.within(name, |r| link(bar, r)));
        let spring = mount("spring", &axle.spring);
        let shock = mount("shock", &axle.shock);
        let flange = pinion + Vector3::new(T::from(0.0), pinion_y, T::from(0.0));
        let driveline = axle
            .driveline
            .as_ref()
            .map(|line| r.within("driveline", |r| DriveLine::read(line, &flange, end, r)));
        let hose = axle.hose.as_ref().map(|hose| r.within("hose", |r| BrakeLine::read(hose, r)));
        let around = r.within("truck", |r| {
            let wheelbase = r.read::<T>("wheelbase_mm", &truck.wheelbase_mm);
            r.within("balance", |r| {
                let b = &truck.balance;
                Around {
                    wheelbase,
                    cg_height: r.read::<T>("cg_height_mm", &b.cg_height_mm),
                    front_brake: r.read::<T>("front_brake_percent", &b.front_brake_percent) * 0.01,
                    front_drive: r.read::<T>("front_drive_percent", &b.front_drive_percent) * 0.01,
                    tire_diameter: rolling.tire_diameter,
                }
            })
        });
        let cg_over_hub = around.cg_height - stock_radius;
        let mut model = Box::new(Self {
            end,
            design,
            fitted: design,
            stock_wheel_y,
            wheel_y: stock_wheel_y,
            steering,
            turning,
            spring,
            shock,
            pinion,
            pinion_y,
            ride: rolling.lift,
            loaded_radius: rolling.loaded_radius,
            around,
            bend: None,
            flange: T::from(0.0),
            driveline,
            hose,
            bare: Bare { rolling, steering, turning, driveline, hose, hub, cg_over_hub },
        });
        r.within(state_name(state), |r| parts::fit(&mut model, &setup.parts, r))?;
        if model.is_finite() { Ok(model) } else { Err(ModelError::NotFinite) }
    }

    /// Takes over what wheels, tires, spacers and springs come to.
    pub(super) fn roll_on(&mut self, rolling: &Rolling<T>) {
        let Rolling { lift: [left, right], offset, spacer, loaded_radius, tire_diameter } =
            *rolling;
        let Bare { hub, cg_over_hub, .. } = self.bare;
        self.ride = [-left, -right];
        self.wheel_y = hub - offset + spacer;
        self.loaded_radius = loaded_radius;
        self.around.tire_diameter = tire_diameter;
        self.around.cg_height = cg_over_hub + loaded_radius + (left + right) * 0.5;
    }

    /// The straight-ahead stock wheel centre of a side, axle's stock frame, mm.
    pub(crate) fn stock_wheel(&self, side: Side) -> Vector3<T> {
        let o = T::from(0.0);
        Vector3::new(o, self.stock_wheel_y * side.sign(), o)
    }

    fn is_finite(&self) -> bool {
        let mut fine = true;
        let mut look = |v: T| {
            fine &= v.re().is_finite();
            v
        };
        self.design.map(&mut look);
        self.fitted.map(&mut look);
        if let Some(turning) = &self.turning {
            turning.each(&mut look);
        }
        for axis in self.steering.iter().flatten() {
            vector(&axis.point, &mut look);
            vector(&axis.direction, &mut look);
        }
        for link in [&self.spring, &self.shock].into_iter().flatten() {
            link.map(&mut look);
        }
        vector(&self.pinion, &mut look);
        if let Some(bend) = &self.bend {
            vector(bend, &mut look);
        }
        if let Some(line) = &self.driveline {
            line.each(&mut look);
        }
        if let Some(hose) = &self.hose {
            hose.each(&mut look);
        }
        let a = &self.around;
        for v in [
            self.stock_wheel_y,
            self.flange,
            self.wheel_y,
            self.pinion_y,
            self.loaded_radius,
            self.ride[0],
            self.ride[1],
            a.wheelbase,
            a.cg_height,
            a.front_brake,
            a.front_drive,
            a.tire_diameter,
        ] {
            look(v);
        }
        fine
    }
}

fn loaded_radius<T: Real>(tire: &TireDims, r: &mut Reader) -> T {
    r.within("tire", |r| r.read::<T>("loaded_radius_mm", &tire.loaded_radius))
}

/// Left and right steering axis, the wheel mounting face `hub` from the truck's centreline.
fn axes<T: Real>(k: &Kingpin, hub: T, r: &mut Reader) -> [SteeringAxis<T>; 2] {
    let caster = r.read_deg::<T>("caster_deg", &k.caster_deg);
    let inclination = r.read_deg::<T>("inclination_deg", &k.inclination_deg);
    let y = hub - r.read::<T>("hub_offset_mm", &k.hub_offset_mm);
    let x = r.read::<T>("hub_trail_mm", &k.hub_trail_mm);
    let (o, up) = (T::from(0.0), T::from(1.0));
    [1.0, -1.0].map(|side| SteeringAxis {
        point: Vector3::new(x, y * side, o),
        direction: Vector3::new(-caster.tan(), -inclination.tan() * side, up),
    })
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
