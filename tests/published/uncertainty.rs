//! Uncertainty of an answer against the law of propagation worked by hand.

use crate::{
    close,
    simple_axle::{BarEnd, lift_table},
};
use fitment::{
    axle::{Output, answer},
    measure::Known,
    truck::{End, State, Truck},
};

/// Source: JCGM 100:2008 (GUM), equation 10, on the Panhard arc √(a² + v² − (v + h)²) − a: span a of a
/// 900 mm bar, rise v 60, lift h 100, each with standard uncertainty 3. Slopes by hand: a/a₂ − 1,
/// −h/a₂ and −(v + h)/a₂ with a₂ = √(900² − 160²) = 885.66.
#[test]
fn shift_of_the_axle_by_the_law_of_propagation() {
    let after = f64::sqrt(900.0 * 900.0 - 160.0 * 160.0);
    let before = f64::sqrt(900.0 * 900.0 - 60.0 * 60.0);
    let slopes = [before / after - 1.0, -100.0 / after, -160.0 / after];
    let want = 3.0 * slopes.iter().map(|c| c * c).sum::<f64>().sqrt();
    close("by hand", want, 0.6404, 0.0005);

    for side in [BarEnd::Left, BarEnd::Right] {
        let mut axle = lift_table(900.0, 60.0, side);
        axle.panhard.as_mut().unwrap().chassis.y_mm.sigma = 3.0;
        axle.panhard.as_mut().unwrap().chassis.z_mm.sigma = 3.0;
        axle.sitting.lift_mm = Known::published(100.0, 3.0);
        let spread =
            answer(&Truck::with_axle(axle.clone(), End::Front), End::Front, State::Sitting)
                .unwrap()
                .spread(Output::LateralShift)
                .unwrap();
        close("shift", spread.value.abs(), 12.334, 0.001);
        close("its uncertainty", spread.sigma, want, 1e-6);
        // The lift decides most: its share of the variance.
        let driver = spread.driver.unwrap();
        assert_eq!(driver.path, "sitting.lift_mm");
        close("slope", driver.slope.abs(), 160.0 / after, 1e-6);
        close("share", driver.share, (3.0 * slopes[2] / want).powi(2), 1e-6);
    }
}
