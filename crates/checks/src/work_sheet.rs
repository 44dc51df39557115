//! Work sheet: the order of the job, torques by size and grade, and what to look at again, to print.

use super::Quantity;
use super::bolts::strength;
use super::card::{Card, Given, N, Report, choice, n};
use fitment::source::Source;

const TORQUE: Source = Source::Published(
    "T = K · F · d at 0.75 of proof load; ISO 898-1 and SAE J429 proof loads; K 0.2 dry, 0.15 oiled (±25 to 30 % scatter, values from memory). The part maker's figure comes first",
);

/// The job in order, with torques.
pub(super) static CARD: Card = Card {
    slug: "work-sheet",
    title: "Work sheet: order and torque",
    about: "The order of the job, starting torques for bolts by size and grade, and what to tighten again after the first drive.",
    words: &[
        "torque chart",
        "tighten",
        "checklist",
        "order",
        "retorque",
        "re-check",
        "after the job",
    ],
    fields: &[
        choice(
            "grade",
            "Bolts",
            &[
                ("10.9", "10.9 and grade 8"),
                ("8.8", "8.8 and grade 5"),
                ("12.9", "12.9 (metric only)"),
            ],
            "On the bolt's head: 8.8, 10.9; three lines are grade 5, six grade 8.",
        ),
        choice(
            "threads",
            "Threads",
            &[("dry", "Dry and clean"), ("oiled", "Oiled or with locking fluid")],
            "Oil on the thread takes a quarter off the torque.",
        ),
    ],
    cautions: &[
        "Torques here are where to start when the maker of the part gives none. Wheel nuts, steering, brakes and ball joints get their maker's figure and new locking parts, always.",
        "Have steering, brakes and welds inspected by someone licensed for it before the first drive on the road, and keep to local codes.",
    ],
    work,
    drawing: None,
};

/// Threads met under a truck: key and name.
const SIZES: [(&str, &str); 10] = [
    ("m10", "M10 × 1.5"),
    ("m12", "M12 × 1.75"),
    ("m12x1.25", "M12 × 1.25"),
    ("m14", "M14 × 2"),
    ("m14x1.5", "M14 × 1.5"),
    ("m16", "M16 × 2"),
    ("7/16-20", "7/16-20"),
    ("1/2-13", "1/2-13"),
    ("1/2-20", "1/2-20"),
    ("9/16-18", "9/16-18"),
];

/// The order of the job (common practice, no source).
const ORDER: [&str; 8] = [
    "1. On level ground, wheels chocked, on stands: measure and write down before anything comes loose.",
    "2. High-mileage bushings come out worn: replace them with the job, dry and clean, never oiled rubber.",
    "3. Hang every arm, link and bar with its bolts finger tight. Fill a bracket wider than its sleeve with washers, alike on both sides.",
    "4. Weld on only with a spacing tube or through-bar in the holes, rubber and hoses out of the heat, the battery off; have upright and overhead welds done by a qualified welder.",
    "5. Set the truck on its wheels at ride height, bounce and roll it, and only then tighten what pivots in rubber: tightened hanging, the rubber is wound up and tears.",
    "6. Turn lock to lock at full droop and full bump: hoses, leads, driveshaft, tires.",
    "7. Torque in the order frame ends, axle ends, then shocks; wheel nuts in a star. Mark each with paint.",
    "8. Again after 50 to 100 km (30 to 60 miles) and after 500 km (300 miles): wheel nuts and every bolt touched. Then alignment, caster and steering wheel.",
];

fn work(given: &Given, out: &mut Report) {
    let factor = if given.choice("threads") == "oiled" { 0.15 } else { 0.2 };
    let (metric, inch) = match given.choice("grade") {
        "8.8" => ("8.8", "g5"),
        "12.9" => ("12.9", ""),
        _ => ("10.9", "g8"),
    };
    for (key, label) in SIZES {
        let grade = if key.contains('/') { inch } else { metric };
        let [diameter, area, proof] = strength(key, grade);
        if proof.is_nan() {
            continue;
        }
        let torque = N::from(factor * 0.75 * proof * area * diameter / 1000.0);
        out.line(
            key,
            label,
            Quantity::Torque,
            torque,
            TORQUE,
            "{2} · 0.75 · {0} MPa · {1} mm² · {2} mm / 1000 = {0}",
            &[
                n(N::from(factor)),
                n(N::from(proof)),
                n(N::from(area)),
                n(N::from(diameter)),
                n(torque),
            ],
        );
    }
    for step in ORDER {
        out.note(step);
    }
}
