//! Answers that take longer than a frame of the page: worked out at once, or a little at a time.
//!
//! The searches read straight from top to bottom. Where one has done something that takes a while it
//! says so to its [`Pace`], and rests there when that was all it was asked to do for now. The compiler
//! keeps its place, as for any `async fn`; nothing here waits for anything else, so nothing wakes it
//! but the next [`Slow::step`].

use std::cell::Cell;
use std::future::{Future, poll_fn};
use std::pin::{Pin, pin};
use std::rc::Rc;
use std::task::{Context, Poll, Waker};

/// How much work may still be done before it rests, in about what one position of a map takes; `None`
/// never rests.
#[derive(Debug, Clone)]
pub(super) struct Pace(Option<Rc<Cell<usize>>>);

impl Pace {
    /// Counts what was just done, and rests if that was enough for now.
    pub async fn spend(&self, cost: usize) {
        let Some(left) = &self.0 else { return };
        left.set(left.get().saturating_sub(cost));
        poll_fn(|_| if left.get() == 0 { Poll::Pending } else { Poll::Ready(()) }).await;
    }

    /// Rests, however much is left to spend.
    pub async fn rest(&self) {
        self.spend(usize::MAX).await;
    }
}

/// Works something out at once.
pub(super) fn at_once<T, F: Future<Output = T>>(work: impl FnOnce(Pace) -> F) -> T {
    let mut work = pin!(work(Pace(None)));
    loop {
        // Without anything to rest for, the first time is the last.
        if let Poll::Ready(answer) = go_on(work.as_mut()) {
            return answer;
        }
    }
}

fn go_on<T>(work: Pin<&mut (impl Future<Output = T> + ?Sized)>) -> Poll<T> {
    work.poll(&mut Context::from_waker(Waker::noop()))
}

/// An answer worked out a little at a time.
pub struct Slow<T> {
    left: Rc<Cell<usize>>,
    work: Option<Pin<Box<dyn Future<Output = T>>>>,
}

impl<T> Slow<T> {
    pub(super) fn new<F: Future<Output = T> + 'static>(work: impl FnOnce(Pace) -> F) -> Self {
        let left = Rc::new(Cell::new(0));
        let work = work(Pace(Some(Rc::clone(&left))));
        Self { left, work: Some(Box::pin(work)) }
    }

    /// Goes on for about as long as so many positions of a map take; the answer once it is there,
    /// and nothing after that.
    pub fn step(&mut self, positions: usize) -> Option<T> {
        self.left.set(positions.max(1));
        let Poll::Ready(answer) = go_on(self.work.as_mut()?.as_mut()) else { return None };
        self.work = None;
        Some(answer)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    async fn sum(to: usize, pace: Pace) -> usize {
        let mut sum = 0;
        for i in 1..=to {
            sum += i;
            pace.spend(2).await;
        }
        sum
    }

    #[test]
    fn a_step_does_what_it_was_asked_and_no_more() {
        let mut slow = Slow::new(|pace| sum(6, pace));
        // Two counts of two fill three; the last rest is after the last count.
        let steps: Vec<Option<usize>> = (0..5).map(|_| slow.step(3)).collect();
        assert_eq!(steps, [None, None, None, Some(21), None]);
        assert_eq!(at_once(|pace| sum(6, pace)), 21);
    }
}
