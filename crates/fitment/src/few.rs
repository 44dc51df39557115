//! Sorting a handful of things.
//!
//! The standard sort is made for long lists and compiles to several kilobytes for each type it
//! sorts; the lists here have a few dozen entries at the most.

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
    }
}
