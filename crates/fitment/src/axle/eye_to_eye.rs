//! How long bars, links and arms are, eye to eye, and how that hangs on each input.

use super::{
    linkage::Members,
    model::{AxleModel, ModelError, Source},
    reader::{Input, Reader},
    real::{Real, norm},
};
use crate::truck::{End, Member, State, Truck};
use num_dual::Dual64;

/// A length, of the left member where there are two, and of the right where that one differs.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct EyeToEye {
    /// Left and right, mm; alike where there is only one.
    pub mm: [f64; 2],
    /// How many of them there are.
    pub count: usize,
    /// How the left one's length goes with each uncertain input.
    pub slopes: Vec<(Input, f64)>,
}

/// The length of a member of an axle in a state with that state's parts fitted; `None` where the
/// axle has none or its length is not one between two eyes.
///
/// # Errors
/// When the axle does not read.
pub(crate) fn eye_to_eye(
    truck: &Truck,
    (end, state): (End, State),
    of: Member,
) -> Result<Option<EyeToEye>, ModelError> {
    let source = Source::of(truck, end, state)?;
    let (model, inputs) = source.inputs(None)?;
    let Some((mm, count)) = lengths(&model, of) else { return Ok(None) };
    let mut slopes = Vec::new();
    for (at, input) in inputs.into_iter().enumerate().filter(|(_, input)| input.sigma > 0.0) {
        let dual = AxleModel::<Dual64>::read(&source, &mut Reader::following(at))?;
        let slope = lengths(&dual, of).map_or(0.0, |([left, _], _)| left.slope());
        slopes.push((input, slope));
    }
    Ok(Some(EyeToEye { mm, count, slopes }))
}

/// Left and right, and how many there are.
fn lengths<T: Real>(model: &AxleModel<T>, of: Member) -> Option<([T; 2], usize)> {
    let alone = |length: T| Some(([length; 2], 1));
    match (of, &model.fitted.members) {
        (Member::Panhard, _) => alone(model.fitted.panhard.as_ref()?.length),
        (Member::DragLink, _) => alone(model.turning.as_ref()?.drag_length),
        (Member::UpperLink, Members::ThreeLinks([_, _, upper])) => alone(upper.length),
        (
            Member::Arm,
            Members::ThreeLinks([left, right, _]) | Members::FourLinks([left, right, ..]),
        )
        | (Member::UpperLink, Members::FourLinks([_, _, left, right])) => {
            Some(([left.length, right.length], 2))
        }
        (Member::Arm, Members::Arms(arms)) => {
            let [left, right] = arms.each_ref().map(|arm| {
                let eye = arm.to_chassis.as_ref()?;
                Some(norm(&(eye.on_limb - arm.axle_end())))
            });
            Some(([left?, right?], 2))
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::truck::{Axle, LayoutKind, Part};

    #[test]
    fn a_bar_is_as_long_as_its_ends_are_apart_and_what_its_part_adds() {
        let mut truck = Truck::example();
        let axle = truck.front.as_mut().unwrap();
        let bar = axle.panhard.clone().unwrap();
        axle.planned.parts.push(Part::length(Member::Panhard, 14.0, [-25.0, 40.0]));
        let at = (End::Front, State::Planned);
        let found = eye_to_eye(&truck, at, Member::Panhard).unwrap().unwrap();
        let [a, b] = [bar.axle.mm(), bar.chassis.mm()];
        let apart = (0..3).map(|i| (a[i] - b[i]).powi(2)).sum::<f64>().sqrt();
        assert!((found.mm[0] - apart - 14.0).abs() < 1e-9, "{found:?}");
        assert_eq!(found.count, 1);
        // The cosine of the bar's direction, by each end's place across.
        let slope = found.slopes.iter().find(|(input, _)| input.path == "panhard.chassis.y_mm");
        let (_, slope) = slope.unwrap();
        assert!((slope - (b[1] - a[1]) / apart).abs() < 1e-12, "{slope}");
        assert_eq!(eye_to_eye(&truck, at, Member::UpperLink).unwrap(), None);
    }

    #[test]
    fn every_layout_tells_the_lengths_it_has() {
        for kind in LayoutKind::ALL {
            let truck = Truck::with_axle(Axle::typical(kind, End::Front), End::Front);
            let count =
                |of| eye_to_eye(&truck, (End::Front, State::Stock), of).unwrap().map(|it| it.count);
            let want = match kind {
                LayoutKind::RadiusArms => [Some(2), None],
                LayoutKind::ThreeLink => [Some(2), Some(1)],
                LayoutKind::FourLink | LayoutKind::Triangulated => [Some(2), Some(2)],
                LayoutKind::Leaf => [None, None],
            };
            assert_eq!([count(Member::Arm), count(Member::UpperLink)], want, "{kind:?}");
        }
    }
}
