//! The number of a slot: of what a statement stands for.

/// The number of a slot among those of all notebooks that are open together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct SlotId(u32);

impl SlotId {
    /// No slot: that of an expression by itself.
    pub const NONE: Self = Self(u32::MAX);

    /// Returns the number of the slot at a place among the slots.
    #[must_use]
    pub fn at(place: usize) -> Self {
        Self(u32::try_from(place).unwrap_or(u32::MAX))
    }

    /// Returns the number of one of the names that nothing defines: they count down from
    /// the end, where no slots are.
    #[must_use]
    pub fn undefined(place: usize) -> Self {
        Self(u32::MAX - u32::try_from(place).unwrap_or(0))
    }

    /// Returns the numbers of all slots, the first first.
    pub fn all() -> impl Iterator<Item = Self> {
        (0..).map(Self)
    }

    /// Returns its place among the slots.
    #[must_use]
    pub const fn index(self) -> usize {
        self.0 as usize
    }

    /// Returns its place among the names that nothing defines.
    #[must_use]
    pub const fn undefined_place(self) -> usize {
        (u32::MAX - self.0) as usize
    }
}
