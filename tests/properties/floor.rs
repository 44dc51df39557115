//! What a plan comes to on the shop floor, for every kind of part on every layout.

use fitment::{
    measure::{Known, System},
    remedy::{Stage, job},
    truck::{Axle, Driveline, End, Hose, LayoutKind, Part, PartKind, Truck, Work},
};

fn planned(layout: LayoutKind, parts: impl Fn(&Axle) -> Vec<Part>) -> Truck {
    let mut axle = Axle::typical(layout, End::Front);
    axle.driveline = Some(Driveline::typical(End::Front));
    axle.hose = Some(Hose::typical());
    axle.sitting.lift_mm = Known::exact(40.0);
    axle.planned = axle.sitting.clone();
    axle.planned.parts = parts(&axle);
    axle.shelf = axle.planned.parts.iter().cloned().collect();
    Truck::with_axle(axle, End::Front)
}

#[test]
fn each_part_is_fitted_once_and_its_caution_stands_where_it_matters() {
    for layout in LayoutKind::ALL {
        for kind in PartKind::ALL {
            let truck = planned(layout, |axle| vec![Part::typical(kind, axle)]);
            let axle = truck.front.as_ref().unwrap();
            if !kind.traits().needs.met(axle) {
                continue;
            }
            let done = job(&truck, End::Front, System::Metric).unwrap();
            let [item] = &done.items[..] else { panic!("{kind:?}: {done:?}") };
            assert_eq!((&item.part, item.work), (&axle.planned.parts[0], kind.traits().work));
            assert!(done.tasks.is_sorted_by(|a, b| a.stage <= b.stage), "{kind:?}");
            let fits = done
                .tasks
                .iter()
                .filter(|task| task.stage == Stage::Fit && task.words.contains(&item.words[1..]));
            assert_eq!(fits.count(), 1, "{kind:?}: {:?}", done.tasks);
            let said: Vec<_> = done.tasks.iter().filter_map(|task| task.caution).collect();
            let once = said.iter().filter(|it| **it == kind.traits().caution).count();
            assert_eq!(once, 1, "{kind:?}: {said:?}");
            // A weld is tacked, the axle cycled, and only then is it welded out.
            let welds = item.work >= Work::WeldFrame;
            let has = |stage| done.tasks.iter().any(|task| task.stage == stage);
            assert_eq!(has(Stage::Finish), welds, "{kind:?}");
            assert!(!welds || has(Stage::Cycle), "{kind:?}");
            assert!(has(Stage::Measure) && has(Stage::MeasureAgain), "{kind:?}");
            assert_eq!((done.totals.price.missing, done.totals.hours.missing), (1, 1));
        }
    }
}

#[test]
fn nothing_planned_is_nothing_to_do_and_what_is_worn_is_not_fitted_again() {
    let mut truck = planned(LayoutKind::ThreeLink, |axle| {
        vec![Part::typical(PartKind::ALL[0], axle), Part::typical(PartKind::ALL[2], axle)]
    });
    let axle = truck.front.as_mut().unwrap();
    axle.sitting.parts = vec![axle.planned.parts[0].clone(), Part::DoubleCardan {}];
    let done = job(&truck, End::Front, System::Inch).unwrap();
    assert_eq!(done.items.len(), 1);
    assert_eq!(done.off, [Part::DoubleCardan {}]);
    let axle = truck.front.as_mut().unwrap();
    axle.planned.parts = axle.sitting.parts.clone();
    let none = job(&truck, End::Front, System::Inch).unwrap();
    assert!(none.items.is_empty() && none.off.is_empty() && none.tasks.is_empty(), "{none:?}");
    assert_eq!(none.totals.price.words(), None);
}
