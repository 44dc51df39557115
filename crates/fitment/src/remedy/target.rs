//! What a plan is judged by: targets with a weight, and musts before all else.

use crate::{
    axle::{Answer, Attitude, Output},
    finding::{self, Band, Goal, Severity, aim},
    truck::End,
};

/// An output that is to lie in a band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Target {
    /// Which output.
    pub output: Output,
    /// Where it is to lie.
    pub band: Band,
    /// What a miss as wide as the band's *watch* zone counts.
    pub weight: f64,
    /// Whether a plan that misses it stands behind every plan that does not.
    pub must: bool,
}

/// What a value that says stop counts over and above its miss, in watch zones: more than any width of
/// the zone.
const STOP: f64 = 5.0;
/// What a must's miss counts against any other's.
const MUST: f64 = 10.0;
/// One must missed counts more than all that can be missed besides.
pub(super) const MISSED_MUST: f64 = 1e6;
/// The narrowest watch zone a miss is measured in, in the output's unit.
const NARROWEST: f64 = 0.1;
/// A target still in band but nearer its edge by this share of its watch zone has got worse.
const WORSE: f64 = 0.25;

impl Target {
    /// What is judged about an axle anyway, by the usual bands and the person's own. Of what is said
    /// twice, left and right, each counts half. Where the driveshaft is known its joints say what the
    /// pinion's angle stands in for, which is then no target unless the person made it one.
    pub fn usual(end: End, stock: &Answer, own: &[finding::Target]) -> Vec<Self> {
        let goal = Goal::Output(Output::Pinion);
        let pinion = stock.attitude.get(Output::JointAxle).is_none()
            || own.iter().any(|it| it.end == end && it.goal == goal);
        let target = |output: Output| {
            if output == Output::Pinion && !pinion {
                return None;
            }
            let aim = aim(Goal::Output(output), end, stock, own)?;
            let weight = if halved(output) { 0.5 } else { 1.0 } * aim.weight;
            Some(Self { output, band: aim.band, weight, must: aim.must })
        };
        Output::ALL.into_iter().filter_map(target).collect()
    }
}

/// What the misses of a band are measured in.
const fn slack(band: &Band) -> f64 {
    if band.slack > NARROWEST { band.slack } else { NARROWEST }
}

/// Whether an output has a twin on the other side.
const fn halved(output: Output) -> bool {
    matches!(
        output,
        Output::TrailLeft
            | Output::TrailRight
            | Output::ScrubLeft
            | Output::ScrubRight
            | Output::WheelbaseLeft
            | Output::WheelbaseRight
            | Output::BumpSteerLeft
            | Output::BumpSteerRight
    )
}

/// An output that misses its band.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Miss {
    /// Which output.
    pub output: Output,
    /// Its value.
    pub value: f64,
    /// The band.
    pub band: Band,
    /// How it is judged, taken at its best value.
    pub severity: Severity,
    /// Whether it is a must.
    pub must: bool,
}

/// A target that was in band before anything was fitted and is in it by less now, or no more.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SideEffect {
    /// Which output.
    pub output: Output,
    /// Its value with nothing fitted.
    pub before: f64,
    /// Its value now.
    pub now: f64,
}

/// The targets an outcome misses, the worst first.
pub(super) fn misses(targets: &[Target], attitude: &Attitude<f64>) -> Vec<Miss> {
    let miss = |target: &Target| {
        let value = attitude.get(target.output)?;
        let severity = target.band.severity(value);
        let Target { output, band, must, .. } = *target;
        (severity > Severity::InBand).then_some(Miss { output, value, band, severity, must })
    };
    let mut misses: Vec<Miss> = targets.iter().filter_map(miss).collect();
    crate::few::sort_few(&mut misses, |a, b| b.must.cmp(&a.must).then(b.severity.cmp(&a.severity)));
    misses
}

/// A target made ready to weigh a value, or an interval of values, quickly.
#[derive(Debug, Clone, Copy)]
pub(super) struct Scale {
    low: f64,
    high: f64,
    stop: [f64; 2],
    per: f64,
    at_stop: f64,
    must: bool,
    /// What is nearer an edge than this, in the output's unit, counts as worse; infinite where it
    /// was out of band to begin with.
    worse: f64,
}

/// What one value counts.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(super) struct Count {
    /// Misses in watch zones, each must missed worth [`MISSED_MUST`] besides.
    pub miss: f64,
    /// 1 where a target got worse.
    pub side: u32,
}

impl Scale {
    /// Of a target, with its value when nothing is fitted.
    pub fn of(target: &Target, before: Option<f64>) -> Self {
        let mut scale = Self::of_band(&target.band, target.weight, target.must);
        if let Some(edge) = before.map(|v| scale.outside(v, v)).filter(|edge| *edge <= 0.0) {
            scale.worse = edge + WORSE * slack(&target.band);
        }
        scale
    }

    /// Of a band, a miss as wide as its watch zone counting so much; nothing is worse than before.
    pub const fn of_band(band: &Band, weight: f64, must: bool) -> Self {
        let Band { low, high, stop: (below, above), .. } = *band;
        let below = if let Some(below) = below { below } else { f64::NEG_INFINITY };
        let above = if let Some(above) = above { above } else { f64::INFINITY };
        Self {
            low,
            high,
            stop: [below, above],
            per: weight / slack(band) * if must { MUST } else { 1.0 },
            at_stop: weight * STOP,
            must,
            worse: f64::INFINITY,
        }
    }

    /// The same as a must and nothing besides, or as the only thing that counts.
    pub fn alone(mut self, must: bool) -> Self {
        (self.must, self.worse) = (must, f64::INFINITY);
        self
    }

    /// What a span of the output's values counts.
    pub fn width(&self, span: f64) -> f64 {
        span * self.per
    }

    /// How far an interval of values lies outside the band at the least; negative inside.
    const fn outside(&self, from: f64, to: f64) -> f64 {
        let (below, above) = (self.low - to, from - self.high);
        if below > above { below } else { above }
    }

    /// What the best value of an interval counts.
    #[inline]
    pub fn least(&self, from: f64, to: f64) -> Count {
        let outside = self.outside(from, to);
        let stopped = to < self.stop[0] || from > self.stop[1];
        self.count(outside, stopped)
    }

    /// What the worst value of an interval counts.
    #[inline]
    pub fn most(&self, from: f64, to: f64) -> Count {
        let outside = self.outside(to, from);
        let stopped = from < self.stop[0] || to > self.stop[1];
        self.count(outside, stopped)
    }

    #[inline]
    fn count(&self, outside: f64, stopped: bool) -> Count {
        let mut miss = if outside > 0.0 { outside * self.per } else { 0.0 };
        if stopped {
            miss += self.at_stop;
        }
        if self.must && (outside > 0.0 || stopped) {
            miss += MISSED_MUST;
        }
        Count { miss, side: u32::from(outside > self.worse) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::Source;

    fn scale(must: bool, before: f64) -> Scale {
        let band = Band {
            low: -1.0,
            high: 3.0,
            slack: 2.0,
            stop: (Some(-4.0), None),
            source: Source::Person,
            why: "",
        };
        let target = Target { output: Output::Caster, band, weight: 0.5, must };
        Scale::of(&target, Some(before))
    }

    #[test]
    fn a_miss_counts_in_watch_zones_by_its_weight() {
        let at = |v: f64| scale(false, 0.0).least(v, v).miss;
        // 2 beyond, a watch zone of 2, half a weight.
        assert_eq!((at(3.0), at(5.0), at(-3.0)), (0.0, 0.5, 0.5));
        // 4 below and at a stop: 4 / 2 · ½ + 5 · ½.
        assert!((at(-5.0) - 3.5).abs() < 1e-12);
        let must = scale(true, 0.0).least(5.0, 5.0).miss;
        assert!((must - (MISSED_MUST + 5.0)).abs() < 1e-9, "{must}");
    }

    #[test]
    fn an_interval_lies_between_its_best_and_its_worst_value() {
        let s = scale(true, 0.0);
        for (from, to) in [(-6.0, -2.0), (-2.0, 0.0), (0.0, 2.0), (2.0, 8.0), (-9.0, 9.0)] {
            let (least, most) = (s.least(from, to), s.most(from, to));
            for i in 0..=10 {
                let v = from + (to - from) * f64::from(i) / 10.0;
                let at = s.least(v, v);
                assert_eq!(at, s.most(v, v));
                assert!(least.miss <= at.miss && at.miss <= most.miss, "{from} {to} {v}");
                assert!(least.side <= at.side && at.side <= most.side, "{from} {to} {v}");
            }
        }
    }

    #[test]
    fn what_was_in_band_and_moves_toward_its_edge_got_worse() {
        // 1 from the lower edge to begin with; a quarter of 2 nearer is worse.
        let side = |v: f64| scale(false, 0.0).least(v, v).side;
        assert_eq!((side(0.0), side(1.0), side(-0.4), side(-0.6), side(9.0)), (0, 0, 0, 1, 1));
        // What was out of band counts as a miss, not as a side effect.
        assert_eq!(scale(false, 7.0).least(9.0, 9.0).side, 0);
    }
}
