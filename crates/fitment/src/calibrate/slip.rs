//! The usual slips of hand and pen, and which of them would explain a reading that does not agree.

use super::kind::Kind;

/// How a wrong reading may have come about.
#[derive(Debug, Clone, PartialEq)]
pub struct Slip {
    /// Which slip.
    pub how: How,
    /// What the reading would then have been, mm or degrees.
    pub meant: f64,
    /// How far that still is from what the rest foretells, in standard deviations.
    pub off: f64,
}

/// The usual slips.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum How {
    /// The sign: which end is higher, which side it is toward.
    Sign,
    /// Inches typed as millimeters.
    InchAsMm,
    /// Millimeters typed as inches.
    MmAsInch,
    /// Centimeters typed as millimeters.
    CmAsMm,
    /// Left and right changed about.
    Sides,
    /// Two neighboring digits changed about.
    Digits,
    /// Eighths of an inch typed as tenths.
    EighthsAsTenths,
    /// The tape read an inch off, its hook or a burnt inch forgotten.
    AnInch,
    /// A hundred millimeters off.
    AHundred,
    /// Ten millimeters off.
    ATen,
    /// Read from upright instead of from level.
    FromUpright,
}

impl How {
    /// In words, after "it fits if".
    pub const fn words(self) -> &'static str {
        match self {
            Self::Sign => "the sign is turned round",
            Self::InchAsMm => "inches were entered as millimeters",
            Self::MmAsInch => "millimeters were entered as inches",
            Self::CmAsMm => "centimeters were entered as millimeters",
            Self::Sides => "left and right were changed about",
            Self::Digits => "two digits were changed about",
            Self::EighthsAsTenths => "eighths of an inch were entered as tenths",
            Self::AnInch => "the tape was read an inch off",
            Self::AHundred => "the tape was read 100 mm off",
            Self::ATen => "the tape was read 10 mm off",
            Self::FromUpright => "the angle was read from upright",
        }
    }

    /// How rare it is, in the squares of standard deviations it must win by over a commoner one.
    const fn rarity(self) -> f64 {
        match self {
            Self::Sign | Self::InchAsMm | Self::MmAsInch => 0.0,
            Self::Sides | Self::CmAsMm | Self::EighthsAsTenths | Self::FromUpright => 1.0,
            Self::AnInch | Self::Digits | Self::AHundred => 2.0,
            Self::ATen => 3.0,
        }
    }
}

/// A slip must bring the reading this near to what the rest foretells, in standard deviations.
const NEAR: f64 = 2.5;
/// Millimeters in an inch, by definition (NIST SP 811, B.8).
const INCH: f64 = 25.4;

/// The slip that explains a reading best; `None` where none does.
///
/// `foretold` is what the rest says and how far a good reading may be off it; `twin` what was read for
/// the same thing on the other side.
pub(super) fn explain(
    kind: Kind,
    read: f64,
    foretold: (f64, f64),
    twin: Option<f64>,
) -> Option<Slip> {
    let (want, spread) = foretold;
    if !(spread > 0.0 && spread.is_finite()) {
        return None;
    }
    let off = |meant: f64| (meant - want) / spread;
    let mut best: Option<Slip> = None;
    for (how, meant) in slips(kind, read, twin) {
        let slip = Slip { how, meant, off: off(meant) };
        let score = |slip: &Slip| slip.off * slip.off + slip.how.rarity();
        if slip.off.abs() < NEAR && best.as_ref().is_none_or(|best| score(&slip) < score(best)) {
            best = Some(slip);
        }
    }
    best
}

/// Every slip with what would then have been meant.
fn slips(kind: Kind, read: f64, twin: Option<f64>) -> Vec<(How, f64)> {
    let mut all = vec![(How::Sign, -read)];
    all.extend(twin.map(|twin| (How::Sides, twin)));
    all.extend(digits(read).into_iter().map(|meant| (How::Digits, meant)));
    if kind.is_angle() {
        all.push((How::FromUpright, 90.0 - read));
        return all;
    }
    all.extend([
        (How::InchAsMm, read * INCH),
        (How::MmAsInch, read / INCH),
        (How::CmAsMm, read * 10.0),
    ]);
    all.extend(eighths(read / INCH).into_iter().map(|inch| (How::EighthsAsTenths, inch * INCH)));
    // The same slip where the inches were taken for millimeters as well never comes alone.
    for (how, step) in [(How::AnInch, INCH), (How::AHundred, 100.0), (How::ATen, 10.0)] {
        all.extend([(how, read + step), (how, read - step)]);
    }
    all
}

/// The number with two neighboring digits changed about: as millimeters or degrees to a tenth, and as
/// inches to a hundredth.
fn digits(read: f64) -> Vec<f64> {
    let mut all = Vec::new();
    for (scale, unit) in [(10.0, 1.0), (100.0, INCH)] {
        let whole = (read.abs() / unit * scale).round();
        if whole >= 1e9 {
            continue;
        }
        let mut power = 1.0;
        while power * 10.0 <= whole {
            let low = (whole / power).floor() % 10.0;
            let high = (whole / (power * 10.0)).floor() % 10.0;
            if low.to_bits() != high.to_bits() {
                let changed = whole + (low - high) * (power * 10.0) + (high - low) * power;
                all.push(changed / scale * unit * read.signum());
            }
            power *= 10.0;
        }
    }
    all
}

/// Inches whose tenths are meant as eighths: 34.5 for 34 5/8.
fn eighths(inches: f64) -> Option<f64> {
    let whole = inches.abs().floor();
    let tenths = (inches.abs() - whole) * 10.0;
    let near = (tenths - tenths.round()).abs() < 0.02;
    let count = tenths.round();
    (near && (1.0..=7.0).contains(&count)).then(|| (whole + count / 8.0) * inches.signum())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{calibrate::Member, truck::Side};

    fn check(kind: Kind, read: f64, want: f64, twin: Option<f64>, how: How) {
        let slip = explain(kind, read, (want, 3.0), twin);
        assert_eq!(slip.as_ref().map(|slip| slip.how), Some(how), "{read} for {want}: {slip:?}");
    }

    #[test]
    fn the_usual_slips_are_told_apart() {
        let bar = Kind::Length(Member::Panhard);
        let rise = Kind::Rise(Member::Panhard);
        check(bar, 34.65, 880.0, None, How::InchAsMm);
        check(bar, 22352.0, 880.0, None, How::MmAsInch);
        check(bar, 88.1, 880.0, None, How::CmAsMm);
        check(rise, -130.0, 131.0, None, How::Sign);
        check(bar, 808.0, 880.0, None, How::Digits);
        check(bar, 780.0, 880.0, None, How::AHundred);
        check(bar, 855.0, 880.0, None, How::AnInch);
        // 34 7/8 in is 885.8 mm; typed 34.7 it came to 881.4: too near for a tape, not for a caliper.
        let fine = explain(bar, 34.7 * 25.4, (34.875 * 25.4, 0.3), None).unwrap();
        assert_eq!(fine.how, How::EighthsAsTenths);
        check(Kind::Arch(Side::Left), 610.0, 655.0, Some(654.0), How::Sides);
        let upright = explain(Kind::Angle(Member::Panhard), 78.0, (12.3, 0.6), None).unwrap();
        assert_eq!(upright.how, How::FromUpright);
    }

    #[test]
    fn what_no_slip_explains_is_left_unexplained() {
        assert_eq!(explain(Kind::Length(Member::Panhard), 843.0, (880.0, 2.0), None), None);
        assert_eq!(explain(Kind::Frame, 1.0, (2.0, f64::INFINITY), None), None);
    }
}
