//! The nearest known word to one that is not known.

/// Returns the known words nearest to `word`, nearest first, at most three.
///
/// Distance counts letters added, dropped, changed or swapped, without regard
/// to case; a word is near when fewer than half its letters (and at most
/// three) differ, or when one begins with the other.
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Vec<&'a str> {
    let wanted: Vec<char> = word.to_lowercase().chars().take(64).collect();
    let letters = letters_of(word);
    let mut other: Vec<char> = Vec::with_capacity(64);
    let mut rows = Rows::default();
    let mut found: Vec<(usize, &str)> = Vec::new();
    for candidate in known {
        // Each letter that differs leaves at most two that only one of them has, and
        // a word that begins with the other lacks none of it: most words are told
        // apart without counting.
        let theirs = letters_of(candidate);
        let only_one = (letters ^ theirs).count_ones();
        if only_one > 6 && letters & !theirs != 0 && theirs & !letters != 0 {
            continue;
        }
        other.clear();
        other.extend(candidate.chars().flat_map(char::to_lowercase).take(64));
        let longest = wanted.len().max(other.len());
        let limit = (longest / 2).clamp(1, 3);
        let difference = rows.distance(&wanted, &other, limit);
        let prefix = wanted.len() >= 3 && other.starts_with(&wanted)
            || other.len() >= 3 && wanted.starts_with(&other);
        if difference == 0 && word != candidate || difference > 0 && difference <= limit {
            if difference < longest {
                found.push((difference, candidate));
            }
        } else if prefix && word != candidate {
            found.push((limit + 1, candidate));
        }
    }
    found.sort_by(|a, b| a.0.cmp(&b.0).then_with(|| a.1.cmp(b.1)));
    found.dedup();
    let best = found.first().map_or(0, |first| first.0);
    let furthest = if best == 0 { 0 } else { best + 1 };
    found
        .into_iter()
        .filter(|(d, _)| *d <= furthest)
        .take(3)
        .map(|(_, c)| c)
        .collect()
}

/// Returns "did you mean `this` or `that`?", or nothing when no known word is near.
pub fn did_you_mean<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<String> {
    let near = nearest(word, known);
    let quoted: Vec<String> = near.iter().map(|word| format!("`{word}`")).collect();
    match quoted.as_slice() {
        [] => None,
        [only] => Some(format!("did you mean {only}?")),
        [first @ .., last] => Some(format!("did you mean {} or {last}?", first.join(", "))),
    }
}

/// Returns which letters a word has, as bits; all but the ASCII letters share the last ones.
fn letters_of(word: &str) -> u64 {
    word.chars().take(64).fold(0, |letters, c| {
        let bit = match c.to_ascii_lowercase() {
            c @ 'a'..='z' => u32::from(c) - u32::from('a'),
            c @ '0'..='9' => 26 + u32::from(c) - u32::from('0'),
            '_' => 36,
            c => 40 + u32::from(c) % 20,
        };
        letters | 1 << bit
    })
}

/// Three rows of the table of distances, used again for each word.
#[derive(Default)]
struct Rows {
    before: Vec<usize>,
    above: Vec<usize>,
    row: Vec<usize>,
}

impl Rows {
    /// Letters added, dropped, changed or two neighbours swapped; more than `limit` where
    /// they are more.
    fn distance(&mut self, a: &[char], b: &[char], limit: usize) -> usize {
        if a.len().abs_diff(b.len()) > limit {
            return limit + 1;
        }
        self.above.clear();
        self.above.extend(0..=b.len());
        for i in 1..=a.len() {
            self.row.clear();
            self.row.push(i);
            let mut least = i;
            for j in 1..=b.len() {
                let change = usize::from(a[i - 1] != b[j - 1]);
                let mut best = (self.above[j] + 1)
                    .min(self.row[j - 1] + 1)
                    .min(self.above[j - 1] + change);
                if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                    best = best.min(self.before[j - 2] + 1);
                }
                least = least.min(best);
                self.row.push(best);
            }
            // A swap reaches over one row, which adds one at the most.
            if least > limit + 1 {
                return limit + 1;
            }
            std::mem::swap(&mut self.before, &mut self.above);
            std::mem::swap(&mut self.above, &mut self.row);
        }
        self.above[b.len()]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Looking no further than is wanted finds the same as looking at all.
    #[test]
    fn a_limit_changes_no_near_word() {
        let words = [
            "taper_rate",
            "taepr",
            "ratio",
            "M10x1.5",
            "M8",
            "",
            "tap",
            "pat",
            "12-8",
        ];
        for a in words {
            for b in words {
                let [a, b] = [a, b].map(|word| word.chars().collect::<Vec<char>>());
                let whole = Rows::default().distance(&a, &b, 100);
                for limit in 0..4 {
                    let found = Rows::default().distance(&a, &b, limit);
                    assert_eq!(found.min(limit + 1), whole.min(limit + 1), "{a:?} {b:?}");
                }
            }
        }
    }

    #[test]
    fn near_words_are_offered_nearest_first() {
        assert_eq!(
            nearest("taper_rte", ["taper_rate", "chord", "taper"]),
            ["taper_rate"]
        );
        assert_eq!(nearest("M8X1", ["M8x1", "M10x1"]), ["M8x1"]);
        assert_eq!(did_you_mean("zzz", ["chord"]), None);
        assert_eq!(
            did_you_mean("chrod", ["chord", "bore"]).as_deref(),
            Some("did you mean `chord`?")
        );
    }
}
