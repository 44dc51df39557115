//! What the trade says of solid axles, `common practice, no source` throughout: rules of thumb that
//! a sound model must bear out.

use crate::{
    close,
    simple_axle::{at, bar, get},
};
use fitment::{
    axle::{Output, answer},
    clearance::{Obstacle, Options, fit},
    finding::{Severity, findings},
    measure::{Known, units::MM_PER_INCH},
    truck::{Axle, End, Hole, LayoutKind, Part, Pivot, State, Truck},
};

fn holes(x: f64, z: f64) -> Vec<Hole> {
    let known = Known::exact;
    vec![Hole { name: "used".into(), x_mm: known(x), y_mm: known(0.0), z_mm: known(z) }]
}

/// How far a front axle goes forward when its lower pivots are moved forward 25 mm, mm.
fn moved_forward(kind: LayoutKind, travel: f64) -> f64 {
    let mut axle = Axle::typical(kind, End::Front);
    axle.planned.parts =
        vec![Part::Bracket { moves: Pivot::Arm, holes: holes(25.0, 0.0), hole: 0 }];
    let before = at(&axle, State::Stock, [travel; 2]);
    let after = at(&axle, State::Planned, [travel; 2]);
    let [left, right] = [Output::WheelbaseLeft, Output::WheelbaseRight]
        .map(|side| get(&after, side) - get(&before, side));
    close("as far on the right", right, left, 0.5);
    left
}

/// `common practice, no source`: a front arm bracket that moves the arm's pivot forward 25 mm moves the
/// axle forward about an inch.
#[test]
fn an_arm_bracket_forward_moves_the_axle_forward() {
    for travel in [0.0, -75.0] {
        close("radius arms", moved_forward(LayoutKind::RadiusArms, travel), MM_PER_INCH, 1.5);
    }
}

/// Source: the lever rule. Where upper links stay, the axle tips about their end: its centre, 60 mm over
/// the lower links and 140 (160) mm under the upper, goes 140/200 (160/220) of the way.
#[test]
fn lower_links_forward_move_the_axle_by_the_lever_rule() {
    for (kind, share) in
        [(LayoutKind::FourLink, 140.0 / 200.0), (LayoutKind::ThreeLink, 160.0 / 220.0)]
    {
        close(&format!("{kind:?}"), moved_forward(kind, 0.0), 25.0 * share, 0.5);
    }
}

/// `common practice, no source`: a bracket pair, one raising the bar's axle end and one lowering its
/// chassis end, that takes a Panhard bar from 10° to 3° corrects 7°. Drops from the bar's triangle:
/// L·(sin 10° − sin 3°) shared between the two.
#[test]
fn a_pair_of_panhard_brackets_levels_the_bar() {
    let length = 900.0;
    let rise = |degrees: f64| length * degrees.to_radians().sin();
    // Over the axle's centreline, where its tipping does not raise or lower the bar's end, and at
    // stock height so flat that a lift of 75 mm makes it 10°.
    let stock = rise(10.0) - 75.0;
    let span = f64::sqrt(length * length - stock * stock);
    for kind in LayoutKind::ALL {
        let mut axle = Axle::typical(kind, End::Front);
        axle.panhard = Some(bar([0.0, -460.0, 90.0], [0.0, span - 460.0, 90.0 + stock]));
        let half = (rise(10.0) - rise(3.0)) / 2.0;
        axle.planned.parts = vec![
            Part::Bracket { moves: Pivot::PanhardAxle, holes: holes(0.0, half), hole: 0 },
            Part::Bracket { moves: Pivot::PanhardChassis, holes: holes(0.0, -half), hole: 0 },
        ];
        let angle = |state| get(&at(&axle, state, [-75.0; 2]), Output::Panhard);
        let (lifted, mended) = (angle(State::Stock), angle(State::Planned));
        close(&format!("{kind:?} lifted"), lifted, 10.0, 0.3);
        close(&format!("{kind:?} mended"), mended, 3.0, 0.3);
        close(&format!("{kind:?} corrected"), lifted - mended, 7.0, 0.3);
    }
}

/// `common practice, no source`: beyond about an inch of lift a solid axle needs its caster and its
/// Panhard angle looked at.
#[test]
fn beyond_an_inch_of_lift_caster_and_panhard_want_a_look() {
    let mut truck = Truck::example();
    let front = truck.front.as_mut().unwrap();
    let stock =
        answer(&Truck::with_axle(front.clone(), End::Front), End::Front, State::Stock).unwrap();
    let mut severity = |lift: f64, output: Output| {
        front.sitting.lift_mm = Known::exact(lift);
        let now = answer(&Truck::with_axle(front.clone(), End::Front), End::Front, State::Sitting)
            .unwrap();
        let found = findings(End::Front, State::Sitting, &stock, &now, &[]);
        found.iter().find(|f| f.output == output).unwrap().verdict.severity
    };
    for output in [Output::Caster, Output::Panhard] {
        assert_eq!(severity(0.0, output), Severity::InBand, "{output:?} stock");
        assert_ne!(severity(1.5 * MM_PER_INCH, output), Severity::InBand, "{output:?} at 1½ in");
        assert_ne!(severity(3.0 * MM_PER_INCH, output), Severity::InBand, "{output:?} at 3 in");
    }
}

/// `common practice, no source`: an axle visibly out to one side by an inch or two is what an
/// uncorrected lift looks like. Bars of 800 to 950 mm that slope 6° to 12° when stock, lifted by five
/// and six inches, put the axle out by one or two inches to the nearest inch.
#[test]
fn an_uncorrected_lift_stands_out_by_an_inch_or_two() {
    for kind in LayoutKind::ALL {
        for length in [800.0, 875.0, 950.0] {
            for slope in [6.0_f64, 9.0, 12.0] {
                for lift in [5.0, 6.0] {
                    let (rise, span) = slope.to_radians().sin_cos();
                    let mut axle = Axle::typical(kind, End::Front);
                    axle.panhard = Some(bar(
                        [95.0, -460.0, 90.0],
                        [95.0, length * span - 460.0, 90.0 + length * rise],
                    ));
                    let lifted = at(&axle, State::Stock, [-lift * MM_PER_INCH; 2]);
                    let inches = get(&lifted, Output::LateralShift) / MM_PER_INCH;
                    assert!(
                        (1.0..=2.0).contains(&inches.round()),
                        "{kind:?}, bar {length} at {slope}°, {lift} in of lift: {inches} in"
                    );
                }
            }
        }
    }
}

/// The least certain clearance to an obstacle on our truck with tires of a width, mm, a spacer and the
/// arm bracket's pivot moved forward. Its frame, arms and arch are made up so that the tires come near.
fn tight(section_mm: f64, spacer_mm: f64, forward_mm: f64, to: Obstacle) -> f64 {
    let mut truck = Truck::example();
    let axle = truck.front.as_mut().expect("a front axle");
    let known = Known::exact;
    let around = &mut axle.surroundings;
    around.things.clear();
    around.arm_radius_mm = Some(known(12.0));
    around.rail.as_mut().expect("a rail").outer_mm = known(385.0);
    let arch = around.arch.as_mut().expect("an arch");
    (arch.front_mm, arch.top_mm, arch.rear_mm) = (known(660.0), known(600.0), known(540.0));
    let planned = &mut axle.planned;
    planned.tire.section_mm = Some(known(section_mm));
    planned.tire.diameter_mm = Some(known(35.0 * MM_PER_INCH));
    planned.spacer_mm = known(spacer_mm);
    planned.parts.push(Part::Bracket { moves: Pivot::Arm, holes: holes(forward_mm, 0.0), hole: 0 });
    let found = fit(&truck, End::Front, State::Planned, &Options::coarse()).expect("a fit");
    let of = found.contacts.iter().filter(|contact| contact.obstacle == to);
    of.map(|contact| contact.clearance_mm).fold(f64::INFINITY, f64::min)
}

/// `common practice, no source`: with one wheel a tire 12.5 in wide can clear where one 13.5 in wide
/// touches the frame and the arms; a 1 1/2 in spacer clears the wider one inboard, but turned it touches
/// the inside of the front arch; moving the axle forward about 25 mm frees it.
#[test]
fn an_inch_of_width_a_spacer_and_an_inch_forward() {
    let [narrow, wide] = [12.5, 13.5].map(|inches| inches * MM_PER_INCH);
    let spacer = 1.5 * MM_PER_INCH;
    for (name, setup, [rail, arm, arch]) in [
        ("12.5 in", (narrow, 0.0, 0.0), [true, true, true]),
        ("13.5 in", (wide, 0.0, 0.0), [false, false, true]),
        ("13.5 in on spacers", (wide, spacer, 0.0), [true, true, false]),
        ("13.5 in on spacers, axle forward", (wide, spacer, 25.0), [true, true, true]),
    ] {
        let clears = |to| tight(setup.0, setup.1, setup.2, to);
        for (to, want) in [(Obstacle::Rail, rail), (Obstacle::Arm, arm), (Obstacle::Arch, arch)] {
            assert_eq!(clears(to) > 0.0, want, "{name}: {} mm to the {to:?}", clears(to));
        }
    }
}
