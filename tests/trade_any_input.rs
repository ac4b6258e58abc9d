//! Whatever is given, the trade functions of geometry, dividing, gearing and
//! cutting answer or refuse: they don't panic, and what they answer is finite.

use proptest::prelude::*;
use setover::trade::change_gears::{change_gears, thread_dial};
use setover::trade::cutting_list::{Stock, cutting_list};
use setover::trade::dial::dial_turns;
use setover::trade::dividing::{
    Plate, angle_indexing, compound_indexing, differential_indexing, division_angles,
    plain_indexing, table_turns,
};
use setover::trade::gears::{
    angle_from_involute, best_pin, best_span_teeth, nearest_module, over_pins, span, spur_gear,
    thickness_from_pins, thickness_from_span, worm, worm_wheel,
};
use setover::trade::holes::{Point, hole_grid, hole_row, part_circle, pitch_circle, turned};
use setover::trade::triangles::{corner_blend, radius_of_three_points, right_triangle, triangle};
use uom::si::angle::degree;
use uom::si::f64::{Angle, Length};
use uom::si::length::millimeter;

/// Numbers of a size that a user types, and some that no one would.
fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        4 => -10.0..400.0,
        2 => (0_i32..400).prop_map(f64::from),
        1 => any::<f64>(),
        1 => prop_oneof![Just(0.0), Just(1e-12), Just(1e9), Just(f64::NAN)],
    ]
}

fn count() -> impl Strategy<Value = u32> {
    prop_oneof![6 => 0_u32..150, 1 => any::<u32>()]
}

fn mm(value: f64) -> Length {
    Length::new::<millimeter>(value)
}

fn deg(value: f64) -> Angle {
    Angle::new::<degree>(value)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(400))]

    #[test]
    fn geometry(n in prop::collection::vec(number(), 6), whole in count(), given in 0_u32..64) {
        for hole in pitch_circle(whole, mm(n[0]), deg(n[1]), mm(n[2]), mm(n[3])).unwrap_or_default() {
            prop_assert!(hole.x.is_finite() && hole.y.is_finite() && hole.angle.is_finite());
        }
        for hole in part_circle(whole, mm(n[0]), deg(n[1]), deg(n[4]), mm(n[2]), mm(n[3])).unwrap_or_default() {
            prop_assert!(hole.x.is_finite() && hole.y.is_finite());
        }
        let _ = hole_row(whole, mm(n[0]), deg(n[1]), mm(n[2]), mm(n[3]));
        let _ = hole_grid(whole, given, mm(n[0]), mm(n[1]));
        let points = [(n[0], n[1]), (n[2], n[3]), (n[4], n[5])].map(|(x, y)| Point::new(mm(x), mm(y)));
        let _ = turned(&points, deg(n[0]));
        if let Ok(circle) = radius_of_three_points(points[0], points[1], points[2]) {
            prop_assert!(circle.radius.is_finite() && circle.covered.is_finite());
        }
        if let Ok(arc) = corner_blend(mm(n[0]), mm(n[1]), deg(n[2]), deg(n[3]), mm(n[4])) {
            prop_assert!(arc.centre.x.is_finite() && arc.tangent.is_finite());
        }
        let side = |place: usize| (given >> place & 1 == 1).then(|| mm(n[place]));
        let angle = |place: usize| (given >> place & 1 == 1).then(|| deg(n[place]));
        if let Ok(found) = right_triangle(side(0), side(1), side(2), angle(3), angle(4)) {
            prop_assert!(found.a.value > 0.0 && found.b.value >= 0.0 && found.hypotenuse.is_finite());
        }
        for found in triangle(side(0), side(1), side(2), angle(3), angle(4), angle(5)).unwrap_or_default() {
            prop_assert!(found.a.value > 0.0 && found.b.value > 0.0 && found.c.value > 0.0, "{found:?}");
            prop_assert!(found.angle_a.value + found.angle_b.value + found.angle_c.value < 3.15);
        }
    }

    #[test]
    fn dividing(value in number(), whole in count(), ratio in count(), circles in prop::collection::vec(count(), 0..6), gears in prop::collection::vec(count(), 0..8)) {
        let plates = [Plate::of_circles(&circles)];
        if let Ok(found) = table_turns(deg(value), ratio) {
            prop_assert!(found.dial.value >= 0.0 && found.dial < found.per_turn);
        }
        let _ = division_angles(whole % 5_000, deg(value));
        let _ = plain_indexing(whole, ratio, &plates);
        let _ = angle_indexing(deg(value), ratio, &plates);
        let _ = compound_indexing(whole, ratio, &plates);
        let _ = differential_indexing(whole, ratio, &plates, &gears);
        let _ = dial_turns(mm(value), mm(f64::from(ratio) / 8.0), whole);
    }

    #[test]
    fn gearing(n in prop::collection::vec(number(), 5), gears in prop::collection::vec(8_u32..130, 0..10), teeth in count(), pairs in 0_u32..5) {
        for train in change_gears(mm(n[0]), mm(n[1]), &gears, pairs, n[2] / 1000.0).unwrap_or_default() {
            prop_assert!(train.pitch.value > 0.0 && train.error.abs() <= n[2] / 1000.0);
        }
        let _ = thread_dial(mm(n[0]), mm(n[1]), teeth, pairs);
        let _ = spur_gear(mm(n[0]), teeth, deg(n[1] / 10.0), n[2] / 100.0, n[3] / 100.0);
        if let Ok(over) = over_pins(mm(n[0]), teeth, mm(n[1]), deg(n[2] / 10.0), n[3] / 100.0) {
            prop_assert!(over.is_finite() && over.value > 0.0);
        }
        let _ = best_pin(mm(n[0]), teeth, deg(n[2] / 10.0), n[3] / 100.0);
        let _ = thickness_from_pins(mm(n[0]), teeth, mm(n[1]), deg(n[2] / 10.0), mm(n[3]));
        let _ = best_span_teeth(teeth, deg(n[2] / 10.0), n[3] / 100.0);
        let _ = span(mm(n[0]), teeth, pairs, deg(n[2] / 10.0), n[3] / 100.0);
        let _ = thickness_from_span(mm(n[0]), teeth, pairs, deg(n[2] / 10.0), mm(n[3]));
        if let Ok(angle) = angle_from_involute(n[0]) {
            prop_assert!(angle.value >= 0.0 && angle.value < 1.571);
        }
        let _ = nearest_module(mm(n[0]));
        let _ = worm(mm(n[0]), pairs, mm(n[1]));
        let _ = worm_wheel(mm(n[0]), teeth, mm(n[1]));
    }

    #[test]
    fn cutting(bars in prop::collection::vec(number(), 1..5), pieces in prop::collection::vec((number(), 0_u32..4), 0..5), cut in number(), unlimited in any::<bool>()) {
        let bars: Vec<Length> = bars.into_iter().map(mm).collect();
        let pieces: Vec<(Length, u32)> = pieces.into_iter().map(|(length, count)| (mm(length), count)).collect();
        let stock = if unlimited { Stock::Unlimited(bars[0]) } else { Stock::Bars(&bars) };
        if let Ok(list) = cutting_list(stock, &pieces, mm(cut)) {
            let wanted: u32 = pieces.iter().map(|(_, count)| count).sum();
            let found: usize = list.bars.iter().map(|bar| bar.pieces.len()).sum();
            prop_assert_eq!(found, wanted as usize);
            for bar in &list.bars {
                let pieces: f64 = bar.pieces.iter().map(|piece| piece.value).sum();
                let cuts = cut / 1e3 * (bar.pieces.len() as f64 - 1.0);
                prop_assert!(pieces + cuts <= bar.length.value + 1e-8 * bar.pieces.len() as f64, "{bar:?}");
            }
        }
    }
}
