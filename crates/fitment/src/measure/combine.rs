//! What a value worked out from others inherits from them: its spread and its origin.

use super::{Known, Origin};

/// A value with the spread and origin of the terms it came from.
///
/// Each term is (∂value/∂input, input). The inputs are taken as independent: JCGM 100:2008 (GUM)
/// equation 10. The result is assumed as soon as one input that matters is assumed; otherwise it
/// has the origin of the term that adds most to the spread.
pub(crate) fn combined(value: f64, terms: &[(f64, &Known)]) -> Known {
    let mut variance = 0.0;
    let mut largest = -1.0;
    let mut origin = Origin::Published;
    for &(slope, input) in terms.iter().filter(|(slope, _)| *slope != 0.0) {
        let part = (slope * input.sigma).powi(2);
        variance += part;
        // An assumed input outranks any size of part.
        let rank = if input.is_assumed() { f64::INFINITY } else { part };
        if rank > largest {
            largest = rank;
            origin = input.origin.clone();
        }
    }
    Known { value, sigma: variance.sqrt(), origin, entered: None }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::measure::Instrument;

    #[test]
    fn spreads_add_in_squares_and_the_weakest_origin_wins() {
        let tape = Known::measured(100.0, Instrument::Tape);
        let guess = Known::assumed(10.0, 1.5);
        let plate = Known::published(5.0, 0.1);
        // √((1·2)² + (1·1.5)²) = 2.5
        let sum = combined(110.0, &[(1.0, &tape), (1.0, &guess)]);
        assert!((sum.sigma - 2.5).abs() < 1e-12);
        assert_eq!(sum.origin, Origin::Assumed);
        assert_eq!(
            combined(105.0, &[(1.0, &plate), (1.0, &tape)]).origin,
            Origin::Measured(Instrument::Tape)
        );
        // An input with no say in the result does not mark it.
        assert_eq!(combined(5.0, &[(1.0, &plate), (0.0, &guess)]).origin, Origin::Published);
    }
}
