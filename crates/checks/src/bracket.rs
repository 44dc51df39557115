//! Bracket: its pin in double shear, bearing and tear-out of its ears, and washers that fill it.

use super::Quantity;
use super::card::{Card, Given, N, Report, n, number, within};
use super::shared::LOAD_FACTOR;
use fitment::{finding::Band, measure::Known, source::Source};
use std::f64::consts::PI;

const SHEAR: Source = Source::Published(
    "AISC 360, J3.6 and table J3.2 (value from memory): 0.450 · tensile strength on the nominal area, threads in the shear plane, over Ω = 2",
);
const BEARING: Source = Source::Published(
    "AISC 360, J3.10 (value from memory): lesser of 1.2 · l · t · Fu and 2.4 · d · t · Fu, over Ω = 2",
);
const BENDING: Source = Source::Published(
    "AISC 360, F11 (value from memory): a flat plate bent about its strong axis, yield stress · t · h² / 4 over Ω = 1.67, both ears sharing",
);
const GEOMETRY: Source = Source::Derived("difference of the two widths, shared by the two sides");

/// A bracket with two ears.
pub(super) static CARD: Card = Card {
    slug: "bracket",
    title: "Bracket: pin, ears and washers",
    about: "What the bolt and the two ears of a bracket may carry, and the washers that fill a bracket wider than what it holds.",
    words: &[
        "double shear",
        "tear out",
        "bushing sleeve",
        "spacer tube",
        "panhard bracket",
        "clevis",
        "gusset",
        "plate bending",
    ],
    fields: &[
        number(
            "force",
            "Force on the bracket",
            Quantity::Force,
            Known::assumed(12000.0, 2000.0),
            [1.0, 500_000.0],
            "A Panhard bar carries about the axle's side force.",
        ),
        LOAD_FACTOR,
        number(
            "bolt",
            "Bolt",
            Quantity::Length,
            Known::assumed(14.0, 0.0),
            [5.0, 40.0],
            "Diameter.",
        ),
        number(
            "bolt_strength",
            "Bolt's tensile strength",
            Quantity::Stress,
            Known::assumed(1040.0, 0.0),
            [300.0, 1400.0],
            "8.8 is 830 MPa, 10.9 1040; grade 5 827, grade 8 1034.",
        ),
        number(
            "ear",
            "Each ear's thickness",
            Quantity::Length,
            Known::assumed(5.0, 0.2),
            [1.0, 40.0],
            "Of one of the two.",
        ),
        number(
            "edge",
            "Hole's middle to the ear's edge",
            Quantity::Length,
            Known::assumed(25.0, 1.0),
            [3.0, 200.0],
            "The way the force pulls.",
        ),
        number(
            "hole",
            "Hole",
            Quantity::Length,
            Known::assumed(14.5, 0.1),
            [5.0, 45.0],
            "Diameter.",
        ),
        number(
            "plate_strength",
            "Plate's tensile strength",
            Quantity::Stress,
            Known::assumed(400.0, 0.0),
            [250.0, 1000.0],
            "Mild steel 400 MPa.",
        ),
        number(
            "yield_stress",
            "Plate's yield stress",
            Quantity::Stress,
            Known::assumed(250.0, 0.0),
            [150.0, 900.0],
            "Mild steel 250 MPa.",
        ),
        number(
            "stand",
            "Pin's middle to the weld",
            Quantity::Length,
            Known::assumed(45.0, 2.0),
            [0.0, 400.0],
            "How far the ears stand off what they are welded to, across the force.",
        ),
        number(
            "depth",
            "Ears' depth at the weld",
            Quantity::Length,
            Known::assumed(80.0, 2.0),
            [5.0, 400.0],
            "Along the force.",
        ),
        number(
            "inside",
            "Inside width of the bracket",
            Quantity::Length,
            Known::assumed(66.0, 0.5),
            [10.0, 300.0],
            "Between the ears.",
        ),
        number(
            "held",
            "Width of what it holds",
            Quantity::Length,
            Known::assumed(59.7, 0.3),
            [5.0, 300.0],
            "The bushing's inner sleeve.",
        ),
        number(
            "washer",
            "Washer's thickness",
            Quantity::Length,
            Known::assumed(3.175, 0.0),
            [0.2, 30.0],
            "1/8 in is 3.175 mm.",
        ),
    ],
    cautions: &[
        "A bracket that lets go on the road takes the steering with it. Have its design and welds looked at by someone qualified, and check local codes; no figure here says it will hold.",
        "Keep the ears parallel while welding with a spacing tube or a through-bar in the holes, and tighten the bolt at ride height so the rubber is not wound up.",
        "High-mileage bushings come out worn and are replaced with the job (common practice, no source).",
    ],
    work,
    drawing: None,
};

fn work(given: &Given, out: &mut Report) {
    let asked = given.number("force") * given.number("factor");
    let bolt = given.number("bolt");
    let strength = given.number("bolt_strength");
    out.line(
        "asked",
        "Force times factor",
        Quantity::Force,
        asked,
        Source::CommonPractice,
        "{0} · {2} = {0}",
        &[n(given.number("force")), n(given.number("factor")), n(asked)],
    );
    let shear = bolt * bolt * (PI / 4.0) * strength * (0.450 * 2.0 / 2.0);
    out.line(
        "shear",
        "Bolt in double shear may carry",
        Quantity::Force,
        shear,
        SHEAR,
        "2 · π/4 · {2}² · 0.450 · {0} / 2 = {0}",
        &[n(bolt), n(strength), n(shear)],
    );
    used(
        "shear_used",
        "Of the bolt's shear",
        SHEAR,
        "The bolt shears. A larger one, or a higher grade, with no thread in the shear plane.",
        asked,
        shear,
        out,
    );
    let (ear, plate) = (given.number("ear"), given.number("plate_strength"));
    let bearing = bolt * ear * plate * (2.4 * 2.0 / 2.0);
    out.line(
        "bearing",
        "Ears in bearing may carry",
        Quantity::Force,
        bearing,
        BEARING,
        "2 · 2.4 · {2} · {2} · {0} / 2 = {0}",
        &[n(bolt), n(ear), n(plate), n(bearing)],
    );
    used(
        "bearing_used",
        "Of the ears' bearing",
        BEARING,
        "The hole is hammered oval. Thicker ears, or a sleeve welded in.",
        asked,
        bearing,
        out,
    );
    let clear = given.number("edge") - given.number("hole") / 2.0;
    let tear = clear * ear * plate * (1.2 * 2.0 / 2.0);
    out.line(
        "tear_out",
        "Ears against tearing out may carry",
        Quantity::Force,
        tear,
        BEARING,
        "2 · 1.2 · ({1} − {1} / 2) · {2} · {0} / 2 = {0}",
        &[n(given.number("edge")), n(given.number("hole")), n(ear), n(plate), n(tear)],
    );
    used(
        "tear_out_used",
        "Of the ears against tearing out",
        BEARING,
        "The bolt pulls out through the edge. More steel around the hole.",
        asked,
        tear,
        out,
    );
    bending(given, asked, out);
    washers(given, out);
}

/// The ears as two plates standing off their weld.
fn bending(given: &Given, asked: N, out: &mut Report) {
    let (ear, depth) = (given.number("ear"), given.number("depth"));
    let plastic = ear * depth * depth / 4.0;
    let carries =
        given.number("yield_stress") * plastic * 2.0 / (given.number("stand") + 1e-6) / 1.67;
    out.line(
        "bending",
        "Ears in bending may carry",
        Quantity::Force,
        carries,
        BENDING,
        "2 · {0} MPa · ({2} · {1}² / 4) / {1} mm / 1.67 = {0}",
        &[n(given.number("yield_stress")), n(ear), n(depth), n(given.number("stand")), n(carries)],
    );
    used(
        "bending_used",
        "Of the ears in bending",
        BENDING,
        "The ears bend at the weld. Deeper or thicker ears, a shorter stand-off, or a gusset.",
        asked,
        carries,
        out,
    );
}

/// What fills a bracket that is wider than its bushing.
fn washers(given: &Given, out: &mut Report) {
    let gap = (given.number("inside") - given.number("held")) / 2.0;
    out.line(
        "gap",
        "Gap at each side",
        Quantity::Length,
        gap,
        GEOMETRY,
        "({2} − {2}) / 2 = {3}",
        &[n(given.number("inside")), n(given.number("held")), n(gap)],
    );
    let washers = gap / given.number("washer");
    out.line(
        "washers",
        "Washers to fill each side",
        Quantity::Ratio,
        washers,
        GEOMETRY,
        "{3} / {3} = {2}",
        &[n(gap), n(given.number("washer")), n(washers)],
    );
    let whole = N::from(washers.re.round().max(0.0));
    let over = gap - whole * given.number("washer");
    out.line(
        "left",
        "Gap left at each side with whole washers",
        Quantity::Length,
        over,
        GEOMETRY,
        "{3} − {0} · {3} = {3}",
        &[n(gap), n(whole), n(given.number("washer")), n(over)],
    );
    out.judge(within(-0.3, 0.5, 0.5, Source::CommonPractice, "The bolt draws the ears in to clamp the sleeve: a wide gap bends them and cracks their welds, a tight one cannot be fitted."));
}

/// The share of what a part may carry, and its judgement.
fn used(
    key: &'static str,
    label: &'static str,
    source: Source,
    why: &'static str,
    asked: N,
    carries: N,
    out: &mut Report,
) {
    let share = asked / carries * 100.0;
    out.line(
        key,
        label,
        Quantity::Percent,
        share,
        source,
        "{0} / {0} = {1} %",
        &[n(asked), n(carries), n(share)],
    );
    out.judge(Band { stop: (None, Some(150.0)), ..within(0.0, 100.0, 0.0, source, why) });
}
