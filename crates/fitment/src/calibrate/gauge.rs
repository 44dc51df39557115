//! A phone as an angle gauge: from what its sensors say to the angle of an edge against level, held
//! still, averaged, and turned end for end so that its own error cancels.
//!
//! Device axes and angles are those of the W3C's *Device Orientation and Motion*: x to the screen's
//! right, y to its top, z out of it; alpha, beta and gamma turn about Z, X′ and Y″ in that order. Of
//! the matrix its worked example gives, the last row is the world's up seen by the device,
//! (−cos β sin γ, sin β, cos β cos γ), and does not hang on alpha.

use super::kind::{Kind, Member};
use crate::truck::Side;

/// What of the phone is laid along what is measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Edge {
    /// Its long edge; how far its top points above level is read.
    Long,
    /// Its back; how far the screen looks above level is read.
    Back,
}

/// How to hold a phone to read a kind of measurement.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hold {
    /// What is laid along it.
    pub edge: Edge,
    /// 1 where the edge's rise is the reading, -1 where it counts the other way.
    pub sign: f64,
    /// In words.
    pub words: &'static str,
    /// The same for the second reading.
    pub turned: &'static str,
}

const ALONG: &str = "The same edge in the same place, the top now the other way.";
const UPSIDE: &str = "The back in the same place, the top now down.";

impl Hold {
    /// How a kind is read; `None` for what a phone cannot read.
    pub const fn of(kind: Kind) -> Option<Self> {
        let (edge, sign, words) = match kind {
            Kind::Angle(Member::Pinion) => (
                Edge::Long,
                1.0,
                "Long edge along the pinion's housing, the top of the phone toward the flange.",
            ),
            Kind::Angle(_) => (
                Edge::Long,
                1.0,
                "Long edge along the straight of the piece, the top of the phone toward its chassis end.",
            ),
            Kind::Caster(_) => (
                Edge::Long,
                1.0,
                "Long edge fore and aft on the machined face, the top of the phone forward.",
            ),
            Kind::Inclination(Side::Left) => (
                Edge::Long,
                1.0,
                "Long edge across on the machined face, the top of the phone outward, to the left.",
            ),
            Kind::Inclination(Side::Right) => (
                Edge::Long,
                1.0,
                "Long edge across on the machined face, the top of the phone outward, to the right.",
            ),
            Kind::Camber(_) | Kind::Turned { .. } => (
                Edge::Back,
                -1.0,
                "Back flat on a straightedge across the rim, the top of the phone up, the screen outward.",
            ),
            Kind::Frame => (
                Edge::Long,
                -1.0,
                "Long edge along the bottom of the frame rail, the top of the phone forward.",
            ),
            Kind::FloorAlong => (
                Edge::Long,
                1.0,
                "Long edge on a straightedge fore and aft, the top of the phone forward.",
            ),
            Kind::FloorAcross => (
                Edge::Long,
                1.0,
                "Long edge on a straightedge across, the top of the phone to the left.",
            ),
            _ => return None,
        };
        let turned = match edge {
            Edge::Long => ALONG,
            Edge::Back => UPSIDE,
        };
        Some(Self { edge, sign, words, turned })
    }

    /// The slope of a shaft or a flange, to be typed where it is wanted.
    pub const SHAFT: Self = Self {
        edge: Edge::Long,
        sign: 1.0,
        words: "Long edge along the shaft, or along the pinion or the case's output; the number is positive where the top of the phone is higher.",
        turned: ALONG,
    };

    /// How far the edge points above level, degrees, from beta and gamma in degrees; not a number
    /// when they are none.
    pub fn rise(self, beta: f64, gamma: f64) -> f64 {
        let [_, y, z] = up(beta, gamma);
        match self.edge {
            Edge::Long => y.clamp(-1.0, 1.0).asin().to_degrees(),
            Edge::Back => z.clamp(-1.0, 1.0).asin().to_degrees(),
        }
    }

    /// The true rise and the phone's own error out of a reading and one turned end for end.
    ///
    /// A long edge turned end for end falls as much as it rose, while the phone's error stays; a back
    /// turned about its own square looks the same way, while the error turns with the phone.
    pub const fn flip(self, first: f64, second: f64) -> (f64, f64) {
        let (half, middle) = ((first - second) / 2.0, f64::midpoint(first, second));
        match self.edge {
            Edge::Long => (half, middle),
            Edge::Back => (middle, half),
        }
    }
}

/// The world's up in the device's axes, from beta and gamma in degrees.
pub fn up(beta: f64, gamma: f64) -> [f64; 3] {
    let ((sb, cb), (sg, cg)) = (beta.to_radians().sin_cos(), gamma.to_radians().sin_cos());
    [-cb * sg, sb, cb * cg]
}

/// How long a phone must be held still, ms.
const STILL_MS: f64 = 1500.0;
/// How long is waited for a sensor that never comes to rest before its mean is taken, ms.
const PATIENCE_MS: f64 = 8000.0;
/// Scatter of a phone at rest, degrees; above it the phone moves or its sensor is noisy.
const STILL_DEG: f64 = 0.12;
/// A phone that scatters more than this moves, whatever its sensor.
const MOVING_DEG: f64 = 1.0;
/// Fewest samples of a mean.
const FEWEST: usize = 8;
/// Most samples that are kept.
const MOST: usize = 1024;

/// A reading under way: first as it lies, then turned end for end, unless the phone's own error is
/// known.
#[derive(Debug, Clone, PartialEq)]
pub struct Gauge {
    hold: Hold,
    /// The phone's own error along this edge, degrees.
    own: Option<f64>,
    first: Option<f64>,
    /// True once the phone was moved since the last capture.
    moved: bool,
    since: Option<f64>,
    samples: Vec<(f64, f64)>,
}

/// What a gauge says after a sample.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Told {
    /// The sensor gave no number.
    Nothing,
    /// It moves, or has not been still for long; the angle now, in the reading's sign.
    Live(f64),
    /// The first of two is taken: turn the phone end for end.
    Turn(f64),
    /// Done.
    Read(Reading),
}

/// What came of holding a phone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Degrees, in the measurement's own sign.
    pub value: f64,
    /// Scatter of the samples, degrees.
    pub scatter: f64,
    /// The phone's own error along this edge, degrees; it need not be turned again.
    pub own: f64,
}

impl Gauge {
    /// Starts a reading; with the phone's own error along this edge where it is known.
    pub const fn new(hold: Hold, own: Option<f64>) -> Self {
        Self { hold, own, first: None, moved: true, since: None, samples: Vec::new() }
    }

    /// True while the second of two readings is waited for.
    pub const fn turned(&self) -> bool {
        self.first.is_some()
    }

    /// Takes a sample: when, ms, and beta and gamma, degrees.
    pub fn sample(&mut self, at_ms: f64, beta: f64, gamma: f64) -> Told {
        let rise = self.hold.rise(beta, gamma);
        if !(rise.is_finite() && at_ms.is_finite()) {
            return Told::Nothing;
        }
        let since = *self.since.get_or_insert(at_ms);
        self.samples.push((at_ms, rise));
        if self.samples.len() > MOST {
            self.samples.remove(0);
        }
        let live = Told::Live((rise - self.own.unwrap_or(0.0)) * self.hold.sign);
        let Some((mean, scatter)) = self.over(at_ms, STILL_MS) else { return live };
        if scatter > MOVING_DEG {
            self.moved = true;
            self.since = Some(at_ms);
            return live;
        }
        if !self.moved {
            return live;
        }
        if scatter <= STILL_DEG {
            return self.take(mean, scatter);
        }
        // Held as still as it gets: many samples of a noisy sensor have a good mean.
        match self.over(at_ms, PATIENCE_MS) {
            Some((mean, scatter)) if at_ms - since >= PATIENCE_MS && scatter <= MOVING_DEG => {
                self.take(mean, scatter)
            }
            _ => live,
        }
    }

    /// Mean and scatter of the last so many ms; `None` where there is not that much yet.
    fn over(&self, now: f64, ms: f64) -> Option<(f64, f64)> {
        let oldest = self.samples.first()?.0;
        let within = || self.samples.iter().filter(|(at, _)| now - at <= ms).map(|(_, rise)| *rise);
        let n = within().count();
        if now - oldest < ms || n < FEWEST {
            return None;
        }
        let mean = within().sum::<f64>() / n as f64;
        let square = within().map(|rise| (rise - mean).powi(2)).sum::<f64>();
        Some((mean, (square / (n - 1) as f64).sqrt()))
    }

    fn take(&mut self, mean: f64, scatter: f64) -> Told {
        self.samples.clear();
        self.since = None;
        self.moved = false;
        let (rise, own) = match (self.own, self.first) {
            (Some(own), _) => (mean - own, own),
            (None, Some(first)) => self.hold.flip(first, mean),
            (None, None) => {
                self.first = Some(mean);
                return Told::Turn(mean * self.hold.sign);
            }
        };
        self.first = None;
        Told::Read(Reading { value: rise * self.hold.sign, scatter, own })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ALONG_BAR: Kind = Kind::Angle(Member::Panhard);

    fn hold(kind: Kind) -> Hold {
        Hold::of(kind).unwrap()
    }

    /// The rotation matrix of the specification's worked example, row by row, as printed there.
    fn matrix(alpha: f64, beta: f64, gamma: f64) -> [[f64; 3]; 3] {
        let [(sa, ca), (sb, cb), (sg, cg)] =
            [alpha, beta, gamma].map(|a: f64| a.to_radians().sin_cos());
        [
            [ca * cg - sa * sb * sg, -cb * sa, cg * sa * sb + ca * sg],
            [cg * sa + ca * sb * sg, ca * cb, sa * sg - ca * cg * sb],
            [-cb * sg, sb, cb * cg],
        ]
    }

    #[test]
    fn up_is_what_three_turns_make_of_it() {
        // Z, then X′, then Y″, multiplied out apart.
        let rot = |axis: usize, deg: f64| {
            let (s, c) = deg.to_radians().sin_cos();
            let mut m = [[0.0; 3]; 3];
            let (j, k) = ((axis + 1) % 3, (axis + 2) % 3);
            (m[axis][axis], m[j][j], m[k][k], m[j][k], m[k][j]) = (1.0, c, c, -s, s);
            m
        };
        let times = |a: [[f64; 3]; 3], b: [[f64; 3]; 3]| -> [[f64; 3]; 3] {
            std::array::from_fn(|i| {
                std::array::from_fn(|j| (0..3).map(|k| a[i][k] * b[k][j]).sum())
            })
        };
        for (alpha, beta, gamma) in
            [(0.0, 0.0, 0.0), (30.0, 20.0, -40.0), (250.0, -130.0, 60.0), (77.0, 90.0, 5.0)]
        {
            let product = times(times(rot(2, alpha), rot(0, beta)), rot(1, gamma));
            for (row, want) in product.iter().zip(matrix(alpha, beta, gamma)) {
                for (a, b) in row.iter().zip(want) {
                    assert!((a - b).abs() < 1e-12);
                }
            }
            for (a, b) in up(beta, gamma).iter().zip(product[2]) {
                assert!((a - b).abs() < 1e-12);
            }
        }
    }

    #[test]
    fn edges_read_as_the_specification_describes_them() {
        // Flat on a table, screen up; upright, the top up; upright, then leaning back.
        let (bar, wheel) = (hold(ALONG_BAR), hold(Kind::Camber(Side::Left)));
        assert!(bar.rise(0.0, 0.0).abs() < 1e-12);
        assert!((bar.rise(90.0, 0.0) - 90.0).abs() < 1e-9);
        assert!((bar.rise(12.5, 0.0) - 12.5).abs() < 1e-9);
        // Rolled about its long edge it reads the same rise.
        assert!((bar.rise(12.5, 70.0) - 12.5).abs() < 1e-9);
        // Upright, screen outward; the wheel's top 2° outward turns the screen 2° down.
        assert!(wheel.rise(90.0, 0.0).abs() < 1e-9);
        assert!((wheel.rise(92.0, 0.0) * wheel.sign - 2.0).abs() < 1e-9);
    }

    /// Feeds a rise along the long edge for so many ms at 60 samples a second.
    fn feed(gauge: &mut Gauge, from: f64, ms: f64, rise: impl Fn(usize) -> f64) -> (f64, Told) {
        let mut told = Told::Nothing;
        let mut at = from;
        for i in 0.. {
            at = from + i as f64 * 1000.0 / 60.0;
            if at > from + ms {
                break;
            }
            told = gauge.sample(at, rise(i), 0.0);
            if matches!(told, Told::Turn(_) | Told::Read(_)) {
                break;
            }
        }
        (at, told)
    }

    #[test]
    fn turned_end_for_end_the_phones_own_error_cancels() {
        // A bar at 9.3°, a phone that is 1.4° off.
        let mut gauge = Gauge::new(hold(ALONG_BAR), None);
        let (at, told) = feed(&mut gauge, 0.0, 4000.0, |_| 9.3 + 1.4);
        assert!(matches!(told, Told::Turn(first) if (first - 10.7).abs() < 1e-9), "{told:?}");
        // Not moved yet: the same place is not the second reading.
        let (at, told) = feed(&mut gauge, at, 4000.0, |_| 9.3 + 1.4);
        assert!(matches!(told, Told::Live(_)));
        let (at, _) = feed(&mut gauge, at, 900.0, |i| 10.0 * (i as f64 * 0.4).sin());
        let (at, told) = feed(&mut gauge, at, 6000.0, |_| -9.3 + 1.4);
        let Told::Read(reading) = told else { panic!("{told:?}") };
        assert!((reading.value - 9.3).abs() < 1e-9 && (reading.own - 1.4).abs() < 1e-9);
        // Its error known, one reading does.
        let mut again = Gauge::new(hold(ALONG_BAR), Some(reading.own));
        let (_, told) = feed(&mut again, at, 4000.0, |_| 5.0 + 1.4);
        assert!(matches!(told, Told::Read(r) if (r.value - 5.0).abs() < 1e-9), "{told:?}");
    }

    #[test]
    fn a_back_turned_upside_down_looks_the_same_way() {
        let back = hold(Kind::Camber(Side::Right));
        // True lean of the face -1.5°, the sensor's own 0.4° turning with the phone.
        let (rise, own) = back.flip(-1.5 + 0.4, -1.5 - 0.4);
        assert!((rise * back.sign - 1.5).abs() < 1e-12 && (own - 0.4).abs() < 1e-12);
    }

    #[test]
    fn a_moving_phone_is_never_read_and_a_noisy_one_is_averaged() {
        let mut gauge = Gauge::new(hold(ALONG_BAR), Some(0.0));
        let (_, told) = feed(&mut gauge, 0.0, 20_000.0, |i| i as f64 * 0.2);
        assert!(matches!(told, Told::Live(_)), "{told:?}");
        // Noise of 0.4° about 7°: not still, but the mean of eight seconds does.
        let noise = |i: usize| 7.0 + 0.56 * (i as f64 * 2.399).sin();
        let mut gauge = Gauge::new(hold(ALONG_BAR), Some(0.0));
        let (at, told) = feed(&mut gauge, 0.0, 20_000.0, noise);
        let Told::Read(reading) = told else { panic!("{told:?}") };
        assert!((reading.value - 7.0).abs() < 0.05 && (0.3..0.5).contains(&reading.scatter));
        assert!(at >= PATIENCE_MS, "{at}");
        assert_eq!(gauge.sample(f64::NAN, 1.0, 1.0), Told::Nothing);
        assert_eq!(gauge.sample(at, f64::NAN, 0.0), Told::Nothing);
    }

    #[test]
    fn every_angle_can_be_read_with_a_phone() {
        for kind in Kind::walk() {
            assert_eq!(Hold::of(kind).is_some(), kind.is_angle(), "{kind:?}");
        }
    }
}
