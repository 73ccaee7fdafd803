//! Working out things that know nothing of each other on two threads. What comes out does not depend on it.

use std::sync::atomic::{AtomicUsize, Ordering};

/// The results of a function for each item, in their order. Each thread takes the next item that none has begun, so what
/// takes long stands first.
///
/// A panic on the other thread goes on here.
pub(crate) fn side_by_side<T: Sync, R: Send>(items: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    if items.len() < 2 {
        return items.iter().map(work).collect();
    }
    let next = AtomicUsize::new(0);
    let take = || {
        let mut done = Vec::new();
        loop {
            let index = next.fetch_add(1, Ordering::Relaxed);
            let Some(item) = items.get(index) else { return done };
            done.push((index, work(item)));
        }
    };
    let mut all = std::thread::scope(|scope| {
        let other = scope.spawn(take);
        let mut all: Vec<(usize, R)> = take();
        match other.join() {
            Ok(found) => all.extend(found),
            Err(panic) => std::panic::resume_unwind(panic),
        }
        all
    });
    all.sort_by_key(|(index, _)| *index);
    all.into_iter().map(|(_, found)| found).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn identity_the_order_stays() {
        for count in 0..7_u32 {
            let items: Vec<u32> = (0..count).collect();
            assert_eq!(side_by_side(&items, |item| item * 2), items.iter().map(|item| item * 2).collect::<Vec<u32>>());
        }
    }
}
