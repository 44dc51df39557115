//! From what the driver feels to what to measure: each symptom's geometric causes, ranked by how far
//! this truck's own numbers lie out of band, and the causes that geometry cannot see.
//!
//! Which number may cause what is common practice, no source; how far a number is out comes from the
//! findings and from the tire's contacts.

mod table;

use crate::{
    axle::{Answer, Output},
    clearance::Contact,
    few::sort_few,
    finding::{Band, Finding, quantity},
    measure::{System, format},
    source::Source,
    truck::{Axle, PartKind, Side},
    words::inside,
};
use table::{Clue, Sign};

macro_rules! symptoms {
    ($($(#[$doc:meta])* $name:ident = $key:literal, $label:literal;)*) => {
        /// What a driver feels.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum Symptom {
            $($(#[$doc])* $name,)*
        }

        impl Symptom {
            /// All of them, in the order people are asked.
            pub const ALL: &'static [Self] = &[$(Self::$name),*];

            /// Its name in files and commands.
            pub const fn key(self) -> &'static str {
                match self { $(Self::$name => $key,)* }
            }

            /// In a driver's words.
            pub const fn label(self) -> &'static str {
                match self { $(Self::$name => $label,)* }
            }
        }
    };
}

symptoms! {
    /// Needs steering all the time.
    Wanders = "wanders", "Wanders on a straight road";
    /// The front wheels shake from side to side after a bump.
    Shakes = "shakes", "Shakes like a loose caster wheel after a bump";
    /// Pulls to one side under braking.
    Darts = "darts", "Darts to one side when braking";
    /// Moves sideways when one wheel meets a bump.
    Jumps = "jumps", "Jumps sideways when one wheel meets a bump";
    /// The steering wheel stands crooked on a straight road.
    Crooked = "crooked", "Steering wheel stands off center";
    /// The steering does not come back after a turn.
    Stays = "stays", "Steering does not return by itself";
    /// The tire rubs with the wheels turned.
    RubsTurned = "rubs-turned", "Rubs with the wheels turned";
    /// The tire rubs over bumps.
    RubsInBump = "rubs-in-bump", "Rubs over bumps";
    /// Something knocks.
    Clunks = "clunks", "Clunks over bumps or when braking";
    /// The driveline vibrates.
    Vibrates = "vibrates", "Vibrates under load";
}

/// What is known of the axle that the symptom is asked about.
#[derive(Debug, Clone, Copy)]
pub struct Evidence<'a> {
    /// The axle as measured.
    pub axle: &'a Axle,
    /// What it does in the state that is driven.
    pub now: &'a Answer,
    /// The same, judged.
    pub findings: &'a [Finding],
    /// Where its tires come nearest; empty until the tire fit is worked out.
    pub contacts: &'a [Contact],
}

/// What the truck's numbers say of a cause.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// They speak for it.
    For,
    /// They leave it open.
    Open,
    /// They speak against it.
    Against,
}

impl Standing {
    /// The word shown with it.
    #[inline]
    pub const fn word(self) -> &'static str {
        match self {
            Self::For => "likely",
            Self::Open => "to be looked at",
            Self::Against => "not by these numbers",
        }
    }
}

/// What a cause was told by.
#[derive(Debug, Clone, PartialEq)]
pub enum Seen {
    /// An output and its band.
    Number {
        /// Which.
        output: Output,
        /// Best value, in the output's unit.
        value: f64,
        /// One standard deviation.
        sigma: f64,
        /// Where it should lie.
        band: Band,
    },
    /// A tire and what it comes near.
    Near {
        /// To what, by its name.
        name: String,
        /// Whose tire.
        side: Side,
        /// Clearance, mm.
        clearance_mm: f64,
        /// One standard deviation, mm.
        sigma_mm: f64,
    },
    /// Nothing that was measured: it has to be looked at.
    Nothing,
}

/// A cause of a symptom on this truck.
#[derive(Debug, Clone, PartialEq)]
pub struct Cause {
    /// What it is.
    pub what: &'static str,
    /// What it was told by.
    pub seen: Seen,
    /// What the numbers say.
    pub standing: Standing,
    /// What the ranking goes by: how many widths of its *watch* zone the number is out, at most
    /// three, counted by how much such a miss matters for this symptom.
    pub strength: f64,
    /// The measurement or look that confirms it.
    pub confirm: &'static str,
    /// Corrections that this axle can wear.
    pub helps: Vec<PartKind>,
    /// Where the band or the rule comes from.
    pub source: Source,
}

impl Cause {
    /// The numbers it was told by, in the person's units; empty where there are none.
    #[inline]
    pub fn numbers(&self, system: System) -> String {
        match &self.seen {
            Seen::Number { output, value, sigma, band } => {
                let wanted = band.words(&|value| quantity(*output, value, 0.0, system));
                let value = quantity(*output, *value, *sigma, system);
                format!("{} {value}, wanted {wanted}", inside(output.label()))
            }
            Seen::Near { name, side, clearance_mm, sigma_mm } => {
                let (side, gap) =
                    (side.word(), format::length_with(*clearance_mm, *sigma_mm, system));
                format!("{side} tire to {}: {gap}", inside(name))
            }
            Seen::Nothing => String::new(),
        }
    }
}

/// The causes of a symptom, strongest first; those the numbers speak against come last.
#[inline]
pub fn causes(symptom: Symptom, evidence: &Evidence) -> Vec<Cause> {
    let mut found: Vec<Cause> =
        table::clues(symptom).iter().flat_map(|clue| told(clue, evidence)).collect();
    sort_few(&mut found, |a, b| {
        a.standing.cmp(&b.standing).then(b.strength.total_cmp(&a.strength))
    });
    found
}

impl Symptom {
    /// Causes that no tape measure finds.
    #[inline]
    pub const fn unseen(self) -> &'static str {
        table::unseen(self)
    }

    /// Whether the tire fit bears on it, so that its contacts are wanted as evidence.
    #[inline]
    pub fn asks_for_contacts(self) -> bool {
        table::clues(self).iter().any(|clue| matches!(clue.sign, Sign::Near { .. }))
    }

    /// What to be careful of.
    #[inline]
    pub const fn caution(self) -> &'static str {
        table::caution(self)
    }
}

/// A clearance under this counts against a tire, mm.
const NEAR_MM: f64 = 10.0;
/// Most a miss counts, in widths of the watch zone.
const MOST: f64 = 3.0;
/// What only a look can tell counts like a miss of this many widths. Common practice, no source.
const UNSEEN: f64 = 0.25;
/// Middles of five equally likely parts of a normal distribution (its 10, 30, 50, 70 and 90 %
/// points): the mean over them stands for the mean over all.
const PARTS: [f64; 5] = [-1.2816, -0.5244, 0.0, 0.5244, 1.2816];

/// The mean of what follows from a value, over how far off it may be in standard deviations.
fn mean(of: impl Fn(f64) -> f64) -> f64 {
    PARTS.iter().map(|z| of(*z)).sum::<f64>() / 5.0
}

/// What a clue comes to on this truck; nothing where the truck has no such number.
#[inline]
fn told(clue: &Clue, evidence: &Evidence) -> Vec<Cause> {
    let cause = |seen, standing, strength: f64, source| Cause {
        what: clue.what,
        seen,
        standing,
        strength: strength * clue.weight,
        confirm: clue.confirm,
        helps: clue
            .helps
            .iter()
            .copied()
            .filter(|kind| kind.traits().needs.met(evidence.axle))
            .collect(),
        source,
    };
    let number = |outputs: &[Output], miss: &dyn Fn(&Band, f64) -> f64| {
        // Of a left and a right one the worse.
        let all = outputs.iter().filter_map(|output| judged(*output, clue, evidence));
        let all = all.map(|(output, value, sigma, band)| {
            let of = |z: f64| {
                let out = miss(&band, value + z * sigma).max(0.0);
                (out / band.slack.max(f64::MIN_POSITIVE)).min(MOST)
            };
            let strength = mean(of);
            // Two standard deviations either way (JCGM 100:2008, 6.3.3), as findings are judged.
            let surely = of(-2.0).min(of(2.0)) > 0.0;
            let perhaps = of(-2.0).max(of(2.0)).max(of(0.0)) > 0.0;
            let standing = match (surely, perhaps) {
                (true, _) => Standing::For,
                (false, true) => Standing::Open,
                (false, false) => Standing::Against,
            };
            let seen = Seen::Number { output, value, sigma, band };
            cause(seen, standing, strength, band.source)
        });
        all.max_by(|a, b| a.strength.total_cmp(&b.strength)).into_iter().collect()
    };
    match clue.sign {
        Sign::Low(outputs) => number(outputs, &|band, value| band.low - value),
        Sign::High(outputs) => number(outputs, &|band, value| value - band.high),
        Sign::Off(outputs) => number(outputs, &Band::miss),
        Sign::Near { turned, in_bump } => {
            let ride = evidence.now.model.ride;
            let contacts = evidence.contacts.iter().filter(|contact| {
                let [left, right] = ride;
                let rests = match contact.side {
                    Side::Left => left,
                    Side::Right => right,
                };
                (!turned || contact.steer_rad.abs() > TURNED_RAD)
                    && (!in_bump || contact.travel_mm > rests)
            });
            let near = |contact: &Contact| {
                let of = |z: f64| {
                    let gap = contact.clearance_mm + z * contact.sigma_mm;
                    ((NEAR_MM - gap).max(0.0) / NEAR_MM).min(MOST)
                };
                let strength = mean(of);
                let standing = if contact.clearance_mm + 2.0 * contact.sigma_mm < 0.0 {
                    Standing::For
                } else if of(-2.0) > 0.0 {
                    Standing::Open
                } else {
                    Standing::Against
                };
                let seen = Seen::Near {
                    name: contact.obstacle.name(&evidence.axle.surroundings).into_owned(),
                    side: contact.side,
                    clearance_mm: contact.clearance_mm,
                    sigma_mm: contact.sigma_mm,
                };
                cause(seen, standing, strength, Source::CommonPractice)
            };
            contacts.map(near).collect()
        }
        Sign::Look(output) => {
            let there = output.is_none_or(|output| evidence.now.attitude.get(output).is_some());
            let looked = || cause(Seen::Nothing, Standing::Open, UNSEEN, Source::CommonPractice);
            there.then(looked).into_iter().collect()
        }
    }
}

/// More steer than this is turned, rad.
const TURNED_RAD: f64 = 0.1;

/// An output with its uncertainty and the band that judges it: the finding's, or the clue's own.
#[inline]
fn judged(output: Output, clue: &Clue, evidence: &Evidence) -> Option<(Output, f64, f64, Band)> {
    if let Some(found) = evidence.findings.iter().find(|found| found.output == output) {
        // As the finding was judged: around the stock figure by how well the change is known.
        let sigma = match (found.band.source, found.change) {
            (Source::ThisTruckStock, Some((_, sigma))) => sigma,
            _ => found.sigma,
        };
        return Some((output, found.value, sigma, found.band));
    }
    let [low, high, slack] = clue.own?;
    let spread = evidence.now.spread(output)?;
    let band = Band {
        low,
        high,
        slack,
        stop: (None, None),
        source: Source::CommonPractice,
        why: clue.what,
    };
    Some((output, spread.value, spread.sigma, band))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::axle::answer;
    use crate::clearance::{Options, fit};
    use crate::finding::{Severity, findings};
    use crate::truck::{End, State, Truck};

    fn ask(truck: &Truck, state: State, symptom: Symptom, with_fit: bool) -> Vec<Cause> {
        let end = End::Front;
        let stock = answer(truck, end, State::Stock).expect("an answer");
        let now = answer(truck, end, state).expect("an answer");
        let found = findings(end, state, &stock, &now, &[]);
        let options = Options { steers: 5, travels: 4, ..Options::default() };
        let contacts = if with_fit {
            fit(truck, end, state, &options).expect("a fit").contacts
        } else {
            vec![]
        };
        let axle = truck.front.as_ref().expect("a front axle");
        causes(symptom, &Evidence { axle, now: &now, findings: &found, contacts: &contacts })
    }

    #[test]
    fn a_lift_that_took_the_caster_wanders_for_want_of_it() {
        let truck = Truck::example();
        let found = ask(&truck, State::Sitting, Symptom::Wanders, false);
        assert!(found[0].what.contains("caster"), "{:?}", found[0]);
        assert_eq!(found[0].standing, Standing::For);
        assert!(found[0].helps.contains(&PartKind::Turn(crate::truck::Turning::CasterBush)));
        assert!(found[0].numbers(System::Metric).starts_with("caster "), "{:?}", found[0]);
        // As the truck left the factory the same number speaks against it.
        let stock = ask(&truck, State::Stock, Symptom::Wanders, false);
        let caster = stock.iter().find(|cause| cause.what == found[0].what).expect("a cause");
        assert_ne!(caster.standing, Standing::For, "{caster:?}");
    }

    #[test]
    fn a_sloped_bar_jumps_and_a_level_one_does_not() {
        let truck = Truck::example();
        let slope = |truck: &Truck| {
            let found = ask(truck, State::Sitting, Symptom::Jumps, false);
            let bar = found
                .into_iter()
                .find(|cause| matches!(cause.seen, Seen::Number { output: Output::Panhard, .. }));
            bar.expect("a bar")
        };
        let sloped = slope(&truck);
        assert_eq!(sloped.standing, Standing::For);
        let mut level = truck.clone();
        let front = level.front.as_mut().expect("a front axle");
        front.sitting.lift_mm.value = 0.0;
        let level = slope(&level);
        assert!(level.strength < sloped.strength, "{level:?} {sloped:?}");
        assert_ne!(level.standing, Standing::For);
    }

    #[test]
    fn what_rubs_is_named_by_the_contacts() {
        let mut truck = Truck::example();
        // Wheels that stand far inboard meet the frame when they turn.
        let front = truck.front.as_mut().expect("a front axle");
        front.sitting.wheel.offset_mm.value += 60.0;
        let found = ask(&truck, State::Sitting, Symptom::RubsTurned, true);
        assert_eq!(found[0].standing, Standing::For, "{found:?}");
        assert!(matches!(found[0].seen, Seen::Near { clearance_mm, .. } if clearance_mm < 0.0));
        assert!(found[0].numbers(System::Inch).contains("tire to"), "{:?}", found[0]);
        // Without a fit there is nothing to name.
        assert!(ask(&truck, State::Sitting, Symptom::RubsTurned, false).is_empty());
    }

    #[test]
    fn a_cause_is_never_likely_where_its_finding_is_in_band() {
        let truck = Truck::example();
        for state in State::ALL {
            for end in [End::Front, End::Rear] {
                let stock = answer(&truck, end, State::Stock).expect("an answer");
                let now = answer(&truck, end, state).expect("an answer");
                let found = findings(end, state, &stock, &now, &[]);
                let axle = truck.axle(end).expect("an axle");
                let evidence = Evidence { axle, now: &now, findings: &found, contacts: &[] };
                for symptom in Symptom::ALL {
                    let all = causes(*symptom, &evidence);
                    assert!(all.windows(2).all(|w| w[0].standing <= w[1].standing));
                    for cause in all.iter().filter(|cause| cause.standing == Standing::For) {
                        let Seen::Number { output, .. } = cause.seen else { continue };
                        let of = found.iter().find(|f| f.output == output);
                        assert!(
                            of.is_none_or(|f| f.verdict.severity != Severity::InBand),
                            "{symptom:?} {cause:?}"
                        );
                    }
                }
            }
        }
    }

    #[test]
    fn every_symptom_says_what_geometry_cannot_see_and_what_to_be_careful_of() {
        let mut keys: Vec<_> = Symptom::ALL.iter().map(|symptom| symptom.key()).collect();
        keys.dedup();
        assert_eq!(keys.len(), Symptom::ALL.len());
        for symptom in Symptom::ALL {
            assert!(symptom.unseen().ends_with('.'), "{symptom:?}");
            assert!(symptom.caution().ends_with('.'), "{symptom:?}");
            for clue in table::clues(*symptom) {
                assert!(clue.confirm.ends_with('.') && clue.weight > 0.0, "{}", clue.what);
            }
        }
        assert!(Symptom::Shakes.caution().contains("stop driving"));
    }

    #[test]
    fn a_number_known_worse_says_less() {
        // The mean miss over the five parts of a normal distribution grows with its width where the
        // value is in band, and a sure miss stays what it is.
        let band = Band {
            low: 0.0,
            high: f64::INFINITY,
            slack: 1.0,
            stop: (None, None),
            source: Source::CommonPractice,
            why: "",
        };
        let mean = |value: f64, sigma: f64| {
            super::mean(|z| (band.low - (value + z * sigma)).clamp(0.0, MOST))
        };
        assert!((mean(-1.0, 0.0) - 1.0).abs() < 1e-12);
        assert!(mean(0.5, 0.1) < 1e-12 && mean(0.5, 1.0) > 0.1);
    }
}
