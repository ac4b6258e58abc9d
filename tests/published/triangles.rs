//! Triangles and arcs against published solutions.

use setover::trade::holes::Point;
use setover::trade::triangles::{
    Triangle, corner_blend, radius_of_three_points, right_triangle, triangle,
};
use uom::si::angle::{degree, radian};
use uom::si::f64::{Angle, Length};
use uom::si::length::{centimeter, inch, millimeter};

use crate::compared::{check, inputs, length, near, number};
use crate::rows::rows;

fn mm(value: f64) -> Length {
    Length::new::<millimeter>(value)
}

fn deg(value: f64) -> Angle {
    Angle::new::<degree>(value)
}

/// An angle such as "41 deg 36 min".
fn angle(text: &str) -> Angle {
    let parts: Vec<&str> = text.split_whitespace().collect();
    match parts.as_slice() {
        [whole, "deg"] => deg(number(whole)),
        [whole, "deg", minutes, "min"] => deg(number(whole) + number(minutes) / 60.0),
        _ => panic!("angle {text}"),
    }
}

/// Source: each row names its own.
#[test]
fn worked_examples() {
    let table = rows(include_str!("../reference/worked_triangles.csv"));
    for row in &table {
        let given = inputs(row);
        let side = |name| given.get(name).map(|text| length(text));
        let found = match row["asked"].as_str() {
            "side a, next to B" => {
                let b = Some(angle(given["B"]));
                let found = right_triangle(None, None, side("hypotenuse"), None, b).unwrap();
                found.a.get::<inch>()
            }
            "side b" => {
                let found = right_triangle(side("a"), None, side("hypotenuse"), None, None);
                found.unwrap().b.get::<centimeter>()
            }
            "angle A" => {
                let found = right_triangle(side("a"), side("b"), None, None, None).unwrap();
                found.angle_a.get::<degree>()
            }
            "adjacent side" => {
                let a = Some(angle(given["A"]));
                let found = right_triangle(side("a"), None, None, a, None).unwrap();
                found.b.get::<inch>()
            }
            "side of the largest square in a round bar" => {
                let found = right_triangle(None, None, side("D"), Some(deg(45.0)), None).unwrap();
                found.a.get::<centimeter>()
            }
            "third side" => {
                let c = Some(angle(given["C"]));
                let found = triangle(side("a"), side("b"), None, None, None, c).unwrap();
                assert_eq!(found.len(), 1);
                found[0].c.get::<millimeter>()
            }
            other => panic!("asked for {other}"),
        };
        check(row, found);
    }
    println!("checked {} worked examples of triangles", table.len());
}

/// Sides and angles as plain numbers.
fn plain(found: &Triangle) -> [f64; 6] {
    [
        found.a.get::<millimeter>(),
        found.b.get::<millimeter>(),
        found.c.get::<millimeter>(),
        found.angle_a.get::<degree>(),
        found.angle_b.get::<degree>(),
        found.angle_c.get::<degree>(),
    ]
}

/// Source: Machinery's Handbook, solution of oblique-angled triangles, the four
/// worked cases; from memory. Sides as printed, angles to a minute.
#[test]
fn handbook_oblique_triangles() {
    let some = |value| Some(mm(value));
    let minutes = |whole: f64, minutes: f64| whole + minutes / 60.0;
    let cases = [
        (
            triangle(
                some(5.0),
                None,
                None,
                Some(deg(80.0)),
                Some(deg(62.0)),
                None,
            ),
            [5.0, 4.483, 3.126, 80.0, 62.0, 38.0],
        ),
        (
            triangle(some(9.0), some(8.0), None, None, None, Some(deg(35.0))),
            [9.0, 8.0, 5.2, minutes(83.0, 4.0), minutes(61.0, 56.0), 35.0],
        ),
        (
            triangle(some(20.0), some(17.0), None, Some(deg(61.0)), None, None),
            [
                20.0,
                17.0,
                21.62,
                61.0,
                minutes(48.0, 1.0),
                minutes(70.0, 59.0),
            ],
        ),
        (
            triangle(some(8.0), some(9.0), some(10.0), None, None, None),
            [
                8.0,
                9.0,
                10.0,
                minutes(49.0, 27.0),
                minutes(58.0, 45.0),
                minutes(71.0, 48.0),
            ],
        ),
    ];
    for (found, expected) in cases {
        let found = found.unwrap();
        assert_eq!(found.len(), 1, "one answer for {expected:?}");
        for (index, (found, expected)) in plain(&found[0]).into_iter().zip(expected).enumerate() {
            let half_digit = if index < 3 { 0.006 } else { 0.02 };
            near(found, expected, half_digit);
        }
    }
}

/// Source: Algebra and Trigonometry (open textbook, 2015), section 10.1, the ambiguous case
/// with angle 80 deg, sides 120 and 121; from memory. The book works the short
/// side out from the rounded angle of 3.2 deg, so a whole digit is allowed.
#[test]
fn both_answers_of_the_ambiguous_case() {
    let found = triangle(
        Some(mm(120.0)),
        Some(mm(121.0)),
        None,
        Some(deg(80.0)),
        None,
        None,
    )
    .unwrap();
    assert_eq!(found.len(), 2);
    let expected = [
        [120.0, 121.0, 35.2, 80.0, 83.2, 16.8],
        [120.0, 121.0, 6.8, 80.0, 96.8, 3.2],
    ];
    for (found, expected) in found.iter().zip(expected) {
        for (found, expected) in plain(found).into_iter().zip(expected) {
            near(found, expected, 0.1);
        }
    }
    // Just touching: one answer, with its right angle.
    let found = triangle(
        Some(mm(5.0)),
        Some(mm(10.0)),
        None,
        Some(deg(30.0)),
        None,
        None,
    );
    let found = found.unwrap();
    assert_eq!(found.len(), 1);
    near(plain(&found[0])[4], 90.0, 1e-9);
}

/// Whatever three parts of a triangle are given, the same triangle comes back,
/// and every answer keeps the sine and cosine rules. Source: own derivation.
#[test]
fn any_three_parts_give_the_triangle_back() {
    let mut answers = 0;
    for (a, b, angle_c) in [
        (30.0, 40.0, 60.0),
        (30.0, 40.0, 90.0),
        (12.5, 3.0, 140.0),
        (7.0, 7.0, 1.0),
        (1000.0, 0.5, 25.0),
    ] {
        let first = triangle(
            Some(mm(a)),
            Some(mm(b)),
            None,
            None,
            None,
            Some(deg(angle_c)),
        );
        let whole = first.unwrap()[0];
        for left_out in 0..20_u32 {
            // Every choice of three of the six parts.
            let chosen: Vec<usize> = choices().nth(left_out as usize).unwrap();
            let side = |index, value| chosen.contains(&index).then_some(value);
            if chosen.iter().all(|part| *part > 2) {
                continue;
            }
            let found = triangle(
                side(0, whole.a),
                side(1, whole.b),
                side(2, whole.c),
                chosen.contains(&3).then_some(whole.angle_a),
                chosen.contains(&4).then_some(whole.angle_b),
                chosen.contains(&5).then_some(whole.angle_c),
            )
            .unwrap();
            let back = found.iter().any(|found| {
                plain(found)
                    .into_iter()
                    .zip(plain(&whole))
                    .all(|(found, wanted)| (found - wanted).abs() < 1e-5 * wanted.abs())
            });
            assert!(back, "{chosen:?} of {whole:?} gave {found:?}");
            for found in &found {
                let [a, b, c, alpha, beta, gamma] = plain(found);
                near((alpha + beta + gamma) / 180.0, 1.0, 1e-9);
                let rule = a * a + b * b - 2.0 * a * b * gamma.to_radians().cos();
                near(c * c / rule, 1.0, 1e-6);
                near(
                    a * beta.to_radians().sin() / (b * alpha.to_radians().sin()),
                    1.0,
                    1e-6,
                );
                answers += 1;
            }
        }
    }
    assert!(answers >= 5 * 19, "{answers} answers");
}

/// Every choice of three of six.
fn choices() -> impl Iterator<Item = Vec<usize>> {
    (0..6).flat_map(|a| (a + 1..6).flat_map(move |b| (b + 1..6).map(move |c| vec![a, b, c])))
}

/// All ten pairs of a right triangle give the 3-4-5 triangle.
/// Source: Euclid, Elements I.47.
#[test]
fn any_two_parts_of_a_right_triangle() {
    let (a, b, c) = (mm(3.0), mm(4.0), mm(5.0));
    let sharp = Angle::new::<radian>((3.0_f64 / 4.0).atan());
    let other = Angle::new::<radian>((4.0_f64 / 3.0).atan());
    let mut pairs = 0;
    for first in 0..5 {
        for second in first + 1..5 {
            if first == 3 {
                continue;
            }
            let has = |part| part == first || part == second;
            let found = right_triangle(
                has(0).then_some(a),
                has(1).then_some(b),
                has(2).then_some(c),
                has(3).then_some(sharp),
                has(4).then_some(other),
            )
            .unwrap();
            near(found.a.get::<millimeter>(), 3.0, 1e-12);
            near(found.b.get::<millimeter>(), 4.0, 1e-12);
            near(found.hypotenuse.get::<millimeter>(), 5.0, 1e-12);
            near(found.angle_a.get::<radian>(), sharp.get::<radian>(), 1e-12);
            near(found.angle_b.get::<radian>(), other.get::<radian>(), 1e-12);
            near(
                found.area.get::<uom::si::area::square_millimeter>(),
                6.0,
                1e-12,
            );
            pairs += 1;
        }
    }
    assert_eq!(pairs, 9);
}

/// Source: plane geometry: in a square corner the centre lies a radius from
/// both lines; in one of 60 deg the tangent is r times root 3 and the centre two
/// radii from the corner.
#[test]
fn blended_corners() {
    let square = corner_blend(mm(0.0), mm(0.0), deg(0.0), deg(90.0), mm(10.0)).unwrap();
    near(square.centre.x.get::<millimeter>(), 10.0, 1e-12);
    near(square.centre.y.get::<millimeter>(), 10.0, 1e-12);
    assert_eq!(square.first.y, mm(0.0));
    near(square.second.y.get::<millimeter>(), 10.0, 1e-12);
    near(
        square.to_arc.get::<millimeter>(),
        10.0 * (2.0_f64.sqrt() - 1.0),
        1e-12,
    );
    let sharp = corner_blend(mm(5.0), mm(-2.0), deg(330.0), deg(30.0), mm(4.0)).unwrap();
    near(
        sharp.tangent.get::<millimeter>(),
        4.0 * 3.0_f64.sqrt(),
        1e-12,
    );
    near(sharp.centre.x.get::<millimeter>(), 13.0, 1e-12);
    near(sharp.centre.y.get::<millimeter>(), -2.0, 1e-12);
    near(sharp.sweep.get::<degree>(), 120.0, 1e-9);
    // Both tangent points lie a radius from the centre, whatever the corner.
    for first in 0..36 {
        for second in 0..36 {
            let (first, second) = (f64::from(first) * 10.0 - 180.0, f64::from(second) * 10.0);
            let Ok(arc) = corner_blend(mm(1.0), mm(2.0), deg(first), deg(second), mm(3.0)) else {
                assert!(
                    ((first - second) / 180.0).fract() == 0.0,
                    "{first} {second}"
                );
                continue;
            };
            for point in [arc.first, arc.second] {
                let x = (point.x - arc.centre.x).get::<millimeter>();
                let y = (point.y - arc.centre.y).get::<millimeter>();
                near(x.hypot(y), 3.0, 1e-9);
            }
        }
    }
}

/// Source: x^2 + y^2 = 25 holds for (3, 4), (-4, 3) and (5, 0); (1, 1), (2, 4)
/// and (5, 3) lie on the circle of radius root 5 about (3, 2) (analytic geometry).
#[test]
fn circles_through_three_points() {
    let at = |x, y| Point::new(mm(x), mm(y));
    let circle = radius_of_three_points(at(3.0, 4.0), at(-4.0, 3.0), at(5.0, 0.0)).unwrap();
    near(circle.radius.get::<millimeter>(), 5.0, 1e-12);
    near(circle.centre.x.get::<millimeter>(), 0.0, 1e-12);
    near(circle.centre.y.get::<millimeter>(), 0.0, 1e-12);
    let circle = radius_of_three_points(at(1.0, 1.0), at(2.0, 4.0), at(5.0, 3.0)).unwrap();
    near(circle.diameter.get::<millimeter>(), 20.0_f64.sqrt(), 1e-12);
    near(circle.centre.x.get::<millimeter>(), 3.0, 1e-12);
    near(circle.centre.y.get::<millimeter>(), 2.0, 1e-12);
    // From (1, 1) round by (2, 4) to (5, 3) is half the circle.
    near(circle.covered.get::<degree>(), 180.0, 1e-9);
}

#[test]
fn bad_input_is_refused() {
    let some = |value| Some(mm(value));
    let turn = |value| Some(deg(value));
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e300] {
        assert!(right_triangle(some(bad), some(1.0), None, None, None).is_err());
        assert!(triangle(some(bad), some(1.0), some(1.0), None, None, None).is_err());
        assert!(triangle(some(1.0), some(1.0), None, None, None, turn(bad)).is_err());
        assert!(right_triangle(some(1.0), None, None, turn(bad), None).is_err());
        assert!(corner_blend(mm(0.0), mm(0.0), deg(0.0), deg(90.0), mm(bad)).is_err());
    }
    for (fault, said) in [
        (
            right_triangle(None, None, None, turn(30.0), turn(60.0)).unwrap_err(),
            "size",
        ),
        (
            right_triangle(some(1.0), None, None, None, None).unwrap_err(),
            "found 1",
        ),
        (
            right_triangle(some(6.0), None, some(5.0), None, None).unwrap_err(),
            "6 mm",
        ),
        (
            right_triangle(some(6.0), None, None, turn(90.0), None).unwrap_err(),
            "90 deg",
        ),
        (
            triangle(None, None, None, turn(60.0), turn(60.0), turn(60.0)).unwrap_err(),
            "size",
        ),
        (
            triangle(some(1.0), some(2.0), some(3.0), None, None, None).unwrap_err(),
            "3 mm",
        ),
        (
            triangle(some(4.0), some(10.0), None, turn(30.0), None, None).unwrap_err(),
            "reach",
        ),
        (
            triangle(some(4.0), some(10.0), None, turn(120.0), None, None).unwrap_err(),
            "reach",
        ),
        (
            triangle(some(4.0), None, None, turn(120.0), turn(60.0), None).unwrap_err(),
            "180 deg",
        ),
        (
            corner_blend(mm(0.0), mm(0.0), deg(10.0), deg(190.0), mm(1.0)).unwrap_err(),
            "one line",
        ),
    ] {
        assert!(fault.message.contains(said), "{fault}");
    }
    let at = |x, y| Point::new(mm(x), mm(y));
    assert!(radius_of_three_points(at(0.0, 0.0), at(1.0, 1.0), at(3.0, 3.0)).is_err());
    assert!(radius_of_three_points(at(0.0, 0.0), at(1.0, 1.0), at(0.0, 0.0)).is_err());
    assert!(radius_of_three_points(at(0.0, f64::NAN), at(1.0, 1.0), at(0.0, 5.0)).is_err());
}
