//! Random formulas over toleranced sizes, with their own arithmetic.

/// A row of numbers that is the same in every run.
pub struct Row(u64);

impl Row {
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x1234_5678)
    }

    pub fn next(&mut self) -> u64 {
        // SplitMix64, as published (Steele, Lea, Flood 2014).
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    pub fn below(&mut self, count: u64) -> u64 {
        self.next() % count
    }

    pub fn part(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }
}

/// A length in millimetres.
pub enum Tree {
    Size(usize),
    Plus(Box<Tree>, Box<Tree>),
    Minus(Box<Tree>, Box<Tree>),
    Apart(Box<Tree>, Box<Tree>),
    Least(Box<Tree>, Box<Tree>),
    Greatest(Box<Tree>, Box<Tree>),
    Choice(Box<[Tree; 4]>),
    /// `a * b / c`, `c` a size.
    Scaled(Box<Tree>, Box<Tree>, usize),
    Root(Box<Tree>, Box<Tree>),
    Sine(Box<Tree>),
    Cosine(Box<Tree>, Box<Tree>),
    Times(f64, Box<Tree>),
    /// A library function of the language: `mean`.
    Mean(Box<Tree>, Box<Tree>),
}

use Tree::*;

impl Tree {
    pub fn text(&self) -> String {
        match self {
            Size(index) => format!("s{index}"),
            Plus(a, b) => format!("({} + {})", a.text(), b.text()),
            Minus(a, b) => format!("({} - {})", a.text(), b.text()),
            Apart(a, b) => format!("abs({} - {})", a.text(), b.text()),
            Least(a, b) => format!("min({}, {})", a.text(), b.text()),
            Greatest(a, b) => format!("max({}, {})", a.text(), b.text()),
            Choice(parts) => {
                let [a, b, yes, no] = &**parts;
                format!(
                    "(if {} > {} then {} else {})",
                    a.text(),
                    b.text(),
                    yes.text(),
                    no.text()
                )
            }
            Scaled(a, b, size) => format!("({} * {} / s{size})", a.text(), b.text()),
            Root(a, b) => format!("sqrt({}^2 + {}^2)", a.text(), b.text()),
            Sine(a) => format!("(10 mm * sin({} / (8 mm) * 1 rad))", a.text()),
            Cosine(a, b) => format!("({} * cos({} / (20 mm) * 1 rad))", a.text(), b.text()),
            Times(by, a) => format!("({by} * {})", a.text()),
            Mean(a, b) => format!("mean({}, {})", a.text(), b.text()),
        }
    }

    pub fn at(&self, sizes: &[f64]) -> f64 {
        match self {
            Size(index) => sizes[*index],
            Plus(a, b) => a.at(sizes) + b.at(sizes),
            Minus(a, b) => a.at(sizes) - b.at(sizes),
            Apart(a, b) => (a.at(sizes) - b.at(sizes)).abs(),
            Least(a, b) => a.at(sizes).min(b.at(sizes)),
            Greatest(a, b) => a.at(sizes).max(b.at(sizes)),
            Choice(parts) => {
                let [a, b, yes, no] = &**parts;
                let (a, b) = (a.at(sizes), b.at(sizes));
                // Equal within rounding is not more.
                if a - b > 1e-12 * a.abs().max(b.abs()).max(1.0) {
                    yes.at(sizes)
                } else {
                    no.at(sizes)
                }
            }
            Scaled(a, b, size) => a.at(sizes) * b.at(sizes) / sizes[*size],
            Root(a, b) => a.at(sizes).hypot(b.at(sizes)),
            Sine(a) => 10.0 * (a.at(sizes) / 8.0).sin(),
            Cosine(a, b) => a.at(sizes) * (b.at(sizes) / 20.0).cos(),
            Times(by, a) => by * a.at(sizes),
            Mean(a, b) => (a.at(sizes) + b.at(sizes)) / 2.0,
        }
    }

    fn random(row: &mut Row, sizes: usize, depth: usize) -> Self {
        if depth == 0 {
            return Size(row.below(sizes as u64) as usize);
        }
        let sub = |row: &mut Row| {
            let less = 1 + row.below(2) as usize;
            Box::new(Self::random(row, sizes, depth.saturating_sub(less)))
        };
        match row.below(16) {
            0 | 1 => Plus(sub(row), sub(row)),
            2 | 3 => Minus(sub(row), sub(row)),
            4 | 5 => Apart(sub(row), sub(row)),
            6 => Least(sub(row), sub(row)),
            7 => Greatest(sub(row), sub(row)),
            8 => Choice(Box::new([*sub(row), *sub(row), *sub(row), *sub(row)])),
            9 | 10 => Scaled(sub(row), sub(row), row.below(sizes as u64) as usize),
            11 => Root(sub(row), sub(row)),
            12 => Sine(sub(row)),
            13 => Cosine(sub(row), sub(row)),
            14 => Times([0.5, 2.0, -1.0, 1.5][row.below(4) as usize], sub(row)),
            _ => Mean(sub(row), sub(row)),
        }
    }

    fn uses(&self, found: &mut Vec<bool>) {
        match self {
            Size(index) => found[*index] = true,
            Plus(a, b)
            | Minus(a, b)
            | Apart(a, b)
            | Least(a, b)
            | Greatest(a, b)
            | Root(a, b)
            | Cosine(a, b)
            | Mean(a, b) => {
                a.uses(found);
                b.uses(found);
            }
            Scaled(a, b, size) => {
                a.uses(found);
                b.uses(found);
                found[*size] = true;
            }
            Choice(parts) => parts.iter().for_each(|part| part.uses(found)),
            Sine(a) | Times(_, a) => a.uses(found),
        }
    }
}

/// A formula over sizes with their limits.
pub struct Formula {
    pub sizes: Vec<(f64, f64)>,
    pub tree: Tree,
}

impl Formula {
    /// The formula of a seed: 2 to 12 sizes near one another, so that differences lie
    /// near zero, all of them used.
    pub fn of(seed: u64) -> Self {
        let mut row = Row::new(seed);
        let count = 2 + row.below(11) as usize;
        let sizes: Vec<(f64, f64)> = (0..count)
            .map(|_| {
                let nominal =
                    (10.0 + (row.below(9) as f64 - 4.0) * 0.1) * [1.0, 0.5][row.below(2) as usize];
                let (up, down) = (
                    0.02 * (1 + row.below(20)) as f64,
                    0.02 * (1 + row.below(20)) as f64,
                );
                (nominal - down, nominal + up)
            })
            .collect();
        let mut tree = Tree::random(&mut row, count, 4);
        let mut used = vec![false; count];
        tree.uses(&mut used);
        for (index, used) in used.iter().enumerate() {
            if !used {
                let size = Box::new(Size(index));
                tree = if row.below(2) == 0 {
                    Plus(Box::new(tree), size)
                } else {
                    Minus(Box::new(tree), size)
                };
            }
        }
        Self { sizes, tree }
    }

    pub fn notebook(&self) -> String {
        let mut text = String::new();
        for (index, (low, high)) in self.sizes.iter().enumerate() {
            let nominal = low;
            let up = high - low;
            text += &format!("s{index} = {nominal:.6} mm (+{up:.6}/0)\n");
        }
        text += &format!("y = {}\n", self.tree.text());
        text
    }

    /// The value where each size stands at a part of its way.
    pub fn at(&self, parts: &[f64]) -> f64 {
        let sizes: Vec<f64> = self
            .sizes
            .iter()
            .zip(parts)
            .map(|((low, high), part)| low + part * (high - low))
            .collect();
        self.tree.at(&sizes)
    }

    /// The least and the greatest value that brute force finds: a grid, corners, scattered
    /// points, and downhill from the best of them, by single sizes and by pairs.
    /// `SETOVER_DENSITY=8`, say, makes the grid 8 times as dense, tries 8 times as many points
    /// and goes downhill from 8 times as many of them: for a release build.
    pub fn brute_force(&self, points: usize) -> [(f64, Vec<f64>); 2] {
        let density = std::env::var("SETOVER_DENSITY");
        let density: usize = density
            .ok()
            .and_then(|times| times.parse().ok())
            .unwrap_or(1);
        let count = self.sizes.len();
        let mut row = Row::new(99);
        let mut seen: Vec<Vec<f64>> = Vec::new();
        if count <= 4 {
            // The same ratio of points for each number of sizes.
            let denser = (density as f64).powf(1.0 / count as f64);
            let steps = 1 + ([0.0, 0.0, 16.0, 8.0, 4.0][count] * denser) as usize;
            for place in 0..steps.pow(count as u32) {
                let mut rest = place;
                let at = (0..count).map(|_| {
                    let step = rest % steps;
                    rest /= steps;
                    step as f64 / (steps - 1) as f64
                });
                seen.push(at.collect());
            }
        }
        let all_corners = if density > 1 { 12 } else { 8 };
        for corner in 0..(1_u64 << count.min(all_corners)) {
            let all = row.next();
            let bit = |index: usize| {
                if count <= all_corners {
                    corner >> index & 1
                } else {
                    all >> index & 1
                }
            };
            seen.push((0..count).map(|index| bit(index) as f64).collect());
        }
        for _ in 0..points * density {
            seen.push((0..count).map(|_| row.part()).collect());
        }
        [1.0, -1.0].map(|sign| {
            let mut order: Vec<(f64, usize)> = seen
                .iter()
                .enumerate()
                .map(|(index, at)| (sign * self.at(at), index))
                .collect();
            order.sort_by(|a, b| a.0.total_cmp(&b.0));
            let mut best = (f64::INFINITY, Vec::new());
            for (value, index) in order.into_iter().take(2 * density) {
                let mut at = seen[index].clone();
                let mut value = value;
                let mut stride = 0.25;
                while stride > 1e-6 {
                    let before = value;
                    for first in 0..count {
                        for second in first..count.min(first + 3) {
                            for (da, db) in [(1.0, 1.0), (-1.0, 1.0), (1.0, -1.0), (-1.0, -1.0)] {
                                let mut to = at.clone();
                                to[first] = (to[first] + da * stride).clamp(0.0, 1.0);
                                if second != first {
                                    to[second] = (to[second] + db * stride).clamp(0.0, 1.0);
                                }
                                let found = sign * self.at(&to);
                                if found < value {
                                    value = found;
                                    at = to;
                                }
                            }
                        }
                    }
                    if value >= before {
                        stride *= 0.3;
                    }
                }
                if value < best.0 {
                    best = (value, at);
                }
            }
            (sign * best.0, best.1)
        })
    }
}
