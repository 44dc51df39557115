//! How long a clearance takes: one distance, one map, the whole answer.

use divan::{Bencher, black_box};
use fitment::clearance::{
    ArchBand, Block, Fit, Options, Piece, PosedTire, Study, TireSolid, fit, tire_arch, tire_block,
    tire_segment,
};
use fitment::tire::Profile;
use fitment::truck::{End, Side, State, Truck};
use nalgebra::Vector3;

fn main() {
    divan::main();
}

/// Tires at the map's many attitudes, so that no branch is learnt by heart.
fn tires() -> Vec<PosedTire> {
    posed(TireSolid::try_new(440.0, 155.0, 50.0).expect("a tire"))
}

/// The same with a measured section: sidewall, shoulder lug, tread's edge, crown.
fn measured() -> Vec<PosedTire> {
    let section = [[155.0, 370.0], [143.0, 418.0], [118.0, 434.0], [0.0, 440.0]];
    posed(TireSolid::of(Profile::around(&section, 0.0)).expect("a tire"))
}

fn posed(solid: TireSolid) -> Vec<PosedTire> {
    (0..64)
        .map(|i| {
            let steer = f64::from(i % 8) * 0.16 - 0.56;
            let up = f64::from(i / 8) * 22.0 - 90.0;
            let axis = Vector3::new(-steer.sin(), steer.cos(), 0.03).normalize();
            solid.at(Vector3::new(20.0 * steer, 750.0, up), axis)
        })
        .collect()
}

/// Every tire against an arm's centreline.
fn segments(bencher: Bencher, tires: &[PosedTire]) {
    let (from, to) = (Vector3::new(85.0, 455.0, -30.0), Vector3::new(-890.0, 440.0, 60.0));
    bencher.bench(|| {
        tires.iter().map(|t| tire_segment(t, black_box(&from), &to, 0.1).distance).sum::<f64>()
    });
}

/// Every tire against an arch.
fn arches(bencher: Bencher, tires: &[PosedTire]) {
    let arch = ArchBand::try_new([545.0, 560.0, 560.0], 600.0, 840.0, Side::Left).expect("an arch");
    bencher.bench(|| {
        tires
            .iter()
            .map(|t| tire_arch(t, black_box(&arch), 0.1, f64::INFINITY).distance)
            .sum::<f64>()
    });
}

#[divan::bench]
fn segment_64(bencher: Bencher) {
    segments(bencher, &tires());
}

#[divan::bench]
fn segment_64_measured(bencher: Bencher) {
    segments(bencher, &measured());
}

#[divan::bench]
fn arch_64(bencher: Bencher) {
    arches(bencher, &tires());
}

#[divan::bench]
fn arch_64_measured(bencher: Bencher) {
    arches(bencher, &measured());
}

#[divan::bench]
fn block_64(bencher: Bencher) {
    let tires = tires();
    let rail = Block::try_new(Vector3::new(-650.0, 0.0, 130.0), Vector3::new(550.0, 430.0, 270.0))
        .expect("a rail");
    bencher
        .bench(|| tires.iter().map(|t| tire_block(t, black_box(&rail), 0.1).distance).sum::<f64>());
}

#[divan::bench]
fn turned_block_64(bencher: Bencher) {
    let tires = tires();
    let edges = [[240.0, 320.0, 0.0], [-160.0, 120.0, 0.0], [0.0, 0.0, 140.0]];
    let block = Piece::try_new(Vector3::new(-650.0, 200.0, 130.0), &edges.map(Vector3::from), 0.0)
        .expect("a block");
    bencher.bench(|| tires.iter().map(|t| black_box(&block).least(t, 0.1).distance).sum::<f64>());
}

/// Steers × travels × ways of crossing up.
type Size = (usize, usize, usize);

/// The example's front axle, and a map of that size of both tires.
fn asked((steers, travels, crossings): Size) -> (Truck, Options) {
    let axle = Truck::example().front.expect("a front axle");
    let last = (crossings - 1) as f64;
    let options = Options {
        steers,
        travels,
        crossed: (0..crossings).map(|i| i as f64 / last).collect(),
        ..Options::default()
    };
    (Truck::with_axle(axle, End::Front), options)
}

/// The map with every contact certain, six obstacles a side: rail, arch, arm and three things more.
#[divan::bench(args = [(31, 15, 3), (61, 41, 9)])]
fn map(bencher: Bencher, size: Size) {
    let (mut truck, options) = asked(size);
    if let Some(axle) = &mut truck.front {
        axle.surroundings.things.truncate(3);
    }
    bencher.bench(|| -> Option<Fit> {
        let mut study =
            Study::begin(black_box(&truck), End::Front, State::Planned, &options).ok()?;
        while !study.mapped() {
            study.step(1);
        }
        Some(study.fit())
    });
}

/// The same with everything that follows from it, and all the example has beside its wheels.
#[divan::bench(args = [(31, 15, 3), (61, 41, 9)])]
fn whole_answer(bencher: Bencher, size: Size) {
    let (truck, options) = asked(size);
    bencher.bench(|| fit(black_box(&truck), End::Front, State::Planned, &options));
}
