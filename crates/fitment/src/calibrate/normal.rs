//! The normal distribution's quantiles, and points that fill a cube evenly without chance.

/// The value below which a share `p` of a standard normal lies; infinite at 0 and 1.
///
/// Source: Wichura, Algorithm AS 241, Applied Statistics 37 (1988), PPND16 (coefficients from memory,
/// checked against tables of the normal distribution).
pub(super) fn quantile(p: f64) -> f64 {
    let q = p - 0.5;
    if q.abs() <= 0.425 {
        let r = 0.180_625 - q * q;
        return q * ratio(r, &MIDDLE);
    }
    let tail = if q < 0.0 { p } else { 1.0 - p };
    if tail <= 0.0 {
        return if q < 0.0 { f64::NEG_INFINITY } else { f64::INFINITY };
    }
    let r = (-tail.ln()).sqrt();
    let out = if r <= 5.0 { ratio(r - 1.6, &TAIL) } else { ratio(r - 5.0, &FAR_TAIL) };
    if q < 0.0 { -out } else { out }
}

/// Numerator over denominator, highest power last; the denominator starts with 1.
fn ratio(r: f64, [top, bottom]: &[[f64; 8]; 2]) -> f64 {
    let horner = |c: &[f64; 8]| c.iter().rev().fold(0.0, |sum, c| sum * r + c);
    horner(top) / horner(bottom)
}

const MIDDLE: [[f64; 8]; 2] = [
    [
        3.387_132_872_796_366_5,
        133.141_667_891_784_38,
        1_971.590_950_306_551_3,
        13_731.693_765_509_46,
        45_921.953_931_549_87,
        67_265.770_927_008_7,
        33_430.575_583_588_13,
        2_509.080_928_730_122_7,
    ],
    [
        1.0,
        42.313_330_701_600_91,
        687.187_007_492_057_9,
        5_394.196_021_424_751,
        21_213.794_301_586_597,
        39_307.895_800_092_71,
        28_729.085_735_721_943,
        5_226.495_278_852_854,
    ],
];
const TAIL: [[f64; 8]; 2] = [
    [
        1.423_437_110_749_683_5,
        4.630_337_846_156_546,
        5.769_497_221_460_691,
        3.647_848_324_763_204_5,
        1.270_458_252_452_368_4,
        0.241_780_725_177_450_6,
        0.022_723_844_989_269_184,
        0.000_774_545_014_278_341_4,
    ],
    [
        1.0,
        2.053_191_626_637_759,
        1.676_384_830_183_803_8,
        0.689_767_334_985_1,
        0.148_103_976_427_480_08,
        0.015_198_666_563_616_457,
        0.000_547_593_808_499_534_5,
        1.050_750_071_644_416_9e-9,
    ],
];
const FAR_TAIL: [[f64; 8]; 2] = [
    [
        6.657_904_643_501_103,
        5.463_784_911_164_114,
        1.784_826_539_917_291_3,
        0.296_560_571_828_504_87,
        0.026_532_189_526_576_124,
        0.001_242_660_947_388_078_4,
        0.000_027_115_555_687_434_876,
        2.010_334_399_292_288_2e-7,
    ],
    [
        1.0,
        0.599_832_206_555_887_9,
        0.136_929_880_922_735_8,
        0.014_875_361_290_850_615,
        0.000_786_869_131_145_613_2,
        0.000_018_463_183_175_100_548,
        1.421_511_758_316_445_8e-7,
        2.044_263_103_389_939_8e-15,
    ],
];

/// Points of the unit cube that fill it evenly: multiples of the roots of the primes, their whole
/// parts dropped (Kronecker's sequence; Richtmyer's choice of roots). Never 0 or 1.
pub(super) fn cube_points(dimensions: usize, count: usize) -> impl Iterator<Item = Vec<f64>> {
    let roots: Vec<f64> = primes().take(dimensions).map(|p| f64::from(p).sqrt()).collect();
    (1..=count).map(move |i| {
        let part = |root: &f64| (i as f64 * root).fract().clamp(1e-9, 1.0 - 1e-9);
        roots.iter().map(part).collect()
    })
}

fn primes() -> impl Iterator<Item = u32> {
    (2_u32..).filter(|n| (2..*n).take_while(|d| d * d <= *n).all(|d| n % d != 0))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: tables of the standard normal distribution.
    #[test]
    fn quantiles_are_the_tables() {
        for (p, want) in [
            (0.5, 0.0),
            (0.75, 0.674_489_750_196_081_7),
            (0.975, 1.959_963_984_540_054),
            (0.995, 2.575_829_303_548_900_4),
            (0.999_5, 3.290_526_731_491_926),
            (1e-6, -4.753_424_308_822_899),
            (1e-15, -7.941_345_326_170_997),
        ] {
            assert!(
                (quantile(p) - want).abs() < 1e-9 * want.abs().max(1.0),
                "{p}: {}",
                quantile(p)
            );
        }
        assert!(quantile(0.0) < f64::MIN && quantile(1.0) > f64::MAX);
    }

    #[test]
    fn the_points_fill_the_cube_evenly() {
        let points: Vec<Vec<f64>> = cube_points(8, 4096).collect();
        for at in 0..8 {
            let mean = points.iter().map(|p| p[at]).sum::<f64>() / 4096.0;
            let square = points.iter().map(|p| p[at] * p[at]).sum::<f64>() / 4096.0;
            assert!((mean - 0.5).abs() < 2e-3 && (square - 1.0 / 3.0).abs() < 2e-3, "{at} {mean}");
        }
    }
}
