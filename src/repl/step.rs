//! A change of the session: what stood there, what stands there now.

use std::path::PathBuf;
use std::sync::Arc;

use serde::{Deserialize, Serialize};

/// What a session works on: a notebook's text and its file, where it has one.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct State {
    /// The file.
    pub path: Option<PathBuf>,
    /// The text.
    pub text: Arc<str>,
}

/// A change from one state to the next.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Step {
    /// Where the text changes, in bytes.
    at: usize,
    /// What stood there.
    removed: String,
    /// What stands there now.
    inserted: String,
    /// The file before, where it changes too.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    files: Option<(Option<PathBuf>, Option<PathBuf>)>,
}

impl Step {
    /// Returns the change from one state to another: the smallest stretch that differs.
    #[must_use]
    pub fn between(before: &State, after: &State) -> Self {
        let (old, new) = (&*before.text, &*after.text);
        let mut start = old
            .bytes()
            .zip(new.bytes())
            .take_while(|(a, b)| a == b)
            .count();
        while !old.is_char_boundary(start) || !new.is_char_boundary(start) {
            start -= 1;
        }
        let most = old.len().min(new.len()) - start;
        let mut end = old
            .bytes()
            .rev()
            .zip(new.bytes().rev())
            .take(most)
            .take_while(|(a, b)| a == b)
            .count();
        while !old.is_char_boundary(old.len() - end) || !new.is_char_boundary(new.len() - end) {
            end -= 1;
        }
        Self {
            at: start,
            removed: old.get(start..old.len() - end).unwrap_or("").to_owned(),
            inserted: new.get(start..new.len() - end).unwrap_or("").to_owned(),
            files: (before.path != after.path).then(|| (before.path.clone(), after.path.clone())),
        }
    }

    /// Returns the change the other way.
    #[must_use]
    pub fn reversed(&self) -> Self {
        Self {
            at: self.at,
            removed: self.inserted.clone(),
            inserted: self.removed.clone(),
            files: self.files.clone().map(|(before, after)| (after, before)),
        }
    }

    /// Returns the state after the change; nothing when it does not fit the state.
    #[must_use]
    pub fn apply(&self, state: &State) -> Option<State> {
        let end = self.at.checked_add(self.removed.len())?;
        if state.text.get(self.at..end)? != self.removed {
            return None;
        }
        let (before, after) = (state.text.get(..self.at)?, state.text.get(end..)?);
        let path = match &self.files {
            Some((_, after)) => after.clone(),
            None => state.path.clone(),
        };
        Some(State {
            path,
            text: format!("{before}{}{after}", self.inserted).into(),
        })
    }

    /// Returns whether it changes nothing.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.removed == self.inserted && self.files.is_none()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn state(text: &str) -> State {
        State {
            path: None,
            text: text.into(),
        }
    }

    #[test]
    fn a_step_goes_both_ways() {
        for (old, new) in [
            ("", "a = 1\n"),
            ("a = 1\nb = 2\n", "a = 1\nb = 3\n"),
            ("aaaa", "aa"),
            ("a = 5 °\n", "a = 5 ±\n"),
            ("é", "è"),
            ("x", "x"),
        ] {
            let (before, after) = (state(old), state(new));
            let step = Step::between(&before, &after);
            assert_eq!(step.apply(&before).as_ref(), Some(&after), "{old} {new}");
            assert_eq!(step.reversed().apply(&after), Some(before), "{old} {new}");
        }
        let step = Step::between(&state("a = 1"), &state("a = 2"));
        assert_eq!(step.apply(&state("b")), None);
    }
}
