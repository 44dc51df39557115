//! Puts a best value back into the truck, by the path its input is read under.

use crate::{
    measure::{Known, Origin},
    truck::{
        Axle, Bar, BushRates, End, Layout, LeafRates, LeafSpring, Point, RadiusArm, Setup, State,
        Steering, Truck, Watts,
    },
};

/// A value and standard deviation for the input of a path; false where the truck has no field for it.
pub(super) fn put(truck: &mut Truck, end: End, path: &str, value: f64, sigma: f64) -> bool {
    let mut names = path.split('.');
    let first = names.next().unwrap_or_default();
    let set = |known: &mut Known| {
        known.value = value;
        known.sigma = sigma;
        // What was typed is no longer what stands here.
        known.entered = None;
    };
    if first == "truck" {
        let known = match (names.next(), names.next()) {
            (Some("wheelbase_mm"), _) => Some(&mut truck.wheelbase_mm),
            (_, Some("cg_height_mm")) => Some(&mut truck.balance.cg_height_mm),
            (_, Some("front_brake_percent")) => Some(&mut truck.balance.front_brake_percent),
            (_, Some("front_drive_percent")) => Some(&mut truck.balance.front_drive_percent),
            _ => None,
        };
        return known.map(set).is_some();
    }
    let Some(axle) = truck.axle_mut(end) else { return false };
    // A lift that other states share with the truck as it sits stays shared.
    let shared = State::ALL.map(|state| {
        let (setup, now) = (axle.setup(state), &axle.sitting);
        setup.lift_mm == now.lift_mm && setup.lift_right_mm == now.lift_right_mm
    });
    let found = known_mut(axle, first, &mut names).map(set).is_some();
    if found && path.starts_with("sitting.lift") {
        let (left, right) = (axle.sitting.lift_mm.clone(), axle.sitting.lift_right_mm.clone());
        for (state, _) in State::ALL.into_iter().zip(shared).filter(|(_, shared)| *shared) {
            let setup = axle.setup_mut(state);
            setup.lift_mm.clone_from(&left);
            setup.lift_right_mm.clone_from(&right);
        }
    }
    found
}

type Names<'a, 'b> = &'a mut std::str::Split<'b, char>;

fn known_mut<'k>(axle: &'k mut Axle, first: &str, names: Names<'_, '_>) -> Option<&'k mut Known> {
    match first {
        "panhard" => bar(axle.panhard.as_mut()?, names),
        "watts" => watts(axle.watts.as_mut()?, names),
        "layout" => layout(&mut axle.layout, names),
        "hub_face_width_mm" => Some(&mut axle.hub_face_width_mm),
        "kingpin" => {
            let kingpin = axle.kingpin.as_mut()?;
            Some(match names.next()? {
                "caster_deg" => &mut kingpin.caster_deg,
                "inclination_deg" => &mut kingpin.inclination_deg,
                "hub_offset_mm" => &mut kingpin.hub_offset_mm,
                "hub_trail_mm" => &mut kingpin.hub_trail_mm,
                _ => return None,
            })
        }
        "steering" => steering(axle.steering.as_mut()?, names),
        "pinion" => Some(match names.next()? {
            "angle_deg" => &mut axle.pinion.angle_deg,
            "length_mm" => &mut axle.pinion.length_mm,
            "y_mm" => &mut axle.pinion.y_mm,
            _ => return None,
        }),
        "spring" => bar(axle.spring.as_mut()?, names),
        "shock" => bar(axle.shock.as_mut()?, names),
        "stock" => setup(&mut axle.stock, names),
        "sitting" => setup(&mut axle.sitting, names),
        "planned" => setup(&mut axle.planned, names),
        _ => None,
    }
}

fn setup<'k>(setup: &'k mut Setup, names: Names<'_, '_>) -> Option<&'k mut Known> {
    // A tire's figures that nobody measured come from its size; a fitted one is a measured one.
    let fitted = |known: &'k mut Option<Known>| {
        Some(known.get_or_insert(Known { origin: Origin::Assumed, ..Known::exact(0.0) }))
    };
    match (names.next()?, names.next()) {
        ("lift_mm", _) => Some(&mut setup.lift_mm),
        ("lift_right_mm", _) => setup.lift_right_mm.as_mut(),
        ("spacer_mm", _) => Some(&mut setup.spacer_mm),
        ("wheel", Some("offset_mm")) => Some(&mut setup.wheel.offset_mm),
        ("tire", Some("loaded_radius_mm")) => fitted(&mut setup.tire.loaded_radius_mm),
        ("tire", Some("diameter_mm")) => fitted(&mut setup.tire.diameter_mm),
        _ => None,
    }
}

fn point<'k>(point: &'k mut Point, names: Names<'_, '_>) -> Option<&'k mut Known> {
    Some(match names.next()? {
        "x_mm" => &mut point.x_mm,
        "y_mm" => &mut point.y_mm,
        "z_mm" => &mut point.z_mm,
        _ => return None,
    })
}

fn bar<'k>(bar: &'k mut Bar, names: Names<'_, '_>) -> Option<&'k mut Known> {
    match names.next()? {
        "axle" => point(&mut bar.axle, names),
        "chassis" => point(&mut bar.chassis, names),
        _ => None,
    }
}

fn watts<'k>(watts: &'k mut Watts, names: Names<'_, '_>) -> Option<&'k mut Known> {
    match names.next()? {
        "pivot" => point(&mut watts.pivot, names),
        "left" => bar(&mut watts.left, names),
        "right" => bar(&mut watts.right, names),
        _ => None,
    }
}

fn steering<'k>(steering: &'k mut Steering, names: Names<'_, '_>) -> Option<&'k mut Known> {
    match (names.next()?, names.next()) {
        ("ratio", _) => Some(&mut steering.ratio),
        ("pitman", Some("pivot")) => point(&mut steering.pitman.pivot, names),
        ("pitman", Some("end")) => point(&mut steering.pitman.end, names),
        ("drag_link", Some("end")) => point(&mut steering.drag_link.end, names),
        ("tie_rod", Some("left")) => point(&mut steering.tie_rod.left, names),
        ("tie_rod", Some("right")) => point(steering.tie_rod.right.as_mut()?, names),
        _ => None,
    }
}

fn layout<'k>(layout: &'k mut Layout, names: Names<'_, '_>) -> Option<&'k mut Known> {
    let member = names.next()?;
    match layout {
        Layout::RadiusArms { left, right, axle_bush, chassis_bush } => match member {
            "left" => arm(left, names),
            "right" => arm(right.as_mut()?, names),
            "axle_bush" => bush(axle_bush, names),
            "chassis_bush" => bush(chassis_bush, names),
            _ => None,
        },
        Layout::ThreeLink { lower_left, lower_right, upper } => match member {
            "lower_left" => bar(lower_left, names),
            "lower_right" => bar(lower_right.as_mut()?, names),
            "upper" => bar(upper, names),
            _ => None,
        },
        Layout::FourLink { lower_left, lower_right, upper_left, upper_right } => match member {
            "lower_left" => bar(lower_left, names),
            "lower_right" => bar(lower_right.as_mut()?, names),
            "upper_left" => bar(upper_left, names),
            "upper_right" => bar(upper_right.as_mut()?, names),
            _ => None,
        },
        Layout::LeafSprings { left, right, rates, eye_bush } => match member {
            "left" => leaf(left, names),
            "right" => leaf(right.as_mut()?, names),
            "rates" => leaf_rates(rates, names),
            "eye_bush" => bush(eye_bush, names),
            _ => None,
        },
    }
}

fn arm<'k>(arm: &'k mut RadiusArm, names: Names<'_, '_>) -> Option<&'k mut Known> {
    match names.next()? {
        "axle_far" => point(&mut arm.axle_far, names),
        "axle_near" => point(&mut arm.axle_near, names),
        "chassis" => point(&mut arm.chassis, names),
        _ => None,
    }
}

fn leaf<'k>(leaf: &'k mut LeafSpring, names: Names<'_, '_>) -> Option<&'k mut Known> {
    match names.next()? {
        "seat" => point(&mut leaf.seat, names),
        "fixed_eye" => point(&mut leaf.fixed_eye, names),
        "shackle_eye" => point(&mut leaf.shackle_eye, names),
        "shackle_chassis" => point(&mut leaf.shackle_chassis, names),
        _ => None,
    }
}

fn bush<'k>(bush: &'k mut BushRates, names: Names<'_, '_>) -> Option<&'k mut Known> {
    Some(match names.next()? {
        "radial_n_per_mm" => &mut bush.radial_n_per_mm,
        "axial_n_per_mm" => &mut bush.axial_n_per_mm,
        "conical_nm_per_deg" => &mut bush.conical_nm_per_deg,
        "torsion_nm_per_deg" => &mut bush.torsion_nm_per_deg,
        _ => return None,
    })
}

fn leaf_rates<'k>(rates: &'k mut LeafRates, names: Names<'_, '_>) -> Option<&'k mut Known> {
    Some(match names.next()? {
        "vertical_n_per_mm" => &mut rates.vertical_n_per_mm,
        "lateral_n_per_mm" => &mut rates.lateral_n_per_mm,
        "twist_nm_per_deg" => &mut rates.twist_nm_per_deg,
        "clamped_mm" => &mut rates.clamped_mm,
        _ => return None,
    })
}
