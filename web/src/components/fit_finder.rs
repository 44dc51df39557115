//! The map and what a finger on it shows: the tire from three sides, the number in words, and the
//! places it comes nearest, each of which puts the finger where it is.

use super::calm::Calm;
use super::fit_contacts::{contact_list, nearness, side};
use super::fit_map::{FitMap, MapPictureProps, map_table, obstacle};
use super::fit_spot::{Spot, place, share_of, value_at};
use super::fit_verdict::fit_verdict;
use super::fit_views::{Views, frames, telling, views};
use super::segments::segments;
use super::still::{Same, Still};
use crate::answers::{Bench, Seen};
use crate::hooks::{use_desk, use_width};
use crate::infra::window;
use fitment::clearance::{ClearanceMap, Contact, Fit, Near, Obstacle, Options};
use fitment::truck::{Side, State};
use std::rc::Rc;
use yew::prelude::*;

/// The answer to look through.
#[derive(Properties, PartialEq)]
pub struct FitFinderProps {
    /// The engine's answer so far.
    pub fit: Rc<Fit>,
    /// Whether the nearest place of all is among the contacts.
    pub certain: bool,
    /// The answers of the axle.
    pub bench: Bench,
    /// The state.
    pub state: State,
    /// Travel at which the truck rests, mm.
    pub rest_mm: f64,
}

/// Where a person looks.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Gaze {
    spot: Spot,
    /// Which of the ways of crossing up.
    crossing: usize,
    /// One tire, or whichever is nearer to something.
    side: Option<Side>,
    /// Travel of the other wheel, mm, where it is not as the crossing has it.
    other_mm: Option<f64>,
    /// How near this is, rather than whatever is nearest.
    what: Option<Obstacle>,
}

const SIDES: [(&str, Option<Side>); 3] =
    [("Left tire", Some(Side::Left)), ("Worse of both", None), ("Right tire", Some(Side::Right))];

/// How far the axle is crossed up in the maps, each once.
fn crossings(fit: &Fit) -> Vec<f64> {
    let mut crossings: Vec<f64> = Vec::new();
    for map in &fit.maps {
        if !crossings.iter().any(|c| (c - map.crossed).abs() < 1e-9) {
            crossings.push(map.crossed);
        }
    }
    crossings
}

/// The maps of a gaze: of one tire or of both, crossed up so far.
fn maps(fit: &Fit, crossed: f64, side: Option<Side>) -> Vec<&ClearanceMap> {
    fit.maps
        .iter()
        .filter(|map| (map.crossed - crossed).abs() < 1e-9)
        .filter(|map| side.is_none_or(|side| map.side == side))
        .collect()
}

impl Gaze {
    /// At a contact.
    fn at(contact: &Contact, fit: &Fit, crossings: &[f64], side: Option<Side>) -> Option<Self> {
        let other_mm = contact.travels_mm()[1 - contact.side.index()];
        // The map that is crossed up most nearly so far.
        let miss = |i: &usize| {
            let other = crossings.get(*i).map(|c| fit.domain.other_mm(contact.travel_mm, *c));
            other.map_or(f64::INFINITY, |other| (other - other_mm).abs())
        };
        let crossing =
            (0..crossings.len()).min_by(|a, b| miss(a).total_cmp(&miss(b))).unwrap_or_default();
        let of = Some(contact.side);
        let found = maps(fit, crossings.get(crossing).copied()?, of);
        let map = found.first()?;
        let spot = Spot {
            across: share_of(&map.steer_rad, contact.steer_rad),
            up: share_of(&map.travel_mm, contact.travel_mm),
        };
        Some(Self {
            spot,
            crossing,
            side: side.and(of),
            other_mm: Some(other_mm),
            what: Some(contact.obstacle),
        })
    }

    /// Where the maps have least.
    fn least(fit: &Fit, crossings: &[f64]) -> Self {
        let cells = fit.maps.iter().filter_map(|map| map.least().map(|least| (map, least)));
        let least = cells.min_by(|a, b| a.1.2.clearance_mm.total_cmp(&b.1.2.clearance_mm));
        let share = |at: usize, count: usize| {
            if count > 1 { at as f64 / (count - 1) as f64 } else { 0.5 }
        };
        let (spot, crossed) = least.map_or((Spot { across: 0.5, up: 0.5 }, 0.0), |found| {
            let (map, (row, column, _)) = found;
            let across = share(column, map.steer_rad.len());
            (Spot { across, up: share(row, map.travel_mm.len()) }, map.crossed)
        });
        let crossing = crossings.iter().position(|c| (c - crossed).abs() < 1e-9);
        Self {
            spot,
            crossing: crossing.unwrap_or_default(),
            side: None,
            other_mm: None,
            what: None,
        }
    }

    /// Somewhere on the maps.
    const fn on(self, spot: Spot) -> Self {
        Self { spot, other_mm: None, what: None, ..self }
    }
}

/// The finder.
#[component]
pub fn FitFinder(props: &FitFinderProps) -> Html {
    let desk = use_desk();
    let units = desk.state().preferences.units;
    let paper = use_node_ref();
    let width = use_width(&paper, 352.0);
    let (fit, bench, state) = (&props.fit, &props.bench, props.state);
    let crossings = crossings(fit);
    let put = use_state_eq(|| None::<Gaze>);
    let turned = use_state_eq(|| None::<usize>);

    // Until a finger moves it, the gaze is on the worst place known.
    let worst = fit.contacts.first().filter(|_| props.certain);
    let gaze = put.unwrap_or_else(|| {
        let known = worst.and_then(|worst| Gaze::at(worst, fit, &crossings, None));
        known.unwrap_or_else(|| Gaze::least(fit, &crossings))
    });
    let crossed = crossings.get(gaze.crossing).copied().unwrap_or_default();

    let of = Same(Rc::clone(fit));
    let least = use_memo((of.clone(), gaze.crossing, gaze.side), |(fit, ..)| {
        ClearanceMap::least_of(&maps(fit, crossed, gaze.side)).map(|map| Same(Rc::new(map)))
    });
    let Some(map) = &*least else { return html! {} };

    let look = |map: &&ClearanceMap| -> Result<Seen, String> {
        let steer = value_at(&map.steer_rad, gaze.spot.across);
        let travel = value_at(&map.travel_mm, gaze.spot.up);
        let other = gaze.other_mm.unwrap_or_else(|| fit.domain.other_mm(travel, crossed));
        bench.seen(state, map.side, steer, map.side.pair(travel, other))
    };
    let clearance = |seen: &Result<Seen, String>| {
        let nearest = seen.as_ref().ok().and_then(|seen| seen.nearest(None));
        nearest.map_or(f64::INFINITY, |near| near.clearance_mm)
    };
    let seen = maps(fit, crossed, gaze.side)
        .iter()
        .map(look)
        .min_by(|a, b| clearance(a).total_cmp(&clearance(b)));

    let large =
        turned.or_else(|| Some(telling(seen.as_ref()?.as_ref().ok()?, gaze.what))).unwrap_or(0);
    let framed = use_memo(
        (
            bench.clone(),
            state,
            width.to_bits(),
            large,
            seen.as_ref().and_then(|s| Some(s.as_ref().ok()?.side)),
        ),
        |(bench, state, _, large, side)| {
            let side = (*side)?;
            let standing = bench.state(*state).ok()?;
            let domain = fit.domain;
            let ends = [domain.droop_mm, domain.bump_mm];
            let locks = domain.steer_rad[side.index()];
            let reach: Vec<_> = ends
                .into_iter()
                .flat_map(|travel| locks.map(|steer| standing.reached([travel; 2], side, steer)))
                .collect();
            let stock = bench.state(State::Stock).ok();
            Some(frames(side, *large, width, standing, stock, &reach))
        },
    );

    let move_to = {
        let put = put.clone();
        Callback::from(move |spot: Spot| put.set(Some(gaze.on(spot))))
    };
    let pick_crossing = {
        let put = put.clone();
        Callback::from(move |crossing: usize| {
            put.set(Some(Gaze { crossing, ..gaze.on(gaze.spot) }));
        })
    };
    let pick_side = {
        let put = put.clone();
        Callback::from(move |index: usize| {
            let side = SIDES.get(index).and_then(|(_, side)| *side);
            put.set(Some(Gaze { side, ..gaze.on(gaze.spot) }));
        })
    };
    let pick_view = {
        let turned = turned.clone();
        Callback::from(move |index: usize| turned.set(Some(index)))
    };
    let on = fit.contacts.iter().position(|contact| {
        Gaze::at(contact, fit, &crossings, gaze.side) == Some(gaze)
            && seen
                .as_ref()
                .is_some_and(|seen| seen.as_ref().is_ok_and(|seen| seen.side == contact.side))
    });
    let pick_contact = {
        let (put, turned, fit, crossings) =
            (put.clone(), turned.clone(), Rc::clone(fit), crossings.clone());
        Callback::from(move |index: usize| {
            let Some(contact) = fit.contacts.get(index) else { return };
            put.set(Gaze::at(contact, &fit, &crossings, Some(contact.side)));
            // The view that tells most about this one.
            turned.set(None);
            window::show("fit-views");
        })
    };

    let near = seen.as_ref().and_then(|seen| seen.as_ref().ok()?.nearest(gaze.what));
    let nearness_of =
        |near: &Near| nearness(near.clearance_mm, &obstacle(&bench.axle, near.obstacle), units);
    let number = near.map_or_else(|| "—".to_owned(), &nearness_of);
    let said = match &seen {
        Some(Ok(seen)) => {
            let at = place(seen.steer_rad, seen.travel_mm(), units);
            // Where a place of the list was picked, something else may be nearer still.
            let nearer =
                seen.nearest(None).filter(|nearest| near != Some(*nearest)).map(nearness_of);
            let nearer =
                nearer.map_or_else(String::new, |nearer| format!("; nearest there, {nearer}"));
            format!("{} tire, {at}{nearer}", side(seen.side))
        }
        Some(Err(why)) => why.clone(),
        None => String::new(),
    };
    let touches = near.is_some_and(|near| near.clearance_mm < 0.0);
    let steer_deg = seen
        .as_ref()
        .and_then(|seen| seen.as_ref().ok())
        .map_or(0.0, |seen| seen.steer_rad.to_degrees());
    let first_contacts = use_memo((of.clone(), gaze.crossing, gaze.side), |(fit, _, side)| {
        let shown = fit.touches.iter().filter(|touch| {
            (touch.crossed - crossed).abs() < 1e-9 && side.is_none_or(|side| side == touch.side)
        });
        shown.map(|touch| touch.line.clone()).collect::<Vec<_>>()
    });
    let picture = MapPictureProps {
        map: map.clone(),
        touches: Same(first_contacts),
        alone: gaze.side.is_some(),
        bench: bench.clone(),
        rest_mm: props.rest_mm,
        margin_mm: Options::default().margin_mm,
        units,
    };
    let places = use_memo((of, picture.clone(), on), |(fit, picture, on)| {
        html! {
            <>
                { contact_list(&fit.contacts, *on, bench, &pick_contact, &desk) }
                { map_table(picture) }
            </>
        }
    });
    let names = crossings.iter().map(|crossed| match *crossed {
        c if c < 0.01 => "Level",
        c if c > 0.99 => "Crossed up",
        _ => "Half",
    });
    let side_on = SIDES.iter().position(|(_, side)| *side == gaze.side).unwrap_or(1);
    let tire = bench.axle.fitted(state).tire.size.clone();
    html! {
        <>
            { fit_verdict(worst, &tire, bench, units) }
            <div class="fit-look" ref={paper}>
                if let (Some(Ok(seen)), Some(framed)) = (&seen, &*framed) {
                    { views(&Views { near, drawn: bench.drawn(seen), frames: framed, large, what: &number, pick: &pick_view, units }) }
                }
            </div>
            <section class="fit-map" aria-labelledby="map-title">
                <h2 id="map-title" class="unseen">{ "Steering and travel" }</h2>
                <p class={classes!("fit-read", touches.then_some("touching"))} aria-hidden="true"><b>{ number.clone() }</b><span>{ fitment::words::capital(&said) }</span></p>
                <Calm text={format!("{said}: {number}")} />
                <FitMap {picture} spot={gaze.spot} said={said} {steer_deg} moved={move_to} />
                { segments("How far the axle is crossed up", "small", names.map(AttrValue::from).collect(), gaze.crossing, &pick_crossing) }
                { segments("Which tire", "small", SIDES.map(|(name, _)| AttrValue::from(name)).to_vec(), side_on, &pick_side) }
                <p class="help">{ "Slide a finger over the map: left and right turn the wheels, up and down move them. The heavy line is where the tire first touches, a thin one where it would touch a thing that hides behind; the dashed one, where less than the usual room is left." }</p>
            </section>
            <div class="fit-places">
                <Still what={Same(places)} />
            </div>
        </>
    }
}
