//! A short list that lies in its owner, so that following a contour asks for no memory.

/// At most `N` things in order.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Few<T, const N: usize> {
    things: [Option<T>; N],
    len: usize,
}

impl<T: Copy, const N: usize> Few<T, N> {
    pub(super) const fn new() -> Few<T, N> {
        Few { things: [None; N], len: 0 }
    }

    pub(super) const fn is_empty(&self) -> bool {
        self.len == 0
    }

    pub(super) const fn is_full(&self) -> bool {
        self.len == N
    }

    /// Adds one at the end; a full list stays as it is.
    pub(super) fn push(&mut self, thing: T) {
        if let Some(place) = self.things.get_mut(self.len) {
            *place = Some(thing);
            self.len += 1;
        }
    }

    pub(super) fn push_all(&mut self, things: impl IntoIterator<Item = T>) {
        for thing in things {
            self.push(thing);
        }
    }

    pub(super) fn pop(&mut self) -> Option<T> {
        self.len = self.len.checked_sub(1)?;
        self.things.get_mut(self.len)?.take()
    }

    pub(super) fn pop_first(&mut self) -> Option<T> {
        let first = self.things.first_mut()?.take()?;
        self.things.rotate_left(1);
        self.len -= 1;
        Some(first)
    }

    pub(super) fn last(&self) -> Option<&T> {
        self.things.get(self.len.checked_sub(1)?)?.as_ref()
    }

    pub(super) fn last_mut(&mut self) -> Option<&mut T> {
        self.things.get_mut(self.len.checked_sub(1)?)?.as_mut()
    }

    pub(super) fn truncate(&mut self, len: usize) {
        while self.len > len && self.pop().is_some() {}
    }

    pub(super) fn iter(&self) -> impl Iterator<Item = &T> {
        self.things.iter().flatten()
    }
}
