//! Two tires, or two wheels, laid over one another to scale.

use super::drawing::{Dimension, Drawing, Thing};
use fitment::wheel::FLANGE_MM;

/// A card's numbers by name.
type Value<'a> = &'a dyn Fn(&str) -> f64;

/// What draws a card's overlay; `None` for a card without one.
pub(super) fn of(slug: &str) -> Option<fn(Value) -> Drawing> {
    match slug {
        "tires" => Some(tires),
        "hub" => Some(wheels),
        _ => None,
    }
}

/// What each tire is called.
const TIRES: [(&str, &str); 12] = [
    ("stock_tire", "it had"),
    ("tire", "it gets"),
    ("third", "third"),
    ("fourth", "fourth"),
    ("fifth", "fifth"),
    ("sixth", "sixth"),
    ("seventh", "seventh"),
    ("eighth", "eighth"),
    ("ninth", "ninth"),
    ("tenth", "tenth"),
    ("eleventh", "eleventh"),
    ("twelfth", "twelfth"),
];

/// From the side and, beside it, from ahead, all standing on one ground.
fn tires(value: Value) -> Drawing {
    let of = |tire: &str, part: &str| value(&format!("{tire}.{part}"));
    let there = TIRES.iter().filter(|(tire, _)| of(tire, "given") > 0.0);
    let most = |part| there.clone().map(|(tire, _)| of(tire, part)).fold(0.0, f64::max);
    let (tallest, widest) = (most("diameter"), most("section"));
    let gap = 0.1 * tallest;
    let ahead = tallest / 2.0 + gap + widest / 2.0;
    let things = there.map(|(tire, name)| {
        let (high, half) = (of(tire, "diameter"), of(tire, "section") / 2.0);
        let corner = half * 0.35;
        let corners = [
            [ahead - half + corner, 0.0],
            [ahead + half - corner, 0.0],
            [ahead + half, corner],
            [ahead + half, high - corner],
            [ahead + half - corner, high],
            [ahead - half + corner, high],
            [ahead - half, high - corner],
            [ahead - half, corner],
            [ahead - half + corner, 0.0],
        ];
        let middle = [0.0, high / 2.0];
        Thing {
            name: (*name).to_owned(),
            circles: vec![(middle, high / 2.0), (middle, of(tire, "rim") / 2.0)],
            lines: vec![corners.to_vec()],
        }
    });
    let [old, new] =
        ["stock_tire", "tire"].map(|tire| [of(tire, "diameter"), of(tire, "section") / 2.0]);
    let dims = vec![
        Dimension { from: [0.0, old[0]], to: [0.0, new[0]], value: new[0] - old[0] },
        Dimension {
            from: [ahead + old[1], old[0] / 2.0],
            to: [ahead + new[1], old[0] / 2.0],
            value: new[1] - old[1],
        },
    ];
    let side = tallest / 2.0 + gap / 2.0;
    Drawing {
        words: "The tires from the side and from ahead, to scale, on one ground",
        things: things.collect(),
        shared: [[-side, 0.0], [ahead + widest / 2.0 + gap / 2.0, 0.0]],
        shared_words: "ground",
        dims,
    }
}

/// Both wheels cut through the middle, the left one seen from behind; the hub's face is x = 0 and
/// outboard is to the right.
fn wheels(value: Value) -> Drawing {
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
