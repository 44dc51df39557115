//! Points spread evenly: multiples of the square roots of primes, of which the whole part is dropped
//! (Richtmyer's sequence, in Davis and Rabinowitz, "Methods of Numerical Integration", 1984, 5.9).

const PRIMES: [f64; 32] = [
    2.0, 3.0, 5.0, 7.0, 11.0, 13.0, 17.0, 19.0, 23.0, 29.0, 31.0, 37.0, 41.0, 43.0, 47.0, 53.0,
    59.0, 61.0, 67.0, 71.0, 73.0, 79.0, 83.0, 89.0, 97.0, 101.0, 103.0, 107.0, 109.0, 113.0, 127.0,
    131.0,
];

/// One coordinate of a point, above 0 and below 1.
pub(super) fn even(point: usize, coordinate: usize) -> f64 {
    let prime = PRIMES[coordinate % PRIMES.len()];
    // Half a step in, so that none of them is 0; past the last prime, further along its multiples.
    let along = (point + 1009 * (coordinate / PRIMES.len())) as f64 + 0.5;
    (prime.sqrt() * along).fract()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_quarter_of_a_square_holds_a_quarter_of_the_points() {
        for (a, b) in [(0, 1), (3, 17), (5, 40)] {
            let inside =
                (0..1000).filter(|point| even(*point, a) < 0.5 && even(*point, b) < 0.5).count();
            assert!((240..=260).contains(&inside), "{a} {b}: {inside}");
        }
    }
}
