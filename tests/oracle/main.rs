//! The engine against poses worked out by a second formulation in Python; see `pose.py`,
//! `steering.py` and `outputs.py` beside this file for its definitions and `make.py` for how
//! `pose.json` is written.
//!
//! SciPy is also asked afresh: the stored poses must be what it says today, and the whole random
//! family of trucks is compared. A disagreement is shrunk to the
//! simplest truck that still shows it. Clearances are compared with a collision library likewise; see
//! `solid.py`.

mod compare;
mod fixture;
mod fresh;
mod monte_carlo;
mod shrink;
mod solid;
mod tally;

use compare::{compare, sweeps};
use fixture::Fixture;
use tally::Tally;

/// Every output the oracle gives, for every position of every stored truck.
#[test]
fn poses_agree_with_the_second_formulation() {
    let fixture = Fixture::stored();
    let (trucks, positions) = (fixture.trucks.len(), fixture.positions());
    println!("seed {}, {trucks} trucks, {positions} positions", fixture.seed);
    let mut tally = Tally::default();
    let mut faults = Vec::new();
    for asked in &fixture.trucks {
        for position in &asked.positions {
            let found = compare(asked, position, &fixture.keys);
            tally.add(asked, &found);
            for fault in found.faults {
                let name = asked.name();
                faults.push(format!(
                    "truck {} ({name}, {:?}) {:?} at {:?}, steer {}: {fault}",
                    asked.number, asked.end, position.state, position.travel_mm, position.steer_deg
                ));
            }
        }
    }
    for asked in &fixture.trucks {
        let found = sweeps(asked, &fixture.swept);
        faults.extend(found.faults.iter().map(|fault| format!("truck {}: {fault}", asked.number)));
    }
    tally.print();
    tally.assert_covers(12, 13);
    let seed = fixture.seed;
    assert!(faults.is_empty(), "seed {seed}: {} faults:\n{}", faults.len(), faults.join("\n"));
}
