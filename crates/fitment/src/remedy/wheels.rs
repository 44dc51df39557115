//! Which wheel and spacer of the shelf lets the planned tire clear, and what each costs in scrub.

use crate::{
    clearance::{Contact, FitError, Options, fit},
    few::sort_few,
    measure::Known,
    truck::{Axle, End, State, Wheel},
    wheel::effective_offset_mm,
};

/// One wheel on one spacer, with the planned tire.
#[derive(Debug, Clone, PartialEq)]
pub struct WheelChoice {
    /// The wheel.
    pub wheel: Wheel,
    /// The spacer, mm; 0 for none.
    pub spacer_mm: Known,
    /// Where the tire comes nearest, over the whole travel and lock.
    pub nearest: Contact,
    /// True when nothing comes nearer than the margin asked for.
    pub clears: bool,
    /// Rim centreline outboard of stock, mm: the scrub radius grows by as much.
    pub outboard_mm: f64,
}

/// Most wheel and spacer pairs tried.
pub const MOST_PAIRS: usize = 60;

/// Every wheel on every spacer, those that clear first, then the least change of scrub.
///
/// # Errors
/// When the planned wheel itself cannot be answered for; a shelf wheel that cannot is left out.
pub fn wheel_choices(
    axle: &Axle,
    end: End,
    options: &Options,
) -> Result<Vec<WheelChoice>, FitError> {
    let planned = &axle.planned;
    let mut spacers = vec![planned.spacer_mm.clone()];
    for spacer in std::iter::once(&Known::exact(0.0)).chain(&axle.shelf.spacers_mm) {
        if spacers.iter().all(|s| s.value.to_bits() != spacer.value.to_bits()) {
            spacers.push(spacer.clone());
        }
    }
    let stock = effective_offset_mm(axle.stock.wheel.offset_mm.value, axle.stock.spacer_mm.value);
    let mut choices = Vec::new();
    let wheels = std::iter::once(&planned.wheel).chain(&axle.shelf.wheels);
    let pairs = wheels.flat_map(|wheel| spacers.iter().map(move |spacer| (wheel, spacer)));
    for (index, (wheel, spacer)) in pairs.take(MOST_PAIRS).enumerate() {
        let mut trial = axle.clone();
        trial.planned.wheel = wheel.clone();
        trial.planned.spacer_mm = spacer.clone();
        let found = match fit(&trial, end, State::Planned, options) {
            Ok(found) => found,
            Err(error) if index == 0 => return Err(error),
            Err(_) => continue,
        };
        let Some(nearest) = found.contacts.into_iter().next() else { continue };
        choices.push(WheelChoice {
            wheel: wheel.clone(),
            spacer_mm: spacer.clone(),
            clears: nearest.clearance_mm >= options.margin_mm,
            outboard_mm: stock - effective_offset_mm(wheel.offset_mm.value, spacer.value),
            nearest,
        });
    }
    sort_few(&mut choices, |a, b| {
        b.clears.cmp(&a.clears).then_with(|| {
            if a.clears {
                a.outboard_mm.abs().total_cmp(&b.outboard_mm.abs())
            } else {
                b.nearest.clearance_mm.total_cmp(&a.nearest.clearance_mm)
            }
        })
    });
    Ok(choices)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::truck::Truck;

    fn coarse() -> Options {
        Options { steers: 9, travels: 7, crossed: vec![0.0, 1.0], ..Options::default() }
    }

    #[test]
    fn choices_that_clear_come_first_then_the_least_scrub() {
        let mut front = Truck::example().front.unwrap();
        // A tire narrow and small enough that some places clear.
        front.planned.tire.size = "235/85R16".into();
        let choices = wheel_choices(&front, End::Front, &coarse()).unwrap();
        assert_eq!(choices.len(), 4, "no spacer and three on the shelf");
        assert!(choices[0].clears, "{:?}", choices[0].nearest);
        for pair in choices.windows(2) {
            assert!(pair[0].clears >= pair[1].clears);
            if pair[1].clears {
                assert!(pair[0].outboard_mm.abs() <= pair[1].outboard_mm.abs());
            }
        }
        // Offset 31 to 0 moves the wheel out by 31; a spacer adds its own thickness.
        let plain = choices.iter().find(|c| c.spacer_mm.value == 0.0).unwrap();
        assert!((plain.outboard_mm - 31.0).abs() < 1e-9);
        let thick = choices.iter().find(|c| c.spacer_mm.value > 38.0).unwrap();
        assert!((thick.outboard_mm - 69.1).abs() < 1e-9);
    }

    #[test]
    fn a_tire_that_does_not_read_is_an_error() {
        let mut front = Truck::example().front.unwrap();
        front.planned.tire.size = "thirty-five".into();
        assert!(wheel_choices(&front, End::Front, &coarse()).is_err());
    }
}
