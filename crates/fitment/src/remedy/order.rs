//! The order of work for a plan: what to measure first, what to tack, when to move the axle through
//! its travel, what to tighten at ride height, what to measure again. Common practice, no source.

use super::cut_list::Item;
use crate::{
    axle::{Answer, Output},
    caution,
    finding::quantity,
    measure::{System, format},
    truck::{Axle, Layout, Member, Part, PartKind, Pivot, State, Step, Turning, Work},
    words::inside,
};

/// One thing to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Task {
    /// When.
    pub stage: Stage,
    /// What, in whole sentences.
    pub words: String,
    /// What to be careful of just then.
    pub caution: Option<&'static str>,
}

/// When something is done.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Stage {
    /// Before anything comes off.
    Measure,
    /// Bolted loosely, or held by tacks.
    Fit,
    /// Moved through travel and steer while everything can still be moved.
    Cycle,
    /// Welded out.
    Finish,
    /// With the weight on the wheels.
    Tighten,
    /// The same as at first, against what was foreseen.
    MeasureAgain,
    /// On a rig.
    Align,
}

impl Stage {
    /// Its heading.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Measure => "Measure first",
            Self::Fit => "Fit and tack",
            Self::Cycle => "Cycle and check",
            Self::Finish => "Finish",
            Self::Tighten => "Tighten at ride height",
            Self::MeasureAgain => "Measure again",
            Self::Align => "Alignment",
        }
    }
}

const STANDS: &str = "Never work under a truck on a jack: stands on firm ground under the frame, the wheels that stay down chocked.";
const WELDING: &str = "For a qualified welder. Battery disconnected, ground clamp beside the weld, fuel and brake lines, hoses and bushes out of the heat; no weld over paint, rust or zinc. Check local codes before you cut.";
const FIRST_DRIVE: &str =
    "Drive slowly first, where there is room, and torque everything again after it.";

/// What the parts at hand take.
struct Needs<'a> {
    axle: &'a Axle,
    items: &'a [Item],
}

impl Needs<'_> {
    fn any(&self, of: impl Fn(PartKind) -> bool) -> bool {
        self.items.iter().any(|item| of(item.part.kind()))
    }

    fn welds(&self) -> bool {
        self.items.iter().any(|item| item.work >= Work::WeldFrame)
    }

    /// Whether where the axle stands or how it is turned changes.
    fn moves_axle(&self) -> bool {
        self.any(|kind| {
            held(kind) || matches!(kind, PartKind::Turn(_) | PartKind::Step(Step::Spring))
        })
    }

    /// Whether a bar or link of rubber was let go of.
    fn on_rubber(&self) -> bool {
        let leaves = matches!(self.axle.layout, Layout::LeafSprings { .. });
        self.any(|kind| {
            held(kind) || matches!(kind, PartKind::Turn(Turning::CasterBush | Turning::Wedge))
        }) || leaves && self.any(|kind| kind == PartKind::Step(Step::Spring))
    }
}

/// Bars, arms, links and their brackets.
const fn held(kind: PartKind) -> bool {
    matches!(
        kind,
        PartKind::Bracket(
            Pivot::PanhardAxle
                | Pivot::PanhardChassis
                | Pivot::Arm
                | Pivot::LowerAxle
                | Pivot::UpperChassis
                | Pivot::UpperAxle
        ) | PartKind::Length(Member::Panhard | Member::UpperLink | Member::Arm)
            | PartKind::Bend
    )
}

const fn steers(kind: PartKind) -> bool {
    matches!(
        kind,
        PartKind::Bracket(Pivot::DragLink)
            | PartKind::Step(Step::Pitman)
            | PartKind::Length(Member::DragLink)
            | PartKind::Turn(Turning::KnuckleFlange)
    )
}

const fn drives(kind: PartKind) -> bool {
    matches!(
        kind,
        PartKind::Length(Member::Driveshaft)
            | PartKind::DoubleCardan
            | PartKind::Step(Step::TransferCase)
    )
}

const fn rolls(kind: PartKind) -> bool {
    matches!(kind, PartKind::Wheel | PartKind::Tire | PartKind::Step(Step::Spacer))
}

/// What goes on before what: height first, then what locates the axle from the chassis on, then what
/// follows from where it stands.
const fn turn(kind: PartKind) -> u8 {
    match kind {
        PartKind::Step(Step::Spring) => 0,
        PartKind::Turn(Turning::KnuckleFlange) => 1,
        PartKind::Bracket(
            Pivot::Arm | Pivot::LowerAxle | Pivot::UpperChassis | Pivot::UpperAxle,
        )
        | PartKind::Length(Member::Arm)
        | PartKind::Bend => 2,
        PartKind::Turn(_) => 3,
        PartKind::Length(Member::UpperLink) => 4,
        PartKind::Bracket(Pivot::PanhardAxle | Pivot::PanhardChassis) => 5,
        PartKind::Length(Member::Panhard) => 6,
        PartKind::Step(Step::TransferCase) => 7,
        PartKind::DoubleCardan | PartKind::Length(Member::Driveshaft) => 8,
        PartKind::Bracket(Pivot::DragLink) | PartKind::Step(Step::Pitman) => 9,
        PartKind::Length(Member::DragLink) => 10,
        PartKind::Length(Member::BrakeHose) => 11,
        PartKind::Step(Step::Spacer) | PartKind::Wheel | PartKind::Tire => 12,
        PartKind::ArchTrim | PartKind::SteeringStop | PartKind::Length(Member::BumpStop) => 13,
    }
}

/// The order of work for some items; nothing where there is nothing to fit.
pub(super) fn order(axle: &Axle, items: &[Item], now: &Answer, system: System) -> Vec<Task> {
    let mut tasks = Vec::new();
    if items.is_empty() {
        return tasks;
    }
    let needs = Needs { axle, items };
    let mut add = |stage, words: String, caution: Option<&'static str>| {
        tasks.push(Task { stage, words, caution });
    };
    measure(&needs, system, &mut add);
    fit(&needs, &mut add);
    cycle(&needs, now, system, &mut add);
    finish(&needs, &mut add);
    tighten(&needs, &mut add);
    again(&needs, now, system, &mut add);
    let mut said: Vec<&str> = Vec::new();
    for task in &mut tasks {
        // Once is enough: where it matters first.
        task.caution = task.caution.filter(|caution| !said.contains(caution));
        said.extend(task.caution);
    }
    tasks
}

type Add<'a> = &'a mut dyn FnMut(Stage, String, Option<&'static str>);

fn measure(needs: &Needs<'_>, system: System, add: Add<'_>) {
    let mut first = "Stand the truck on level ground, tires at their pressure, wheels straight ahead. Write down the height from each wheel's center to its arch".to_owned();
    let mut also = |wanted: bool, what: &str| {
        if wanted {
            first.push_str("; ");
            first.push_str(what);
        }
    };
    let panhard = |kind| {
        matches!(
            kind,
            PartKind::Bracket(Pivot::PanhardAxle | Pivot::PanhardChassis)
                | PartKind::Length(Member::Panhard)
        )
    };
    also(
        needs.any(panhard),
        "the Panhard bar eye to eye and its slope; by plumb line, how far each wheel stands from the frame rail",
    );
    let turns = |kind| {
        matches!(
            kind,
            PartKind::Turn(_)
                | PartKind::Length(Member::UpperLink | Member::Arm)
                | PartKind::Bracket(
                    Pivot::Arm | Pivot::LowerAxle | Pivot::UpperChassis | Pivot::UpperAxle
                )
        )
    };
    also(needs.any(turns), "the pinion angle, and the wheelbase on both sides");
    also(needs.any(turns) && needs.axle.kingpin.is_some(), "caster on both sides");
    also(
        needs.axle.steering.is_some() && (needs.moves_axle() || needs.any(steers)),
        "where the steering wheel stands, its turns to either lock, and toe",
    );
    also(needs.any(drives), "both driveshaft joint angles, and the slip left at full droop");
    also(
        needs.any(|kind| kind == PartKind::Length(Member::BrakeHose)),
        "the hose between its fittings at full droop and full lock",
    );
    also(
        needs.any(|kind| {
            rolls(kind)
                || matches!(
                    kind,
                    PartKind::ArchTrim
                        | PartKind::SteeringStop
                        | PartKind::Bend
                        | PartKind::Length(Member::BumpStop)
                )
        }),
        "the room round the tire at full bump and at either lock",
    );
    first.push('.');
    add(Stage::Measure, first, None);
    let (now, then) = (&needs.axle.sitting.lift_mm, &needs.axle.fitted(State::Planned).lift_mm);
    if (now.value - then.value).abs() >= 1.0 {
        let words = format!(
            "Bring the truck to the height it was planned for first, {} above stock: every hole and length below holds at that height.",
            format::length(then.value, system)
        );
        add(Stage::Measure, words, Some(caution::SPRINGS));
    }
}

fn fit(needs: &Needs<'_>, add: Add<'_>) {
    let on_stands = if needs.moves_axle() {
        "Keep the weight on the wheels wherever it can stay there, with stands close under the frame, and take one thing off at a time: what is left holds the axle at ride height."
    } else {
        "Stand the truck on stands where a wheel has to come off."
    };
    add(Stage::Fit, on_stands.to_owned(), Some(STANDS));
    let mut sorted: Vec<&Item> = needs.items.iter().collect();
    crate::few::sort_few(&mut sorted, |a, b| turn(a.part.kind()).cmp(&turn(b.part.kind())));
    for item in sorted {
        let what = inside(&item.words);
        let words = match item.work {
            Work::WeldFrame | Work::WeldAxle => {
                format!("Clamp, check square, and only tack: {what}.")
            }
            Work::Drill => format!("Mark, center-punch, and drill or cut: {what}."),
            Work::Press => format!("Press in, marked for which way it goes: {what}."),
            Work::Bolt if !item.lengths.is_empty() => {
                format!("Set to its length on the bench, and bolt in finger-tight: {what}.")
            }
            Work::Bolt => format!("Bolt on finger-tight: {what}."),
        };
        add(Stage::Fit, words, Some(item.part.kind().traits().caution));
    }
}

fn cycle(needs: &Needs<'_>, now: &Answer, system: System, add: Add<'_>) {
    let swept = needs.moves_axle()
        || needs.any(|kind| steers(kind) || drives(kind) || rolls(kind))
        || needs.any(|kind| kind == PartKind::Length(Member::BrakeHose));
    if swept {
        let mut words = "With the springs out or eased, move the axle slowly from full droop to full bump, both wheels together and crossed up".to_owned();
        words.push_str(if needs.axle.kingpin.is_some() {
            ", and turn lock to lock at each end. Nothing may touch or pull tight: bar and drag link, differential, hoses, driveshaft and its slip, tires."
        } else {
            ". Nothing may touch or pull tight: bar, links, differential, hoses, driveshaft and its slip, tires."
        });
        add(Stage::Cycle, words, needs.axle.steering.as_ref().map(|_| caution::LINKAGE));
    }
    if needs.moves_axle() {
        let mut words =
            "Back at ride height, before anything is welded or torqued, read again".to_owned();
        expected(&mut words, needs, now, system);
        words.push_str(" Move what is only tacked or threaded until they agree.");
        add(Stage::Cycle, words, None);
    }
}

fn finish(needs: &Needs<'_>, add: Add<'_>) {
    if needs.welds() {
        let words = "Take out bushes and whatever burns, weld the tacked brackets out in short runs on alternate sides, let them cool by themselves, paint, and put everything back.";
        add(Stage::Finish, words.to_owned(), Some(WELDING));
    }
}

fn tighten(needs: &Needs<'_>, add: Add<'_>) {
    if needs.on_rubber() {
        let words = "Let the truck down, roll it back and forth and bounce it, and only then torque every bolt through a rubber bush, at ride height: tightened hanging, the rubber is twisted for good.";
        add(Stage::Tighten, words.to_owned(), Some(caution::ARMS_HELD));
    }
    let threaded = |item: &Item| matches!(&item.part, Part::Length { of: Member::Panhard | Member::UpperLink | Member::Arm | Member::DragLink, range_mm, .. } if range_mm[0] < range_mm[1]);
    if needs.items.iter().any(threaded) {
        let words = "Lock the threads with both ends square to their bolts, as many turns of thread in each end as its maker asks for, and mark the nuts with paint.";
        add(Stage::Tighten, words.to_owned(), None);
    }
    if needs.any(steers) {
        let words = "Torque joints and pitman nut to their maker's figure, with new cotter pins.";
        add(Stage::Tighten, words.to_owned(), Some(caution::LINKAGE));
    }
    if needs.any(rolls) {
        let words = "Torque the wheel nuts crosswise, and again after the first drive.";
        add(Stage::Tighten, words.to_owned(), Some(caution::WHEEL_OUT));
    }
    if needs.any(|kind| kind == PartKind::Length(Member::BrakeHose)) {
        let words = "Bleed the brakes, and look for leaks with somebody's foot hard on the pedal.";
        add(Stage::Tighten, words.to_owned(), Some(caution::BRAKES));
    }
}

fn again(needs: &Needs<'_>, now: &Answer, system: System, add: Add<'_>) {
    let mut words = "Measure everything of the first step again".to_owned();
    expected(&mut words, needs, now, system);
    add(Stage::MeasureAgain, words, Some(FIRST_DRIVE));
    let steered = needs.axle.kingpin.is_some();
    if steered && (needs.moves_axle() || needs.any(steers) || needs.any(rolls)) {
        let words = "Have caster, camber and toe measured on a rig. Set toe first, then the steering wheel straight by the drag link.";
        add(Stage::Align, words.to_owned(), Some(caution::ALIGNMENT));
    }
}

/// What the readings that matter should come to, within two standard deviations.
fn expected(words: &mut String, needs: &Needs<'_>, now: &Answer, system: System) {
    let mut put = |before: &str, output: Output, what: &str| {
        if let (Some(value), Some(sigma)) = (now.attitude.get(output), now.sigma.get(output)) {
            words.push_str(before);
            words.push_str(what);
            words.push(' ');
            words.push_str(&quantity(output, value, 2.0 * sigma, system));
            return true;
        }
        false
    };
    let outputs = [
        (Output::Panhard, "Panhard bar at"),
        (Output::LateralShift, "axle to the left"),
        (Output::Caster, "caster"),
        (Output::Pinion, "pinion"),
        (Output::SteeringWheel, "steering wheel off center"),
        (Output::JointCase, "joint at the case"),
        (Output::JointAxle, "joint at the axle"),
    ];
    let mut before = "; expected, within two standard deviations: ";
    for (output, what) in outputs {
        // On an axle that does not steer, caster is how far it leans, which nobody reads.
        if output == Output::Caster && needs.axle.kingpin.is_none() {
            continue;
        }
        if put(before, output, what) {
            before = ", ";
        }
    }
    words.push('.');
}
