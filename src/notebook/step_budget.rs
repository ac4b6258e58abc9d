//! How much work a notebook may ask for.

use std::cell::Cell;
use std::sync::atomic::{AtomicBool, Ordering};

/// The most steps that all evaluations after one change may take together, beyond
/// [`FREE`] each: a notebook can't keep the program busy without end.
const EFFORT: u64 = 5_000_000;
/// The same for all what-if tables and graphs of a notebook.
const TABLES: u64 = 5_000_000;
/// The same for the limits of a notebook's results, or for one sample.
const LIMITS: u64 = 5_000_000;
/// The steps of an evaluation that don't count after a change, in limits and in samples.
pub const FREE: u64 = 100;

thread_local! {
    static LEFT: Cell<u64> = const { Cell::new(EFFORT) };
    static FREELY: Cell<u64> = const { Cell::new(FREE) };
}

/// Whether the user wants what is being worked out stopped.
static STOPPED: AtomicBool = AtomicBool::new(false);

/// Stops what is being worked out, in whatever thread: each evaluation that begins
/// from now on ends at once, until [`was_stopped`] is asked.
pub fn stop_working() {
    STOPPED.store(true, Ordering::Relaxed);
}

/// Returns whether work was stopped since this was asked last.
pub fn was_stopped() -> bool {
    STOPPED.swap(false, Ordering::Relaxed)
}

/// Allows the steps that may be taken after a change.
pub fn begin() {
    LEFT.set(EFFORT);
    FREELY.set(FREE);
}

/// Returns the steps that the next evaluation may take.
pub fn left() -> u64 {
    if STOPPED.load(Ordering::Relaxed) {
        return FREELY.get();
    }
    LEFT.get() + FREELY.get()
}

/// Counts the steps of an evaluation.
pub fn took(steps: u64) {
    spend(steps.saturating_sub(FREELY.get()));
}

/// Allows the steps that limits, or one sample, may take: work that was asked for by
/// itself.
pub fn afresh() {
    LEFT.set(LIMITS);
    FREELY.set(FREE);
}

/// Returns the steps that counted since they were allowed [`afresh`].
pub fn spent() -> u64 {
    LIMITS - LEFT.get().min(LIMITS)
}

/// Returns whether an evaluation of so many steps counts nothing now.
pub fn is_free(steps: u64) -> bool {
    steps <= FREELY.get()
}

/// Does something that counts nothing.
pub fn uncounted<T>(work: impl FnOnce() -> T) -> T {
    let left = LEFT.get();
    let made = work();
    LEFT.set(left);
    made
}

/// Counts steps that are not those of an evaluation.
pub fn spend(steps: u64) {
    LEFT.set(LEFT.get().saturating_sub(steps));
}

/// Returns whether the steps ran out.
pub fn exhausted() -> bool {
    LEFT.get() == 0 || STOPPED.load(Ordering::Relaxed)
}

/// Allows the part of the steps that one of so many what-if tables or graphs may take;
/// all of them count, for a table makes many small evaluations.
pub fn allow(pieces: usize) {
    LEFT.set(TABLES / u64::try_from(pieces).unwrap_or(u64::MAX).max(1));
    FREELY.set(0);
}
