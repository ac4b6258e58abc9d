//! `find` against equations whose roots are known by construction: single, multiple,
//! touching, close together, beside poles and jumps.
//!
//! Source: mathematics; each equation is made from its roots.

use crate::support::worked_out;

/// SplitMix64, as published (Steele, Lea, Flood 2014).
struct Row(u64);

impl Row {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    fn below(&mut self, count: u64) -> u64 {
        self.next() % count
    }

    /// A number with up to two decimals.
    fn number(&mut self, from: f64, to: f64) -> f64 {
        let hundredths = ((to - from) * 100.0) as u64;
        ((from * 100.0).round() + self.below(hundredths + 1) as f64) / 100.0
    }
}

/// An equation with its bracket and all roots in it, in rising order.
struct Known {
    equation: String,
    bracket: (f64, f64),
    unit: &'static str,
    roots: Vec<f64>,
}

fn known(seed: u64) -> Known {
    let mut row = Row(seed);
    let top = [10.0, 100.0, 1000.0][row.below(3) as usize];
    let bracket = (-0.37, top + 0.71);
    let plain = |equation: String, mut roots: Vec<f64>| {
        roots.retain(|root| bracket.0 < *root && *root < bracket.1);
        roots.sort_by(f64::total_cmp);
        Known {
            equation,
            bracket,
            unit: "",
            roots,
        }
    };
    match seed % 10 {
        // Single roots, some of them 0.01 to 0.05 apart.
        0 | 1 => {
            let mut roots = vec![row.number(0.5, top)];
            for _ in 0..row.below(4) {
                let near = row.below(2) == 0;
                let last = *roots.last().expect("one");
                let next = if near {
                    last + 0.01 * (1 + row.below(5)) as f64
                } else {
                    row.number(0.5, top)
                };
                if roots.iter().all(|root| (root - next).abs() > 0.005) {
                    roots.push((next * 100.0).round() / 100.0);
                }
            }
            let factors: Vec<String> = roots.iter().map(|root| format!("(x - {root})")).collect();
            plain(format!("{} = 0", factors.join(" * ")), roots)
        }
        // A double or threefold root beside a single one.
        2 => {
            let (a, b) = (row.number(0.5, 4.0), row.number(5.0, 9.0));
            let power = 2 + row.below(2);
            plain(format!("(x - {a})^{power} * (x - {b}) = 0"), vec![a, b])
        }
        // Touching.
        3 => {
            let a = row.number(0.5, 9.0);
            let equation = match row.below(3) {
                0 => format!("(x - {a})^2 = 0"),
                1 => format!("abs(x - {a}) = 0"),
                _ => format!("x^2 + {} = {} * x", a * a, 2.0 * a),
            };
            // The square and the product are rounded: the roots of the last are as
            // written only where they are not.
            if equation.starts_with("x^2") {
                let a = a.round();
                return plain(format!("x^2 + {} = {} * x", a * a, 2.0 * a), vec![a]);
            }
            plain(equation, vec![a])
        }
        // Crests and troughs of a wave.
        4 => {
            let top = row.number(100.0, 1500.0);
            let (wave, first) = [
                ("sin(x) = 1", 90.0),
                ("cos(x) = -1", 180.0),
                ("sin(x) = -1", 270.0),
            ][row.below(3) as usize];
            let roots = (0..5).map(|turn| first + 360.0 * f64::from(turn));
            Known {
                equation: wave.to_owned(),
                bracket: (0.0, top),
                unit: " deg",
                roots: roots.filter(|root| *root <= top).collect(),
            }
        }
        // Poles: a root beside one, or none.
        5 => {
            let (a, c) = (row.number(1.0, 9.0), row.number(1.0, 5.0));
            match row.below(3) {
                0 => plain(format!("1 / (x - {a}) = {c}"), vec![a + 1.0 / c]),
                1 => plain(format!("1 / (x - {a}) = 0"), Vec::new()),
                _ => plain(format!("1 / (x - {a}) = x - {a}"), vec![a - 1.0, a + 1.0]),
            }
        }
        // Roots, logarithms, powers.
        6 => {
            let c = row.number(0.2, 2.0);
            match row.below(4) {
                0 => plain(format!("sqrt(x + 0.5) = {c}"), vec![c * c - 0.5]),
                1 => plain(format!("ln(x + 0.5) = {c}"), vec![c.exp() - 0.5]),
                2 => plain(format!("exp(x / 4) = 1 + {c}"), vec![4.0 * (1.0 + c).ln()]),
                _ => plain(format!("x^3 = {c}"), vec![c.cbrt()]),
            }
        }
        // Two sides of a fold.
        7 => {
            let (a, b) = (row.number(3.0, 6.0), row.number(0.5, 2.0));
            match row.below(3) {
                0 => plain(format!("abs(x - {a}) = {b}"), vec![a - b, a + b]),
                1 => plain(format!("max(x - {a}, {a} - x) = {b}"), vec![a - b, a + b]),
                _ => plain(format!("min(abs(x - {a}), 5) = {b}"), vec![a - b, a + b]),
            }
        }
        // A jump over 0 is no root.
        8 => {
            let (a, b) = (row.number(2.0, 8.0), row.number(0.5, 2.0));
            match row.below(2) {
                0 => plain(format!("(if x > {a} then {b} else -{b}) = 0"), Vec::new()),
                _ => plain(
                    format!("(if x > {a} then x - {a} + {b} else x - {a} + {b}) = 0"),
                    vec![a - b],
                ),
            }
        }
        // No root at all, near as it comes.
        _ => {
            let (a, c) = (row.number(1.0, 9.0), row.number(0.01, 1.0));
            plain(format!("(x - {a})^2 + {c} = 0"), Vec::new())
        }
    }
}

#[test]
fn every_root_is_found_and_nothing_else() {
    let mut wrong = Vec::new();
    for seed in 0..500 {
        let Known {
            equation,
            bracket: (low, high),
            unit,
            roots,
        } = known(seed);
        let text = format!("find x between {low}{unit} and {high}{unit} so that {equation}");
        let found = worked_out(&text);
        let said = match &found {
            Ok(value) => value.quantity().expect("a number").to_string(),
            Err(wrong) => wrong
                .first()
                .map_or(String::new(), |wrong| wrong.message.clone()),
        };
        let right = match (roots.as_slice(), &found) {
            ([], Err(_)) => said.starts_with("no `x`"),
            ([root], Ok(value)) => {
                let exact = if unit.is_empty() {
                    *root
                } else {
                    root.to_radians()
                };
                // Touching roots show to half the digits.
                let found = value.quantity().expect("a number").si;
                (found - exact).abs() <= 1e-7 * exact.abs().max(1.0)
            }
            (many, Err(_)) => said.starts_with(&format!("{} values of `x` fit", many.len())),
            _ => false,
        };
        if !right {
            wrong.push(format!("seed {seed}: {text}: {roots:?}, found {said}"));
        }
    }
    assert!(
        wrong.is_empty(),
        "{} wrong\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}

#[test]
fn solutions_that_were_missed_or_denied() {
    for (text, message) in [
        (
            "find x between 0 and 1000 so that (x-3)*(x-4)*(x-5) = 0",
            "3 values of `x` fit: 3, 4, 5",
        ),
        (
            "find x between 0 and 1000 so that (x-1)*(x-5.01)*(x-5.02) = 0",
            "3 values of `x` fit: 1, 5.01, 5.02",
        ),
        (
            "find t between 0 deg and 3600 deg so that sin(t) = 1",
            "10 values of `t` fit: 90.000 deg, 450.000 deg, 810.000 deg, 1170.000 deg, \
             1530.000 deg, 1890.000 deg, …",
        ),
        (
            "find x between 0 and 5 so that max(x - 3, 0) = 0",
            "every `x` from 0 to 3 fits",
        ),
    ] {
        let wrong = worked_out(text).expect_err("more than one");
        assert_eq!(wrong[0].message, message, "{text}");
    }
    let crest = worked_out("find t between 0 deg and 100 deg so that sin(t) = 1").expect("one");
    let quarter = std::f64::consts::FRAC_PI_2;
    assert!((crest.quantity().expect("an angle").si - quarter).abs() < 1e-12);
}
