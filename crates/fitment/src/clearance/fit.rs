//! The one entry: does the tire fit, where does it touch, and how far may the wheel sit in or out.

use super::bracket::{Bracket, Continuum, Reached};
use super::contact::{Contact, refine};
use super::contour::Contour;
use super::domain::{Domain, Options};
use super::error::ShapeError;
use super::hub::Hub;
use super::largest::Largest;
use super::map::ClearanceMap;
use super::motion::Motion;
use super::obstacle::Around;
use super::solid::TireSolid;
use super::spread::Inputs;
use super::stops::Stops;
use super::study::Study;
use super::sure::Sigmas;
use super::window::Window;
use crate::axle::{AxleModel, ByInput, ModelError, Unreachable};
use crate::tire::{self, TireDims, TireError};
use crate::truck::{Axle, End, Side, State, Truck};
use std::cell::OnceCell;

/// Everything about how one axle's tires fit in one state.
#[derive(Debug, Clone, PartialEq)]
pub struct Fit {
    /// Two per way of crossing up asked for: all of the left tire first, then all of the right.
    pub maps: Vec<ClearanceMap>,
    /// Where each thing that touches first does so, were it there alone, if asked for; a map's own
    /// contours show only what is nearest. Not of what turns with the wheel.
    pub touches: Vec<Touch>,
    /// The least clearance of each tire to each obstacle, the least of all first.
    pub contacts: Vec<Contact>,
    /// Where the wheels may sit; `None` while a [`Study`] has not come to it.
    pub window: Option<Window>,
    /// The largest tires that fit, if asked for.
    pub largest: Option<Largest>,
    /// Stops that would help, each by itself; `None` while a [`Study`] has not come to it.
    pub stops: Option<Stops>,
    /// How sure the ends of all these are.
    pub sigmas: Sigmas,
    /// Over what travel and steer.
    pub domain: Domain,
    /// Rows of the maps the axle cannot reach.
    pub unreachable_rows: usize,
}

/// The line of first contact of one tire with one thing.
#[derive(Debug, Clone, PartialEq)]
pub struct Touch {
    /// Whose tire.
    pub side: Side,
    /// How far the axle is crossed up, as in [`Options::crossed`].
    pub crossed: f64,
    /// The line, on the map of this side and crossing.
    pub line: Contour,
}

/// Why there is no answer.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FitError {
    /// The axle does not read.
    #[error(transparent)]
    Model(#[from] ModelError),
    /// The tire does not read.
    #[error("the tire does not read: {0}")]
    Tire(TireError),
    /// A measurement describes no solid.
    #[error(transparent)]
    Shape(#[from] ShapeError),
    /// A limit of travel, steer or lift is out of range.
    #[error("{what} is {value}; it must lie between 0 and {most}")]
    Limit {
        /// Which.
        what: &'static str,
        /// The value found.
        value: f64,
        /// Largest value allowed, same unit.
        most: f64,
    },
    /// An option is out of range.
    #[error("option {what} is {value}; it must lie between {least} and {most}")]
    Option {
        /// Which.
        what: &'static str,
        /// The value found.
        value: f64,
        /// Least value allowed.
        least: f64,
        /// Largest value allowed.
        most: f64,
    },
    /// Nothing to clear is given.
    #[error("no rail, arch or arm thickness is given: measure one to see what the tire clears")]
    NothingAround,
    /// The axle reaches no position of the domain.
    #[error("the axle reaches none of its travel: {0}")]
    Unreachable(Unreachable),
}

/// How closely the least clearance over the domain is bracketed, mm.
pub(super) const BRACKET_MM: f64 = 0.9;

/// An axle in a state with everything a tire's clearance takes, read and checked.
pub(super) struct Setting {
    pub truck: Truck,
    pub end: End,
    pub axle: Axle,
    pub state: State,
    pub dims: TireDims,
    /// Whether room is left for the tire's growth in service.
    pub grown: bool,
    pub hub: Hub,
    pub motion: Motion,
    /// Left and right.
    pub around: [Around; 2],
    /// The axle by its inputs, once somebody asked for that.
    by_input: OnceCell<Option<ByInput>>,
}

impl Setting {
    /// Reads it, as far as options bear on it.
    pub fn of(truck: &Truck, end: End, state: State, options: &Options) -> Result<Self, FitError> {
        let axle = truck.axle(end).ok_or(ModelError::NoAxle { end })?;
        let domain = Domain::of(axle, state)?;
        let model = AxleModel::of(truck, end, state)?;
        let setup = &*axle.fitted(state);
        let dims = tire::resolve(&setup.tire, &setup.wheel).map_err(FitError::Tire)?;
        let solid = TireSolid::fitted(&dims, setup, options.grown)?;
        let hub = Hub::of((axle, setup), &dims, solid, &model, domain.bump_mm)?;
        let around = [
            Around::of(&axle.around(state), Side::Left, &hub)?,
            Around::of(&axle.around(state), Side::Right, &hub)?,
        ];
        if around.iter().all(|around| around.len() == 0) {
            return Err(FitError::NothingAround);
        }
        let domain = domain.turned_by(&model);
        let (axle, forward) = (axle.clone(), options.forward_mm);
        let motion = Motion::new(model, solid, domain, forward);
        let (truck, grown) = (truck.clone(), options.grown);
        let by_input = OnceCell::new();
        Ok(Self { truck, end, axle, state, dims, grown, hub, motion, around, by_input })
    }

    /// What is around one side's wheel.
    pub const fn around(&self, side: Side) -> &Around {
        &self.around[side.index()]
    }

    /// The axle by its inputs.
    pub fn by_input(&self) -> Option<&ByInput> {
        let read = || ByInput::of(&self.truck, self.end, self.state).ok();
        self.by_input.get_or_init(read).as_ref()
    }

    /// The certain contact of one tire with one obstacle; `None` where the axle reaches nothing.
    pub async fn contact(
        &self,
        continuum: &mut Continuum<'_>,
        (side, obstacle): (Side, usize),
        hint: Option<Reached>,
    ) -> Option<Contact> {
        let bracket = continuum.least(side, obstacle, (BRACKET_MM, f64::INFINITY), hint).await;
        self.contact_at(continuum, (side, obstacle), &bracket).await
    }

    /// The contact that a bracket holds, refined, with how sure it is.
    pub async fn contact_at(
        &self,
        continuum: &Continuum<'_>,
        (side, obstacle): (Side, usize),
        bracket: &Bracket,
    ) -> Option<Contact> {
        let (around, pace) = (self.around(side), continuum.pace());
        let reached = bracket.found.as_ref()?;
        let near = continuum.near(reached.travel);
        let of = (around, side, obstacle);
        let found = refine(pace, &self.motion, of, (bracket, reached), near).await?;
        Some(Inputs { setting: self, around, obstacle }.spread(found, pace).await)
    }
}

/// How the tires of one axle fit in a state.
///
/// # Errors
/// A [`FitError`] when an input does not read or is out of range, nothing to clear is given, or
/// the axle reaches no position at all.
pub fn fit(truck: &Truck, end: End, state: State, options: &Options) -> Result<Fit, FitError> {
    let mut study = Study::begin(truck, end, state, options)?;
    while !study.step(usize::MAX) {}
    Ok(study.fit())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::clearance::{Obstacle, Size};
    use crate::measure::Known;
    use crate::truck::{Surroundings, Truck};

    fn front() -> Axle {
        let mut front = Truck::example().front.expect("a front axle");
        // Rail, arch and arm are enough here, and what meets what stays plain.
        front.surroundings.things.clear();
        front
    }

    fn run(axle: &Axle, options: &Options) -> Fit {
        fit(&Truck::with_axle(axle.clone(), End::Front), End::Front, State::Planned, options)
            .expect("a fit")
    }

    fn coarse() -> Options {
        Options { steers: 9, travels: 7, crossed: vec![0.0, 1.0], ..Options::default() }
    }

    /// The example with wheels that do not steer: whatever happens, happens straight ahead.
    fn straight() -> Axle {
        let mut axle = front();
        axle.limits.lock_deg = Known::exact(0.0);
        axle
    }

    fn clearance(fit: &Fit, obstacle: Obstacle, side: Side) -> f64 {
        let contact = fit.contacts.iter().find(|c| c.obstacle == obstacle && c.side == side);
        contact.expect("a contact").clearance_mm
    }

    #[test]
    fn contacts_are_ranked_and_lie_where_they_say() {
        let axle = front();
        let fit = run(&axle, &Options::default());
        assert_eq!(fit.contacts.len(), 6, "two tires, three obstacles");
        assert!(fit.contacts.is_sorted_by(|a, b| a.clearance_mm <= b.clearance_mm));
        for c in &fit.contacts {
            let apart = (c.at_tire - c.at_truck).norm();
            assert!((apart - c.clearance_mm.abs()).abs() < 0.05, "{c:?}: points {apart} apart");
            assert!(c.steer_rad.abs() <= fit.domain.lock_rad);
            assert!((fit.domain.droop_mm..=fit.domain.bump_mm).contains(&c.travel_mm));
            assert!(c.at_truck.y * c.side.sign() > 0.0, "{c:?} on its own side");
        }
        let least = fit.maps.iter().filter_map(|m| m.least()).map(|(_, _, c)| c.clearance_mm);
        let least = least.min_by(f64::total_cmp).expect("a cell");
        assert!(fit.contacts[0].clearance_mm <= least + 0.01, "{least} {:?}", fit.contacts[0]);
    }

    #[test]
    fn no_finer_map_finds_less_than_the_contacts() {
        let axle = front();
        let fine = Options { steers: 65, travels: 37, ..Options::default() };
        let (few, many) = (run(&axle, &Options::default()), run(&axle, &fine));
        for side in Side::BOTH {
            for obstacle in Obstacle::all(&axle.surroundings) {
                let (a, b) = (clearance(&few, obstacle, side), clearance(&many, obstacle, side));
                assert!((a - b).abs() < 0.2, "{side:?} {obstacle:?}: {a} and {b}");
            }
        }
    }

    #[test]
    fn a_mirrored_truck_has_mirrored_contacts() {
        let axle = front();
        let mut mirrored = axle.clone();
        let bar = mirrored.panhard.as_mut().unwrap();
        for y in [&mut bar.axle.y_mm, &mut bar.chassis.y_mm] {
            y.value = -y.value;
        }
        let (a, b) = (run(&axle, &coarse()), run(&mirrored, &coarse()));
        for obstacle in Obstacle::all(&axle.surroundings) {
            for (side, other) in [(Side::Left, Side::Right), (Side::Right, Side::Left)] {
                let (here, there) = (clearance(&a, obstacle, side), clearance(&b, obstacle, other));
                assert!((here - there).abs() < 0.05, "{obstacle:?} {side:?}: {here}, {there}");
            }
        }
    }

    #[test]
    fn a_thicker_spacer_never_costs_room_at_the_rail_straight_ahead() {
        let mut before = f64::NEG_INFINITY;
        for spacer in [0.0, 12.0, 25.0, 40.0, 60.0] {
            let mut axle = straight();
            axle.planned.spacer_mm = Known::exact(spacer);
            let now = clearance(&run(&axle, &coarse()), Obstacle::Rail, Side::Left);
            assert!(now >= before, "spacer {spacer}: {now} after {before}");
            before = now;
        }
    }

    #[test]
    fn a_tire_one_inch_wider_takes_half_an_inch_from_the_rail() {
        // Common practice, no source: at one offset, half of the added width goes to each side.
        let mut axle = straight();
        let width = |axle: &mut Axle, mm: f64| {
            axle.planned.tire.section_mm = Some(Known::exact(mm));
            clearance(&run(axle, &coarse()), Obstacle::Rail, Side::Left)
        };
        // The rail beside the hub, so that it faces the flat of the sidewall.
        if let Some(rail) = &mut axle.surroundings.rail {
            rail.bottom_mm.value = -50.0;
        }
        let lost = width(&mut axle, 300.0) - width(&mut axle, 325.4);
        // The axle's small roll takes the cosine's share.
        assert!((lost - 12.7).abs() < 0.2, "{lost}");
    }

    #[test]
    fn asking_for_more_room_never_widens_the_window() {
        let mut axle = straight();
        axle.surroundings.arm_radius_mm = None;
        let mut before = (f64::NEG_INFINITY, f64::INFINITY);
        for margin_mm in [-20.0, 0.0, 5.0, 10.0, 20.0] {
            let fit = run(&axle, &Options { margin_mm, ..coarse() });
            let Some(Window::Clears { inboard, outboard }) = fit.window else {
                panic!("margin {margin_mm}: {:?}", fit.window);
            };
            let now = (inboard.shift_mm, outboard.shift_mm);
            assert!(now.0 <= now.1, "{now:?}");
            assert!(before.0 <= now.0 + 0.3 && now.1 <= before.1 + 0.3, "{margin_mm}: {now:?}");
            before = now;
        }
    }

    #[test]
    fn the_ends_of_the_window_are_where_the_room_ends() {
        let mut axle = straight();
        axle.surroundings.arm_radius_mm = None;
        if let Some(rail) = &mut axle.surroundings.rail {
            rail.outer_mm.value = 430.0;
        }
        let options = coarse();
        let Some(Window::Clears { inboard, .. }) = run(&axle, &options).window else {
            panic!("a window");
        };
        assert!(matches!(inboard.limited_by, Some((Obstacle::Rail, _))), "{inboard:?}");
        let least_at = |offset: f64| {
            let mut axle = axle.clone();
            axle.planned.wheel.offset_mm = Known::exact(offset);
            run(&axle, &options).contacts[0].clearance_mm
        };
        let at_end = least_at(inboard.offset_mm);
        assert!((at_end - options.margin_mm).abs() < 0.5, "{at_end} at {inboard:?}");
        assert!(least_at(inboard.offset_mm + 3.0) < options.margin_mm - 2.0);
    }

    #[test]
    fn the_largest_tire_is_where_the_room_ends() {
        let axle = straight();
        let options = Options { sizes: true, ..coarse() };
        let largest = run(&axle, &options).largest.expect("it was asked for");
        let Size::UpTo { mm, limited_by: Some((Obstacle::Arch, _)) } = largest.diameter_mm else {
            panic!("{largest:?}");
        };
        let least_at = |diameter: f64| {
            let mut axle = axle.clone();
            axle.planned.tire.diameter_mm = Some(Known::exact(diameter));
            run(&axle, &options).contacts[0].clearance_mm
        };
        assert!((least_at(mm) - options.margin_mm).abs() < 0.6, "{} at {mm}", least_at(mm));
        assert!(least_at(mm + 6.0) < options.margin_mm - 1.5);
    }

    #[test]
    fn sigma_adds_up_what_moves_the_sidewall_and_the_rail() {
        let mut axle = straight();
        if let Some(rail) = &mut axle.surroundings.rail {
            rail.bottom_mm.value = -50.0;
            rail.outer_mm.sigma = 3.0;
        }
        axle.hub_face_width_mm.sigma = 4.0; // half of it to each side: 2
        axle.planned.wheel.offset_mm.sigma = 1.0;
        axle.planned.spacer_mm.sigma = 0.5;
        axle.planned.tire.section_mm = Some(Known::published(310.0, 6.0)); // half: 3
        axle.limits.bump_mm.sigma = 0.0;
        axle.limits.droop_mm.sigma = 0.0;
        let fit = run(&axle, &coarse());
        let rail = fit.contacts.iter().find(|c| c.obstacle == Obstacle::Rail).expect("a rail");
        let want = (9.0_f64 + 4.0 + 1.0 + 0.25 + 9.0).sqrt();
        // The linkage's own inputs come on top.
        assert!(rail.sigma_mm > want && rail.sigma_mm < 2.0 * want, "{rail:?}, want over {want}");
    }

    #[test]
    fn what_cannot_be_answered_says_why() {
        let check = |change: &dyn Fn(&mut Axle), right: &dyn Fn(&FitError) -> bool| {
            let mut axle = front();
            change(&mut axle);
            let got = fit(
                &Truck::with_axle(axle.clone(), End::Front),
                End::Front,
                State::Planned,
                &coarse(),
            );
            assert!(got.as_ref().is_err_and(right), "{:?}", got.err());
        };
        check(&|a| a.surroundings = Surroundings::default(), &|e| *e == FitError::NothingAround);
        check(&|a| a.surroundings.arch.as_mut().expect("an arch").lip_mm.value = f64::NAN, &|e| {
            matches!(e, FitError::Shape(_))
        });
        check(&|a| a.limits.bump_mm.value = f64::INFINITY, &|e| {
            matches!(e, FitError::Limit { .. })
        });
        check(&|a| a.planned.lift_mm.value = f64::NAN, &|e| matches!(e, FitError::Limit { .. }));
        check(&|a| a.planned.tire.size = "round".into(), &|e| matches!(e, FitError::Model(_)));
        check(&|a| a.panhard.as_mut().unwrap().axle.x_mm.value = f64::NAN, &|e| {
            matches!(e, FitError::Model(_))
        });
    }
}
