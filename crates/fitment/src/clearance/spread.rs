//! How sure a clearance is: the inputs it hangs on, each moved by one standard deviation.
//!
//! At the position of the contact, each input is moved up and down by its own sigma and the
//! clearance taken again; half the difference is that input's share, and the shares add as squares
//! (JCGM 100, 5.1.2 and 5.1.3 note 2). Moved are the obstacle's own measurements, all that the tire's
//! section is drawn from, the wheel's inside and, at the end of the travel or steer, that limit. What the
//! axle's own inputs add (hardpoints, bushes, parts, kingpins, wheel offset, spacer and the rest) is
//! taken from exact slopes through the solved pose.

use super::contact::{CONTACT_TOLERANCE_MM, Contact, Found};
use super::fit::Setting;
use super::hub::Hub;
use super::motion::{Place, Station};
use super::obstacle::{Around, Carried, Obstacle};
use super::slow::Pace;
use super::solid::TireSolid;
use crate::axle::{self, Input};
use crate::measure::Known;
use crate::tire::TireDims;
use crate::truck::{Shape, Surroundings};
use crate::wheel;
use nalgebra::Vector3;

/// About how many positions of a map take as long as one measurement moved up and down, and as the
/// slopes by one input per pose's cost.
const MOVE_COST: usize = 40;
const SLOPE_COST: usize = 20;

/// What a spread is worked out from.
pub(super) struct Inputs<'a> {
    pub setting: &'a Setting,
    pub around: &'a Around,
    /// The obstacle's number.
    pub obstacle: usize,
}

impl Inputs<'_> {
    /// Fills in a contact's sigma and driver.
    pub async fn spread(&self, found: Found, pace: &Pace) -> Contact {
        let Found { mut contact, station } = found;
        let mut sum = Sum { contact: &contact, shares: Vec::new() };
        self.obstacle(&mut sum, &station, pace).await;
        self.linkage(&mut sum, &station, pace).await;
        self.tire(&mut sum, &station, pace).await;
        self.limits(&mut sum, &station);
        let shares = sum.shares;
        let most = shares.iter().max_by(|a, b| a.1.abs().total_cmp(&b.1.abs()));
        contact.driver = most.map(|(path, _)| path.clone());
        contact.sigma_mm = shares.iter().map(|(_, by)| by * by).sum::<f64>().sqrt();
        contact.shares = shares;
        contact
    }

    fn clearance(&self, around: &Around, place: &Place) -> Option<f64> {
        around
            .least(self.obstacle, place, CONTACT_TOLERANCE_MM, f64::INFINITY)
            .map(|least| least.distance)
    }

    fn place<'s>(&'s self, station: &'s Station, contact: &Contact) -> Place<'s> {
        Place::of(&self.setting.motion, station, contact.side, contact.steer_rad)
    }

    async fn obstacle(&self, sum: &mut Sum<'_>, station: &Station, pace: &Pace) {
        let contact = sum.contact;
        let place = self.place(station, contact);
        let Setting { axle, state, hub, .. } = self.setting;
        let count = fields(&mut axle.around(*state), contact.obstacle).len();
        for index in 0..count {
            let mut path = String::new();
            let [up, down] = [1.0, -1.0].map(|way| {
                let mut around = axle.around(*state);
                let (name, known) = fields(&mut around, contact.obstacle).into_iter().nth(index)?;
                path = name;
                known.value += way * known.sigma;
                let around = Around::of(&around, contact.side, hub).ok()?;
                self.clearance(&around, &place)
            });
            sum.add(up, down, || format!("surroundings.{path}"));
            pace.spend(MOVE_COST).await;
        }
    }

    /// The axle's own inputs.
    async fn linkage(&self, sum: &mut Sum<'_>, station: &Station, pace: &Pace) {
        let contact = sum.contact;
        for (input, slope) in self.slopes(contact, station, pace).await {
            let (here, by) = (contact.clearance_mm, slope * input.sigma);
            sum.add(Some(here + by), Some(here - by), || input.path);
        }
    }

    /// How the clearance goes with each of the axle's own inputs, the travel and steer held, by exact
    /// slopes: how fast the nearest points of the tire and of the obstacle part.
    async fn slopes(&self, contact: &Contact, station: &Station, pace: &Pace) -> Vec<(Input, f64)> {
        let carried = self.around.carried(self.obstacle);
        if carried == Carried::ByKnuckle {
            return Vec::new();
        }
        let Setting { truck, end, state, motion, .. } = self.setting;
        let (side, steer) = (contact.side, contact.steer_rad);
        let place = self.place(station, contact);
        let mut pose = station.pose;
        pose.axle.shift.x -= motion.forward;
        let travel = station.travel;
        let (end, state) = (*end, *state);
        let way = self.around.outward(self.obstacle, &place, &contact.at_truck);
        let wheel = motion.model.wheel(&station.pose, side, steer);
        let share = |from: Vector3<f64>, to: Vector3<f64>| {
            let along = to - from;
            ((contact.at_truck - from).dot(&along) / along.norm_squared()).clamp(0.0, 1.0)
        };
        let Some(by_input) = self.setting.by_input() else { return Vec::new() };
        let at = axle::At { truck, end, state, by_input, travel, pose: &pose, side, steer };
        let slope = |moves: axle::Moves| {
            let carrier = place.axle();
            let of_truck = match carried {
                Carried::ByChassis | Carried::ByKnuckle => Vector3::zeros(),
                Carried::ByAxle => moves.of_axle(carrier, &contact.at_truck),
                Carried::Between(from, to) => {
                    let from = carrier.point(&from);
                    moves.of_axle(carrier, &from) * (1.0 - share(from, to))
                }
                Carried::AsArm => {
                    let arms = axle::lower_members(&motion.model, &station.pose);
                    let (from, to) = arms[side.index()];
                    moves.of_arm(share(from, to))
                }
            };
            let slope = way.dot(&(of_truck - moves.of_tire(&wheel, &contact.at_tire)));
            (moves.input, slope)
        };
        let mut slopes = Vec::new();
        for moves in axle::moves(&at) {
            slopes.push(slope(moves));
            pace.spend(SLOPE_COST * motion.pose_cost()).await;
        }
        slopes
    }

    async fn tire(&self, sum: &mut Sum<'_>, station: &Station, pace: &Pace) {
        let contact = sum.contact;
        let Setting { axle, dims, grown, hub, motion, .. } = self.setting;
        let (state, setup) =
            (crate::axle::state_name(self.setting.state), &*axle.fitted(self.setting.state));
        let place = self.place(station, contact);
        let posed = place.tire;
        let with = |solid: Option<TireSolid>, outboard: f64| {
            let tire = solid?.at(posed.centre + posed.axis * outboard, posed.axis);
            self.clearance(self.around, &place.with(tire))
        };
        let both = |by: f64, take: &dyn Fn(f64) -> Option<f64>| {
            if by > 0.0 { (take(by), take(-by)) } else { (None, None) }
        };
        let solid = &motion.solid;
        let (up, down) =
            both(dims.diameter.sigma / 2.0, &|by| with(solid.grown(by, 0.0).ok(), 0.0));
        sum.add(up, down, || format!("{state}.tire.diameter_mm"));
        for (path, of) in SECTION {
            let Some(known) = of(&mut dims.clone()).map(|known| known.clone()) else { continue };
            let (up, down) = both(known.sigma, &|by| {
                let mut dims = dims.clone();
                of(&mut dims)?.value += by;
                with(TireSolid::fitted(&dims, setup, *grown).ok(), 0.0)
            });
            sum.add(up, down, || format!("{state}.tire.{path}"));
            pace.spend(MOVE_COST).await;
        }
        let packing = setup.packing_mm.as_ref().map_or(0.0, |packing| packing.sigma);
        let (up, down) =
            both(packing, &|by| with(TireSolid::of(solid.profile().packed(by)).ok(), 0.0));
        sum.add(up, down, || format!("{state}.packing_mm"));
        let about = |hub: &Hub| {
            let around = Around::of(&axle.around(self.setting.state), contact.side, hub).ok()?;
            self.clearance(&around, &place)
        };
        let bulge = dims.bulge();
        let (up, down) = both(bulge.sigma, &|by| about(&hub.bulging(bulge.value + by)));
        sum.add(up, down, || format!("{state}.tire.loaded_radius_mm"));
        if self.around.turns(self.obstacle) {
            let inside = wheel::inside(&setup.wheel, dims.rim_diameter_mm);
            let (up, down) = both(inside.sigma, &|by| about(&hub.hollowed(by, 0.0)));
            sum.add(up, down, || format!("{state}.wheel.inside_mm"));
            let spoke = wheel::spoke(&setup.wheel);
            let (up, down) = both(spoke.sigma, &|by| about(&hub.hollowed(0.0, by)));
            sum.add(up, down, || format!("{state}.wheel.spoke_mm"));
        }
    }

    /// At the end of the steer or travel, how far that end may be off.
    fn limits(&self, sum: &mut Sum, station: &Station) {
        let contact = sum.contact;
        let (domain, limits) = (&self.setting.motion.domain, &self.setting.axle.limits);
        let turned = |by: f64| {
            let steer = contact.steer_rad + by;
            let place = Place::of(&self.setting.motion, station, contact.side, steer);
            self.clearance(self.around, &place)
        };
        let [right, left] = domain.steer_rad[contact.side.index()];
        let at_lock = contact.steer_rad <= right || contact.steer_rad >= left;
        if at_lock && domain.lock_rad > 0.0 {
            let by = limits.lock_deg.sigma.to_radians();
            sum.add(turned(by), turned(-by), || "limits.lock_deg".into());
        }
        let travels = contact.travels_mm();
        for (end, path, sigma) in [
            (domain.bump_mm, "limits.bump_mm", limits.bump_mm.sigma),
            (domain.droop_mm, "limits.droop_mm", limits.droop_mm.sigma),
        ] {
            let at_end = travels.map(|travel| (travel - end).abs() <= 0.0);
            let moved = |by: f64| {
                let mut travels = travels;
                for (travel, at_end) in travels.iter_mut().zip(at_end) {
                    *travel += if at_end { by } else { 0.0 };
                }
                let other = self.setting.motion.station_near(travels, &station.pose)?;
                self.clearance(self.around, &self.place(&other, contact))
            };
            if at_end.contains(&true) {
                sum.add(moved(sigma), moved(-sigma), || path.into());
            }
        }
    }
}

/// The shares so far.
struct Sum<'a> {
    contact: &'a Contact,
    shares: Vec<(String, f64)>,
}

impl Sum<'_> {
    /// Adds one input's share. Where a move leaves nothing to measure, the other one counts.
    fn add(&mut self, up: Option<f64>, down: Option<f64>, path: impl FnOnce() -> String) {
        let here = self.contact.clearance_mm;
        let share = match (up, down) {
            (Some(up), Some(down)) => 0.5 * (up - down),
            (Some(up), None) => up - here,
            (None, Some(down)) => here - down,
            (None, None) => 0.0,
        };
        // What two answers may differ by for being approximate is no share.
        if share.abs() > CONTACT_TOLERANCE_MM {
            self.shares.push((path(), share));
        }
    }
}

/// What a tire's section is drawn from, besides its diameter, by the tire's field.
type OfDims = fn(&mut TireDims) -> Option<&mut Known>;
const SECTION: [(&str, OfDims); 5] = [
    ("section_mm", |dims| Some(&mut dims.section)),
    ("tread_mm", |dims| Some(&mut dims.tread)),
    ("crown_mm", |dims| Some(&mut dims.crown)),
    ("shoulder_mm", |dims| dims.shoulder.as_mut().map(|shoulder| &mut shoulder.width)),
    ("shoulder_drop_mm", |dims| dims.shoulder.as_mut().map(|shoulder| &mut shoulder.drop)),
];

/// An obstacle's own measurements, by their path within the surroundings.
fn fields(around: &mut Surroundings, obstacle: Obstacle) -> Vec<(String, &mut Known)> {
    let (of, list): (String, Vec<(String, &mut Known)>) = match obstacle {
        Obstacle::Rail => (
            "rail".into(),
            around.rail.as_mut().map_or_else(Vec::new, |r| {
                named_fields([
                    ("outer_mm", &mut r.outer_mm),
                    ("bottom_mm", &mut r.bottom_mm),
                    ("top_mm", &mut r.top_mm),
                    ("front_mm", &mut r.front_mm),
                    ("rear_mm", &mut r.rear_mm),
                ])
            }),
        ),
        Obstacle::Arch => (
            "arch".into(),
            around.arch.as_mut().map_or_else(Vec::new, |a| {
                named_fields([
                    ("top_mm", &mut a.top_mm),
                    ("front_mm", &mut a.front_mm),
                    ("rear_mm", &mut a.rear_mm),
                    ("lip_mm", &mut a.lip_mm),
                    ("inner_mm", &mut a.inner_mm),
                ])
            }),
        ),
        Obstacle::Arm => {
            let radius = around.arm_radius_mm.as_mut();
            return radius.map(|r| ("arm_radius_mm".into(), r)).into_iter().collect();
        }
        Obstacle::Thing(number) => {
            let thing = around.things.get_mut(usize::from(number));
            let list = thing.map_or_else(Vec::new, |thing| shape_fields(&mut thing.shape));
            (format!("things[{number}].shape"), list)
        }
    };
    list.into_iter().map(|(name, known)| (format!("{of}.{name}"), known)).collect()
}

fn named_fields<'a, const N: usize>(
    list: [(&str, &'a mut Known); N],
) -> Vec<(String, &'a mut Known)> {
    list.into_iter().map(|(name, known)| (name.to_owned(), known)).collect()
}

/// A shape's measurements by their path within it.
fn shape_fields(shape: &mut Shape) -> Vec<(String, &mut Known)> {
    match shape {
        Shape::Box { front_mm, rear_mm, inner_mm, outer_mm, bottom_mm, top_mm } => named_fields([
            ("front_mm", front_mm),
            ("rear_mm", rear_mm),
            ("inner_mm", inner_mm),
            ("outer_mm", outer_mm),
            ("bottom_mm", bottom_mm),
            ("top_mm", top_mm),
        ]),
        Shape::Bar { from, to, radius_mm } => named_fields([
            ("from.x_mm", &mut from.x_mm),
            ("from.y_mm", &mut from.y_mm),
            ("from.z_mm", &mut from.z_mm),
            ("to.x_mm", &mut to.x_mm),
            ("to.y_mm", &mut to.y_mm),
            ("to.z_mm", &mut to.z_mm),
            ("radius_mm", radius_mm),
        ]),
        Shape::Outline { view: _, corners, from_mm, to_mm } => {
            let mut list = named_fields([("from_mm", from_mm), ("to_mm", to_mm)]);
            for (at, corner) in corners.iter_mut().enumerate() {
                list.push((format!("corners[{at}].a_mm"), &mut corner.a_mm));
                list.push((format!("corners[{at}].b_mm"), &mut corner.b_mm));
            }
            list
        }
        Shape::InsideWheel { reach_mm, inboard_mm, outboard_mm } => named_fields([
            ("reach_mm", reach_mm),
            ("inboard_mm", inboard_mm),
            ("outboard_mm", outboard_mm),
        ]),
    }
}

#[cfg(test)]
mod tests {
    use super::super::domain::Options;
    use super::super::fit::fit;
    use super::super::slow::at_once;
    use super::*;
    use crate::truck::{Axle, End, Layout, State, Thing, ThingKind, Truck};

    type Field = fn(&mut Axle) -> Option<&mut Known>;
    const FIELDS: [(&str, Field); 7] = [
        ("hub_face_width_mm", |a| Some(&mut a.hub_face_width_mm)),
        ("planned.wheel.offset_mm", |a| Some(&mut a.planned.wheel.offset_mm)),
        ("kingpin.caster_deg", |a| a.kingpin.as_mut().map(|k| &mut k.caster_deg)),
        ("kingpin.hub_offset_mm", |a| a.kingpin.as_mut().map(|k| &mut k.hub_offset_mm)),
        ("panhard.axle.z_mm", |a| a.panhard.as_mut().map(|p| &mut p.axle.z_mm)),
        ("layout.left.chassis.z_mm", |a| match &mut a.layout {
            Layout::RadiusArms { left, .. } => Some(&mut left.chassis.z_mm),
            _ => None,
        }),
        ("layout.left.axle_near.x_mm", |a| match &mut a.layout {
            Layout::RadiusArms { left, .. } => Some(&mut left.axle_near.x_mm),
            _ => None,
        }),
    ];

    #[test]
    fn slopes_are_the_rates_of_the_clearance() {
        let mut truck = Truck::example();
        let things = &mut truck.front.as_mut().unwrap().surroundings.things;
        *things = [ThingKind::Shock, ThingKind::SwayBar, ThingKind::BodyMount]
            .map(|kind| Thing::new(kind, End::Front))
            .into();
        let (end, state, options) = (End::Front, State::Planned, Options::coarse());
        let setting = Setting::of(&truck, end, state, &options).unwrap();
        let mut compared = 0;
        for contact in fit(&truck, end, state, &options).unwrap().contacts {
            // Deep in the tire two faces may be equally near, and the rate has a corner.
            if contact.clearance_mm < 0.0 {
                continue;
            }
            compared += 1;
            let around = setting.around(contact.side);
            let obstacle = around.find(contact.obstacle).unwrap();
            let station = setting.motion.station(contact.travels_mm(), None).unwrap();
            let inputs = Inputs { setting: &setting, around, obstacle };
            let slopes = at_once(async |pace| inputs.slopes(&contact, &station, &pace).await);
            for (path, field) in FIELDS {
                let got = slopes.iter().find(|(input, _)| input.path == path);
                let Some((_, got)) = got else {
                    assert_eq!(around.carried(obstacle), Carried::ByKnuckle, "{path}");
                    continue;
                };
                let step = 0.2;
                let [up, down] = [step, -step].map(|by| {
                    let mut truck = truck.clone();
                    field(truck.front.as_mut().unwrap()).unwrap().value += by;
                    let moved = Setting::of(&truck, end, state, &options).unwrap();
                    let station = moved.motion.station(contact.travels_mm(), None).unwrap();
                    let place = Place::of(&moved.motion, &station, contact.side, contact.steer_rad);
                    let least =
                        moved.around(contact.side).least(obstacle, &place, 1e-6, f64::INFINITY);
                    least.unwrap().distance
                });
                let want = (up - down) / (2.0 * step);
                assert!(
                    (got - want).abs() < 0.02 + 0.02 * want.abs(),
                    "{:?} {:?} {path}: {got}, want {want}",
                    contact.side,
                    contact.obstacle
                );
            }
        }
        assert!(compared >= 6, "{compared} contacts compared");
    }
}

#[cfg(test)]
mod thing_tests {
    use super::super::domain::Options;
    use super::super::fit::fit;
    use super::super::obstacle::tests::crowded;
    use super::*;
    use crate::truck::{Axle, End, Mount, Side, State, Thing, ThingKind, Truck};

    /// The example with one thing only, every number certain but what `vague` makes of it.
    fn contact(thing: Thing, vague: impl FnOnce(&mut Axle)) -> Contact {
        let mut truck = Truck::example();
        let axle = truck.front.as_mut().expect("a front axle");
        let exact = Known::exact;
        axle.surroundings = Surroundings { things: vec![thing], ..Surroundings::default() };
        axle.limits.bump_mm.sigma = 0.0;
        axle.limits.droop_mm.sigma = 0.0;
        axle.limits.lock_deg.sigma = 0.0;
        axle.hub_face_width_mm.sigma = 0.0;
        let setup = &mut axle.planned;
        let dims = crate::tire::resolve(&setup.tire, &setup.wheel).expect("a tire");
        setup.tire.diameter_mm = Some(exact(dims.diameter.value));
        setup.tire.section_mm = Some(exact(dims.section.value));
        setup.tire.tread_mm = Some(exact(dims.tread.value));
        setup.wheel.offset_mm.sigma = 0.0;
        setup.wheel.inside_mm = Some(exact(350.0));
        setup.wheel.spoke_mm = Some(exact(5.0));
        setup.spacer_mm.sigma = 0.0;
        vague(axle);
        let options = Options { steers: 5, travels: 5, crossed: vec![0.0], ..Options::default() };
        let fit = fit(&truck, End::Front, State::Planned, &options).expect("a fit");
        let of_left = fit.contacts.into_iter().find(|c| c.side == Side::Left);
        of_left.expect("a contact")
    }

    /// A ring inside the wheel, 165 mm out, ending 20 mm inboard of the mounting face.
    fn ring() -> Thing {
        let exact = Known::exact;
        Thing {
            shape: Shape::InsideWheel {
                reach_mm: exact(165.0),
                inboard_mm: exact(60.0),
                outboard_mm: exact(-20.0),
            },
            on: Mount::Knuckle,
            ..Thing::new(ThingKind::BrakeCaliper, End::Front)
        }
    }

    #[test]
    fn what_is_inside_the_wheel_hangs_on_its_reach_and_the_barrel() {
        // 175 − 165 clear.
        let sure = contact(ring(), |_| {});
        assert!((sure.clearance_mm - 10.0).abs() < 0.1 && sure.sigma_mm < 0.1, "{sure:?}");
        assert_eq!(sure.driver, None);
        let reach = contact(ring(), |axle| {
            let Shape::InsideWheel { reach_mm, .. } = &mut axle.surroundings.things[0].shape else {
                panic!("a ring")
            };
            reach_mm.sigma = 2.0;
            axle.planned.wheel.inside_mm = Some(Known::published(350.0, 3.0));
        });
        // 2 of the reach and half of 3 of the diameter.
        assert!((reach.sigma_mm - 2.5).abs() < 0.02, "{reach:?}");
        assert_eq!(reach.driver.as_deref(), Some("surroundings.things[0].shape.reach_mm"));
    }

    #[test]
    fn every_measurement_of_every_shape_has_a_path_of_its_own() {
        let mut around = crowded().front.expect("a front axle").surroundings;
        for number in 0..20 {
            let obstacle = Obstacle::Thing(number);
            let paths: Vec<_> = fields(&mut around, obstacle).into_iter().map(|f| f.0).collect();
            let mut distinct = paths.clone();
            distinct.sort();
            distinct.dedup();
            assert_eq!(distinct.len(), paths.len());
            let start = format!("things[{number}].shape.");
            assert!(!paths.is_empty() && paths.iter().all(|p| p.starts_with(&start)), "{paths:?}");
        }
    }

    #[test]
    fn the_packing_counts_where_it_is_met() {
        // A shelf over the tread: all of the packing, nothing of the sidewalls.
        let exact = Known::exact;
        let shelf = Thing {
            shape: Shape::Box {
                front_mm: exact(300.0),
                rear_mm: exact(-300.0),
                inner_mm: exact(300.0),
                outer_mm: exact(1100.0),
                bottom_mm: exact(600.0),
                top_mm: exact(700.0),
            },
            on: Mount::Chassis,
            ..Thing::new(ThingKind::Other, End::Front)
        };
        let [sure, vague] = [0.0, 40.0].map(|sigma| {
            contact(shelf.clone(), |axle| {
                axle.planned.packing_mm = Some(Known::published(50.0, sigma));
                axle.limits.lock_deg = exact(0.0);
            })
        });
        let added = (vague.sigma_mm.powi(2) - sure.sigma_mm.powi(2)).sqrt();
        assert!((added - 40.0).abs() < 0.5, "{sure:?} {vague:?}");
        assert_eq!(vague.driver.as_deref(), Some("planned.packing_mm"));
    }
}
