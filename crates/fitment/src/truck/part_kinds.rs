//! What each kind of correction does, costs elsewhere, needs and takes: one row each.

use super::bounds::{self, Bound};
use super::part::{Member, Pivot, Step, Turning};
use super::{Axle, Hole, Layout, Part, PartKind};
use crate::caution;
use crate::measure::Known;

/// A kind of correction in words and numbers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Traits {
    /// What it is called.
    pub label: &'static str,
    /// What it changes.
    pub changes: &'static str,
    /// What it changes besides.
    pub touches: &'static str,
    /// What an axle must have to wear it.
    pub needs: Needs,
    /// The work it takes. Common practice, no source.
    pub work: Work,
    /// What to be careful of.
    pub caution: &'static str,
    /// What its number may be: a hole's height, a length's change, an angle, a size.
    pub bound: &'static Bound,
    /// What its number usually is, mm or degrees: least and most. Common practice, no source.
    pub credible: [f64; 2],
    /// What one usually comes with: heights of holes, ends of a range, choices. Ours, to start from.
    pub usual: &'static [f64],
}

/// What an axle must have to wear a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Needs {
    /// Nothing.
    Nothing,
    /// A Panhard bar.
    Panhard,
    /// Radius arms.
    RadiusArms,
    /// Three or four links.
    Links,
    /// Arms or lower links.
    ArmsOrLinks,
    /// Leaf springs' seats or radius arms' pads.
    Pads,
    /// Steering axes.
    Kingpin,
    /// A steering linkage.
    Steering,
    /// A wheel arch.
    Arch,
    /// A driveline.
    Driveline,
    /// A brake hose.
    Hose,
}

/// Kinds of work, lightest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Work {
    /// Unbolt and bolt.
    Bolt,
    /// Press bushes or joints.
    Press,
    /// Drill, ream or cut.
    Drill,
    /// Weld on the frame.
    WeldFrame,
    /// Weld on the axle.
    WeldAxle,
}

impl Work {
    /// What it weighs against other work: about the hours that a part of this kind keeps somebody
    /// busy at home. Common practice, no source.
    pub const fn points(self) -> u32 {
        match self {
            Self::Bolt => 1,
            Self::Press | Self::Drill => 2,
            Self::WeldFrame | Self::WeldAxle => 6,
        }
    }

    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Bolt => "bolts only",
            Self::Press => "pressing",
            Self::Drill => "drilling or cutting",
            Self::WeldFrame => "welding on the frame: for a qualified welder",
            Self::WeldAxle => "welding on the axle: for a qualified welder",
        }
    }
}

impl Needs {
    /// Whether an axle has it.
    pub const fn met(self, axle: &Axle) -> bool {
        let (arms, leaves) = match axle.layout {
            Layout::RadiusArms { .. } => (true, false),
            Layout::LeafSprings { .. } => (false, true),
            Layout::ThreeLink { .. } | Layout::FourLink { .. } => (false, false),
        };
        match self {
            Self::Nothing => true,
            Self::Panhard => axle.panhard.is_some(),
            Self::RadiusArms => arms,
            Self::Links => !arms && !leaves,
            Self::ArmsOrLinks => !leaves,
            Self::Pads => arms || leaves,
            Self::Kingpin => axle.kingpin.is_some(),
            Self::Steering => axle.steering.is_some(),
            Self::Arch => axle.surroundings.arch.is_some(),
            Self::Driveline => axle.driveline.is_some(),
            Self::Hose => axle.hose.is_some(),
        }
    }

    /// In words: "a Panhard bar".
    pub const fn words(self) -> &'static str {
        match self {
            Self::Nothing => "wheels",
            Self::Panhard => "a Panhard bar",
            Self::RadiusArms => "radius arms",
            Self::Links => "three or four links",
            Self::ArmsOrLinks => "arms or lower links",
            Self::Pads => "leaf springs or radius arms",
            Self::Kingpin => "wheels that steer",
            Self::Steering => "a steering linkage",
            Self::Arch => "a wheel arch",
            Self::Driveline => "a driveline",
            Self::Hose => "a brake hose",
        }
    }

    /// What to do instead on an axle without it.
    pub const fn instead(self, axle: &Axle) -> &'static str {
        match (self, &axle.layout) {
            (Self::RadiusArms | Self::Pads, Layout::ThreeLink { .. } | Layout::FourLink { .. }) => {
                "change the upper link's length instead"
            }
            (Self::Links, Layout::RadiusArms { .. }) => "turn the axle by caster bushes instead",
            (Self::RadiusArms | Self::Links, _) => "turn the axle by wedges instead",
            (Self::ArmsOrLinks, _) => "correct the points of the leaf spring",
            (Self::Panhard, _) => "fill in `panhard`",
            (Self::Kingpin, _) => "fill in `kingpin`",
            (Self::Steering, _) => "fill in `steering`",
            (Self::Arch, _) => "fill in `surroundings.arch`",
            (Self::Driveline, _) => "fill in `driveline`",
            (Self::Hose, _) => "fill in `hose`",
            (Self::Nothing | Self::Pads, _) => "correct the axle",
        }
    }
}

impl PartKind {
    /// All of them, in the order people meet them.
    pub const ALL: [Self; 27] = [
        Self::Bracket(Pivot::PanhardAxle),
        Self::Bracket(Pivot::PanhardChassis),
        Self::Length(Member::Panhard),
        Self::Bracket(Pivot::Arm),
        Self::Bracket(Pivot::LowerAxle),
        Self::Bracket(Pivot::UpperChassis),
        Self::Bracket(Pivot::UpperAxle),
        Self::Length(Member::Arm),
        Self::Length(Member::UpperLink),
        Self::Turn(Turning::CasterBush),
        Self::Turn(Turning::Wedge),
        Self::Turn(Turning::KnuckleFlange),
        Self::Bracket(Pivot::DragLink),
        Self::Step(Step::Pitman),
        Self::Length(Member::DragLink),
        Self::Step(Step::Spring),
        Self::Step(Step::Spacer),
        Self::Bend,
        Self::ArchTrim,
        Self::Length(Member::BumpStop),
        Self::SteeringStop,
        Self::Length(Member::Driveshaft),
        Self::DoubleCardan,
        Self::Step(Step::TransferCase),
        Self::Length(Member::BrakeHose),
        Self::Wheel,
        Self::Tire,
    ];

    /// Its row.
    #[expect(clippy::too_many_lines, reason = "one table, read from top to bottom")]
    pub const fn traits(self) -> Traits {
        match self {
            Self::Bracket(Pivot::PanhardAxle) => Traits {
                label: "Panhard bracket, axle end",
                changes: "Raises the bar's axle end: flattens the bar. The length stays.",
                touches: "The roll center rises with it, and the drag link no longer lies as the bar does.",
                needs: Needs::Panhard,
                work: Work::WeldAxle,
                caution: caution::AXLE_HELD,
                bound: bounds::HOLE,
                credible: [0.0, 120.0],
                usual: &[25.0, 50.0, 75.0],
            },
            Self::Bracket(Pivot::PanhardChassis) => Traits {
                label: "Panhard bracket, chassis end",
                changes: "Lowers the bar's chassis end: flattens the bar. The length stays.",
                touches: "The roll center sinks with it, the bracket's lever on the frame grows, and the drag link no longer lies as the bar does.",
                needs: Needs::Panhard,
                work: Work::WeldFrame,
                caution: caution::AXLE_HELD,
                bound: bounds::HOLE,
                credible: [-120.0, 0.0],
                usual: &[-30.0, -60.0],
            },
            Self::Length(Member::Panhard) => Traits {
                label: "Adjustable Panhard bar",
                changes: "Moves the axle sideways. The angle hardly changes.",
                touches: "The steering wheel turns off center with the axle, and one tire comes nearer the frame.",
                needs: Needs::Panhard,
                work: Work::Bolt,
                caution: caution::AXLE_HELD,
                bound: bounds::LENGTH_CHANGE,
                credible: [-25.0, 40.0],
                usual: &[-25.0, 40.0],
            },
            Self::Bracket(Pivot::Arm) => Traits {
                label: "Arm drop brackets",
                changes: "Lowers the arms' chassis eyes, and sets them forward where a hole does: brings caster back.",
                touches: "The pinion tips as much as caster changes, the wheels move in their arches, the brackets hang nearer the ground.",
                needs: Needs::ArmsOrLinks,
                work: Work::WeldFrame,
                caution: caution::ARMS_HELD,
                bound: bounds::HOLE,
                credible: [-120.0, 60.0],
                usual: &[-40.0, -60.0],
            },
            Self::Bracket(Pivot::LowerAxle) => Traits {
                label: "Lower link brackets, axle end",
                changes: "Moves the lower links' axle ends: flattens the links.",
                touches: "Anti-dive and anti-squat change, caster and pinion a little, and the brackets hang nearer the ground.",
                needs: Needs::Links,
                work: Work::WeldAxle,
                caution: caution::ARMS_HELD,
                bound: bounds::HOLE,
                credible: [-100.0, 100.0],
                usual: &[25.0, 50.0],
            },
            Self::Bracket(Pivot::UpperChassis) => Traits {
                label: "Upper link bracket, chassis end",
                changes: "Moves the upper link's chassis end: turns the axle through its travel another way.",
                touches: "Anti-dive and anti-squat change, and caster and pinion at ride height.",
                needs: Needs::Links,
                work: Work::WeldFrame,
                caution: caution::ARMS_HELD,
                bound: bounds::HOLE,
                credible: [-120.0, 60.0],
                usual: &[-25.0, -50.0],
            },
            Self::Bracket(Pivot::UpperAxle) => Traits {
                label: "Upper link bracket, axle end",
                changes: "Moves the upper link's axle end: turns the axle through its travel another way.",
                touches: "Anti-dive and anti-squat change, and caster and pinion at ride height.",
                needs: Needs::Links,
                work: Work::WeldAxle,
                caution: caution::ARMS_HELD,
                bound: bounds::HOLE,
                credible: [-60.0, 120.0],
                usual: &[25.0, 50.0],
            },
            Self::Length(Member::Arm) => Traits {
                label: "Longer arms",
                changes: "Moves the axle away from the arms' chassis eyes and swings it along a wider arc.",
                touches: "Wheelbase and the wheel's place in its arch; radius arms keep caster, lower links turn the axle.",
                needs: Needs::ArmsOrLinks,
                work: Work::Bolt,
                caution: caution::ARMS_HELD,
                bound: bounds::LENGTH_CHANGE,
                credible: [-30.0, 60.0],
                usual: &[0.0, 40.0],
            },
            Self::Length(Member::UpperLink) => Traits {
                label: "Adjustable upper link",
                changes: "Turns the axle: caster and pinion together.",
                touches: "The driveline's joint angles follow the pinion.",
                needs: Needs::Links,
                work: Work::Bolt,
                caution: caution::ARMS_HELD,
                bound: bounds::LENGTH_CHANGE,
                credible: [-30.0, 30.0],
                usual: &[-20.0, 20.0],
            },
            Self::Turn(Turning::CasterBush) => Traits {
                label: "Caster bushes",
                changes: "Turn the axle in its arms: caster back.",
                touches: "The pinion tips as much, and off-center bushes are stiffer one way than the other.",
                needs: Needs::RadiusArms,
                work: Work::Press,
                caution: caution::ALIGNMENT,
                bound: bounds::CASTER_BUSH,
                credible: [1.0, 6.0],
                usual: &[2.0, 3.0, 4.0],
            },
            Self::Turn(Turning::Wedge) => Traits {
                label: "Caster wedges",
                changes: "Turn the axle on its spring seats, or on its arms' pads: caster back.",
                touches: "The pinion tips as much; U-bolts and center bolt grow longer by the wedge.",
                needs: Needs::Pads,
                work: Work::Bolt,
                caution: caution::ALIGNMENT,
                bound: bounds::CASTER_BUSH,
                credible: [1.0, 6.0],
                usual: &[2.0, 4.0, 6.0],
            },
            Self::Turn(Turning::KnuckleFlange) => Traits {
                label: "Knuckles turned on the axle",
                changes: "Turns the knuckles on the axle's ends: caster back, and the pinion stays.",
                touches: "The tie rod and the drag link's joint turn with the knuckles.",
                needs: Needs::Kingpin,
                work: Work::WeldAxle,
                caution: caution::AXLE_END,
                bound: bounds::CASTER_BUSH,
                credible: [1.0, 8.0],
                usual: &[3.0, 5.0],
            },
            Self::Bracket(Pivot::DragLink) => Traits {
                label: "Drag link on top, or high steering arm",
                changes: "Raises the drag link's joint: flattens the drag link.",
                touches: "Bump steer changes unless the Panhard bar is raised alike; the drag link may meet the bar, the frame or the arch in bump.",
                needs: Needs::Steering,
                work: Work::Drill,
                caution: caution::LINKAGE,
                bound: bounds::HOLE,
                credible: [0.0, 150.0],
                usual: &[60.0],
            },
            Self::Step(Step::Pitman) => Traits {
                label: "Dropped pitman arm",
                changes: "Lowers the drag link's joint at the steering box: flattens the drag link.",
                touches: "A longer lever twists the box and its mount harder; bump steer changes unless the Panhard bar is dropped alike.",
                needs: Needs::Steering,
                work: Work::Press,
                caution: caution::LINKAGE,
                bound: bounds::PITMAN_DROP,
                credible: [20.0, 100.0],
                usual: &[50.0, 75.0],
            },
            Self::Length(Member::DragLink) => Traits {
                label: "Adjustable drag link",
                changes: "Brings the steering wheel back to center. The tires stay.",
                touches: "How far the box turns each way before its stops.",
                needs: Needs::Steering,
                work: Work::Bolt,
                caution: caution::LINKAGE,
                bound: bounds::LENGTH_CHANGE,
                credible: [-20.0, 40.0],
                usual: &[-20.0, 40.0],
            },
            Self::Step(Step::Spring) => Traits {
                label: "Springs or spring spacers",
                changes: "Change the height the chassis rides at.",
                touches: "Everything that hangs on height: bar, arms, caster, driveline, shocks, hoses, rollover.",
                needs: Needs::Nothing,
                work: Work::Bolt,
                caution: caution::SPRINGS,
                bound: bounds::LIFT,
                credible: [-75.0, 100.0],
                usual: &[-25.0, 25.0, 50.0],
            },
            Self::Step(Step::Spacer) => Traits {
                label: "Wheel spacers",
                changes: "Set the wheels outboard, in place of the spacers there are.",
                touches: "The scrub radius grows by as much, and so do the loads on bearings, studs and steering.",
                needs: Needs::Nothing,
                work: Work::Bolt,
                caution: caution::WHEEL_OUT,
                bound: bounds::SPACER,
                credible: [0.0, 50.0],
                usual: &[25.4, 31.75, 38.1],
            },
            Self::Bend => Traits {
                label: "Bent arms",
                changes: "Stand off the straight line in their middle: room for the tire. Their ends stay.",
                touches: "A bent arm bends further under load unless it is made stouter.",
                needs: Needs::ArmsOrLinks,
                work: Work::Bolt,
                caution: caution::ARMS_HELD,
                bound: bounds::ARM_BEND,
                credible: [-60.0, 60.0],
                usual: &[0.0, -30.0, 0.0],
            },
            Self::ArchTrim => Traits {
                label: "Arch trimmed",
                changes: "Cuts the opening back all round: room for the tread.",
                touches: "Paint, seams and what lies behind the edge.",
                needs: Needs::Arch,
                work: Work::Drill,
                caution: caution::CUTTING,
                bound: bounds::ARCH_TRIM,
                credible: [0.0, 60.0],
                usual: &[20.0],
            },
            Self::Length(Member::BumpStop) => Traits {
                label: "Bump stop",
                changes: "Longer stops the wheel sooner in bump: room above, less travel.",
                touches: "Less travel to soften a bump; the frame feels the stop sooner.",
                needs: Needs::Nothing,
                work: Work::Bolt,
                caution: caution::STOPS,
                bound: bounds::BUMP_STOP,
                credible: [-20.0, 75.0],
                usual: &[-20.0, 75.0],
            },
            Self::SteeringStop => Traits {
                label: "Steering stop",
                changes: "Stops the wheel sooner when turned: room at lock.",
                touches: "A wider turning circle.",
                needs: Needs::Kingpin,
                work: Work::Bolt,
                caution: caution::STOPS,
                bound: bounds::LOCK,
                credible: [20.0, 40.0],
                usual: &[],
            },
            Self::Length(Member::Driveshaft) => Traits {
                label: "Driveshaft, another length",
                changes: "Gives the slip its travel back where the axle has moved away or nearer.",
                touches: "A longer shaft whirls at a lower speed, and a cut one wants balancing.",
                needs: Needs::Driveline,
                work: Work::Bolt,
                caution: caution::DRIVESHAFT,
                bound: bounds::LENGTH_CHANGE,
                credible: [-50.0, 80.0],
                usual: &[0.0, 50.0],
            },
            Self::DoubleCardan => Traits {
                label: "Double-Cardan joint at the case",
                changes: "Shares the case end's angle between two joints that cancel each other; the pinion should then point at the case.",
                touches: "A pinion left parallel to the case is no longer canceled by anything.",
                needs: Needs::Driveline,
                work: Work::Bolt,
                caution: caution::DRIVESHAFT,
                bound: bounds::HOLE,
                credible: [0.0, 0.0],
                usual: &[],
            },
            Self::Step(Step::TransferCase) => Traits {
                label: "Transfer case dropped",
                changes: "Lowers the case's output: less angle at its joint.",
                touches: "The case hangs nearer the ground and its mounts, shifter and lines follow; the other shaft's angles change too.",
                needs: Needs::Driveline,
                work: Work::Bolt,
                caution: caution::DRIVESHAFT,
                bound: bounds::CASE_DROP,
                credible: [10.0, 60.0],
                usual: &[25.0],
            },
            Self::Length(Member::BrakeHose) => Traits {
                label: "Brake hose, longer",
                changes: "Gives the hose slack at droop and lock.",
                touches: "More slack can reach the tire at bump: route it clear.",
                needs: Needs::Hose,
                work: Work::Bolt,
                caution: caution::BRAKES,
                bound: bounds::LENGTH_CHANGE,
                credible: [0.0, 150.0],
                usual: &[50.0, 150.0],
            },
            Self::Wheel => Traits {
                label: "Wheels",
                changes: "Set the tires in or out by their offset.",
                touches: "The scrub radius, the loads on bearings and studs, and what the tire stands near inboard.",
                needs: Needs::Nothing,
                work: Work::Bolt,
                caution: caution::WHEEL_OUT,
                bound: bounds::WHEEL_OFFSET,
                credible: [-50.0, 50.0],
                usual: &[],
            },
            Self::Tire => Traits {
                label: "Tires",
                changes: "Change diameter and width.",
                touches: "Trail and scrub radius, gearing and speedometer, ride height and everything the tread must clear.",
                needs: Needs::Nothing,
                work: Work::Bolt,
                caution: caution::TIRES,
                bound: bounds::TIRE_DIAMETER,
                credible: [600.0, 1100.0],
                usual: &[],
            },
        }
    }

    /// What it is called.
    pub const fn label(self) -> &'static str {
        self.traits().label
    }
}

impl Part {
    /// One of a kind to start from, with round figures of our choosing, for this axle.
    pub fn typical(kind: PartKind, axle: &Axle) -> Self {
        let usual = kind.traits().usual;
        let first = usual.first().copied().unwrap_or_default();
        let last = usual.last().copied().unwrap_or_default();
        let exact = Known::exact;
        match kind {
            PartKind::Bracket(moves) => {
                let hole = |(at, z): (usize, &f64)| Hole {
                    name: (at + 1).to_string(),
                    x_mm: exact(0.0),
                    y_mm: exact(0.0),
                    z_mm: exact(*z),
                };
                Self::bracket(moves, usual.iter().enumerate().map(hole).collect(), 0)
            }
            PartKind::Length(of) => Self::length(of, 0.0_f64.max(first), [first, last]),
            PartKind::Turn(by) => Self::turn(by, first, usual.to_vec()),
            PartKind::Step(of) => Self::step(of, first, usual.to_vec()),
            PartKind::Bend => {
                let at = |i: usize| exact(usual.get(i).copied().unwrap_or_default());
                Self::Bend { x_mm: at(0), y_mm: at(1), z_mm: at(2) }
            }
            PartKind::ArchTrim => Self::ArchTrim { depth_mm: exact(first) },
            PartKind::SteeringStop => {
                let lock = axle.limits.lock_deg.value;
                Self::SteeringStop {
                    lock_deg: exact((lock - 2.0).max(0.0)),
                    range_deg: [(lock - 15.0).max(0.0), lock],
                }
            }
            PartKind::DoubleCardan => Self::DoubleCardan {},
            PartKind::Wheel => Self::Wheel { wheel: axle.planned.wheel.clone() },
            PartKind::Tire => Self::Tire { tire: axle.planned.tire.clone() },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::truck::{End, LayoutKind};

    #[test]
    fn every_kind_is_listed_once_and_its_typical_part_is_of_it_and_without_fault() {
        for (at, kind) in PartKind::ALL.into_iter().enumerate() {
            assert!(!PartKind::ALL[..at].contains(&kind), "{kind:?}");
            let t = kind.traits();
            assert!(t.bound.holds(t.credible[0]) && t.bound.holds(t.credible[1]), "{kind:?}");
            assert!(t.usual.iter().all(|v| t.credible[0] <= *v && *v <= t.credible[1]), "{kind:?}");
            for layout in LayoutKind::ALL {
                let mut axle = Axle::typical(layout, End::Front);
                axle.driveline = Some(crate::truck::Driveline::typical(End::Front));
                axle.hose = Some(crate::truck::Hose::typical());
                let part = Part::typical(kind, &axle);
                assert_eq!(part.kind(), kind);
                if t.needs.met(&axle) {
                    axle.planned.parts = vec![part];
                    assert_eq!(crate::truck::Truck::with_axle(axle, End::Front).check(), []);
                }
            }
        }
    }

    #[test]
    fn every_kind_is_listed() {
        // No kind is missing: each part that a shelf of everything holds is found in the list.
        let axle = Axle::typical(LayoutKind::ThreeLink, End::Front);
        let all: Vec<_> = PartKind::ALL.iter().map(|kind| Part::typical(*kind, &axle)).collect();
        let labels: std::collections::BTreeSet<_> =
            all.iter().map(|part| part.kind().label()).collect();
        assert_eq!(labels.len(), PartKind::ALL.len());
    }
}
