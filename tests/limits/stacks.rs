//! Worked tolerance stacks.

use crate::shelf::{close, limits_of, open};

/// Source: the stack of a shaft in a housing as it is worked in textbooks of
/// dimensioning (chain of n equal sizes: worst case n t, root-sum-square t sqrt(n));
/// from memory, such as Machinery's Handbook, "Tolerance analysis"; arithmetic.
#[test]
fn equal_tolerances_add_and_root_sum_square_grows_with_the_root() {
    for count in [2_u32, 4, 9, 16] {
        let mut text = String::new();
        for index in 0..count {
            text += &format!("s{index} = 10 mm ±0.05\n");
        }
        let sum: Vec<String> = (0..count).map(|index| format!("s{index}")).collect();
        text += &format!("y = {}", sum.join(" + "));
        let limits = limits_of(&open(&text), "y").expect("limits");
        let n = f64::from(count);
        close(limits.high - limits.nominal, n * 5e-5, "worst case");
        close(limits.nominal - limits.low, n * 5e-5, "worst case");
        close(
            limits.root_sum_square().1,
            n.sqrt() * 5e-5,
            "root-sum-square",
        );
    }
}

/// Source: D. C. Montgomery, "Introduction to Statistical Quality Control", chapter on
/// process capability, the linkage of four links: lengths 2.0, 4.5, 3.0, 2.5 in; from
/// memory; with tolerances of ±0.0125 in each the assembly of 12 in has ±0.05 in at
/// the worst and ±0.025 in by root-sum-square (arithmetic).
#[test]
fn four_links() {
    let text = "x1 = 2 in ±0.0125\nx2 = 4.5 in ±0.0125\nx3 = 3 in ±0.0125\nx4 = 2.5 in ±0.0125\ny = x1 + x2 + x3 + x4";
    let limits = limits_of(&open(text), "y").expect("limits");
    close(limits.nominal, 12.0 * 0.0254, "assembly");
    close(limits.high, 12.05 * 0.0254, "worst case");
    close(limits.low, 11.95 * 0.0254, "worst case");
    close(
        limits.root_sum_square().1,
        0.025 * 0.0254,
        "root-sum-square",
    );
}

/// Source: the overrunning clutch of S. D. Nigam and J. U. Turner, "Review of
/// statistical approaches to tolerance analysis", Computer-Aided Design 27 (1995), and
/// earlier papers; from memory: hub 55.29 ±0.0125 mm, roller 22.86 ±0.0125 mm, cage
/// 101.60 ±0.0125 mm; contact angle acos((a + c) / (e - c)) = 7.0184 deg. Its limits
/// are arithmetic (Python: 6.84 deg 7.18 deg to the corners below).
#[test]
fn overrunning_clutch() {
    let text = "hub = 55.29 mm ±0.0125\nroller = 22.86 mm ±0.0125\ncage = 101.60 mm ±0.0125\n\
                y = acos((hub + roller) / (cage - roller))";
    let limits = limits_of(&open(text), "y").expect("limits");
    assert!(
        (limits.nominal.to_degrees() - 7.0184).abs() < 5e-5,
        "{limits:?}"
    );
    let angle = |a: f64, c: f64, e: f64| ((a + c) / (e - c)).acos();
    let d = 0.0125;
    close(
        limits.high,
        angle(55.29 - d, 22.86 - d, 101.60 + d),
        "greatest",
    );
    close(limits.low, angle(55.29 + d, 22.86 + d, 101.60 - d), "least");
}

/// Source: the propagation of a product, JCGM 100:2008 (GUM), 5.1.6: relative parts
/// add in squares; arithmetic on V = pi d^2 h / 4.
#[test]
fn volume_of_a_cylinder() {
    let text = "d = 20 mm ±0.02\nh = 50 mm ±0.1\ny = pi * d^2 * h / 4";
    let limits = limits_of(&open(text), "y").expect("limits");
    let volume = std::f64::consts::PI * 0.02 * 0.02 * 0.05 / 4.0;
    let relative = ((2.0_f64 * 0.02 / 20.0).powi(2) + (0.1_f64 / 50.0).powi(2)).sqrt();
    let found = limits.root_sum_square().1;
    assert!((found / volume - relative).abs() < 1e-8, "{found}");
    let worst = std::f64::consts::PI * 0.020_02 * 0.020_02 * 0.0501 / 4.0;
    close(limits.high, worst, "worst case");
}
