//! Sorting without the standard sort, which compiles to five kilobytes for each type it sorts: a
//! handful of things in place, a long list by one merge sort for all types.

use std::cmp::Ordering;

/// Sorts a short list in place, equals keeping their order (insertion sort).
pub fn sort_few<T>(items: &mut [T], order: impl Fn(&T, &T) -> Ordering) {
    for end in 1..items.len() {
        let mut at = end;
        while at > 0 && order(&items[at - 1], &items[at]) == Ordering::Greater {
            items.swap(at - 1, at);
            at -= 1;
        }
    }
}

/// Sorts a list of any length, equals keeping their order.
pub fn sort<T>(items: &mut Vec<T>, order: &dyn Fn(&T, &T) -> Ordering) {
    let ranked = ranked(items.len(), &|a, b| order(&items[a], &items[b]) == Ordering::Greater);
    let mut held: Vec<Option<T>> = items.drain(..).map(Some).collect();
    items.extend(ranked.into_iter().filter_map(|at| held[at].take()));
}

/// The places 0 to `count`, sorted by what stands there (merge sort from below).
fn ranked(count: usize, after: &dyn Fn(usize, usize) -> bool) -> Vec<usize> {
    let mut from: Vec<usize> = (0..count).collect();
    let mut width = 1;
    while width < count {
        let mut into = Vec::with_capacity(count);
        for pair in from.chunks(2 * width) {
            let (mut left, mut right) = pair.split_at(width.min(pair.len()));
            while let ([a, left_rest @ ..], [b, right_rest @ ..]) = (left, right) {
                if after(*a, *b) {
                    into.push(*b);
                    right = right_rest;
                } else {
                    into.push(*a);
                    left = left_rest;
                }
            }
            into.extend_from_slice(left);
            into.extend_from_slice(right);
        }
        from = into;
        width *= 2;
    }
    from
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sorts_as_the_standard_sort_does() {
        let lists: [&[(u8, u8)]; 4] =
            [&[], &[(3, 0)], &[(2, 0), (1, 1), (2, 2), (0, 3), (1, 4)], &[(5, 0), (4, 1), (3, 2)]];
        for list in lists {
            let (mut got, mut want) = (list.to_vec(), list.to_vec());
            sort_few(&mut got, |a, b| a.0.cmp(&b.0));
            want.sort_by_key(|a| a.0);
            assert_eq!(got, want);
        }
        // Longer ones, with many equals: multiples of 37 and what is left of them by 11.
        for count in [1_usize, 2, 3, 64, 65, 1000] {
            let mut got: Vec<(usize, usize)> = (0..count).map(|i| (i * 37 % 11, i)).collect();
            let mut want = got.clone();
            sort(&mut got, &|a, b| a.0.cmp(&b.0));
            want.sort_by_key(|a| a.0);
            assert_eq!(got, want);
        }
    }
}
