//! The least value of a convex function on 0..1, with proof of how least it is.
//!
//! Two tangents of opposite slope bound a convex function from below where they cross. The search
//! narrows the bracket until the best value found and that bound agree.

/// How a search ended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Along {
    /// Where the best value was found.
    pub t: f64,
    /// The best value.
    pub least: f64,
    /// The true least value is not below this.
    pub lower: f64,
    /// Where the two tangents touch that prove it; the same place twice at an end.
    pub touch: (f64, f64),
    /// Share of the first tangent in the mix of both that is level (or rises inward, at an end).
    pub share: f64,
}

/// Enough for the bisections among the steps to shrink 20 m to less than a nanometre.
const STEPS: usize = 120;

/// Least value on 0..1 of a convex function given by its value and slope, to `tolerance`.
#[inline]
pub(super) fn minimise(mut at: impl FnMut(f64) -> (f64, f64), tolerance: f64) -> Along {
    let single = |t: f64, f: f64| Along { t, least: f, lower: f, touch: (t, t), share: 1.0 };
    let (mut lo, mut hi) = (0.0, 1.0);
    let (mut f_lo, mut g_lo) = at(lo);
    if g_lo >= 0.0 {
        return single(lo, f_lo);
    }
    let (mut f_hi, mut g_hi) = at(hi);
    if g_hi <= 0.0 {
        return single(hi, f_hi);
    }
    let mut step = 0;
    loop {
        let meet = lo + (f_hi - f_lo - g_hi * (hi - lo)) / (g_lo - g_hi);
        let lower = f_lo + g_lo * (meet - lo);
        let best = f_lo.min(f_hi);
        step += 1;
        if best - lower <= tolerance || step > STEPS {
            let t = if f_lo < f_hi { lo } else { hi };
            let share = g_hi / (g_hi - g_lo);
            return Along { t, least: best, lower: lower.min(best), touch: (lo, hi), share };
        }
        // Where the slope would cross zero suits round bottoms, where the tangents cross suits
        // sharp ones, and a bisection now and then keeps the count bounded.
        let guess = match step % 3 {
            1 => lo - g_lo * (hi - lo) / (g_hi - g_lo),
            2 => meet,
            _ => 0.5 * (lo + hi),
        };
        let t = if lo < guess && guess < hi { guess } else { 0.5 * (lo + hi) };
        let (f, g) = at(t);
        if g > 0.0 {
            (hi, f_hi, g_hi) = (t, f, g);
        } else if g < 0.0 {
            (lo, f_lo, g_lo) = (t, f, g);
        } else {
            return single(t, f);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn least_values_known_beforehand() {
        let check = |name: &str, f: &dyn Fn(f64) -> (f64, f64), t: f64, least: f64| {
            let got = minimise(f, 1e-10);
            assert!((got.least - least).abs() < 1e-9, "{name}: {got:?}, want {least}");
            assert!(got.lower <= least + 1e-12, "{name}: {got:?}");
            assert!((got.t - t).abs() < 1e-4, "{name}: {got:?}, want {t}");
        };
        check("bowl", &|t| ((t - 0.3).powi(2), 2.0 * (t - 0.3)), 0.3, 0.0);
        check("rising", &|t| (2.0 + t, 1.0), 0.0, 2.0);
        check("falling", &|t| (2.0 - t, -1.0), 1.0, 1.0);
        check("corner", &|t| ((t - 0.7).abs(), if t < 0.7 { -1.0 } else { 1.0 }), 0.7, 0.0);
        check("steep", &|t| ((9.0 * (t - 0.2)).cosh(), 9.0 * (9.0 * (t - 0.2)).sinh()), 0.2, 1.0);
    }

    #[test]
    fn a_slope_that_is_no_number_ends_the_search() {
        assert!(minimise(|_| (f64::NAN, f64::NAN), 1e-6).least.is_nan());
    }
}
