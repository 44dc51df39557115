//! Hub: what another offset, width or spacer does to wheel edges, track, steering and bearings.

use super::card::{Card, Given, N, Report, n, number, size, within};
use super::drawing::{Dimension, Thing};
use super::{Drawing, Quantity};
use fitment::{
    measure::{Known, units::N_PER_KGF},
    source::Source,
    wheel::FLANGE_MM,
};
use num_dual::DualNum;

const OFFSET: Source = Source::Derived(
    "rim geometry; offset as ISO 3911 inset (sign from memory), bead seat to bead seat, 12.7 mm of flange each side (common practice, no source)",
);
const MOMENT: Source = Source::Derived("force · lever, statics");
const LIFE: Source = Source::Published(
    "ISO 281 (value from memory): rated life ~ load⁻³ for balls, load^(−10/3) for rollers; load shared by two rows as a beam, straight road only",
);

/// Offset and spacer.
pub(super) static CARD: Card = Card {
    slug: "hub",
    title: "Offset, spacer and wheel bearings",
    about: "What another wheel or a spacer does to the wheel's edges, track, scrub radius and the load on the bearings.",
    words: &["wheel spacer", "backspacing", "scrub radius", "wheel bearing", "poke", "hub centric"],
    fields: &[
        number(
            "stock_width",
            "Wheel width, old",
            Quantity::Length,
            Known::assumed(177.8, 0.0),
            [90.0, 420.0],
            "Between the bead seats; 7 in is 177.8 mm.",
        ),
        number(
            "stock_offset",
            "Offset, old",
            Quantity::Length,
            Known::assumed(31.0, 0.0),
            [-150.0, 150.0],
            "Cast into the wheel as ET; positive when the mounting face lies outboard of the middle.",
        ),
        number(
            "width",
            "Wheel width, new",
            Quantity::Length,
            Known::assumed(215.9, 0.0),
            [90.0, 420.0],
            "Between the bead seats.",
        ),
        number(
            "offset",
            "Offset, new",
            Quantity::Length,
            Known::assumed(-10.0, 0.0),
            [-150.0, 150.0],
            "As above.",
        ),
        number(
            "spacer",
            "Spacer",
            Quantity::Length,
            Known::assumed(0.0, 0.0),
            [0.0, 100.0],
            "Thickness, 0 without one.",
        ),
        number(
            "rim",
            "Rim diameter",
            Quantity::Length,
            Known::assumed(406.4, 0.0),
            [250.0, 700.0],
            "For the drawing alone; a 16 in wheel is 406.4 mm.",
        ),
        number(
            "load",
            "Load on the wheel",
            Quantity::Mass,
            Known::assumed(600.0, 40.0),
            [50.0, 3000.0],
            "From a weighbridge, axle load by two.",
        ),
        number(
            "radius",
            "Wheel center above ground",
            Quantity::Length,
            Known::assumed(400.0, 5.0),
            [200.0, 750.0],
            "As it stands.",
        ),
        number(
            "lateral",
            "Cornering, of the wheel's load",
            Quantity::Ratio,
            Known::assumed(0.8, 0.1),
            [0.0, 1.5],
            "Side force over load; 0.8 is a hard corner on a dry road.",
        ),
        number(
            "rows",
            "Between the bearing rows",
            Quantity::Length,
            Known::assumed(60.0, 10.0),
            [10.0, 300.0],
            "Between the middles of the inner and outer bearing.",
        ),
        number(
            "line",
            "Wheel middle outboard of the bearings' middle, old",
            Quantity::Length,
            Known::assumed(0.0, 10.0),
            [-100.0, 150.0],
            "With the old wheel; most are made near 0.",
        ),
        number(
            "bore_gap",
            "Play of the wheel on the hub",
            Quantity::Length,
            Known::assumed(0.1, 0.05),
            [0.0, 30.0],
            "Bore of the wheel or spacer less the hub's spigot, by caliper.",
        ),
    ],
    cautions: &[
        "Spacers and changed offset load wheel bearings, studs and steering beyond what they were made for; some places forbid them. Check local codes first.",
        "Every wheel needs clean faces, full thread engagement and its nuts tightened in a star to the maker's torque, and tightened again after the first 50 to 100 km.",
    ],
    work,
    drawing: Some(drawing),
};

fn work(given: &Given, out: &mut Report) {
    let (old_width, width) = (given.number("stock_width"), given.number("width"));
    let (old_offset, offset) = (given.number("stock_offset"), given.number("offset"));
    let spacer = given.number("spacer");
    let moved = old_offset - offset + spacer;
    for (key, label, width, offset) in [
        ("stock_backspacing", "Backspacing, old", old_width, old_offset),
        ("backspacing", "Backspacing, new", width, offset),
    ] {
        let value = width / 2.0 + offset + FLANGE_MM;
        out.line(
            key,
            label,
            Quantity::Length,
            value,
            OFFSET,
            "{1} / 2 + 12.7 + {1} = {2}",
            &[n(width), n(offset), n(value)],
        );
    }
    let grown = (width - old_width) / 2.0;
    let outer = moved + grown;
    out.line(
        "outer",
        "Outer edge of the rim further out",
        Quantity::Length,
        outer,
        OFFSET,
        "{1} + {2} = {2}",
        &[n(moved), n(grown), n(outer)],
    );
    let inner = moved - grown;
    out.line(
        "inner",
        "Room gained inboard",
        Quantity::Length,
        inner,
        OFFSET,
        "{1} − {2} = {2}",
        &[n(moved), n(grown), n(inner)],
    );
    let track = moved * 2.0;
    out.line(
        "track",
        "Track wider",
        Quantity::Length,
        track,
        OFFSET,
        "2 · ({1} − {1} + {1}) = {1}",
        &[n(old_offset), n(offset), n(spacer), n(track)],
    );
    out.line(
        "scrub",
        "Scrub radius grows",
        Quantity::Length,
        moved,
        OFFSET,
        "{1} − {1} + {1} = {1}",
        &[n(old_offset), n(offset), n(spacer), n(moved)],
    );
    out.judge(within(-15.0, 15.0, 15.0, Source::CommonPractice, "A wheel that stands further from its steering axis kicks more from ruts and brakes, and steers heavier."));
    bearings(given, moved, out);
}

fn bearings(given: &Given, moved: N, out: &mut Report) {
    let force = given.number("load") * N_PER_KGF;
    let moment = force * moved / 1000.0;
    out.line(
        "moment",
        "Moment added at the hub",
        Quantity::Torque,
        moment,
        MOMENT,
        "{0} N · {1} mm / 1000 = {1}",
        &[n(force), n(moved), n(moment)],
    );
    let cornering = force * given.number("lateral") * given.number("radius") / 1000.0;
    out.line(
        "cornering",
        "Moment of a hard corner, to compare",
        Quantity::Torque,
        cornering,
        MOMENT,
        "{2} · {0} N · {0} mm / 1000 = {0}",
        &[n(given.number("lateral")), n(force), n(given.number("radius")), n(cornering)],
    );
    // The row that carries more, of the wheel's load.
    let share = |line: N| size(line / given.number("rows")) + 0.5;
    let before = share(given.number("line"));
    let ratio = share(given.number("line") + moved) / before;
    out.line(
        "row_load",
        "Load on the busier bearing, of before",
        Quantity::Ratio,
        ratio,
        MOMENT,
        "({1} mm / {1} + ½) / {3} = {3}",
        &[n(size(given.number("line") + moved)), n(given.number("rows")), n(before), n(ratio)],
    );
    for (key, label, power) in [
        ("life_ball", "Life of a ball bearing, of before", -3.0),
        ("life_roller", "Life of a roller bearing, of before", -10.0 / 3.0),
    ] {
        let life = ratio.powf(power);
        out.line(
            key,
            label,
            Quantity::Ratio,
            life,
            LIFE,
            "{3}^{2} = {3}",
            &[n(ratio), n(N::from(power)), n(life)],
        );
    }
    let gap = given.number("bore_gap");
    out.line(
        "bore_gap",
        "Play of the wheel on the hub",
        Quantity::Length,
        gap,
        Source::CommonPractice,
        "bore − spigot = {2}",
        &[n(gap)],
    );
    out.judge(within(0.0, 0.3, 0.5, Source::CommonPractice, "A wheel made to sit on the hub's spigot is centered by it (fit H/h); loose, the studs bend and the nuts work free. Rings fill a gap only where the wheel is centered by conical nuts as well."));
}

/// Both wheels cut through the middle, the left one seen from behind; the hub's face is x = 0 and
/// outboard is to the right.
fn drawing(given: &Given) -> Drawing {
    let value = |key| given.number(key).re;
    let (radius, spacer) = (value("rim") / 2.0, value("spacer"));
    let flange = FLANGE_MM * 1.35;
    let wheel = |name: &str, width: f64, offset: f64, face: f64| {
        let (inner, outer) = (face - offset - width / 2.0, face - offset + width / 2.0);
        let barrel = vec![
            [inner - FLANGE_MM, radius + flange],
            [inner, radius + flange],
            [inner, radius],
            [outer, radius],
            [outer, radius + flange],
            [outer + FLANGE_MM, radius + flange],
        ];
        let disc = vec![[face, 0.0], [face, radius]];
        let lines = vec![barrel, disc];
        (Thing { name: name.to_owned(), circles: Vec::new(), lines }, [inner, outer])
    };
    let (old, old_edges) = wheel("it had", value("stock_width"), value("stock_offset"), 0.0);
    let (mut new, new_edges) = wheel("it gets", value("width"), value("offset"), spacer);
    if spacer > 0.0 {
        let half = radius * 0.4;
        new.lines.push(vec![[0.0, half], [spacer, half], [spacer, 0.0], [0.0, 0.0]]);
    }
    let edges = old_edges.into_iter().zip(new_edges).zip([0.35, 0.65]);
    let dims = edges.map(|((from, to), up)| Dimension {
        from: [from, up * radius],
        to: [to, up * radius],
        value: to - from,
    });
    Drawing {
        words: "The upper half of the wheels, cut through the middle, to scale, on one hub face; outboard is to the right",
        things: vec![old, new],
        shared: [[0.0, 0.0], [0.0, radius * 1.15]],
        shared_words: "hub face",
        dims: dims.collect(),
    }
}
