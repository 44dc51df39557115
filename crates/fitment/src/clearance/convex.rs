//! The least value of a convex function on 0..1, with proof of how least it is.
//!
//! Two tangents of opposite slope bound a convex function from below where they cross. The search
//! narrows the bracket until the best value found and that bound agree.

/// How a search ended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Along<A = ()> {
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
    /// What goes along with the function's values at the two places.
    pub beside: (A, A),
}

/// Enough for the bisections among the steps to shrink 20 m to less than a nanometre.
const STEPS: usize = 120;
/// How much longer each step away from where a search begins is than the one before.
const LONGER: f64 = 8.0;

/// Least value on 0..1 of a convex function to `tolerance`, given by its value, its slope and anything
/// that goes along with them. The search begins at `near`, where the least is thought to lie, and looks
/// as far as `reach` for its other side.
#[inline]
pub(super) fn minimise<A: Copy>(
    mut at: impl FnMut(f64) -> (f64, f64, A),
    (near, mut reach): (f64, f64),
    tolerance: f64,
) -> Along<A> {
    let single = |t: f64, (f, _, beside): (f64, f64, A)| Along {
        t,
        least: f,
        lower: f,
        touch: (t, t),
        share: 1.0,
        beside: (beside, beside),
    };
    let begun = at(near);
    let (mut lo, mut hi) = (near, near);
    let (mut at_lo, mut at_hi) = (begun, begun);
    if begun.1 > 0.0 {
        while at_lo.1 > 0.0 {
            if lo <= 0.0 {
                return single(lo, at_lo);
            }
            (hi, at_hi) = (lo, at_lo);
            lo = (lo - reach).max(0.0);
            at_lo = at(lo);
            reach *= LONGER;
        }
        if at_lo.1 >= 0.0 || at_lo.1.is_nan() {
            return single(lo, at_lo);
        }
    } else {
        while at_hi.1 < 0.0 {
            if hi >= 1.0 {
                return single(hi, at_hi);
            }
            (lo, at_lo) = (hi, at_hi);
            hi = (hi + reach).min(1.0);
            at_hi = at(hi);
            reach *= LONGER;
        }
        if at_hi.1 <= 0.0 || at_hi.1.is_nan() {
            return single(hi, at_hi);
        }
    }
    let mut step = 0;
    loop {
        let ((f_lo, g_lo, beside_lo), (f_hi, g_hi, beside_hi)) = (at_lo, at_hi);
        let meet = lo + (f_hi - f_lo - g_hi * (hi - lo)) / (g_lo - g_hi);
        let lower = f_lo + g_lo * (meet - lo);
        let best = f_lo.min(f_hi);
        step += 1;
        if best - lower <= tolerance || step > STEPS {
            let t = if f_lo < f_hi { lo } else { hi };
            let share = g_hi / (g_hi - g_lo);
            let (lower, beside) = (lower.min(best), (beside_lo, beside_hi));
            return Along { t, least: best, lower, touch: (lo, hi), share, beside };
        }
        // Where the slope would cross zero suits round bottoms, where the tangents cross suits
        // sharp ones, and a bisection now and then keeps the count bounded.
        let guess = match step % 3 {
            1 => lo - g_lo * (hi - lo) / (g_hi - g_lo),
            2 => meet,
            _ => 0.5 * (lo + hi),
        };
        let t = if lo < guess && guess < hi { guess } else { 0.5 * (lo + hi) };
        let here = at(t);
        if here.1 > 0.0 {
            (hi, at_hi) = (t, here);
        } else if here.1 < 0.0 {
            (lo, at_lo) = (t, here);
        } else {
            return single(t, here);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn least_values_known_beforehand() {
        let check = |name: &str, f: &dyn Fn(f64) -> (f64, f64), t: f64, least: f64| {
            for begin in [(0.0, 1.0), (1.0, 1.0), (t, 0.1), (0.65, 0.1), (0.4, 0.01)] {
                let got = minimise(
                    |t| {
                        let (value, slope) = f(t);
                        (value, slope, t)
                    },
                    begin,
                    1e-10,
                );
                assert!((got.least - least).abs() < 1e-9, "{name}: {got:?}, want {least}");
                assert!(got.lower <= least + 1e-12, "{name}: {got:?}");
                assert!((got.t - t).abs() < 1e-4, "{name}: {got:?}, want {t}");
                assert_eq!(got.beside, got.touch, "{name}");
            }
        };
        check("bowl", &|t| ((t - 0.3).powi(2), 2.0 * (t - 0.3)), 0.3, 0.0);
        check("rising", &|t| (2.0 + t, 1.0), 0.0, 2.0);
        check("falling", &|t| (2.0 - t, -1.0), 1.0, 1.0);
        check("corner", &|t| ((t - 0.7).abs(), if t < 0.7 { -1.0 } else { 1.0 }), 0.7, 0.0);
        check("steep", &|t| ((9.0 * (t - 0.2)).cosh(), 9.0 * (9.0 * (t - 0.2)).sinh()), 0.2, 1.0);
    }

    #[test]
    fn a_slope_that_is_no_number_ends_the_search() {
        assert!(minimise(|_| (f64::NAN, f64::NAN, ()), (0.5, 0.1), 1e-6).least.is_nan());
    }
}
