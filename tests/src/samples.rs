//! Builds that tests share: one with everything filled in, and the documented form of a link.

use buildfile::{Band, Build, Units};
use data_encoding::BASE64URL_NOPAD;
use fitment::measure::{Instrument, Known, Origin};
use fitment::truck::{
    Axle, Bar, End, Hole, Layout, LayoutKind, Part, Point, RadiusArm, Readings, Shelf, State,
    Truck, Wheel,
};

/// Every field there is, filled in: both axles, right sides of their own, every kind of part,
/// every origin and instrument, typed text, numbers awkward to write.
pub fn everything() -> Build {
    let mut truck = Truck::typical(LayoutKind::RadiusArms, Some(LayoutKind::ThreeLink));
    truck.wheelbase_mm = Known {
        value: 102.375 * 25.4,
        sigma: 1.0 / 3.0,
        origin: Origin::Measured(Instrument::PlumbLine),
        entered: Some("102 3/8\"".into()),
    };
    if let Some(front) = &mut truck.front {
        fill(front);
        if let Layout::RadiusArms { left, right, .. } = &mut front.layout {
            *right = Some(mirrored(left));
        }
        front.planned.parts = vec![
            Part::PanhardAxleBracket { holes: holes("stud", [30.0, 55.0, 80.0]), hole: 2 },
            Part::PanhardLength { change_mm: Known::exact(-3.5), range_mm: [-25.0, 40.0] },
            Part::ArmBracket { holes: holes("Loch №", [-40.0, -60.0, -80.5]), hole: 1 },
            Part::CasterBush { angle_deg: Known::exact(3.0), choices_deg: vec![2.0, 3.0, 4.5] },
        ];
    }
    if let Some(rear) = &mut truck.rear {
        fill(rear);
        if let Layout::ThreeLink { lower_left, lower_right, .. } = &mut rear.layout {
            *lower_right = Some(Bar {
                axle: opposite(&lower_left.axle),
                chassis: opposite(&lower_left.chassis),
            });
        }
        rear.planned.parts = vec![
            Part::PanhardChassisBracket { holes: holes("low", [-30.0, -60.0, -90.0]), hole: 0 },
            Part::UpperLinkLength { change_mm: tape(6.35), range_mm: [6.35, 6.35] },
        ];
    }
    Build {
        name: "Möhrenwagen #2 – “everything”".into(),
        note: "Spring pads\nwelded in May; check again at 500 mi. ½ in shim left.".into(),
        units: Units::Inch,
        truck,
        bands: vec![
            Band { end: End::Front, output: "caster_deg".into(), low: Some(2.5), high: None },
            Band {
                end: End::Rear,
                output: "panhard_deg".into(),
                low: Some(-0.0),
                high: Some(7.125),
            },
        ],
    }
}

/// A build as people leave it after an afternoon with a tape: every number of both axles read.
pub fn afternoon() -> Build {
    let mut build = Build::example();
    for (index, end) in [End::Front, End::Rear].into_iter().enumerate() {
        let Some(axle) = build.truck.axle_mut(end) else { continue };
        let mut step = index as f64;
        let mut read = |known: &mut Known| {
            step += 1.0;
            let off = (step * 7.0 % 23.0 - 11.0) * 0.5;
            *known = Known::measured(known.value + off, Instrument::Tape);
        };
        read(&mut axle.hub_face_width_mm);
        for point in points(axle) {
            for known in [&mut point.x_mm, &mut point.y_mm, &mut point.z_mm] {
                read(known);
            }
        }
        let around = &mut axle.surroundings;
        if let Some(rail) = &mut around.rail {
            for known in [
                &mut rail.outer_mm,
                &mut rail.bottom_mm,
                &mut rail.top_mm,
                &mut rail.front_mm,
                &mut rail.rear_mm,
            ] {
                read(known);
            }
        }
        if let Some(arch) = &mut around.arch {
            for known in [
                &mut arch.top_mm,
                &mut arch.front_mm,
                &mut arch.rear_mm,
                &mut arch.lip_mm,
                &mut arch.inner_mm,
            ] {
                read(known);
            }
        }
        read(&mut axle.limits.bump_mm);
        read(&mut axle.limits.droop_mm);
        read(&mut axle.pinion.length_mm);
        axle.pinion.angle_deg = Known::measured(3.3, Instrument::PhoneLevel);
        axle.sitting.tire.diameter_mm = Some(tape(868.0));
        axle.sitting.tire.loaded_radius_mm = Some(tape(415.5));
        axle.planned.tire = axle.sitting.tire.clone();
        axle.readings = Readings {
            panhard_length_mm: Some(tape(898.0)),
            panhard_rise_mm: Some(tape(135.0)),
            arm_length_mm: Some(tape(893.5)),
            arm_rise_mm: Some(tape(160.0)),
        };
    }
    build
}

/// The same build without the text that was typed, which links leave behind.
pub fn without_typed(build: &Build) -> Option<Build> {
    let text = buildfile::json::to_json(build).ok()?;
    let mut value: serde_json::Value = serde_json::from_str(&text).ok()?;
    forget_typed(&mut value);
    buildfile::json::read_json(value.to_string()).ok()
}

/// A link around any body, written from the description of the form.
pub fn wrap(body: &[u8]) -> String {
    let length = u16::try_from(body.len()).unwrap_or(u16::MAX).to_be_bytes();
    let mut bytes = vec![1];
    bytes.extend_from_slice(&length);
    bytes.extend_from_slice(body);
    let sum = crc32fast::hash(&bytes);
    bytes.extend_from_slice(&sum.to_be_bytes());
    format!("t1.{}", BASE64URL_NOPAD.encode(bytes.get(1..).unwrap_or_default()))
}

/// The body of a link; none when it is not wrapped as described.
pub fn unwrap(code: &str) -> Option<Vec<u8>> {
    let bytes = BASE64URL_NOPAD.decode(code.strip_prefix("t1.")?.as_bytes()).ok()?;
    Some(bytes.get(2..bytes.len().checked_sub(4)?)?.to_vec())
}

fn forget_typed(value: &mut serde_json::Value) {
    match value {
        serde_json::Value::Array(items) => items.iter_mut().for_each(forget_typed),
        serde_json::Value::Object(fields) => {
            fields.remove("entered");
            fields.values_mut().for_each(forget_typed);
        }
        _ => {}
    }
}

const fn tape(value: f64) -> Known {
    Known::measured(value, Instrument::Tape)
}

fn fill(axle: &mut Axle) {
    axle.pinion.angle_deg = Known::measured(3.4, Instrument::PhoneLevel);
    axle.pinion.length_mm = Known::measured(281.2, Instrument::Caliper);
    axle.pinion.y_mm = Known { entered: Some("-5 1/16".into()), ..tape(-5.0625 * 25.4) };
    axle.panhard.as_mut().unwrap().axle.z_mm = Known::published(88.900_000_000_000_02, 1e-7);
    if let Some(kingpin) = &mut axle.kingpin {
        kingpin.caster_deg = Known::measured(3.1, Instrument::AngleGauge);
        kingpin.hub_trail_mm = Known::exact(-0.0);
    }
    for (state, lift) in [(State::Sitting, 76.2), (State::Planned, 101.6)] {
        let setup = axle.setup_mut(state);
        setup.lift_mm = tape(lift);
        setup.lift_right_mm = Some(tape(lift - 12.7));
        setup.tire.size = "37x12.50R17LT".into();
        setup.tire.diameter_mm = Some(tape(927.1));
        setup.tire.section_mm = Some(Known::published(320.0, 2.5));
        setup.tire.loaded_radius_mm = Some(tape(441.3));
        setup.wheel = Wheel { width_mm: Known::exact(228.6), offset_mm: Known::exact(-12.0) };
        setup.spacer_mm = Known::exact(25.4);
    }
    axle.shelf = Shelf {
        parts: vec![Part::ArmBracket { holes: holes("drop", [-40.0, -60.0, -80.0]), hole: 0 }],
        spacers_mm: vec![Known::exact(25.4), Known::exact(1.0 / 3.0)],
        wheels: vec![Wheel { width_mm: Known::exact(203.2), offset_mm: Known::exact(0.0) }],
    };
    axle.readings = Readings {
        panhard_length_mm: Some(tape(901.0)),
        panhard_rise_mm: Some(tape(138.5)),
        arm_length_mm: Some(tape(893.0)),
        arm_rise_mm: Some(tape(-60.0)),
    };
}

fn holes(name: &str, heights: [f64; 3]) -> Vec<Hole> {
    heights
        .iter()
        .enumerate()
        .map(|(index, z)| Hole {
            name: format!("{name} {}", index + 1),
            x_mm: Known::exact(0.0),
            y_mm: Known::exact(0.5 * index as f64),
            z_mm: tape(*z),
        })
        .collect()
}

fn mirrored(arm: &RadiusArm) -> RadiusArm {
    RadiusArm {
        axle_far: opposite(&arm.axle_far),
        axle_near: opposite(&arm.axle_near),
        chassis: opposite(&arm.chassis),
    }
}

/// On the other side, a shade off as hand-made parts are.
fn opposite(point: &Point) -> Point {
    let mut other = point.clone();
    other.y_mm.value = 1.5 - point.y_mm.value;
    other
}

fn points(axle: &mut Axle) -> Vec<&mut Point> {
    let mut points =
        vec![&mut axle.panhard.as_ref().unwrap().axle, &mut axle.panhard.as_ref().unwrap().chassis];
    match &mut axle.layout {
        Layout::RadiusArms { left, .. } => {
            points.extend([&mut left.axle_far, &mut left.axle_near, &mut left.chassis]);
        }
        Layout::ThreeLink { lower_left, upper, .. } => {
            points.extend([&mut lower_left.axle, &mut lower_left.chassis]);
            points.extend([&mut upper.axle, &mut upper.chassis]);
        }
        Layout::FourLink { lower_left, upper_left, .. } => {
            points.extend([&mut lower_left.axle, &mut lower_left.chassis]);
            points.extend([&mut upper_left.axle, &mut upper_left.chassis]);
        }
    }
    points
}
