//! How sure a clearance is: the inputs it hangs on, each moved by one standard deviation.
//!
//! At the position of the contact, each input is moved up and down by its own sigma and the
//! clearance taken again; half the difference is that input's share, and the shares add as squares
//! (JCGM 100, 5.1.2 and 5.1.3 note 2). Moved are the obstacle's own measurements, the tire's diameter
//! and section, the wheel's offset, the spacer, the hub-face width and, at the end of the travel
//! or steer, that limit. The pose is kept, so what the linkage's own inputs add is left out.

use super::contact::{CONTACT_TOLERANCE_MM, Contact, Found};
use super::motion::{Motion, Place, Station, index};
use super::obstacle::{Around, Obstacle};
use super::solid::TireSolid;
use crate::measure::Known;
use crate::tire::TireDims;
use crate::truck::{Axle, Layout, Point, Side, State, Surroundings};

/// What a spread is worked out from.
pub(super) struct Inputs<'a> {
    pub axle: &'a Axle,
    pub state: State,
    pub dims: &'a TireDims,
    pub motion: &'a Motion,
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
        Place::of(self.motion, station, contact.side, contact.steer_rad)
    }

    fn obstacle(&self, sum: &mut Sum, station: &Station) {
        let contact = sum.contact;
        let place = self.place(station, contact);
        let mut around = self.axle.around(self.state);
        let count = fields(&mut around, contact.obstacle).len();
        for index in 0..count {
            let mut path = "";
            let [up, down] = [1.0, -1.0].map(|way| {
                let mut around = self.axle.around(self.state);
                if let Some((name, known)) =
                    fields(&mut around, contact.obstacle).into_iter().nth(index)
                {
                    path = name;
                    known.value += way * known.sigma;
                }
                let around = Around::of(&around, contact.side).ok()?;
                self.clearance(&around, &place)
            });
            sum.add(up, down, || format!("surroundings.{path}"));
        }
        if contact.obstacle != Obstacle::Arm {
            return;
        }
        for (index, (path, point)) in
            arm_points(&self.axle.layout, contact.side).into_iter().enumerate()
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
        let state = crate::axle::state_name(self.state);
        let place = self.place(station, contact);
        let posed = place.tire;
        let with = |solid: Option<TireSolid>, outboard: f64| {
            let tire = solid?.at(posed.centre + posed.axis * outboard, posed.axis);
            self.clearance(self.around, &place.with(tire))
        };
        let solid = &self.motion.solid;
        let grown = |diameter: f64, section: f64| solid.grown(diameter / 2.0, section / 2.0).ok();
        let both = |by: f64, take: &dyn Fn(f64) -> Option<f64>| (take(by), take(-by));
        let (up, down) = both(self.dims.diameter.sigma, &|by| with(grown(by, 0.0), 0.0));
        sum.add(up, down, || format!("{state}.tire.diameter_mm"));
        let (up, down) = both(self.dims.section.sigma, &|by| with(grown(0.0, by), 0.0));
        sum.add(up, down, || format!("{state}.tire.section_mm"));
        let setup = self.axle.setup(self.state);
        for (path, sigma) in [
            (format!("{state}.wheel.offset_mm"), setup.wheel.offset_mm.sigma),
            (format!("{state}.spacer_mm"), setup.spacer_mm.sigma),
            ("hub_face_width_mm".into(), self.axle.hub_face_width_mm.sigma / 2.0),
        ] {
            let (up, down) = both(sigma, &|by| with(Some(*solid), by));
            sum.add(up, down, || path);
        }
    }

    /// At the end of the steer or travel, how far that end may be off.
    fn limits(&self, sum: &mut Sum, station: &Station) {
        let contact = sum.contact;
        let (domain, limits) = (&self.motion.domain, &self.axle.limits);
        let turned = |by: f64| {
            let steer = contact.steer_rad + by;
            let place = Place::of(self.motion, station, contact.side, steer);
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
                let other = self.motion.station(travels, Some(&station.pose)).ok()?;
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

/// An obstacle's own measurements, by their dotted path.
fn fields(around: &mut Surroundings, obstacle: Obstacle) -> Vec<(&'static str, &mut Known)> {
    match obstacle {
        Obstacle::Rail => around.rail.as_mut().map(|r| {
            vec![
                ("rail.outer_mm", &mut r.outer_mm),
                ("rail.bottom_mm", &mut r.bottom_mm),
                ("rail.top_mm", &mut r.top_mm),
                ("rail.front_mm", &mut r.front_mm),
                ("rail.rear_mm", &mut r.rear_mm),
            ]
        }),
        Obstacle::Arch => around.arch.as_mut().map(|a| {
            vec![
                ("arch.top_mm", &mut a.top_mm),
                ("arch.front_mm", &mut a.front_mm),
                ("arch.rear_mm", &mut a.rear_mm),
                ("arch.lip_mm", &mut a.lip_mm),
                ("arch.inner_mm", &mut a.inner_mm),
            ]
        }),
        Obstacle::Arm => around.arm_radius_mm.as_mut().map(|r| vec![("arm_radius_mm", r)]),
    }
    .unwrap_or_default()
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
