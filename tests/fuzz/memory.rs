//! How many bytes live at once, counted at the allocator.

use std::alloc::{GlobalAlloc, Layout, System};
use std::sync::atomic::{AtomicUsize, Ordering};

/// The system's allocator, with a count of the bytes that it gave out.
pub struct Counted;

static LIVE: AtomicUsize = AtomicUsize::new(0);
static MOST: AtomicUsize = AtomicUsize::new(0);
static GIVEN: AtomicUsize = AtomicUsize::new(0);

fn more(size: usize) {
    let live = LIVE.fetch_add(size, Ordering::Relaxed) + size;
    MOST.fetch_max(live, Ordering::Relaxed);
    GIVEN.fetch_add(size, Ordering::Relaxed);
}

// SAFETY: every request goes to the system's allocator as it came.
unsafe impl GlobalAlloc for Counted {
    unsafe fn alloc(&self, layout: Layout) -> *mut u8 {
        more(layout.size());
        unsafe { System.alloc(layout) }
    }

    unsafe fn dealloc(&self, memory: *mut u8, layout: Layout) {
        LIVE.fetch_sub(layout.size(), Ordering::Relaxed);
        unsafe { System.dealloc(memory, layout) }
    }

    unsafe fn realloc(&self, memory: *mut u8, layout: Layout, size: usize) -> *mut u8 {
        more(size);
        LIVE.fetch_sub(layout.size(), Ordering::Relaxed);
        unsafe { System.realloc(memory, layout, size) }
    }
}

/// The most bytes that lived at once beyond those that live now, while `work` was done.
pub fn most(work: impl FnOnce()) -> usize {
    let before = LIVE.load(Ordering::Relaxed);
    MOST.store(before, Ordering::Relaxed);
    work();
    MOST.load(Ordering::Relaxed).saturating_sub(before)
}

/// All bytes that were asked for while `work` was done, those given back too: how much
/// is copied.
#[allow(dead_code)]
pub fn given(work: impl FnOnce()) -> usize {
    let before = GIVEN.load(Ordering::Relaxed);
    work();
    GIVEN.load(Ordering::Relaxed) - before
}
