//! Every field of the Truck page in the order a person meets them, with its words.

use super::arrange::Pair;
use super::field::end_name;
use super::things;
use fitment::truck::{Axle, Carrier, End, Joins, Layout, Steering, Truck, Watts};

/// One field.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spec {
    /// Dotted path in the truck.
    pub path: String,
    /// Its name.
    pub label: &'static str,
    /// How to take the measurement.
    pub help: &'static str,
}

/// Fields under one small heading.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// The heading; empty where the group's own is enough.
    pub title: &'static str,
    /// Its fields.
    pub specs: Vec<Spec>,
    /// After the last of a left-hand member: its pair, and whether the right one differs.
    pub pair: Option<(Pair, bool)>,
    /// Which of the things beside the wheels it is.
    pub thing: Option<usize>,
}

/// Fields that are taken in one go under the truck.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Group {
    /// Short name for the address of the group.
    pub slug: &'static str,
    /// Heading.
    pub title: &'static str,
    /// What it is good for.
    pub why: &'static str,
    /// Its parts.
    pub parts: Vec<Part>,
}

/// The eight that matter first: four of the wheels, two of what holds the axle sideways, two of
/// what it swings on.
pub fn first(axle: &Axle, end: End) -> Vec<Spec> {
    let e = Under(end_name(end));
    let mut specs = vec![
        e.spec("sitting.lift_mm", "Lift over stock",
            "How much higher the chassis sits over this axle than it left the factory: hub center to fender lip, now against stock. No stock figure? Type what the springs are sold as."),
        e.spec("stock.tire.size", "Stock tire size",
            "From the door-jamb placard or the handbook. Read it off like 235/85R16, 31x10.50R15 or 7.50R16."),
        e.spec("sitting.tire.size", "Tire fitted now",
            "Off the sidewall, as molded there."),
        e.spec("sitting.wheel.offset_mm", "Wheel offset",
            "Stamped inside the wheel, often as ET. Positive when the mounting face is outboard of the rim's middle; 0 when level with it. Two tape readings give it too: rear rim edge to mounting face, less half the overall width."),
    ];
    let leaves = matches!(axle.layout, Layout::LeafSprings { .. });
    if axle.panhard.is_some() {
        specs.push(e.spec(
            "readings.panhard_length_mm",
            "Panhard bar, eye to eye",
            "Bolt center to bolt center along the bar, as it sits.",
        ));
        specs.push(e.spec("readings.panhard_rise_mm", "Panhard chassis end above axle end",
            "Both bolt centers from a level floor, subtract. Positive when the chassis end is higher."));
    } else if let Some(watts) = &axle.watts {
        let outer = format!("watts.left.{}.y_mm", watts_ends(watts).1);
        specs.push(e.spec("watts.pivot.z_mm", "Crank pivot above axle centerline",
            "Pivot bolt to the middle of the axle tube, truck at stock height; negative when below."));
        specs.push(e.spec(
            &outer,
            "Left link's outer end, from center",
            "From the truck's centerline to the bolt.",
        ));
    } else if leaves {
        specs.push(e.spec("layout.left.shackle_eye.x_mm", "Shackle eye ahead of the axle",
            "Along the floor from the axle centerline to the eye on the shackle; negative when behind."));
        specs.push(e.spec(
            "layout.left.shackle_eye.z_mm",
            "Shackle eye above axle centerline",
            "With the truck at stock height; negative when below.",
        ));
    } else {
        specs.push(e.spec(
            "layout.upper_left.axle.y_mm",
            "Upper link's axle end, from center",
            "From the truck's centerline to the left upper link's bolt on the axle.",
        ));
        specs.push(e.spec(
            "layout.upper_left.chassis.y_mm",
            "Upper link's chassis end, from center",
            "From the truck's centerline to the left upper link's bolt on the chassis.",
        ));
    }
    if leaves {
        specs.push(e.spec("layout.left.fixed_eye.x_mm", "Fixed eye ahead of the axle",
            "Along the floor from the axle centerline to the spring's eye on the chassis; negative when behind."));
        specs.push(e.spec(
            "layout.left.fixed_eye.z_mm",
            "Fixed eye above axle centerline",
            "With the truck at stock height; negative when below.",
        ));
    } else {
        specs.push(e.spec("readings.arm_length_mm", "Arm length",
            "Axle centerline to the arm's chassis bolt for a radius arm; bolt to bolt for a lower link."));
        specs.push(e.spec("readings.arm_rise_mm", "Arm chassis end above axle end",
            "Chassis bolt and axle end (axle centerline on a radius arm) from a level floor, subtract. Positive when the chassis end is higher."));
    }
    specs
}

/// Every group of an axle.
#[expect(clippy::too_many_lines, reason = "one list, read from top to bottom")]
pub fn groups(axle: &Axle, end: End) -> Vec<Group> {
    let e = Under(end_name(end));
    let mut groups = vec![
        Group {
            slug: "now",
            title: "As it sits",
            why: "Ride height, tires and wheels on the truck today.",
            parts: setup_parts(e, "sitting"),
        },
        Group {
            slug: "stock",
            title: "As it left the factory",
            why: "What today is compared against.",
            parts: vec![part(
                "",
                vec![
                    e.spec("stock.tire.size", "Tire size", "From the placard or handbook."),
                    e.spec(
                        "stock.wheel.width_mm",
                        "Wheel width",
                        "Between the bead seats, inside the flanges. An 8 in wheel is 203.2 mm.",
                    ),
                    e.spec(
                        "stock.wheel.offset_mm",
                        "Wheel offset",
                        "Positive when the mounting face is outboard of the rim's middle.",
                    ),
                    e.spec(
                        "hub_face_width_mm",
                        "Hub face to hub face",
                        "Across the axle between the two wheel mounting faces.",
                    ),
                ],
            )],
        },
    ];
    if axle.panhard.is_some() {
        groups.push(Group {
            slug: "panhard",
            title: "Panhard bar",
            why: "Sets how far the axle walks sideways, and its angle is what the driver feels.",
            parts: vec![
                readings(e, "panhard", "Straight off the truck as it sits"),
                e.point("panhard.axle", "Axle end, truck stock"),
                e.point("panhard.chassis", "Chassis end, truck stock"),
            ],
        });
    }
    if let Some(watts) = &axle.watts {
        groups.push(Group {
            slug: "watts",
            title: "Watts linkage",
            why: "Holds the axle sideways by its crank's pivot; the pivot's height is the roll center.",
            parts: watts_parts(e, watts),
        });
    }
    groups.push(Group {
        slug: "arms",
        title: match axle.layout {
            Layout::RadiusArms { .. } => "Radius arms",
            Layout::ThreeLink { .. } | Layout::FourLink { .. } => "Links",
            Layout::LeafSprings { .. } => "Leaf springs",
        },
        why: "Set caster, pinion angle and wheelbase as the truck rises and falls.",
        parts: arm_parts(e, &axle.layout),
    });
    if axle.kingpin.is_some() {
        groups.push(Group {
            slug: "steering",
            title: "Steering axis",
            why: "Caster, trail and scrub; and where the tire goes at full lock.",
            parts: vec![part(
                "",
                vec![
                    e.spec("kingpin.caster_deg", "Caster, stock", "From an alignment sheet, or the factory figure. Positive when the axis's top leans rearward."),
                    e.spec("kingpin.inclination_deg", "Kingpin inclination", "Factory figure. Positive when the axis's top leans inboard."),
                    e.spec("kingpin.hub_offset_mm", "Hub face out from the axis", "At hub height, from the steering axis to the wheel mounting face."),
                    e.spec("kingpin.hub_trail_mm", "Hub behind the axis", "At hub height; 0 on most axles."),
                ],
            )],
        });
        groups.push(Group {
            slug: "linkage",
            title: "Steering linkage",
            why: "Bump steer, where the steering wheel stands after a lift, and how tight the truck turns. Wheels straight ahead, truck stock.",
            parts: axle.steering.as_ref().map_or_else(Vec::new, |it| linkage_parts(e, it)),
        });
    }
    groups.push(mounts(e, axle));
    groups.push(Group {
        slug: "pinion",
        title: "Pinion",
        why: "The arms tip it as they swing; the driveshaft joints feel it.",
        parts: vec![part(
            "",
            vec![
                e.spec("pinion.angle_deg", "Pinion angle, stock", "Level on the flange face or the pinion housing. Positive when the flange is higher than the axle."),
                e.spec("pinion.length_mm", "Axle centerline to flange", "Along the pinion."),
                e.spec("pinion.y_mm", "Flange left of center", "Negative when it is right of the truck's centerline."),
            ],
        )],
    });
    groups.push(lines(e, axle));
    groups.push(Group {
        slug: "travel",
        title: "Travel and lock",
        why: "How far the wheels go; the tire must clear everywhere in between.",
        parts: vec![part("", {
            let mut specs = vec![
                e.spec(
                    "limits.bump_mm",
                    "Stock height to bump stop",
                    "Up-travel of a wheel from the stock position until the axle meets the stop.",
                ),
                e.spec(
                    "limits.droop_mm",
                    "Stock height to full droop",
                    "Down-travel of a wheel from the stock position.",
                ),
            ];
            if axle.kingpin.is_some() {
                specs.push(e.spec(
                    "limits.lock_deg",
                    "Full lock",
                    "Largest steer of a wheel either way, against its stop.",
                ));
            }
            specs
        })],
    });
    groups.push(around(e, axle, end));
    groups.extend(bushes(e, &axle.layout));
    groups.push(rest(e, axle));
    groups.push(balance());
    groups
}

/// Paths of every field of the truck; what both axles list comes twice.
pub fn paths(truck: &Truck) -> Vec<String> {
    let mut paths = vec![wheelbase().path];
    for end in [End::Front, End::Rear] {
        if let Some(axle) = truck.axle(end) {
            let parts = groups(axle, end).into_iter().flat_map(|group| group.parts);
            paths.extend(parts.flat_map(|part| part.specs).map(|spec| spec.path));
        }
    }
    paths
}

/// The axle whose groups list a path; for what belongs to the whole truck, either.
fn axle_of<'a>(truck: &'a Truck, path: &str) -> Option<(&'a Axle, End)> {
    let end = super::field::end_of(path);
    [End::Front, End::Rear]
        .into_iter()
        .filter(|it| end.is_none_or(|end| end == *it))
        .find_map(|end| Some((truck.axle(end)?, end)))
}

/// The words of a field, wherever it is.
pub fn spec(truck: &Truck, path: &str) -> Option<Spec> {
    let (axle, end) = axle_of(truck, path)?;
    std::iter::once(wheelbase())
        .chain(first(axle, end))
        .chain(groups(axle, end).into_iter().flat_map(|g| g.parts).flat_map(|p| p.specs))
        .find(|spec| spec.path == path)
}

/// Paths of the fields under the same small heading as a field.
pub fn beside(truck: &Truck, path: &str) -> Vec<String> {
    let Some((axle, end)) = axle_of(truck, path) else { return Vec::new() };
    groups(axle, end)
        .into_iter()
        .flat_map(|group| group.parts)
        .find(|part| part.specs.iter().any(|spec| spec.path == path))
        .map(|part| part.specs.into_iter().map(|spec| spec.path).collect())
        .unwrap_or_default()
}

/// What a field is called away from its group, such as beside an uncertainty.
pub fn long_name(truck: &Truck, path: &str) -> String {
    let Some((axle, end)) = axle_of(truck, path) else { return path.to_owned() };
    let alone = std::iter::once(wheelbase()).chain(first(axle, end));
    if let Some(spec) = alone.into_iter().find(|spec| spec.path == path) {
        return spec.label.to_owned();
    }
    for group in groups(axle, end) {
        for part in group.parts {
            if let Some(spec) = part.specs.iter().find(|spec| spec.path == path) {
                let title = group.title;
                return match part.title {
                    "" => format!("{title}: {}", spec.label),
                    part => format!("{title}, {}: {}", part.to_ascii_lowercase(), spec.label),
                };
            }
        }
    }
    path.to_owned()
}

/// The distance between the axles.
pub fn wheelbase() -> Spec {
    Spec {
        path: "wheelbase_mm".into(),
        label: "Wheelbase, stock",
        help: "Front hub center to rear hub center along the floor.",
    }
}

#[derive(Clone, Copy)]
struct Under(&'static str);

impl Under {
    fn spec(self, path: &str, label: &'static str, help: &'static str) -> Spec {
        Spec { path: format!("{}.{path}", self.0), label, help }
    }

    fn point(self, path: &str, title: &'static str) -> Part {
        part(
            title,
            vec![
                self.spec(&format!("{path}.x_mm"), "Forward", "Ahead of the axle centerline, along the floor; negative when behind."),
                self.spec(&format!("{path}.y_mm"), "Left", "From the truck's centerline; negative when on the right."),
                self.spec(&format!("{path}.z_mm"), "Up", "Above the axle centerline with the truck at stock height; negative when below."),
            ],
        )
    }
}

const fn part(title: &'static str, specs: Vec<Spec>) -> Part {
    Part { title, specs, pair: None, thing: None }
}

fn readings(e: Under, which: &str, title: &'static str) -> Part {
    let specs = if which == "panhard" {
        vec![
            e.spec(
                "readings.panhard_length_mm",
                "Bar, eye to eye",
                "Bolt center to bolt center along the bar.",
            ),
            e.spec(
                "readings.panhard_rise_mm",
                "Chassis end above axle end",
                "Both bolt centers from a level floor, subtract.",
            ),
        ]
    } else {
        vec![
            e.spec("readings.arm_length_mm", "Arm length", "Axle centerline to the chassis bolt for a radius arm; bolt to bolt for a lower link."),
            e.spec("readings.arm_rise_mm", "Chassis end above axle end", "Both from a level floor, subtract."),
        ]
    };
    part(title, specs)
}

fn setup_parts(e: Under, state: &str) -> Vec<Part> {
    let at = |name: &str| format!("{state}.{name}");
    vec![
        part("Ride height", vec![
                e.spec(&at("lift_mm"), "Lift over stock", "Hub center to fender lip, now against stock; left side where they differ."),
                e.spec(&at("lift_right_mm"), "Lift, right side", "Only where it differs from the left; leave empty otherwise."),
        ]),
        part("Tire", vec![
                e.spec(&at("tire.size"), "Size", "Off the sidewall, such as 265/75R16, 33x12.50R15 or 7.50R16."),
                e.spec(&at("tire.diameter_mm"), "Measured diameter", "Unloaded, across the tread. Leave empty to use the size's own."),
                e.spec(&at("tire.section_mm"), "Measured section width", "Widest point of the sidewalls on this wheel. Leave empty to use the size's own."),
                e.spec(&at("tire.loaded_radius_mm"), "Hub center to ground", "With the truck's weight on it. Leave empty to estimate."),
        ]),
        part("Tire, with a straightedge", vec![
                e.spec(&at("tire.tread_mm"), "Tread width", "Across the flat of the tread, edge to edge. Leave empty to estimate, as all of these."),
                e.spec(&at("tire.crown_mm"), "Crown", "Straightedge across the middle of the tread, level: the gap down to the tread's edge."),
                e.spec(&at("tire.shoulder_mm"), "Width over the shoulder lugs", "From outermost lug to outermost lug, two straightedges upright against them."),
                e.spec(&at("tire.shoulder_drop_mm"), "Lugs below the tread", "From the straightedge across the tread down to where the shoulder lugs stand widest."),
                e.spec(&at("packing_mm"), "Chains, mud or snow", "Room to keep all round the tire for what packs onto it."),
        ]),
        part("Wheel", vec![
                e.spec(&at("wheel.width_mm"), "Wheel width", "Between the bead seats. An 8 in wheel is 203.2 mm."),
                e.spec(&at("wheel.offset_mm"), "Offset", "Positive when the mounting face is outboard of the rim's middle."),
                e.spec(&at("spacer_mm"), "Spacer or adapter", "Thickness between hub and wheel; 0 for none."),
                e.spec(&at("wheel.inside_mm"), "Clear inside the barrel", "Across the inside of the wheel where the brake goes, at the tightest. Only asked for where something stands inside the wheel."),
                e.spec(&at("wheel.spoke_mm"), "Spokes from the mounting face", "From the mounting face outward to the inner side of the spokes; negative when inboard of it."),
        ]),
    ]
}

fn arm_parts(e: Under, layout: &Layout) -> Vec<Part> {
    let mut parts = Vec::new();
    // A member's points, on the left and, where they differ, on the right.
    let mut member =
        |left: &str, right: &str, points: &[[&'static str; 3]], own: bool, pair: Pair| {
            for [name, title, _] in points {
                parts.push(e.point(&format!("layout.{left}.{name}"), title));
            }
            if let Some(last) = parts.last_mut() {
                last.pair = Some((pair, own));
            }
            for [name, _, title] in points.iter().filter(|_| own) {
                parts.push(e.point(&format!("layout.{right}.{name}"), title));
            }
        };
    let lower = [
        ["axle", "Left lower link, axle end", "Right lower link, axle end"],
        ["chassis", "Left lower link, chassis end", "Right lower link, chassis end"],
    ];
    match layout {
        Layout::RadiusArms { right, .. } => {
            let points = [
                ["axle_far", "Left arm, far axle bush", "Right arm, far axle bush"],
                ["axle_near", "Left arm, near axle bush", "Right arm, near axle bush"],
                ["chassis", "Left arm, chassis eye", "Right arm, chassis eye"],
            ];
            member("left", "right", &points, right.is_some(), Pair::Lower);
        }
        Layout::ThreeLink { lower_right, .. } => {
            member("lower_left", "lower_right", &lower, lower_right.is_some(), Pair::Lower);
            parts.push(e.point("layout.upper.axle", "Upper link, axle end"));
            parts.push(e.point("layout.upper.chassis", "Upper link, chassis end"));
        }
        Layout::FourLink { lower_right, upper_right, .. } => {
            let upper = [
                ["axle", "Left upper link, axle end", "Right upper link, axle end"],
                ["chassis", "Left upper link, chassis end", "Right upper link, chassis end"],
            ];
            member("lower_left", "lower_right", &lower, lower_right.is_some(), Pair::Lower);
            member("upper_left", "upper_right", &upper, upper_right.is_some(), Pair::Upper);
        }
        Layout::LeafSprings { right, .. } => {
            let points = [
                ["seat", "Left spring, at the center bolt", "Right spring, at the center bolt"],
                ["fixed_eye", "Left spring, fixed eye", "Right spring, fixed eye"],
                ["shackle_eye", "Left spring, shackle eye", "Right spring, shackle eye"],
                ["shackle_chassis", "Left shackle, chassis bolt", "Right shackle, chassis bolt"],
            ];
            member("left", "right", &points, right.is_some(), Pair::Lower);
            return parts;
        }
    }
    parts.insert(0, readings(e, "arm", "Straight off the truck as it sits"));
    parts
}

/// The names of a link's ends on the crank and off it.
const fn watts_ends(watts: &Watts) -> (&'static str, &'static str) {
    match watts.crank_on {
        Carrier::Axle => ("axle", "chassis"),
        Carrier::Chassis => ("chassis", "axle"),
    }
}

fn watts_parts(e: Under, watts: &Watts) -> Vec<Part> {
    let (crank, outer) = watts_ends(watts);
    vec![
        e.point("watts.pivot", "Crank pivot, truck stock"),
        e.point(&format!("watts.left.{crank}"), "Left link, on the crank"),
        e.point(&format!("watts.left.{outer}"), "Left link, outer end"),
        e.point(&format!("watts.right.{crank}"), "Right link, on the crank"),
        e.point(&format!("watts.right.{outer}"), "Right link, outer end"),
    ]
}

fn linkage_parts(e: Under, steering: &Steering) -> Vec<Part> {
    let own = steering.tie_rod.right.is_some();
    let mut parts = vec![
        e.point("steering.pitman.pivot", "Steering box, output shaft"),
        e.point("steering.pitman.end", "Pitman arm, ball joint"),
        e.point(
            "steering.drag_link.end",
            match steering.drag_link.joins {
                Joins::LeftKnuckle => "Drag link, joint on the left knuckle",
                Joins::RightKnuckle => "Drag link, joint on the right knuckle",
                Joins::TieRod => "Drag link, joint on the tie rod",
            },
        ),
        Part {
            pair: Some((Pair::TieRod, own)),
            ..e.point("steering.tie_rod.left", "Tie rod, left ball joint")
        },
    ];
    if own {
        parts.push(e.point("steering.tie_rod.right", "Tie rod, right ball joint"));
    }
    parts.push(part(
        "Steering box",
        vec![e.spec(
            "steering.ratio",
            "Steering ratio",
            "Turns of the steering wheel for one turn of the pitman arm: stamped on the box or in its handbook; or count the wheel's turns lock to lock against the arm's swing.",
        )],
    ));
    parts
}

/// The driveshaft and the brake hose.
fn lines(e: Under, axle: &Axle) -> Group {
    let mut parts = Vec::new();
    if axle.driveline.is_some() {
        let mut case = e.point("driveline.case", "Joint at the transfer case");
        case.specs.extend([
            e.spec("driveline.case_slope_deg", "Output slopes down", "Level on the machined face of the yoke or flange; positive when it points down toward the axle."),
            e.spec("driveline.case_plan_deg", "Output to the left", "From above, on its way to the axle; most point straight along the truck."),
        ]);
        parts.push(case);
        parts.push(part(
            "Driveshaft, truck stock",
            vec![
                e.spec(
                    "driveline.slip_in_mm",
                    "Slip left, inward",
                    "How far the splines can still slide together.",
                ),
                e.spec(
                    "driveline.slip_out_mm",
                    "Slip left, outward",
                    "How far they can still pull apart and hold.",
                ),
                e.spec(
                    "driveline.joint_limit_deg",
                    "Joint's own limit",
                    "The angle at which its yokes touch; turn it by hand on the bench.",
                ),
            ],
        ));
    }
    if axle.hose.is_some() {
        parts.push(e.point("hose.frame_end", "Left brake hose, on the frame"));
        parts.push(e.point("hose.wheel_end", "Left brake hose, at the wheel"));
        let length = e.spec("hose.length_mm", "Length", "Along the hose, fitting to fitting.");
        parts.push(part("Left brake hose", vec![length]));
    }
    Group {
        slug: "lines",
        title: "Driveshaft and brake hose",
        why: "Joint angles, slip and slack after a lift. Truck at stock height, wheels straight.",
        parts,
    }
}

/// What only the checks of the rest of the truck ask for.
fn rest(e: Under, axle: &Axle) -> Group {
    let whole = |path: &str, label, help| Spec { path: path.to_owned(), label, help };
    let mut springing = Vec::new();
    if axle.spring.is_some() {
        springing.extend([
            e.spec(
                "springing.spring_rate_n_per_mm",
                "Spring rate, N/mm",
                "Of one coil spring; 1 lb/in is 0.175.",
            ),
            e.spec(
                "springing.spring_solid_mm",
                "Spring, coils touching",
                "Seat to seat; number of coils times the wire's thickness comes near.",
            ),
        ]);
    }
    if axle.shock.is_some() {
        springing.extend([
            e.spec("springing.shock_shortest_mm", "Shock pushed in", "Eye to eye, off the truck."),
            e.spec("springing.shock_longest_mm", "Shock pulled out", "Eye to eye, off the truck."),
        ]);
    }
    springing.extend([
        e.spec("springing.stop_squash_mm", "Bump stop gives", "From touching to pressed flat."),
        e.spec(
            "springing.sway_bar_nm_per_deg",
            "Sway bar, N·m per degree",
            "About the roll axis, at the axle.",
        ),
        e.spec(
            "springing.unsprung_kg",
            "Axle with its wheels, kg",
            "What does not ride on the springs.",
        ),
    ]);
    Group {
        slug: "rest",
        title: "For the other checks",
        why: "Empty until somebody looked; the look-ups fill in what stands here.",
        parts: vec![
            part("Springs and shocks", springing),
            part(
                "Over the ground, as it sits",
                vec![
                    e.spec(
                        "overhang.beyond_mm",
                        "Bumper beyond the hub",
                        "Level, from the hub center to the bumper's or hitch's lowest point.",
                    ),
                    e.spec("overhang.above_ground_mm", "Bumper above ground", "The same point."),
                    e.spec(
                        "overhang.diff_above_ground_mm",
                        "Axle above ground",
                        "The lowest point of its middle.",
                    ),
                    whole(
                        "belly.behind_front_wheel_mm",
                        "Belly behind the front hub",
                        "Level, to the lowest point between the axles.",
                    ),
                    whole("belly.above_ground_mm", "Belly above ground", "The same point."),
                ],
            ),
            part(
                "On the scales, as it sits",
                vec![
                    whole(
                        "weights.front_axle_kg",
                        "Front wheels, kg",
                        "Both on the weighbridge, the truck level.",
                    ),
                    whole("weights.rear_axle_kg", "Rear wheels, kg", "The same."),
                    whole(
                        "weights.front_raised_kg",
                        "Front wheels, rear raised, kg",
                        "With the rear wheels on blocks, springs held.",
                    ),
                    whole("weights.rise_mm", "Rear raised by", "At the hubs."),
                ],
            ),
            part(
                "Gears, turns in for one out",
                vec![
                    whole(
                        "gears.axle_ratio",
                        "Axle",
                        "On its tag, or counted by turning the shaft.",
                    ),
                    whole("gears.stock_axle_ratio", "Axle, as it came", ""),
                    whole(
                        "gears.top_gear",
                        "Highest gear",
                        "1 for straight through, less for an overdrive.",
                    ),
                    whole("gears.first_gear", "Lowest gear", ""),
                    whole("gears.low_range", "Low range", "Of the transfer case."),
                ],
            ),
        ],
    }
}

fn mounts(e: Under, axle: &Axle) -> Group {
    let mut parts = Vec::new();
    if axle.spring.is_some() {
        parts.push(e.point("spring.axle", "Left coil spring, lower seat"));
        parts.push(e.point("spring.chassis", "Left coil spring, upper seat"));
    }
    if axle.shock.is_some() {
        parts.push(e.point("shock.axle", "Left shock, lower eye"));
        parts.push(e.point("shock.chassis", "Left shock, upper eye"));
    }
    Group {
        slug: "mounts",
        title: "Springs and shocks",
        why: "How far they move for each millimeter of wheel travel. The right side mirrors the left.",
        parts,
    }
}

fn around(e: Under, axle: &Axle, end: End) -> Group {
    let mut parts = Vec::new();
    if axle.surroundings.rail.is_some() {
        let at = |name: &str| format!("surroundings.rail.{name}");
        parts.push(part(
            "Frame rail, truck stock",
            vec![
                e.spec(
                    &at("outer_mm"),
                    "Outer face from center",
                    "Half the width across the rails beside the tire.",
                ),
                e.spec(&at("bottom_mm"), "Bottom above axle centerline", "Negative when below."),
                e.spec(&at("top_mm"), "Top above axle centerline", ""),
                e.spec(&at("front_mm"), "Front end ahead of axle", "Where the straight part ends."),
                e.spec(&at("rear_mm"), "Rear end ahead of axle", "Negative when behind."),
            ],
        ));
    }
    if axle.surroundings.arch.is_some() {
        let at = |name: &str| format!("surroundings.arch.{name}");
        parts.push(part(
            "Wheel arch, truck stock",
            vec![
                e.spec(&at("top_mm"), "Lip above hub center", "Straight up."),
                e.spec(&at("front_mm"), "Lip ahead of hub center", "At hub height."),
                e.spec(&at("rear_mm"), "Lip behind hub center", "At hub height."),
                e.spec(
                    &at("lip_mm"),
                    "Lip from truck's center",
                    "Outer edge; half the width across the lips.",
                ),
                e.spec(
                    &at("inner_mm"),
                    "Inner end from truck's center",
                    "Where the inner panel starts.",
                ),
            ],
        ));
    }
    parts.push(part(
        "Arm",
        vec![e.spec(
            "surroundings.arm_radius_mm",
            "Half its thickness",
            "As a round bar; empty when the tire cannot reach it.",
        )],
    ));
    for (index, thing) in axle.surroundings.things.iter().enumerate() {
        let specs = things::specs(thing, end, index);
        let title = thing.kind.info().name;
        parts.push(Part { thing: Some(index), ..part(title, specs) });
    }
    Group {
        slug: "around",
        title: "Around the tire",
        why: "What the tire must clear, measured on the truck standing stock.",
        parts,
    }
}

/// What gives: rubber, and the leaves themselves.
fn bushes(e: Under, layout: &Layout) -> Option<Group> {
    let bush = |at: &str, title| {
        let at = |name: &str| format!("layout.{at}.{name}");
        part(
            title,
            vec![
                e.spec(
                    &at("radial_n_per_mm"),
                    "Across, N/mm",
                    "Force to push it one millimeter off center. Worn rubber: half or less.",
                ),
                e.spec(&at("axial_n_per_mm"), "Along, N/mm", ""),
                e.spec(&at("conical_nm_per_deg"), "Cocking, N·m per degree", ""),
                e.spec(&at("torsion_nm_per_deg"), "Twist, N·m per degree", ""),
            ],
        )
    };
    let rate = |name: &str| format!("layout.rates.{name}");
    match layout {
        Layout::RadiusArms { .. } => Some(Group {
            slug: "bushes",
            title: "Rubber bushes",
            why: "A pair of radius arms moves on its rubber. Few people know these; the stand-ins are wide.",
            parts: vec![bush("axle_bush", "At the axle"), bush("chassis_bush", "At the chassis")],
        }),
        Layout::LeafSprings { .. } => Some(Group {
            slug: "bushes",
            title: "Leaves and their bushes",
            why: "Leaf springs bend and twist, and their eyes sit in rubber. Few people know these; the stand-ins are wide.",
            parts: vec![
                part(
                    "Each spring",
                    vec![
                        e.spec(
                            &rate("vertical_n_per_mm"),
                            "Up and down, N/mm",
                            "The spring's rate as sold, at the seat; 100 lb/in is 17.5 N/mm.",
                        ),
                        e.spec(
                            &rate("lateral_n_per_mm"),
                            "Sideways, N/mm",
                            "At the seat, with the eyes held.",
                        ),
                        e.spec(
                            &rate("twist_nm_per_deg"),
                            "Twist of each half, N·m per degree",
                            "About the spring's own length.",
                        ),
                        e.spec(
                            &rate("clamped_mm"),
                            "Held between the U-bolts",
                            "Along the spring, over which it is held flat.",
                        ),
                    ],
                ),
                bush("eye_bush", "In the eyes and the shackle"),
            ],
        }),
        _ => None,
    }
}

fn balance() -> Group {
    let spec = |name: &str, label, help| Spec { path: format!("balance.{name}"), label, help };
    Group {
        slug: "balance",
        title: "Weight, brakes and drive",
        why: "What anti-dive and anti-squat lean on. Of the whole truck; the stand-ins are common practice, no source.",
        parts: vec![part(
            "",
            vec![
                spec(
                    "cg_height_mm",
                    "Center of gravity above ground",
                    "With the truck stock. From a handbook, or by weighing the truck level and with one end raised.",
                ),
                spec(
                    "front_brake_percent",
                    "Front share of the braking, %",
                    "Of a hard stop; most trucks 60 to 70.",
                ),
                spec(
                    "front_drive_percent",
                    "Front share of the drive, %",
                    "0 in two-wheel drive, 50 with both axles locked together.",
                ),
            ],
        )],
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::state::field;
    use fitment::truck::LayoutKind;

    #[test]
    fn every_field_has_its_place_in_the_truck() {
        for front in LayoutKind::ALL {
            let mut truck = Truck::typical(front, Some(front));
            if let Some(rear) = truck.rear.as_mut().filter(|_| front == LayoutKind::Leaf) {
                rear.watts = Some(Watts::typical(End::Rear));
            }
            for path in paths(&truck) {
                if path.rsplit('.').next() == Some("size") {
                    continue;
                }
                assert!(field::slot(&truck, &path).is_some(), "{path}");
            }
        }
    }

    #[test]
    fn the_first_numbers_are_eight_whatever_the_layout() {
        for kind in LayoutKind::ALL {
            for end in [End::Front, End::Rear] {
                let truck = Truck::typical(kind, Some(kind));
                let axle = truck.axle(end).expect("there");
                assert_eq!(first(axle, end).len(), 8, "{kind:?}");
                for spec in first(axle, end) {
                    assert!(paths(&truck).contains(&spec.path), "{}", spec.path);
                }
            }
        }
    }

    #[test]
    fn every_field_can_be_named_alone() {
        let truck = Truck::example();
        for path in paths(&truck) {
            assert_ne!(long_name(&truck, &path), path);
        }
    }
}
