//! How sure a clearance is: the inputs it hangs on, each moved by one standard deviation.
//!
//! At the position of the contact, each input is moved up and down by its own sigma and the
//! clearance taken again; half the difference is that input's share, and the shares add as squares
//! (JCGM 100, 5.1.2 and 5.1.3 note 2). Moved are the obstacle's own measurements, all that the tire's
//! section is drawn from, the wheel's offset and inside, the spacer, the hub-face width and, at the
//! end of the travel or steer, that limit. The pose is kept, so what the linkage's own inputs add is left out.

use super::contact::{CONTACT_TOLERANCE_MM, Contact, Found};
use super::fit::Setting;
use super::hub::Hub;
use super::motion::{Place, Station, index};
use super::obstacle::{Around, Obstacle};
use super::solid::TireSolid;
use crate::measure::Known;
use crate::tire::TireDims;
use crate::truck::{Layout, Point, Shape, Side, Surroundings};
use crate::wheel;

/// What a spread is worked out from.
pub(super) struct Inputs<'a> {
    pub setting: &'a Setting,
    pub around: &'a Around,
    /// The obstacle's number.
    pub obstacle: usize,
}

impl Inputs<'_> {
    /// Fills in a contact's sigma and driver.
    pub fn spread(&self, found: Found) -> Contact {
        let Found { mut contact, station } = found;
        let mut sum = Sum { contact: &contact, squares: 0.0, driver: None };
        self.obstacle(&mut sum, &station);
        self.tire(&mut sum, &station);
        self.limits(&mut sum, &station);
        let (squares, driver) = (sum.squares, sum.driver);
        contact.sigma_mm = squares.sqrt();
        contact.driver = driver.map(|(_, path)| path);
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

    fn obstacle(&self, sum: &mut Sum, station: &Station) {
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
        }
        if contact.obstacle != Obstacle::Arm {
            return;
        }
        for (index, (path, point)) in arm_points(&axle.layout, contact.side).into_iter().enumerate()
        {
            let coordinates = [("x_mm", &point.x_mm), ("y_mm", &point.y_mm), ("z_mm", &point.z_mm)];
            for (axis, (name, known)) in coordinates.into_iter().enumerate() {
                let [up, down] = [1.0, -1.0].map(|way| {
                    let mut station = station.clone();
                    station.arm_mut(contact.side).get_mut(index)?[axis] += way * known.sigma;
                    self.clearance(self.around, &self.place(&station, contact))
                });
                sum.add(up, down, || format!("layout.{path}.{name}"));
            }
        }
    }

    fn tire(&self, sum: &mut Sum, station: &Station) {
        let contact = sum.contact;
        let Setting { axle, dims, grown, hub, motion, .. } = self.setting;
        let (state, setup) =
            (crate::axle::state_name(self.setting.state), axle.setup(self.setting.state));
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
        }
        let packing = setup.packing_mm.as_ref().map_or(0.0, |packing| packing.sigma);
        for (path, sigma) in [
            (format!("{state}.wheel.offset_mm"), setup.wheel.offset_mm.sigma),
            (format!("{state}.spacer_mm"), setup.spacer_mm.sigma),
            ("hub_face_width_mm".into(), axle.hub_face_width_mm.sigma / 2.0),
        ] {
            let (up, down) = both(sigma, &|by| with(Some(*solid), by));
            sum.add(up, down, || path);
        }
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
        let [right, left] = domain.steer_rad[index(contact.side)];
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
                let other = self.setting.motion.station(travels, Some(&station.pose)).ok()?;
                self.clearance(self.around, &self.place(&other, contact))
            };
            if at_end.contains(&true) {
                sum.add(moved(sigma), moved(-sigma), || path.into());
            }
        }
    }
}

/// The squares added up so far, and the largest of them.
struct Sum<'a> {
    contact: &'a Contact,
    squares: f64,
    driver: Option<(f64, String)>,
}

impl Sum<'_> {
    /// Adds one input's share. Where a move leaves nothing to measure, the other one counts.
    fn add(&mut self, up: Option<f64>, down: Option<f64>, path: impl FnOnce() -> String) {
        let here = self.contact.clearance_mm;
        let share = match (up, down) {
            (Some(up), Some(down)) => 0.5 * (up - down).abs(),
            (Some(one), None) | (None, Some(one)) => (one - here).abs(),
            (None, None) => 0.0,
        };
        // What two answers may differ by for being approximate is no share.
        if share <= CONTACT_TOLERANCE_MM {
            return;
        }
        self.squares += share * share;
        if self.driver.as_ref().is_none_or(|(most, _)| share > *most) {
            self.driver = Some((share, path()));
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

/// The hardpoints of a side's arm, in the order its centreline runs through them.
fn arm_points(layout: &Layout, side: Side) -> Vec<(&'static str, &Point)> {
    let right = side == Side::Right;
    match layout {
        Layout::RadiusArms { left, right: own, .. } => {
            let arm = own.as_ref().filter(|_| right);
            let a = arm.unwrap_or(left);
            if arm.is_some() {
                vec![
                    ("right.axle_far", &a.axle_far),
                    ("right.axle_near", &a.axle_near),
                    ("right.chassis", &a.chassis),
                ]
            } else {
                vec![
                    ("left.axle_far", &a.axle_far),
                    ("left.axle_near", &a.axle_near),
                    ("left.chassis", &a.chassis),
                ]
            }
        }
        Layout::ThreeLink { lower_left, lower_right, .. }
        | Layout::FourLink { lower_left, lower_right, .. } => {
            match lower_right.as_ref().filter(|_| right) {
                Some(link) => {
                    vec![("lower_right.axle", &link.axle), ("lower_right.chassis", &link.chassis)]
                }
                None => vec![
                    ("lower_left.axle", &lower_left.axle),
                    ("lower_left.chassis", &lower_left.chassis),
                ],
            }
        }
        Layout::LeafSprings { left, right: own, .. } => {
            let spring = own.as_ref().filter(|_| right);
            let s = spring.unwrap_or(left);
            let names = if spring.is_some() {
                ["right.fixed_eye", "right.seat", "right.shackle_eye"]
            } else {
                ["left.fixed_eye", "left.seat", "left.shackle_eye"]
            };
            names.into_iter().zip([&s.fixed_eye, &s.seat, &s.shackle_eye]).collect()
        }
    }
}
