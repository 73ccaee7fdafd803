//! Working out things that know nothing of each other on two threads. What comes out does not depend on it.

use std::sync::atomic::{AtomicUsize, Ordering};
use std::sync::mpsc::channel;

/// The results of a function for each item, in their order. Each thread takes the next item that none has begun, so what
/// takes long stands first.
///
/// A panic on the other thread goes on here.
pub(crate) fn side_by_side<T: Sync, R: Send>(items: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    on_threads(2, items, work)
}

/// The results of a function for each item, in their order, of which a choice makes up to two things to go on with; those
/// worked out too, with what else the choice said. Two threads do all of it.
///
/// A panic on the other thread goes on here.
pub(crate) fn in_two_rounds<T: Sync, A: Send, B: Send, C: Send, K>(
    items: &[T],
    work: impl Fn(&T) -> A + Sync,
    choose: impl FnOnce(Vec<A>) -> (Option<B>, Option<B>, K),
    go_on: impl Fn(B) -> C + Sync,
) -> (Vec<C>, K) {
    let next = AtomicUsize::new(0);
    let take = || taken(items, &next, &work);
    std::thread::scope(|scope| {
        let (tell, told) = channel::<Option<B>>();
        let (give, given) = channel();
        let (take, go_on) = (&take, &go_on);
        let other = scope.spawn(move || {
            // nobody listens where the first round panicked
            let _ = give.send(take());
            told.recv().ok().flatten().map(go_on)
        });
        let mut all: Vec<(usize, A)> = take();
        if let Ok(done) = given.recv() {
            all.extend(done);
        }
        all.sort_by_key(|(index, _)| *index);
        let (one, two, kept) = choose(all.into_iter().map(|(_, found)| found).collect());
        let _ = tell.send(two);
        let one = one.map(go_on);
        match other.join() {
            Ok(two) => (one.into_iter().chain(two).collect(), kept),
            Err(panic) => std::panic::resume_unwind(panic),
        }
    })
}

/// Two things that know nothing of each other, one on a thread of its own.
///
/// A panic there goes on here.
pub(crate) fn both<A: Send, B>(one: impl FnOnce() -> A + Send, other: impl FnOnce() -> B) -> (A, B) {
    std::thread::scope(|scope| {
        let one = scope.spawn(one);
        let other = other();
        match one.join() {
            Ok(one) => (one, other),
            Err(panic) => std::panic::resume_unwind(panic),
        }
    })
}

/// The results of the items that one thread takes, each with its place: the next that none has begun, until none is left.
fn taken<T, R>(items: &[T], next: &AtomicUsize, work: &impl Fn(&T) -> R) -> Vec<(usize, R)> {
    let mut done = Vec::new();
    loop {
        let index = next.fetch_add(1, Ordering::Relaxed);
        let Some(item) = items.get(index) else { return done };
        done.push((index, work(item)));
    }
}

/// The results of a function for each item, in their order, worked out on so many threads.
fn on_threads<T: Sync, R: Send>(threads: usize, items: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    if items.len() < 2 {
        return items.iter().map(work).collect();
    }
    let next = AtomicUsize::new(0);
    let take = || taken(items, &next, &work);
    let mut all = std::thread::scope(|scope| {
        let others: Vec<_> = (1..threads).map(|_| scope.spawn(take)).collect();
        let mut all: Vec<(usize, R)> = take();
        for other in others {
            match other.join() {
                Ok(found) => all.extend(found),
                Err(panic) => std::panic::resume_unwind(panic),
            }
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
    fn identity_the_number_of_threads_changes_nothing() {
        // designs of one site with a larger and larger roof
        let text = include_str!("../../examples/cut-bank.toml");
        let sites: Vec<crate::site::Site> = [300.0, 400.0, 900.0, 1600.0, 2500.0]
            .map(|area| text.replacen("area = \"900 ft2\"", &format!("area = \"{area} ft2\""), 1))
            .iter()
            .map(|text| crate::site::read(text, &crate::site::NoFiles).site.unwrap())
            .collect();
        let work = |site: &crate::site::Site| format!("{:?}", crate::design::design(site).unwrap());
        let alone: Vec<String> = sites.iter().map(work).collect();
        assert_ne!(alone[0], alone[4]);
        for threads in [1, 2, 3, 8] {
            assert!(on_threads(threads, &sites, work) == alone, "{threads} threads");
        }
    }

    #[test]
    fn identity_two_rounds_are_as_one_after_the_other() {
        for count in 0..7_u32 {
            let items: Vec<u32> = (0..count).collect();
            let (found, kept) = in_two_rounds(
                &items,
                |item| item * 2,
                |doubled| {
                    assert_eq!(doubled, items.iter().map(|item| item * 2).collect::<Vec<u32>>());
                    (doubled.first().copied(), doubled.get(1).copied(), doubled.len())
                },
                |item| item + 1,
            );
            let wanted: Vec<u32> = items.iter().take(2).map(|item| item * 2 + 1).collect();
            assert_eq!((found, kept), (wanted, items.len()));
        }
    }

    #[test]
    fn identity_the_order_stays() {
        for count in 0..7_u32 {
            let items: Vec<u32> = (0..count).collect();
            assert_eq!(side_by_side(&items, |item| item * 2), items.iter().map(|item| item * 2).collect::<Vec<u32>>());
        }
    }
}
