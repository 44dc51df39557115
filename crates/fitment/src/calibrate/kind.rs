//! What can be measured under a truck: every kind with its key, its words and what it is read with.

use crate::{measure::Instrument, truck::Side};

macro_rules! named {
    ($(#[$doc:meta])* $name:ident { $($(#[$each:meta])* $variant:ident = $key:literal, $label:literal;)* }) => {
        $(#[$doc])*
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
        pub enum $name { $($(#[$each])* $variant,)* }

        impl $name {
            /// All of them, in reading order.
            pub const ALL: [Self; [$($key),*].len()] = [$(Self::$variant),*];

            /// Name in files.
            pub const fn key(self) -> &'static str {
                match self { $(Self::$variant => $key,)* }
            }

            /// Name for people.
            pub const fn label(self) -> &'static str {
                match self { $(Self::$variant => $label,)* }
            }

            fn of_key(key: &str) -> Option<Self> {
                Self::ALL.into_iter().find(|it| it.key() == key)
            }
        }
    };
}

named! {
    /// A piece with two ends that a tape is laid along and a gauge is laid on.
    Member {
        /// The Panhard bar.
        Panhard = "panhard", "Panhard bar";
        /// Left radius arm, lower link or the link of the leaf's fixed half.
        ArmLeft = "arm_left", "Left arm";
        /// The same on the right.
        ArmRight = "arm_right", "Right arm";
        /// Left or single upper link.
        UpperLeft = "upper_left", "Upper link, left";
        /// Right upper link.
        UpperRight = "upper_right", "Upper link, right";
        /// The drag link.
        DragLink = "drag_link", "Drag link";
        /// The pinion, from the axle's centerline to its flange; only its angle can be read.
        Pinion = "pinion", "Pinion";
    }
}

named! {
    /// A point that a tape or plumb line is held to; bolts by their middle.
    Spot {
        /// The Panhard bar's bolt on the axle.
        PanhardAxle = "panhard_axle", "Panhard bolt on the axle";
        /// The Panhard bar's bolt on the chassis.
        PanhardChassis = "panhard_chassis", "Panhard bolt on the chassis";
        /// The left arm's end on the axle; of a radius arm the middle of its two bushes there.
        ArmAxleLeft = "arm_axle_left", "Left arm's end on the axle";
        /// The same on the right.
        ArmAxleRight = "arm_axle_right", "Right arm's end on the axle";
        /// The left arm's bolt on the chassis.
        ArmChassisLeft = "arm_chassis_left", "Left arm's bolt on the chassis";
        /// The same on the right.
        ArmChassisRight = "arm_chassis_right", "Right arm's bolt on the chassis";
        /// The left or single upper link's bolt on the axle.
        UpperAxleLeft = "upper_axle_left", "Upper link's bolt on the axle, left";
        /// The right upper link's bolt on the axle.
        UpperAxleRight = "upper_axle_right", "Upper link's bolt on the axle, right";
        /// The left or single upper link's bolt on the chassis.
        UpperChassisLeft = "upper_chassis_left", "Upper link's bolt on the chassis, left";
        /// The right upper link's bolt on the chassis.
        UpperChassisRight = "upper_chassis_right", "Upper link's bolt on the chassis, right";
        /// The drag link's joint away from the pitman arm.
        DragEnd = "drag_end", "Drag link's far joint";
        /// The pitman arm's joint.
        PitmanEnd = "pitman_end", "Pitman arm's joint";
        /// The middle of the left hub.
        HubLeft = "hub_left", "Middle of the left hub";
        /// The middle of the right hub.
        HubRight = "hub_right", "Middle of the right hub";
        /// The middle of the pinion flange.
        Flange = "flange", "Middle of the pinion flange";
    }
}

/// A quantity that a person can read under the truck, on its wheels.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize, serde::Deserialize))]
#[cfg_attr(feature = "serde", serde(into = "String", try_from = "String"))]
pub enum Kind {
    /// Eye to eye, mm; a radius arm from the axle's centerline to its eye, in side view.
    Length(Member),
    /// Chassis end above the axle end by a level, mm; a radius arm's eye above the axle's
    /// centerline.
    Rise(Member),
    /// Against level along the piece itself, degrees; chassis end (the pinion's flange) higher is
    /// positive.
    Angle(Member),
    /// Above the floor, mm.
    Height(Spot),
    /// Ahead of the axle's centerline by plumb lines on the floor, mm.
    Ahead(Spot),
    /// Left of the frame's centerline, halved from the rails, mm.
    Left(Spot),
    /// A tape straight from one point to another, mm.
    Tape(Spot, Spot),
    /// Hub's middle straight up to the lip of the wheel arch, mm.
    Arch(Side),
    /// Frame rail straight out to a string along the wheel or to the same place on either wheel, mm.
    Rail(Side),
    /// Frame rail straight out to a string along the wheel, half a meter ahead of the hub, less
    /// the same as far behind it, wheels straight, mm.
    String(Side),
    /// Front hub to rear hub along a side, mm.
    Wheelbase(Side),
    /// Caster off a machined face of the knuckle or by a finished sweep, degrees.
    Caster(Side),
    /// Kingpin inclination off a machined face, degrees.
    Inclination(Side),
    /// Camber, wheel straight ahead, degrees; top outward is positive.
    Camber(Side),
    /// Camber with that wheel turned, degrees.
    Turned {
        /// Whose wheel.
        side: Side,
        /// How far that wheel itself is turned from straight ahead, degrees, left positive.
        steer_deg: f64,
    },
    /// Distance between both wheels' scribed lines behind the axle less that ahead of it, at hub
    /// height or so far above the floor, mm; toe-in is positive.
    Toe {
        /// Height above the floor at which both were read, mm; left out, hub height.
        height_mm: Option<f64>,
    },
    /// Frame rail against level fore and aft, degrees; nose down is positive.
    Frame,
    /// The floor under the truck fore and aft, degrees; rising forward is positive.
    FloorAlong,
    /// The floor under the truck across, degrees; rising to the left is positive.
    FloorAcross,
}

/// Two points that a tape is commonly stretched between.
const TAPES: [(Spot, Spot); 6] = [
    (Spot::PanhardChassis, Spot::HubLeft),
    (Spot::PanhardChassis, Spot::HubRight),
    (Spot::ArmChassisLeft, Spot::HubLeft),
    (Spot::ArmChassisRight, Spot::HubRight),
    (Spot::PanhardAxle, Spot::ArmChassisLeft),
    (Spot::UpperChassisLeft, Spot::ArmChassisLeft),
];

/// Steer of the usual caster sweep, degrees.
pub const SWEEP_DEG: f64 = 20.0;
/// How far apart along a string both its distances from the rail are taken, mm.
pub const STRING_MM: f64 = 1000.0;
/// Second height of a toe reading above the floor, mm: ten inches, well under the hub.
pub const TOE_LOW_MM: f64 = 254.0;

impl Kind {
    /// Everything worth offering, in the order of a plain walk round the truck: what is read most
    /// easily and matters most first.
    pub fn walk() -> Vec<Self> {
        use Side::{Left, Right};
        let mut all = Vec::new();
        for member in Member::ALL {
            if member != Member::Pinion {
                all.extend([Self::Length(member), Self::Rise(member)]);
            }
            all.push(Self::Angle(member));
        }
        all.extend([Self::Frame, Self::FloorAlong, Self::FloorAcross]);
        all.extend([Self::Arch(Left), Self::Arch(Right)]);
        all.extend([Self::Rail(Left), Self::Rail(Right)]);
        all.extend([Self::Wheelbase(Left), Self::Wheelbase(Right)]);
        all.extend([Self::String(Left), Self::String(Right)]);
        for side in Side::BOTH {
            all.extend([Self::Caster(side), Self::Inclination(side), Self::Camber(side)]);
            for steer_deg in [SWEEP_DEG, -SWEEP_DEG] {
                all.push(Self::Turned { side, steer_deg });
            }
        }
        all.extend([None, Some(TOE_LOW_MM)].map(|height_mm| Self::Toe { height_mm }));
        for spot in Spot::ALL {
            all.extend([Self::Height(spot), Self::Ahead(spot), Self::Left(spot)]);
        }
        all.extend(TAPES.map(|(from, to)| Self::Tape(from, to)));
        all
    }

    /// Name in files: what is read and of what, such as `length panhard`, `turned left -20` or
    /// `tape panhard_axle hub_left`.
    pub fn key(self) -> String {
        match self {
            Self::Length(member) => format!("length {}", member.key()),
            Self::Rise(member) => format!("rise {}", member.key()),
            Self::Angle(member) => format!("angle {}", member.key()),
            Self::Height(spot) => format!("height {}", spot.key()),
            Self::Ahead(spot) => format!("ahead {}", spot.key()),
            Self::Left(spot) => format!("left {}", spot.key()),
            Self::Tape(from, to) => format!("tape {} {}", from.key(), to.key()),
            Self::Arch(of) => format!("arch {}", of.word()),
            Self::Rail(of) => format!("rail {}", of.word()),
            Self::String(of) => format!("string {}", of.word()),
            Self::Wheelbase(of) => format!("wheelbase {}", of.word()),
            Self::Caster(of) => format!("caster {}", of.word()),
            Self::Inclination(of) => format!("inclination {}", of.word()),
            Self::Camber(of) => format!("camber {}", of.word()),
            Self::Turned { side: of, steer_deg } => format!("turned {} {steer_deg}", of.word()),
            Self::Toe { height_mm: None } => "toe".to_owned(),
            Self::Toe { height_mm: Some(height) } => format!("toe {height}"),
            Self::Frame => "frame".to_owned(),
            Self::FloorAlong => "floor_along".to_owned(),
            Self::FloorAcross => "floor_across".to_owned(),
        }
    }

    /// The kind with this name in files; `None` where there is none.
    pub fn of_key(key: &str) -> Option<Self> {
        let mut words = key.split(' ');
        let (what, of, more) = (words.next()?, words.next(), words.next());
        if words.next().is_some() {
            return None;
        }
        let member = || Member::of_key(of?);
        let spot = || Spot::of_key(of?);
        let number = |word: &str| word.parse().ok().filter(|it: &f64| it.is_finite());
        let side = || match of? {
            "left" => Some(Side::Left),
            "right" => Some(Side::Right),
            _ => None,
        };
        Some(match (what, of, more) {
            ("length", _, None) => Self::Length(member()?),
            ("rise", _, None) => Self::Rise(member()?),
            ("angle", _, None) => Self::Angle(member()?),
            ("height", _, None) => Self::Height(spot()?),
            ("ahead", _, None) => Self::Ahead(spot()?),
            ("left", _, None) => Self::Left(spot()?),
            ("tape", _, Some(to)) => Self::Tape(spot()?, Spot::of_key(to)?),
            ("arch", _, None) => Self::Arch(side()?),
            ("rail", _, None) => Self::Rail(side()?),
            ("string", _, None) => Self::String(side()?),
            ("wheelbase", _, None) => Self::Wheelbase(side()?),
            ("caster", _, None) => Self::Caster(side()?),
            ("inclination", _, None) => Self::Inclination(side()?),
            ("camber", _, None) => Self::Camber(side()?),
            ("turned", _, Some(by)) => Self::Turned { side: side()?, steer_deg: number(by)? },
            ("toe", None, _) => Self::Toe { height_mm: None },
            ("toe", Some(height), None) => Self::Toe { height_mm: Some(number(height)?) },
            ("frame", None, _) => Self::Frame,
            ("floor_along", None, _) => Self::FloorAlong,
            ("floor_across", None, _) => Self::FloorAcross,
            _ => return None,
        })
    }

    /// Name for people.
    pub fn label(self) -> String {
        match self {
            Self::Length(member) => format!("{}, eye to eye", member.label()),
            Self::Rise(member) => format!("{}, rise to its chassis end", member.label()),
            Self::Angle(member) => format!("{}, angle", member.label()),
            Self::Height(spot) => format!("{}, above the floor", spot.label()),
            Self::Ahead(spot) => format!("{}, ahead of the axle", spot.label()),
            Self::Left(spot) => format!("{}, left of center", spot.label()),
            Self::Tape(from, to) => {
                format!("{} to {}", from.label(), crate::words::inside(to.label()))
            }
            Self::Arch(of) => format!("Hub to arch, {}", of.word()),
            Self::Rail(of) => format!("Frame rail to wheel, {}", of.word()),
            Self::String(of) => format!("String along the wheel, {}", of.word()),
            Self::Wheelbase(of) => format!("Wheelbase, {}", of.word()),
            Self::Caster(of) => format!("Caster, {}", of.word()),
            Self::Inclination(of) => format!("Kingpin inclination, {}", of.word()),
            Self::Camber(of) => format!("Camber, {}", of.word()),
            Self::Turned { side: of, steer_deg } => {
                let way = if steer_deg < 0.0 { "right" } else { "left" };
                format!("Camber, {}, wheel turned {:.0}° {way}", of.word(), steer_deg.abs())
            }
            Self::Toe { height_mm: None } => "Toe by tape".to_owned(),
            Self::Toe { height_mm: Some(height) } => {
                let inches = height / crate::measure::units::MM_PER_INCH;
                format!("Toe by tape, {height:.0} mm ({inches:.0} in) above the floor")
            }
            Self::Frame => "Frame rail, nose down".to_owned(),
            Self::FloorAlong => "Floor, rising forward".to_owned(),
            Self::FloorAcross => "Floor, rising to the left".to_owned(),
        }
    }

    /// Where to hold what, in a sentence.
    pub const fn how(self) -> &'static str {
        match self {
            Self::Length(_) => "Tape from the middle of one bolt to the middle of the other.",
            Self::Rise(_) => {
                "Height of both bolts' middles above one level line; take the difference, chassis end higher is positive."
            }
            Self::Angle(Member::Pinion) => {
                "Gauge upright on the machined flange face, or along the pinion; the flange higher is positive."
            }
            Self::Angle(_) => {
                "Gauge along the piece where it is straight; the chassis end higher is positive."
            }
            Self::Height(_) => "Tape straight down from the point to the floor.",
            Self::Ahead(_) => {
                "Plumb line from the point and from the hub's middle to the floor; the point ahead of the axle is positive."
            }
            Self::Left(_) => {
                "Plumb line to the floor, measured from the line halfway between the rails; to the driver's left is positive."
            }
            Self::Tape(..) => "Tape pulled straight between the two points.",
            Self::Arch(_) => "Tape from the hub's middle straight up to the arch's lip.",
            Self::Rail(_) => {
                "Straight out from the frame rail to the same place on either wheel, or to a string along it."
            }
            Self::String(_) => {
                "String pulled along the wheel at hub height, wheels straight. Straight out to it from the frame rail, half a meter ahead of the hub and half a meter behind; ahead less behind."
            }
            Self::Wheelbase(_) => {
                "Plumb lines from the front and the rear hub of that side, wheels straight."
            }
            Self::Caster(_) => {
                "Gauge on a machined face square to the steering axis, seen from the side."
            }
            Self::Inclination(_) => {
                "Gauge on a machined face square to the steering axis, seen from the front."
            }
            Self::Camber(_) => {
                "Gauge upright across the wheel, straight ahead; top outward is positive."
            }
            Self::Turned { .. } => {
                "Gauge upright across the wheel, turned by the angle given; top outward is positive. On plates, or on a taped floor: one line along the wheel straight ahead, and for 20° another from its rear end, 364 aside for every 1000 along; turn the wheel until it stands along that one."
            }
            Self::Toe { .. } => {
                "Scribe both treads, roll half a turn, and tape both in front and behind; behind less in front."
            }
            Self::Frame => "Gauge along the bottom of the frame rail; nose down is positive.",
            Self::FloorAlong => {
                "Gauge on a straightedge from the front to the rear wheel's footprint; rising forward is positive."
            }
            Self::FloorAcross => {
                "Gauge on a straightedge from wheel to wheel; rising to the left is positive."
            }
        }
    }

    /// What it is usually read with.
    pub const fn instrument(self) -> Instrument {
        match self {
            Self::Length(_)
            | Self::Rise(_)
            | Self::Height(_)
            | Self::Tape(..)
            | Self::Arch(_)
            | Self::Rail(_)
            | Self::String(_)
            | Self::Toe { .. } => Instrument::Tape,
            Self::Ahead(_) | Self::Left(_) | Self::Wheelbase(_) => Instrument::PlumbLine,
            Self::Angle(_) | Self::Frame | Self::FloorAlong | Self::FloorAcross => {
                Instrument::PhoneLevel
            }
            Self::Caster(_) | Self::Inclination(_) | Self::Camber(_) | Self::Turned { .. } => {
                Instrument::AngleGauge
            }
        }
    }

    /// What to say where no kind has this name.
    pub fn unknown(key: &str) -> String {
        format!(
            "nothing is measured that is called `{key}`; such as `length panhard` or `arch left`"
        )
    }

    /// True for degrees, false for millimeters.
    pub const fn is_angle(self) -> bool {
        matches!(self.instrument(), Instrument::PhoneLevel | Instrument::AngleGauge)
    }

    /// Its unit's symbol.
    pub const fn unit(self) -> &'static str {
        if self.is_angle() { "°" } else { "mm" }
    }

    /// The same on the other side of the truck; `None` where there is no other side.
    pub fn mirrored(self) -> Option<Self> {
        let member = |m| {
            Some(match m {
                Member::ArmLeft => Member::ArmRight,
                Member::ArmRight => Member::ArmLeft,
                Member::UpperLeft => Member::UpperRight,
                Member::UpperRight => Member::UpperLeft,
                Member::Panhard | Member::DragLink | Member::Pinion => return None,
            })
        };
        let other = |s: Side| if s == Side::Left { Side::Right } else { Side::Left };
        Some(match self {
            Self::Length(m) => Self::Length(member(m)?),
            Self::Rise(m) => Self::Rise(member(m)?),
            Self::Angle(m) => Self::Angle(member(m)?),
            Self::Height(s) => Self::Height(s.mirrored()?),
            Self::Ahead(s) => Self::Ahead(s.mirrored()?),
            Self::Left(s) => Self::Left(s.mirrored()?),
            Self::Tape(a, b) => match (a.mirrored(), b.mirrored()) {
                (None, None) => return None,
                (c, d) => Self::Tape(c.unwrap_or(a), d.unwrap_or(b)),
            },
            Self::Arch(s) => Self::Arch(other(s)),
            Self::Rail(s) => Self::Rail(other(s)),
            Self::String(s) => Self::String(other(s)),
            Self::Wheelbase(s) => Self::Wheelbase(other(s)),
            Self::Caster(s) => Self::Caster(other(s)),
            Self::Inclination(s) => Self::Inclination(other(s)),
            Self::Camber(s) => Self::Camber(other(s)),
            Self::Turned { side, steer_deg } => {
                Self::Turned { side: other(side), steer_deg: -steer_deg }
            }
            Self::Toe { .. } | Self::Frame | Self::FloorAlong | Self::FloorAcross => return None,
        })
    }
}

impl From<Kind> for String {
    fn from(kind: Kind) -> Self {
        kind.key()
    }
}

impl TryFrom<String> for Kind {
    type Error = String;

    /// # Errors
    /// In words, when there is no such kind.
    fn try_from(key: String) -> Result<Self, String> {
        Self::of_key(&key).ok_or_else(|| Self::unknown(&key))
    }
}

#[cfg(feature = "schema")]
impl schemars::JsonSchema for Kind {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Kind".into()
    }

    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        let examples: Vec<String> = Self::walk().into_iter().map(Self::key).collect();
        schemars::json_schema!({
            "type": "string",
            "description": "What was read and of what.",
            "examples": examples,
        })
    }
}

impl Spot {
    /// The same point on the other side; `None` where there is only one.
    pub const fn mirrored(self) -> Option<Self> {
        Some(match self {
            Self::ArmAxleLeft => Self::ArmAxleRight,
            Self::ArmAxleRight => Self::ArmAxleLeft,
            Self::ArmChassisLeft => Self::ArmChassisRight,
            Self::ArmChassisRight => Self::ArmChassisLeft,
            Self::UpperAxleLeft => Self::UpperAxleRight,
            Self::UpperAxleRight => Self::UpperAxleLeft,
            Self::UpperChassisLeft => Self::UpperChassisRight,
            Self::UpperChassisRight => Self::UpperChassisLeft,
            Self::HubLeft => Self::HubRight,
            Self::HubRight => Self::HubLeft,
            Self::PanhardAxle
            | Self::PanhardChassis
            | Self::DragEnd
            | Self::PitmanEnd
            | Self::Flange => return None,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn mirroring_twice_is_where_it_began() {
        for kind in Kind::walk() {
            if let Some(there) = kind.mirrored() {
                assert_ne!(there, kind);
                assert_eq!(there.mirrored(), Some(kind));
            }
        }
    }

    #[test]
    fn every_kind_is_found_by_its_name_in_files() {
        let more = [
            Kind::Tape(Spot::HubLeft, Spot::DragEnd),
            Kind::Turned { side: Side::Right, steer_deg: -12.5 },
            Kind::Toe { height_mm: Some(210.0) },
        ];
        for kind in Kind::walk().into_iter().chain(more) {
            assert_eq!(Kind::of_key(&kind.key()), Some(kind));
        }
        for odd in
            ["", "length", "length left", "turned left NaN", "toe 1 2", "frame left", "arch left x"]
        {
            assert_eq!(Kind::of_key(odd), None, "{odd}");
        }
    }

    #[test]
    fn every_kind_has_words_of_its_own() {
        let mut labels: Vec<String> = Kind::walk().into_iter().map(Kind::label).collect();
        let count = labels.len();
        labels.sort();
        labels.dedup();
        assert_eq!(labels.len(), count);
        for kind in Kind::walk() {
            assert!(kind.how().ends_with('.') && kind.instrument().typical_sigma() > 0.0);
        }
    }
}
