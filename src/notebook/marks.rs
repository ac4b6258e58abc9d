//! Which slots a change has seen.

/// Marks on slots that survive from one change to the next, so that a change
/// costs what it touches and not what the notebook holds.
#[derive(Clone, Debug, Default)]
pub struct Marks {
    pub(super) epoch: u32,
    pub(super) seen: Vec<u32>,
    pub(super) index: Vec<u32>,
    pub(super) low: Vec<u32>,
    pub(super) on_stack: Vec<bool>,
}

impl Marks {
    /// Begins a change in a notebook of so many slots.
    pub(super) fn start(&mut self, slots: usize) {
        self.seen.resize(slots, 0);
        self.index.resize(slots, 0);
        self.low.resize(slots, 0);
        self.on_stack.resize(slots, false);
        self.epoch = self.epoch.wrapping_add(1);
        if self.epoch == 0 {
            self.seen.fill(0);
            self.epoch = 1;
        }
    }
}
