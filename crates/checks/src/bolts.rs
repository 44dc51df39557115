//! Bolts and studs: clamp from torque, share of proof load, thread engagement, friction of a joint.

use super::Quantity;
use super::card::{Card, Given, N, Report, choice, n, number};
use fitment::{
    finding::Band,
    measure::{Known, units::MM_PER_INCH},
    source::Source,
};
use std::f64::consts::PI;

const AREA: Source = Source::Published(
    "ISO 898-1, 9.1.6.1 (value from memory): π/4 (d − 0.9382 P)²; inch threads by ASME B1.1 (value from memory): π/4 (d − 0.9743/n)²",
);
const PROOF: Source = Source::Published(
    "ISO 898-1, proof stress: 8.8 580 MPa (600 above 16 mm), 10.9 830, 12.9 970; SAE J429: grade 5 85 ksi, grade 8 120 ksi",
);
const TORQUE: Source = Source::Published(
    "Shigley, Mechanical Engineering Design, ch. 8 (value from memory): N = K · F · d, K about 0.2 dry and 0.15 oiled",
);
const FRICTION: Source =
    Source::Derived("clamp · friction · radius of the circle, summed over the studs");

/// Outside diameter and pitch, mm, of each thread by its key.
const THREADS: [(&str, f64, f64); 12] = [
    ("m10", 10.0, 1.5),
    ("m12", 12.0, 1.75),
    ("m12x1.5", 12.0, 1.5),
    ("m12x1.25", 12.0, 1.25),
    ("m14", 14.0, 2.0),
    ("m14x1.5", 14.0, 1.5),
    ("m16", 16.0, 2.0),
    ("m16x1.5", 16.0, 1.5),
    ("7/16-20", 7.0 / 16.0 * MM_PER_INCH, MM_PER_INCH / 20.0),
    ("1/2-20", 0.5 * MM_PER_INCH, MM_PER_INCH / 20.0),
    ("1/2-13", 0.5 * MM_PER_INCH, MM_PER_INCH / 13.0),
    ("9/16-18", 9.0 / 16.0 * MM_PER_INCH, MM_PER_INCH / 18.0),
];

/// Bolts.
pub(super) static CARD: Card = Card {
    slug: "bolts",
    title: "Bolts, studs and torque",
    about: "Clamp force from torque, how much of the bolt's proof load that is, thread engagement, and what the joint holds by friction.",
    words: &["torque", "lug nut", "wheel stud", "preload", "clamp", "grade 8", "10.9", "thread"],
    fields: &[
        choice(
            "thread",
            "Thread",
            &[
                ("m12x1.5", "M12 × 1.5"),
                ("m10", "M10"),
                ("m12", "M12 × 1.75"),
                ("m12x1.25", "M12 × 1.25"),
                ("m14", "M14 × 2"),
                ("m14x1.5", "M14 × 1.5"),
                ("m16", "M16 × 2"),
                ("m16x1.5", "M16 × 1.5"),
                ("7/16-20", "7/16-20"),
                ("1/2-20", "1/2-20"),
                ("1/2-13", "1/2-13"),
                ("9/16-18", "9/16-18"),
            ],
            "By caliper and thread gauge.",
        ),
        choice(
            "grade",
            "Grade",
            &[
                ("10.9", "10.9"),
                ("8.8", "8.8"),
                ("12.9", "12.9"),
                ("g5", "Grade 5, three marks"),
                ("g8", "Grade 8, six marks"),
            ],
            "On the head of the bolt; an unmarked one is none of these.",
        ),
        number(
            "torque",
            "Torque",
            Quantity::Torque,
            Known::assumed(110.0, 5.0),
            [1.0, 1500.0],
            "What the maker asks for, or what you would set.",
        ),
        number(
            "nut_factor",
            "Nut factor K",
            Quantity::Ratio,
            Known::assumed(0.2, 0.03),
            [0.08, 0.4],
            "About 0.2 dry, 0.15 oiled; it scatters by a quarter and more, which is why torque is a poor measure of clamp.",
        ),
        number(
            "count",
            "Bolts in the joint",
            Quantity::Count,
            Known::assumed(5.0, 0.0),
            [1.0, 12.0],
            "Studs of a wheel, or bolts of a bracket.",
        ),
        number(
            "circle",
            "Bolt circle",
            Quantity::Length,
            Known::assumed(139.7, 0.0),
            [20.0, 400.0],
            "Diameter of the circle through the bolts.",
        ),
        number(
            "friction",
            "Friction of the faces",
            Quantity::Ratio,
            Known::assumed(0.1, 0.03),
            [0.03, 0.5],
            "About 0.1 greasy or painted to 0.2 clean and bare.",
        ),
        number(
            "engagement",
            "Thread in the nut",
            Quantity::Length,
            Known::assumed(15.0, 1.0),
            [0.0, 80.0],
            "Full threads taken up: turns of the nut times the pitch.",
        ),
    ],
    cautions: &[
        "The maker's torque for wheel, axle or suspension comes before anything worked out here. Suspension bolts in rubber are tightened at ride height.",
        "Use a torque wrench on clean threads, in order, and tighten again after the first 50 to 100 km. Never oil wheel studs unless the maker says so, and replace stretched or damaged ones.",
    ],
    work,
    drawing: None,
};

/// Diameter and pitch of a thread, mm.
fn thread(key: &str) -> (f64, f64) {
    let found = THREADS.iter().find(|(name, ..)| *name == key);
    found.map_or((f64::NAN, f64::NAN), |(_, diameter, pitch)| (*diameter, *pitch))
}

/// Diameter, mm, stress area, mm², and proof stress, MPa, of a thread and a grade.
pub(super) fn strength(thread_key: &str, grade: &str) -> [f64; 3] {
    let (diameter, pitch) = thread(thread_key);
    let area = PI / 4.0 * (diameter - depth(thread_key) * pitch).powi(2);
    [diameter, area, proof(grade, diameter)]
}

/// Pitches taken off the diameter for the stress area: metric threads, and inch ones (their keys have a
/// fraction in them).
fn depth(key: &str) -> f64 {
    if key.contains('/') { 0.9743 } else { 0.9382 }
}

/// Proof stress of a grade at a diameter, MPa.
fn proof(grade: &str, diameter: f64) -> f64 {
    const MPA_PER_KSI: f64 = 6.894_757;
    match grade {
        "8.8" if diameter > 16.0 => 600.0,
        "8.8" => 580.0,
        "10.9" => 830.0,
        "12.9" => 970.0,
        "g5" => 85.0 * MPA_PER_KSI,
        "g8" => 120.0 * MPA_PER_KSI,
        _ => f64::NAN,
    }
}

fn work(given: &Given, out: &mut Report) {
    let (_, pitch) = thread(given.choice("thread"));
    let depth = depth(given.choice("thread"));
    let [diameter, area, stress] = strength(given.choice("thread"), given.choice("grade"));
    let d = N::from(diameter);
    out.line(
        "area",
        "Stress area",
        Quantity::Area,
        N::from(area),
        AREA,
        "π/4 · ({2} − {4} · {3})² = {2}",
        &[n(d), n(N::from(depth)), n(N::from(pitch)), n(N::from(area))],
    );
    let proof = N::from(stress * area);
    out.line(
        "proof",
        "Proof load of one",
        Quantity::Force,
        proof,
        PROOF,
        "{0} MPa · {2} mm² = {0}",
        &[n(N::from(stress)), n(N::from(area)), n(proof)],
    );
    let factor = given.number("nut_factor");
    let torque = given.number("torque");
    let clamp = torque * 1000.0 / (factor * diameter);
    out.line(
        "clamp",
        "Clamp of one",
        Quantity::Force,
        clamp,
        TORQUE,
        "{1} N·m / ({3} · {2} mm) = {0}",
        &[n(torque), n(factor), n(d), n(clamp)],
    );
    let bolt_stress = clamp / area;
    out.line(
        "stress",
        "Pull in the bolt",
        Quantity::Stress,
        bolt_stress,
        TORQUE,
        "{0} / {2} = {0} MPa",
        &[n(clamp), n(N::from(area)), n(bolt_stress)],
    );
    let used = clamp / proof * 100.0;
    out.line(
        "used",
        "Of the proof load",
        Quantity::Percent,
        used,
        TORQUE,
        "{0} / {0} = {1} %",
        &[n(clamp), n(proof), n(used)],
    );
    out.judge(Band {
        low: 45.0,
        high: 80.0,
        slack: 10.0,
        stop: (None, Some(100.0)),
        source: Source::CommonPractice,
        why: "A bolt is kept from working loose by its clamp: too little and it moves and breaks by fatigue, past the proof load it stretches for good.",
    });
    let three_quarters = proof * 0.75 * factor * diameter / 1000.0;
    out.line(
        "torque_75",
        "Torque for ¾ of the proof load",
        Quantity::Torque,
        three_quarters,
        TORQUE,
        "{3} · 0.75 · {0} N · {2} mm = {1}",
        &[n(factor), n(proof), n(d), n(three_quarters)],
    );
    held(given, clamp, diameter, out);
}

/// What the joint holds, and the thread in its nut.
fn held(given: &Given, clamp: N, diameter: f64, out: &mut Report) {
    let held =
        given.number("count") * clamp * given.number("friction") * given.number("circle") / 2000.0;
    out.line(
        "held",
        "Torque the joint holds by friction",
        Quantity::Torque,
        held,
        FRICTION,
        "{0} · {0} N · {2} · {1} mm / 2 = {0}",
        &[
            n(given.number("count")),
            n(clamp),
            n(given.number("friction")),
            n(given.number("circle")),
            n(held),
        ],
    );
    let engaged = given.number("engagement") / diameter;
    out.line(
        "engaged",
        "Thread in the nut, in diameters",
        Quantity::Ratio,
        engaged,
        Source::CommonPractice,
        "{1} / {1} = {2}",
        &[n(given.number("engagement")), n(N::from(diameter)), n(engaged)],
    );
    out.judge(Band {
        low: 1.0,
        high: f64::INFINITY,
        slack: 0.0,
        stop: (Some(0.8), None),
        source: Source::CommonPractice,
        why: "In steel, thread as long as the bolt is thick holds as much as the bolt. A slip-on spacer takes this away: fit longer studs or leave it off.",
    });
}
