//! The widths of letters.

/// The width of a text in units of its size.
///
/// Source: Helvetica, Adobe Font Metrics (Helvetica.afm, version 2.0), character
/// widths in thousandths of the size; what it does not have is taken at 0.7. From
/// memory of the file.
pub fn width(text: &str) -> f64 {
    let thousandths: u32 = text
        .chars()
        .map(|c| match c {
            '0'..='9' => 556,
            ' ' | '.' | ',' | '/' | ':' | ';' | 'I' | 't' | 'f' | '!' => 278,
            'i' | 'j' | 'l' => 222,
            '\'' => 191,
            '(' | ')' | 'r' | '-' => 333,
            '°' => 400,
            '+' | '−' | '×' | '±' | '=' | '<' | '>' => 584,
            'c' | 'k' | 's' | 'v' | 'x' | 'y' | 'z' | 'J' => 500,
            'w' | 'C' | 'D' | 'H' | 'N' | 'R' | 'U' => 722,
            'm' | 'M' => 833,
            'A' | 'B' | 'E' | 'K' | 'P' | 'S' | 'V' | 'X' | 'Y' => 667,
            'F' | 'T' | 'Z' => 611,
            'G' | 'O' | 'Q' => 778,
            'W' => 944,
            'a'..='z' | 'L' | '_' | '≤' | '≥' => 556,
            _ => 700,
        })
        .sum();
    f64::from(thousandths) / 1000.0
}
