//! The nearest known word to one that is not known.

/// The known words nearest to `word`, nearest first, at most three.
///
/// Distance counts letters added, dropped, changed or swapped, without regard
/// to case; a word is near when fewer than half its letters (and at most
/// three) differ, or when one begins with the other.
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Vec<&'a str> {
    let wanted: Vec<char> = word.to_lowercase().chars().take(64).collect();
    let letters = letters_of(word);
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
        let other: Vec<char> = candidate.to_lowercase().chars().take(64).collect();
        let longest = wanted.len().max(other.len());
        let limit = (longest / 2).clamp(1, 3);
        let difference = distance(&wanted, &other);
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

/// "did you mean `this` or `that`?", or nothing when no known word is near.
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

/// Letters added, dropped, changed or two neighbours swapped.
fn distance(a: &[char], b: &[char]) -> usize {
    let mut before: Vec<usize> = Vec::new();
    let mut above: Vec<usize> = (0..=b.len()).collect();
    for i in 1..=a.len() {
        let mut row = vec![i];
        for j in 1..=b.len() {
            let change = usize::from(a[i - 1] != b[j - 1]);
            let mut best = (above[j] + 1)
                .min(row[j - 1] + 1)
                .min(above[j - 1] + change);
            if i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] {
                best = best.min(before[j - 2] + 1);
            }
            row.push(best);
        }
        before = std::mem::replace(&mut above, row);
    }
    above[b.len()]
}

#[cfg(test)]
mod tests {
    use super::*;

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
