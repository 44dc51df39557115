//! Pose solve budgets: from a near start, links and bushes.

use divan::{Bencher, black_box};
use fitment::{
    axle::{AxleModel, Path, answer, attitude, solve, solve_near, sweep},
    truck::{Axle, End, LayoutKind, State, Truck},
};

fn main() {
    divan::main();
}

fn model(kind: LayoutKind) -> AxleModel<f64> {
    let truck = Truck::with_axle(Axle::typical(kind, End::Front), End::Front);
    AxleModel::of(&truck, End::Front, State::Stock).expect("the typical axle reads")
}

const KINDS: [LayoutKind; 5] = LayoutKind::ALL;

#[divan::bench(args = KINDS)]
fn near_start(bencher: Bencher, kind: LayoutKind) {
    let model = model(kind);
    let near = solve(&model, [-73.0, -71.0]).expect("within reach");
    bencher.bench(|| solve_near(black_box(&model), black_box([-75.0, -72.0]), &near));
}

#[divan::bench(args = KINDS)]
fn cold_start(bencher: Bencher, kind: LayoutKind) {
    let model = model(kind);
    bencher.bench(|| solve(black_box(&model), black_box([-75.0, -72.0])));
}

#[divan::bench(args = KINDS)]
fn outputs(bencher: Bencher, kind: LayoutKind) {
    let model = model(kind);
    let pose = solve(&model, [-75.0, -72.0]).expect("within reach");
    bencher.bench(|| attitude(black_box(&model), black_box(&pose), 0.1));
}

/// A thousand points of both wheels' travel, every output.
#[divan::bench(args = KINDS)]
fn sweep_of_a_thousand(bencher: Bencher, kind: LayoutKind) {
    let model = model(kind);
    bencher.bench(|| sweep(black_box(&model), Path::Heave, -80.0, 80.0, 0.16));
}

#[divan::bench]
fn answer_with_uncertainty(bencher: Bencher) {
    let truck = Truck::example();
    bencher.bench(|| answer(black_box(&truck), End::Front, State::Planned));
}

#[divan::bench]
fn suggestions_for_the_example(bencher: Bencher) {
    let truck = Truck::example();
    let stock = answer(&truck, End::Front, State::Stock).expect("the example stands");
    bencher.bench(|| fitment::remedy::suggest(black_box(&truck), End::Front, &stock, &[]));
}
