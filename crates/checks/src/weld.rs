//! Weld group: fillets taken as lines around a bracket's foot, under a force with two lever arms.

use super::Quantity;
use super::card::{Card, Given, N, Report, choice, n, number, within};
use super::shared::LOAD_FACTOR;
use fitment::{finding::Band, measure::Known, source::Source};
use num_dual::DualNum;

const LINES: Source = Source::Published(
    "weld treated as a line: Unsworth, Design and Construction of Modern Steel Railway Bridges, table 9.1; Blodgett (value from memory)",
);
const ALLOWABLE: Source = Source::Published(
    "AWS D1.1, cl. 2, and Shigley, table 9-6: shear on the throat up to 0.30 · tensile strength of the filler, static; throat 0.7071 · leg",
);
const BASE: Source = Source::Published(
    "AWS D1.1 (value from memory): shear in the plate beside the weld up to 0.40 · yield",
);
const LEAST: Source = Source::Published(
    "AWS D1.1:2025, table 7.7: least leg 3 mm up to 6 mm of plate, 5 to 12, 6 to 20, 8 above; 5 mm where the load comes and goes",
);
/// Throat of an equal-leg fillet over its leg.
const THROAT: f64 = std::f64::consts::FRAC_1_SQRT_2;

/// Weld group.
pub(super) static CARD: Card = Card {
    slug: "weld",
    title: "Weld group of a bracket",
    about: "Load per length of weld around a bracket's foot, the fillet it asks for, and the least fillet for the plate.",
    words: &["fillet", "bracket", "panhard bracket", "weld size", "throat", "leg"],
    fields: &[
        choice(
            "pattern",
            "Welds",
            &[
                ("box", "All around a rectangle"),
                ("two_upright", "Two lines along the force"),
                ("two_level", "Two lines across the force"),
                ("channel", "Three sides: across, along, across"),
            ],
            "Where the bracket's foot is welded.",
        ),
        number(
            "depth",
            "Length along the force",
            Quantity::Length,
            Known::assumed(100.0, 3.0),
            [10.0, 600.0],
            "Height of the foot in the direction the force pulls.",
        ),
        number(
            "width",
            "Length across the force",
            Quantity::Length,
            Known::assumed(60.0, 3.0),
            [5.0, 600.0],
            "Width of the foot, or the gap between the two lines.",
        ),
        number(
            "leg",
            "Fillet leg",
            Quantity::Length,
            Known::assumed(6.0, 0.5),
            [1.0, 30.0],
            "Of the finished fillet, by gauge.",
        ),
        number(
            "force",
            "Force on the bracket",
            Quantity::Force,
            Known::assumed(12000.0, 2000.0),
            [1.0, 500_000.0],
            "A Panhard bar carries about the axle's side force: axle load times 0.8 to 1 in a hard corner, more in ruts.",
        ),
        number(
            "arm_out",
            "Force stands off the plate by",
            Quantity::Length,
            Known::assumed(80.0, 3.0),
            [0.0, 1000.0],
            "From the welded face to the bolt: bends the foot off the plate.",
        ),
        number(
            "arm_in",
            "Force misses the middle by",
            Quantity::Length,
            Known::assumed(0.0, 3.0),
            [0.0, 1000.0],
            "In the plane of the plate, from the middle of the weld to the force's line: twists the foot.",
        ),
        LOAD_FACTOR,
        number(
            "filler",
            "Filler's tensile strength",
            Quantity::Stress,
            Known::assumed(482.0, 0.0),
            [300.0, 900.0],
            "70 ksi wire and rod is 482 MPa.",
        ),
        number(
            "plate",
            "Thinner plate",
            Quantity::Length,
            Known::assumed(5.0, 0.3),
            [1.0, 60.0],
            "Thickness of the thinner of the two.",
        ),
        number(
            "yield",
            "Plate's yield",
            Quantity::Stress,
            Known::assumed(250.0, 0.0),
            [150.0, 900.0],
            "Mild steel 250 MPa.",
        ),
    ],
    cautions: &[
        "No figure here says a weld is good. Steering, suspension and frame brackets are work for a qualified welder; have root, toes and undercut inspected, and ask your local rules whether welding there is allowed at all.",
        "Welds near heat-treated frames, fuel lines, brake lines, wiring and bushings do damage of their own. Disconnect the battery, strip the paint, keep a watch for fire.",
        "The sum is static. A bracket breaks by fatigue: look at it for cracks at every service.",
    ],
    work,
    drawing: None,
};

/// A weld group with unit throat.
struct Lines {
    /// Total length, mm.
    length: N,
    /// Section modulus against bending off the plate, mm².
    bending: N,
    /// Polar moment, mm³.
    twisting: N,
    /// Furthest corner from the middle, across and along the force.
    corner: [N; 2],
}

impl Lines {
    fn new(pattern: &str, d: N, b: N) -> Self {
        let half = [b / 2.0, d / 2.0];
        match pattern {
            "two_level" => Self {
                length: b * 2.0,
                bending: b * d,
                twisting: b * (d * d * 3.0 + b * b) / 6.0,
                corner: half,
            },
            "box" => Self {
                length: (b + d) * 2.0,
                bending: b * d + d * d / 3.0,
                twisting: (b + d).powi(3) / 6.0,
                corner: half,
            },
            "channel" => {
                let around = b * 2.0 + d;
                let middle = b * b / around;
                Self {
                    length: around,
                    bending: b * d + d * d / 6.0,
                    twisting: (b.powi(3) * 8.0 + b * d * d * 6.0 + d.powi(3)) / 12.0
                        - b.powi(4) / around,
                    corner: [b - middle, d / 2.0],
                }
            }
            _ => Self {
                length: d * 2.0,
                bending: d * d / 3.0,
                twisting: d * (b * b * 3.0 + d * d) / 6.0,
                corner: half,
            },
        }
    }
}

fn work(given: &Given, out: &mut Report) {
    let lines = Lines::new(given.choice("pattern"), given.number("depth"), given.number("width"));
    let load = group(given, &lines, out);
    fillet(given, load, out);
}

/// Load per length at the worst corner.
fn group(given: &Given, lines: &Lines, out: &mut Report) -> N {
    let force = given.number("force");
    out.line(
        "length",
        "Length of weld",
        Quantity::Length,
        lines.length,
        LINES,
        "from depth and width = {1}",
        &[n(lines.length)],
    );
    let direct = force / lines.length;
    out.line(
        "direct",
        "Straight pull",
        Quantity::LineLoad,
        direct,
        LINES,
        "{0} / {1} = {2}",
        &[n(force), n(lines.length), n(direct)],
    );
    let bending = force * given.number("arm_out") / lines.bending;
    out.line(
        "bending",
        "Bending off the plate",
        Quantity::LineLoad,
        bending,
        LINES,
        "{0} · {1} / {1} mm² = {2}",
        &[n(force), n(given.number("arm_out")), n(lines.bending), n(bending)],
    );
    let turn = force * given.number("arm_in") / lines.twisting;
    let [across, along] = lines.corner;
    let twist = turn * (across * across + along * along).sqrt();
    out.line(
        "twisting",
        "Twisting in the plate",
        Quantity::LineLoad,
        twist,
        LINES,
        "{0} · {1} / {0} mm³ · corner {1} mm = {2}",
        &[
            n(force),
            n(given.number("arm_in")),
            n(lines.twisting),
            n((across * across + along * along).sqrt()),
            n(twist),
        ],
    );
    let (with, square) = (direct + turn * across, turn * along);
    let load = (bending * bending + with * with + square * square).sqrt();
    out.line(
        "load",
        "All together at the worst corner",
        Quantity::LineLoad,
        load,
        LINES,
        "√({1}² + {1}² + {1}²) = {2}",
        &[n(bending), n(with), n(square), n(load)],
    );
    load
}

/// The fillet the load asks for.
fn fillet(given: &Given, load: N, out: &mut Report) {
    let allowed = given.number("filler") * 0.30;
    out.line(
        "allowed",
        "Allowed in the throat",
        Quantity::Stress,
        allowed,
        ALLOWABLE,
        "0.30 · {0} = {1}",
        &[n(given.number("filler")), n(allowed)],
    );
    let factored = load * given.number("factor");
    let needed = factored / (allowed * THROAT);
    out.line(
        "needed",
        "Leg the load asks for",
        Quantity::Length,
        needed,
        ALLOWABLE,
        "{2} · {1} / (0.7071 · {1}) = {3}",
        &[n(given.number("factor")), n(load), n(allowed), n(needed)],
    );
    let leg = given.number("leg");
    let stress = factored / (leg * THROAT);
    out.line(
        "stress",
        "Stress in the throat",
        Quantity::Stress,
        stress,
        ALLOWABLE,
        "{1} / (0.7071 · {2}) = {1}",
        &[n(factored), n(leg), n(stress)],
    );
    out.judge(Band { stop: (None, Some(allowed.re * 1.5)), ..within(0.0, allowed.re, 0.0, ALLOWABLE, "Past this the published allowance for the filler is used up, before anything is said about how well the weld is made.") });
    let strength = allowed * THROAT * leg;
    out.line(
        "strength",
        "What this leg may carry",
        Quantity::LineLoad,
        strength,
        ALLOWABLE,
        "{1} · 0.7071 · {2} = {1}",
        &[n(allowed), n(leg), n(strength)],
    );
    let base = factored / given.number("plate");
    out.line(
        "base",
        "Shear in the thinner plate",
        Quantity::Stress,
        base,
        BASE,
        "{1} / {2} = {1}",
        &[n(factored), n(given.number("plate")), n(base)],
    );
    let yields = given.number("yield").re * 0.40;
    out.judge(within(
        0.0,
        yields,
        0.0,
        BASE,
        "The plate beside the weld tears before the weld does.",
    ));
    out.line("leg", "Fillet leg", Quantity::Length, leg, LEAST, "as put in = {2}", &[n(leg)]);
    let plate = given.number("plate").re;
    out.judge(within(
        least_leg(plate),
        f64::INFINITY,
        0.0,
        LEAST,
        "A small bead on thick plate cools so fast that it cracks or does not take.",
    ));
    out.note("In band means that the sum keeps within a published allowance. It says nothing about the weld: have fusion, undercut and cracks inspected by someone qualified.");
    if plate <= 3.2 {
        out.note("1/8 in (3.2 mm) steel is the thin side of the job: a suspension bracket of it bends and tears around its welds (common practice, no source).");
    }
}

/// Least leg for a plate under a load that comes and goes, mm.
fn least_leg(plate: f64) -> f64 {
    let table = match plate {
        t if t <= 6.0 => 3.0,
        t if t <= 12.0 => 5.0,
        t if t <= 20.0 => 6.0,
        _ => 8.0_f64,
    };
    // No fillet needs to be larger than the thinner plate.
    table.max(5.0).min(plate)
}
