//! Clearances of random tires to random obstacles against an independent collision library; see
//! `solid.py` beside this file for how each is told to it and how far that may be off.

use fitment::{
    clearance::{ArchBand, Block, Least, Piece, PosedTire, TireSolid, tire_arch, tire_block},
    tire::Profile,
    truck::Side,
};
use nalgebra::Vector3;
use serde::Deserialize;

/// Agreement asked for where both give a distance, and how near to touching whether they touch need
/// not be agreed, mm.
const AGREES_MM: f64 = 0.05;
/// How exactly the engine is asked, mm.
const TOLERANCE_MM: f64 = 1e-3;

#[derive(Deserialize)]
pub struct Triples {
    pub seed: u64,
    pub triples: Vec<Triple>,
}

#[derive(Deserialize, PartialEq, Debug)]
pub struct Triple {
    pub kind: String,
    tire: Tire,
    thing: Thing,
    /// The library's clearance, mm; `None` where the cores overlap.
    pub gap: Option<f64>,
}

#[derive(Deserialize, PartialEq, Debug)]
struct Tire {
    corners: Vec<[f64; 2]>,
    rounding: f64,
    centre: [f64; 3],
    axis: [f64; 3],
}

#[derive(Deserialize, PartialEq, Debug)]
#[serde(untagged)]
enum Thing {
    Arch { lips: [f64; 3], across: [f64; 2] },
    Piece { corner: [f64; 3], edges: Vec<[f64; 3]>, radius: f64 },
}

impl Triples {
    pub fn stored() -> Self {
        serde_json::from_str(include_str!("solid.json")).expect("solid.py writes triples")
    }
}

impl Triple {
    /// The engine's answers: one, or two where two of its ways lead to the same.
    fn answers(&self) -> Vec<Least> {
        let solid = TireSolid::of(Profile::around(&self.tire.corners, self.tire.rounding));
        let tire: PosedTire = solid
            .expect("a tire")
            .at(self.tire.centre.into(), Vector3::from(self.tire.axis).normalize());
        match &self.thing {
            Thing::Arch { lips, across: [inner, lip] } => {
                let arch = ArchBand::try_new(*lips, *inner, *lip, Side::Left).expect("an arch");
                vec![tire_arch(&tire, &arch, TOLERANCE_MM, f64::INFINITY)]
            }
            Thing::Piece { corner, edges, radius } => {
                let corner = Vector3::from(*corner);
                let edges: Vec<Vector3<f64>> = edges.iter().map(|&edge| edge.into()).collect();
                let piece = Piece::try_new(corner, &edges, *radius).expect("a piece");
                let mut found = vec![piece.least(&tire, TOLERANCE_MM)];
                if self.kind == "straight" {
                    let far = corner + edges.iter().sum::<Vector3<f64>>();
                    let block = Block::try_new(corner, far).expect("a box");
                    found.push(tire_block(&tire, &block, TOLERANCE_MM));
                }
                found
            }
        }
    }
}

/// What a comparison found.
#[derive(Default)]
pub struct Agreement {
    compared: usize,
    separated: usize,
    touching: usize,
    worst_mm: f64,
    pub faults: Vec<String>,
}

impl Agreement {
    pub fn of(triples: &Triples) -> Self {
        let mut agreement = Self::default();
        for (number, triple) in triples.triples.iter().enumerate() {
            agreement.compared += 1;
            for answer in triple.answers() {
                agreement.add(
                    &format!("triple {number} of seed {}", triples.seed),
                    triple,
                    &answer,
                );
            }
        }
        agreement
    }

    fn add(&mut self, name: &str, triple: &Triple, answer: &Least) {
        let touching = triple.gap.is_none_or(|gap| gap <= 0.0);
        if touching {
            self.touching += 1;
        } else {
            self.separated += 1;
        }
        let unsettled = triple.gap.is_some_and(|gap| gap.abs() < AGREES_MM);
        let mut wrong = !unsettled && touching != (answer.distance <= 0.0);
        if let Some(gap) = triple.gap {
            let off = (answer.distance - gap).abs();
            self.worst_mm = self.worst_mm.max(off);
            wrong |= off > AGREES_MM || answer.lower > gap + AGREES_MM;
        }
        if wrong {
            let kind = &triple.kind;
            self.faults.push(format!("{name}, {kind}: {answer:?}, {:?} there", triple.gap));
        }
    }

    pub fn print(&self) {
        println!(
            "{} triples: {} separated, {} touching, worst difference {:.4} mm",
            self.compared, self.separated, self.touching, self.worst_mm
        );
    }

    /// Fails on any fault, and where too little of either case was met.
    pub fn assert(&self, least: usize) {
        assert!(self.compared >= least, "only {} triples", self.compared);
        assert!(self.separated > least / 2 && self.touching > least / 8, "one case hardly met");
        let faults = &self.faults;
        assert!(faults.is_empty(), "{} disagree:\n{}", faults.len(), faults.join("\n"));
    }
}

#[test]
fn stored_clearances_agree_with_a_collision_library() {
    let agreement = Agreement::of(&Triples::stored());
    agreement.print();
    agreement.assert(600);
}
