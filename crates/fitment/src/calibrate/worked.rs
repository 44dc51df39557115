//! What some readings of one set say together, worked by hand's formulas beside the fit: caster by
//! sweep, whether the axle is centered and square to the other one, how the body leans, toe as an angle.

use super::{
    kind::Kind,
    log::{Set, Taken},
    solver::Gauss,
    stand::toe_reach,
    sweep::Sweep,
};
use crate::{
    axle::AxleModel,
    measure::format::degrees,
    truck::{Axle, End, Side},
};

/// Something worked out of two readings or more.
#[derive(Debug, Clone, PartialEq)]
pub struct Worked {
    /// What it is, with its sign.
    pub what: String,
    /// A kind of reading in the same unit, mm or degrees.
    pub like: Kind,
    /// Its value.
    pub value: f64,
    /// One standard deviation.
    pub sigma: f64,
    /// What it comes of, and what to make of it.
    pub how: String,
}

/// How well a wheel's heading is known on turn plates and on a taped floor, degrees, one standard
/// deviation: common practice, no source.
const HEADING_DEG: [f64; 2] = [0.5, 1.0];

/// Everything that a set's readings at one axle say together.
pub fn worked(set: &Set, end: End, axle: &Axle, model: &AxleModel<f64>) -> Vec<Worked> {
    let set = Readings { set, end };
    let mut all: Vec<Worked> =
        Side::BOTH.iter().filter_map(|side| by_sweep(&set, *side, axle)).collect();
    all.extend(off_center(&set));
    all.extend(out_of_square(&set, model));
    all.extend(lean(&set));
    toe(&set, model, &mut all);
    all
}

/// The readings of one set at one axle.
struct Readings<'a> {
    set: &'a Set,
    end: End,
}

impl<'a> Readings<'a> {
    fn all(&self) -> impl Iterator<Item = &'a Taken> {
        let end = self.end;
        self.set.readings.iter().filter(move |taken| taken.end == end)
    }

    fn of(&self, kind: Kind) -> Option<Gauss> {
        self.all().find(|taken| taken.what == kind)?.mean()
    }

    /// Left less right, with its deviation.
    fn across(&self, kind: fn(Side) -> Kind) -> Option<Gauss> {
        let ((left, a), (right, b)) = (self.of(kind(Side::Left))?, self.of(kind(Side::Right))?);
        Some((left - right, a.hypot(b)))
    }
}

/// Caster out of the cambers at the two headings that lie furthest apart.
fn by_sweep(set: &Readings<'_>, of: Side, axle: &Axle) -> Option<Worked> {
    let mut ends: [Option<(f64, Gauss)>; 2] = [None; 2];
    for taken in set.all() {
        let Kind::Turned { side, steer_deg } = taken.what else { continue };
        let Some(mean) = taken.mean().filter(|_| side == of) else { continue };
        if ends[0].is_none_or(|(most, _)| steer_deg > most) {
            ends[0] = Some((steer_deg, mean));
        }
        if ends[1].is_none_or(|(least, _)| steer_deg < least) {
            ends[1] = Some((steer_deg, mean));
        }
    }
    let [Some((left, out)), Some((right, back))] = ends else { return None };
    let (inclination, unsure) = set.of(Kind::Inclination(of)).or_else(|| {
        let known = &axle.kingpin.as_ref()?.inclination_deg;
        Some((known.value, known.sigma))
    })?;
    let sweep = Sweep {
        heading: [left, right].map(f64::to_radians),
        camber: [out.0, back.0].map(f64::to_radians),
        inclination: inclination.to_radians(),
    };
    let camber = f64::midpoint(out.1.powi(2), back.1.powi(2)).sqrt();
    let budget = HEADING_DEG.map(|heading| {
        let [heading, camber, unsure] = [heading, camber, unsure].map(f64::to_radians);
        sweep.budget(of, heading, camber, unsure)
    });
    let value = budget[0].caster.to_degrees();
    if !(value.is_finite() && left > right) {
        return None;
    }
    let twice = |of: f64| degrees(2.0 * of.to_degrees(), 2);
    let [plates, floor] = budget.each_ref().map(|it| twice(it.parts[0].hypot(it.parts[1])));
    let how = format!(
        "By the exact form; the one for small angles gives {}. Of the give-or-take the cambers make {}, the kingpin inclination {}, the headings {plates} on plates read to half a degree; on a taped floor, good to one, they make {floor} and the whole {}.",
        degrees(sweep.caster_small(of).to_degrees(), 2),
        twice(budget[0].parts[2].hypot(budget[0].parts[3])),
        twice(budget[0].parts[4]),
        twice(budget[1].sigma),
    );
    Some(Worked {
        what: format!("Caster by sweep, {}", of.word()),
        like: Kind::Caster(of),
        value,
        sigma: budget[0].sigma.to_degrees(),
        how,
    })
}

/// Whether the axle is centered, both sides measured to the frame.
fn off_center(set: &Readings<'_>) -> Option<Worked> {
    let (more, sigma) = set.across(Kind::Rail)?;
    Some(Worked {
        what: "Axle off center, to the left".into(),
        like: Kind::Rail(Side::Left),
        value: more * 0.5,
        sigma: sigma * 0.5,
        how: "Half of what the left wheel stands farther from its rail than the right one; the rails must be alike."
            .into(),
    })
}

/// How far the axle stands out of parallel to the other one.
fn out_of_square(set: &Readings<'_>, model: &AxleModel<f64>) -> Option<Worked> {
    let (longer, sigma) = set.across(Kind::Wheelbase)?;
    let track = 2.0 * model.wheel_y;
    // A longer left side has the front axle's left wheel ahead, or the rear axle's behind.
    let left = if set.end == End::Front { -1.0 } else { 1.0 };
    Some(Worked {
        what: "Axle out of parallel to the other one, turned left".into(),
        like: Kind::FloorAcross,
        value: (left * longer).atan2(track).to_degrees(),
        sigma: (sigma / track).to_degrees(),
        how: "What both wheelbases differ by, over the track. The truck runs the way its rear axle heads, its thrust line: which of the two is turned, a string along the frame's centerline tells."
            .into(),
    })
}

/// How much higher the left side of the body stands.
fn lean(set: &Readings<'_>) -> Option<Worked> {
    let (higher, sigma) = set.across(Kind::Arch)?;
    Some(Worked {
        what: "Body higher on the left".into(),
        like: Kind::Arch(Side::Left),
        value: higher,
        sigma,
        how: "Hub to arch, left less right: the two corners of this axle.".into(),
    })
}

/// Toe of both wheels as an angle at each height, and whether two heights agree.
fn toe(set: &Readings<'_>, model: &AxleModel<f64>, all: &mut Vec<Worked>) {
    let like = Kind::FloorAcross;
    let mut angles: Vec<Gauss> = Vec::new();
    for taken in set.all() {
        let Kind::Toe { height_mm } = taken.what else { continue };
        let (Some((toe, sigma)), Some(reach)) = (taken.mean(), toe_reach(model, height_mm)) else {
            continue;
        };
        // Both wheels' lines together open by twice the angle whose sine is a quarter of it.
        let value = 2.0 * (toe / (4.0 * reach)).asin().to_degrees();
        let sigma = (sigma / (2.0 * reach)).to_degrees();
        if value.is_finite() {
            angles.push((value, sigma));
            let how = "Of both wheels together, by the tire's own width where the tape was held.";
            all.push(Worked {
                what: format!("{}, as an angle", taken.what.label()),
                like,
                value,
                sigma,
                how: how.into(),
            });
        }
    }
    if let [(first, a), (second, b), ..] = angles.as_slice() {
        let (value, sigma) = (second - first, a.hypot(*b));
        let how = if value.abs() <= 2.0 * sigma {
            "The two heights agree."
        } else {
            "The two heights do not agree: a slip of the tape, or a rim or tire that does not run true."
        };
        all.push(Worked {
            what: "Toe, second height less first".into(),
            like,
            value,
            sigma,
            how: how.into(),
        });
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::truck::{LayoutKind, State, Truck};

    fn of(readings: Vec<Taken>, end: End) -> Vec<Worked> {
        let readings = readings.into_iter().map(|taken| Taken { end, ..taken }).collect();
        let set = Set::of(State::Sitting, readings);
        let axle = Axle::typical(LayoutKind::RadiusArms, end);
        let truck = Truck::with_axle(axle.clone(), end);
        let mut model = AxleModel::of(&truck, end, State::Sitting).unwrap();
        model.wheel_y = 800.0;
        model.around.tire_diameter = 406.4;
        model.loaded_radius = 190.0;
        worked(&set, end, &axle, &model)
    }

    fn read(kind: Kind, value: f64) -> Taken {
        Taken::once(kind, value)
    }

    /// Cambers of a wheel turned about a leaning axis in 3D, worked apart; see `sweep.rs`.
    #[test]
    fn two_cambers_make_a_caster() {
        let side = Side::Left;
        let turned = |steer_deg, value| read(Kind::Turned { side, steer_deg }, value);
        let inclined = read(Kind::Inclination(side), 9.0);
        let all = of(vec![turned(20.0, 3.1177), turned(-20.0, -1.0111), inclined], End::Front);
        assert!((all[0].value - 6.0).abs() < 0.002, "{all:?}");
        assert!(all[0].how.contains("small angles gives 6.04°"), "{}", all[0].how);
        // The gauge's 0.2° in both cambers: 0.2·1.462·√2, and the headings beside it.
        assert!(all[0].sigma > 0.413 && all[0].sigma < 0.46, "{}", all[0].sigma);
        assert!(of(vec![turned(20.0, 3.0)], End::Front).is_empty());
    }

    #[test]
    fn both_sides_say_where_the_axle_stands() {
        use Side::{Left, Right};
        let taken = |end| {
            let readings = vec![
                read(Kind::Rail(Left), 130.0),
                read(Kind::Rail(Right), 118.0),
                read(Kind::Wheelbase(Left), 2608.0),
                read(Kind::Wheelbase(Right), 2600.0),
                read(Kind::Arch(Left), 501.0),
                read(Kind::Arch(Right), 512.0),
            ];
            of(readings, end)
        };
        let front = taken(End::Front);
        let values: Vec<f64> = front.iter().map(|it| it.value).collect();
        // atan(8/1600) = 0.2865°; the front axle's left wheel ahead is a turn to the right.
        for (got, want) in values.iter().zip([6.0, -0.286_5, -11.0]) {
            assert!((got - want).abs() < 1e-4, "{values:?}");
        }
        assert!((front[0].sigma - 2.0_f64.sqrt()).abs() < 1e-12);
        assert!((taken(End::Rear)[1].value - 0.286_5).abs() < 1e-4);
    }

    /// 3 mm over 406.4 mm is 0.4230° of both wheels (asin by hand); nearer the floor the same angle opens
    /// less.
    #[test]
    fn toe_is_an_angle_at_either_height() {
        let toe = |height_mm, value| read(Kind::Toe { height_mm }, value);
        let off = 190.0_f64 - 254.0;
        let half = (203.2_f64 * 203.2 - off * off).sqrt();
        let same = 3.0 * half / 203.2;
        let all = of(vec![toe(None, 3.0), toe(Some(254.0), same)], End::Front);
        assert!((all[0].value - 0.423).abs() < 1e-4 && (all[1].value - 0.423).abs() < 1e-4);
        assert!(all[2].how.ends_with("agree.") && all[2].value.abs() < 1e-4);
        let all = of(vec![toe(None, 3.0), toe(Some(254.0), same + 20.0)], End::Front);
        assert!(all[2].how.contains("do not agree"), "{all:?}");
    }
}
