//! Parts and cut list of a plan: which hole, which angle, how long from eye to eye.

use super::{totals::offer_of, words};
use crate::{
    axle::{Answer, ModelError, NoAnswer, Output, answer, eye_to_eye, length_name},
    measure::{Known, System, format},
    truck::{End, Member, Part, State, Truck, Work},
    words::capital,
};

/// One part to get or make.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// The part as it is fitted.
    pub part: Part,
    /// What the person calls it; may be empty.
    pub name: String,
    /// How it is set, in one line.
    pub words: String,
    /// How long it is, the left and the right apart where they differ; empty for what is no bar.
    pub lengths: Vec<Length>,
    /// The work it takes.
    pub work: Work,
    /// What it costs, where somebody entered it.
    pub price: Option<Known>,
    /// Hours it takes, where somebody entered them.
    pub hours: Option<Known>,
}

/// How long a bar, link or arm is to be. What a thread, a bush or a weld takes of the tube depends on
/// the ends that are bought, so this is never a length to cut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Length {
    /// Which of two that differ: "left", "right"; empty otherwise.
    pub side: &'static str,
    /// How many of this length.
    pub count: usize,
    /// From the middle of one eye to the middle of the other, mm; of a radius arm from the middle of
    /// its axle bushes.
    pub eye_to_eye_mm: f64,
    /// One standard deviation of the length that does what it is to do on this truck, mm.
    pub sigma_mm: f64,
    /// Longer than stock, mm.
    pub change_mm: f64,
    /// One standard deviation of that, mm; `None` for what cannot be set.
    pub change_sigma_mm: Option<f64>,
}

impl Length {
    /// `842 ± 4 mm eye to eye`.
    pub fn words(&self, system: System) -> String {
        let size = format::length_with(self.eye_to_eye_mm, self.sigma_mm, system);
        let count = if self.count > 1 { "each " } else { "" };
        let space = if self.side.is_empty() { "" } else { " " };
        format!("{}{space}{count}{size} eye to eye", self.side)
    }
}

/// What a settable length is set by, where it is.
const fn serves(of: Member, steers: bool) -> Option<Output> {
    match of {
        Member::Panhard => Some(Output::LateralShift),
        Member::DragLink => Some(Output::SteeringWheel),
        Member::UpperLink if steers => Some(Output::Caster),
        Member::UpperLink => Some(Output::Pinion),
        _ => None,
    }
}

/// The parts of `fit` on a truck whose planned state has them.
///
/// # Errors
/// When the truck does not stand in its planned state.
pub(super) fn items(
    truck: &Truck,
    end: End,
    fit: &[Part],
    system: System,
) -> Result<Vec<Item>, NoAnswer> {
    let axle = truck.axle(end).ok_or(ModelError::NoAxle { end })?;
    let stood = Stood::of(truck, end)?;
    fit.iter()
        .map(|part| {
            let offer = offer_of(&axle.shelf, part);
            let lengths = stood.lengths(part)?;
            let mut words = words::part(part, system);
            let place = words::place(part, system);
            let more = lengths.iter().map(|length| length.words(system));
            for more in std::iter::once(place).chain(more).filter(|more| !more.is_empty()) {
                words.push_str(", ");
                words.push_str(&more);
            }
            Ok(Item {
                part: part.clone(),
                name: offer.map(|offer| offer.name.clone()).unwrap_or_default(),
                words: capital(&words),
                lengths,
                work: part.kind().traits().work,
                price: offer.and_then(|offer| offer.price.clone()),
                hours: offer.and_then(|offer| offer.hours.clone()),
            })
        })
        .collect()
}

/// A plan as it stands, with what its outputs hang on.
struct Stood<'a> {
    truck: &'a Truck,
    end: End,
    stock: Answer,
    /// Planned, its lengths' changes among the inputs that are followed.
    now: Answer,
}

impl<'a> Stood<'a> {
    fn of(truck: &'a Truck, end: End) -> Result<Self, NoAnswer> {
        let mut followed = truck.clone();
        if let Some(axle) = followed.axle_mut(end) {
            for part in &mut axle.planned.parts {
                if let Part::Length { change_mm, .. } = part {
                    change_mm.sigma = 1.0;
                }
            }
        }
        let stock = answer(truck, end, State::Stock)?;
        let now = answer(&followed, end, State::Planned)?;
        Ok(Self { truck, end, stock, now })
    }

    /// How long a part is to be.
    fn lengths(&self, part: &Part) -> Result<Vec<Length>, NoAnswer> {
        let Part::Length { of, change_mm, range_mm } = part else { return Ok(Vec::new()) };
        let at = (self.end, State::Planned);
        let Some(long) = eye_to_eye(self.truck, at, *of)? else { return Ok(Vec::new()) };
        let inside = range_mm[0] < change_mm.value && change_mm.value < range_mm[1];
        let served = serves(*of, self.stock.model.steering.is_some()).filter(|_| inside);
        let path_of_change = length_name(*of).map(|name| format!("planned.parts.{name}"));
        // How the length must change with an input for what it serves to stay where it is.
        let follows = |path: &str| {
            let output = served?;
            let rate = self.now.slope(path_of_change.as_deref()?, output)?;
            let moved = self.now.slope(path, output).unwrap_or(0.0)
                - self.stock.slope(path, output).unwrap_or(0.0);
            (rate.abs() > 1e-6).then(|| -moved / rate)
        };
        let (mut whole, mut change) = (0.0, 0.0);
        // The changes of length are what is set, each by itself: none of them is in doubt here.
        let set = |path: &str| path.starts_with("planned.parts.") && path.ends_with("_length_mm");
        for input in self.now.inputs().filter(|input| !set(&input.path)) {
            let own = long.slopes.iter().find(|(other, _)| other.path == input.path);
            let own = own.map_or(0.0, |(_, slope)| *slope);
            let by = follows(&input.path).unwrap_or(0.0);
            whole += ((own + by) * input.sigma).powi(2);
            change += (by * input.sigma).powi(2);
        }
        let length = |side, count, eye_to_eye_mm| Length {
            side,
            count,
            eye_to_eye_mm,
            sigma_mm: f64::sqrt(whole),
            change_mm: change_mm.value,
            change_sigma_mm: served.map(|_| f64::sqrt(change)),
        };
        let [left, right] = long.mm;
        if long.count == 1 || (left - right).abs() < 0.05 {
            return Ok(vec![length("", long.count, left)]);
        }
        Ok(vec![length("left", 1, left), length("right", 1, right)])
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::axle::AxleModel;

    /// The example with a bar set so that the axle stands in the middle; how much longer it is.
    fn centered(truck: &mut Truck) -> f64 {
        let mut set = |change: f64| {
            let axle = truck.front.as_mut().unwrap();
            axle.planned.parts.retain(|part| !matches!(part, Part::Length { .. }));
            axle.planned.parts.push(Part::length(Member::Panhard, change, [-25.0, 40.0]));
            let model = AxleModel::of(truck, End::Front, State::Planned).unwrap();
            let pose = crate::axle::solve_ride(&model).unwrap();
            crate::axle::attitude(&model, &pose, 0.0).get(Output::LateralShift).unwrap()
        };
        let (mut a, mut b) = (0.0, 1.0);
        let (mut at_a, mut at_b) = (set(a), set(b));
        for _ in 0..12 {
            if (at_b - at_a).abs() < 1e-12 {
                break;
            }
            (a, b) = (b, b - at_b * (b - a) / (at_b - at_a));
            (at_a, at_b) = (at_b, set(b));
        }
        b
    }

    #[test]
    fn a_bar_is_as_unsure_as_the_tape_that_it_hangs_on() {
        let mut truck = Truck::example();
        let change = centered(&mut truck);
        let bar = Part::length(Member::Panhard, change, [-25.0, 40.0]);
        let all = items(&truck, End::Front, &[bar], System::Metric).unwrap();
        let [length] = all[0].lengths[..] else { panic!("{all:?}") };
        let known = &truck.front.as_ref().unwrap().panhard;
        let [a, b] = [known.as_ref().unwrap().axle.mm(), known.as_ref().unwrap().chassis.mm()];
        let stock = (0..3).map(|i| (a[i] - b[i]).powi(2)).sum::<f64>().sqrt();
        assert!((length.eye_to_eye_mm - stock - change).abs() < 1e-6, "{length:?}");
        // The lift alone, moved by its sigma and the bar set anew: its share of the change.
        let lift = truck.front.as_ref().unwrap().planned.lift_mm.clone();
        let moved = [-1.0, 1.0].map(|way| {
            let mut truck = truck.clone();
            truck.front.as_mut().unwrap().planned.lift_mm.value += way * lift.sigma;
            centered(&mut truck)
        });
        let share = 0.5 * (moved[1] - moved[0]).abs();
        let mut only = truck.clone();
        let axle = only.front.as_mut().unwrap();
        // With everything about the bar exact, the lift is most of what is left.
        let points = axle.panhard.as_mut().unwrap();
        for point in [&mut points.axle, &mut points.chassis] {
            for known in [&mut point.x_mm, &mut point.y_mm, &mut point.z_mm] {
                known.sigma = 0.0;
            }
        }
        let less = items(&only, End::Front, &[all[0].part.clone()], System::Metric).unwrap();
        let less = less[0].lengths[0].change_sigma_mm.unwrap();
        let more = length.change_sigma_mm.unwrap();
        assert!(less >= share - 1e-3 && less < share + 0.5, "{less} {share}");
        assert!(more > less && length.sigma_mm > 0.0, "{more} {less}");
    }
}
