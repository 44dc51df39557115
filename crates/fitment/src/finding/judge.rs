//! Judges a value against its band, and says when the uncertainty leaves it open.

use super::Band;

/// How an output came out, mildest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Severity {
    /// Inside its band.
    InBand,
    /// The uncertainty spans a limit.
    Unknown,
    /// A little outside.
    Watch,
    /// Well outside.
    Out,
    /// Where driving on is not to be risked before it has been looked at.
    Stop,
}

impl Severity {
    /// The word shown with the mark.
    pub const fn word(self) -> &'static str {
        match self {
            Self::InBand => "in band",
            Self::Unknown => "unknown",
            Self::Watch => "watch",
            Self::Out => "out of band",
            Self::Stop => "stop and check",
        }
    }
}

/// The judgement of one value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Verdict {
    /// How it came out.
    pub severity: Severity,
    /// For [`Severity::Unknown`]: the mildest and the worst it may be.
    pub between: Option<(Severity, Severity)>,
    /// How far outside the band the best value lies, in the value's unit; 0 inside.
    pub miss: f64,
}

/// Standard deviations either way that an open verdict has to span: 95 % coverage (JCGM 100:2008,
/// 6.3.3).
const COVERAGE: f64 = 2.0;

/// Judges `value ± sigma` by `band`.
pub fn judge(value: f64, sigma: f64, band: &Band) -> Verdict {
    let at = |v: f64| band.severity(v);
    let low = (value - COVERAGE * sigma).max(f64::MIN);
    let high = (value + COVERAGE * sigma).min(f64::MAX);
    let ends = [at(low), at(value), at(high)];
    let mildest = if low <= band.middle() && band.middle() <= high {
        Severity::InBand
    } else {
        ends.into_iter().min().unwrap_or(Severity::Unknown)
    };
    let worst = ends.into_iter().max().unwrap_or(Severity::Unknown);
    let open = mildest == Severity::InBand && worst > Severity::InBand;
    Verdict {
        severity: if open { Severity::Unknown } else { at(value) },
        between: open.then_some((mildest, worst)),
        miss: band.miss(value),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::Source;

    fn band() -> Band {
        Band {
            low: -3.0,
            high: 3.0,
            slack: 2.0,
            stop: (Some(-20.0), None),
            source: Source::CommonPractice,
            why: "",
        }
    }

    #[test]
    fn values_fall_where_the_band_says() {
        for (value, sigma, want) in [
            (0.0, 0.0, Severity::InBand),
            (3.0, 0.0, Severity::InBand),
            (4.0, 0.0, Severity::Watch),
            (6.0, 0.0, Severity::Out),
            (-21.0, 0.0, Severity::Stop),
            (2.0, 0.2, Severity::InBand),
            (2.0, 0.6, Severity::Unknown),
            (3.5, 0.6, Severity::Unknown),
            (3.5, 0.1, Severity::Watch),
            (0.0, 40.0, Severity::Unknown),
            (30.0, 1.0, Severity::Out),
        ] {
            let got = judge(value, sigma, &band()).severity;
            assert_eq!(got, want, "{value} ± {sigma}");
        }
        assert!((judge(4.5, 0.0, &band()).miss - 1.5).abs() < 1e-12);
    }
}
