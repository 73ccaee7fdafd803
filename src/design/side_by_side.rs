//! Working out things that know nothing of each other on two threads. What comes out does not depend on it.

/// The results of a function for each item, in their order: the first half on a thread of its own.
///
/// A panic on that thread goes on here.
pub(super) fn side_by_side<T: Sync, R: Send>(items: &[T], work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let (first, second) = items.split_at(items.len() / 2);
    if first.is_empty() {
        return items.iter().map(work).collect();
    }
    let work = &work;
    std::thread::scope(|scope| {
        let other = scope.spawn(move || first.iter().map(work).collect::<Vec<R>>());
        let rest: Vec<R> = second.iter().map(work).collect();
        let mut all = match other.join() {
            Ok(found) => found,
            Err(panic) => std::panic::resume_unwind(panic),
        };
        all.extend(rest);
        all
    })
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
