//! Moving one source at a time, the others where they are aimed.

use std::collections::BTreeMap;

use super::perturbation::Perturbation;

/// Where between its limits a source is put: both limits and three places between.
pub const PLACES: [f64; 5] = [0.0, 0.25, 0.5, 0.75, 1.0];

/// What a target came to while one source alone moved.
#[derive(Clone, Debug)]
pub struct Path {
    /// The number of the source.
    pub source: usize,
    /// The target at [`PLACES`]; nothing where it has no value.
    pub seen: [Option<f64>; 5],
}

impl Path {
    /// The target at the two limits.
    pub fn ends(&self) -> Option<(f64, f64)> {
        self.seen[0].zip(self.seen[4])
    }

    /// Returns whether the two halves of the way swing differently, by more than a quarter of
    /// the whole swing.
    pub fn bends(&self, noise: f64) -> bool {
        let [Some(low), _, Some(middle), _, Some(high)] = self.seen else {
            return false;
        };
        let (below, above) = (middle - low, high - middle);
        let swing = below.abs().max(above.abs());
        swing > noise && (above - below).abs() > 0.5 * swing
    }

    /// -1, 0 or 1: how the target goes when the source goes from its lower to its
    /// upper limit.
    pub fn direction(&self, noise: f64) -> i8 {
        match self.ends() {
            Some((low, high)) if high - low > noise => 1,
            Some((low, high)) if low - high > noise => -1,
            _ => 0,
        }
    }
}

/// The paths of every target, one for each source that it depends on; and the
/// numbers of the sources that each slot depends on.
pub fn paths(mover: &mut Perturbation) -> (Vec<Vec<Path>>, BTreeMap<u32, Vec<usize>>) {
    let mut found: Vec<Vec<Path>> = vec![Vec::new(); mover.targets.len()];
    let mut upstream: BTreeMap<u32, Vec<usize>> = BTreeMap::new();
    for source in 0..mover.sources.len() {
        let (groups, slots) = mover.reached(source);
        for slot in &slots {
            upstream.entry(*slot).or_default().push(source);
            for target in mover.targets_of(*slot) {
                if let Some(paths) = found.get_mut(target) {
                    paths.push(Path {
                        source,
                        seen: [None; 5],
                    });
                }
            }
        }
        for (index, place) in PLACES.iter().enumerate() {
            mover.at(&groups, &slots, &[(source, *place)], |target, value| {
                let path = found.get_mut(target).and_then(|paths| paths.last_mut());
                if let Some(path) = path {
                    path.seen[index] = value;
                }
            });
        }
    }
    (found, upstream)
}
