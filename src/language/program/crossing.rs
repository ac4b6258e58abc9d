//! Where a function changes its sign between two places, to the last digit.

/// The most steps of one change of sign; halving alone needs 60 for what is no smaller than
/// a millionth of the whole.
const STEPS: usize = 200;
/// Less than this part of the whole way is nothing.
const NOTHING: f64 = 1e-30;

/// Returns where `function` changes its sign between two ends, to the last digit: of the two
/// numbers next to one another at which it does, that at which it is nearer to 0. Nothing
/// where the ends have the same sign, or where it has no value on the way.
pub fn crossing(
    (low, high): (f64, f64),
    mut function: impl FnMut(f64) -> Option<f64>,
) -> Option<f64> {
    let (at_low, at_high) = (function(low)?, function(high)?);
    if at_low == 0.0 {
        return Some(low);
    }
    if at_high == 0.0 {
        return Some(high);
    }
    if (at_low > 0.0) == (at_high > 0.0) {
        return None;
    }
    let found = brent((low, at_low), (high, at_high), &mut |x| {
        Ok::<_, std::convert::Infallible>(function(x))
    });
    let Ok(Some([(mut a, mut at_a), (mut b, mut at_b)])) = found else {
        return None;
    };
    // What is left between the two is a few numbers, unless they lie about 0.
    let floor = NOTHING * (high - low).abs();
    while at_a != 0.0 && at_b != 0.0 && (b - a).abs() > floor {
        let middle = f64::midpoint(a, b);
        if middle == a || middle == b {
            break;
        }
        let value = function(middle)?;
        if (value > 0.0) == (at_a > 0.0) && value != 0.0 {
            (a, at_a) = (middle, value);
        } else {
            (b, at_b) = (middle, value);
        }
    }
    Some(if at_b.abs() < at_a.abs() { b } else { a })
}

/// Returns two places next to one another, to two units in the last place, between which a
/// function changes its sign, with what it comes to there, the nearer to 0 first;
/// nothing where it has no value on the way.
///
/// Method: bisection safeguarding inverse interpolation, after T. J. Dekker and
/// R. P. Brent, "Algorithms for Minimization without Derivatives" (1973), chapter 4.
///
/// # Errors
/// What `function` itself fails with.
pub fn brent<E>(
    (mut a, mut fa): (f64, f64),
    (mut b, mut fb): (f64, f64),
    function: &mut impl FnMut(f64) -> Result<Option<f64>, E>,
) -> Result<Option<[(f64, f64); 2]>, E> {
    let (mut c, mut fc) = (a, fa);
    let floor = NOTHING * (b - a).abs();
    let mut step = b - a;
    let mut before = step;
    for _ in 0..STEPS {
        if fc.abs() < fb.abs() {
            (a, b, c) = (b, c, b);
            (fa, fb, fc) = (fb, fc, fb);
        }
        let close = (f64::EPSILON * b.abs()).max(floor);
        let middle = 0.5 * (c - b);
        if middle.abs() <= close || fb == 0.0 {
            return Ok(Some([(b, fb), (c, fc)]));
        }
        if before.abs() >= close && fa.abs() > fb.abs() {
            let s = fb / fa;
            let (mut p, mut q) = if a == c {
                (2.0 * middle * s, 1.0 - s)
            } else {
                let (q, r) = (fa / fc, fb / fc);
                (
                    s * (2.0 * middle * q * (q - r) - (b - a) * (r - 1.0)),
                    (q - 1.0) * (r - 1.0) * (s - 1.0),
                )
            };
            if p > 0.0 {
                q = -q;
            }
            p = p.abs();
            if 2.0 * p < (3.0 * middle * q - (close * q).abs()).min((before * q).abs()) {
                before = step;
                step = p / q;
            } else {
                step = middle;
                before = middle;
            }
        } else {
            step = middle;
            before = middle;
        }
        (a, fa) = (b, fb);
        b += if step.abs() > close {
            step
        } else {
            close.copysign(middle)
        };
        match function(b)? {
            Some(y) if y.is_finite() => fb = y,
            _ => return Ok(None),
        }
        if (fb > 0.0) == (fc > 0.0) {
            (c, fc) = (a, fa);
            step = b - a;
            before = step;
        }
    }
    Ok(Some([(b, fb), (c, fc)]))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_change_of_sign_is_found_in_few_steps_to_the_last_digit() {
        // Source: exact values, 2^(1/2), pi, and the Dottie number 0.739085133215160641655312...
        type Case = (f64, f64, fn(f64) -> f64, f64);
        let cases: [Case; 5] = [
            (0.0, 2.0, |x| x * x - 2.0, std::f64::consts::SQRT_2),
            (3.0, 4.0, |x| x.sin(), std::f64::consts::PI),
            (0.0, 1.0, |x| x.cos() - x, 0.739_085_133_215_160_6),
            (1e-9, 1e9, |x| x.ln(), 1.0),
            (0.0, 1.0, |x| x.powi(9) - 1e-9, 0.1),
        ];
        for (low, high, f, exact) in cases {
            let mut count = 0;
            let found = crossing((low, high), |x| {
                count += 1;
                Some(f(x))
            });
            let found = found.unwrap();
            assert!(
                (found / exact - 1.0).abs() < 4.0 * f64::EPSILON,
                "{found} {exact}"
            );
            assert!(count < 120, "{count} for {exact}");
        }
        assert_eq!(crossing((1.0, 2.0), Some), None);
        assert_eq!(crossing((0.0, 2.0), Some), Some(0.0));
        assert_eq!(crossing((-1.0, 2.0), |_| None), None);
    }
}
