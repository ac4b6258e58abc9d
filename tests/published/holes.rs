//! Hole patterns against published coordinates and chord constants.

use setover::internals::language::Value;
use setover::internals::quantity::Quantity;
use setover::internals::trade::holes::{Placement, Point};
use uom::ConstZero;
use uom::si::angle::degree;
use uom::si::f64::{Angle, Length};
use uom::si::length::{inch, millimeter};

use crate::compared::{check, inputs, length, near, number};
use crate::evaluated::called;
use crate::lengths::mm;
use crate::rows::rows;

fn deg(value: f64) -> Angle {
    Angle::new::<degree>(value)
}

/// A hole of a pattern as a notebook gets it.
struct Hole {
    angle: Angle,
    x: Length,
    y: Length,
    column: f64,
    row: f64,
    chord: Option<Length>,
}

/// What a function of the library gives for these arguments.
fn pattern(function: &str, arguments: &[Value]) -> Vec<Hole> {
    let Ok(Value::Table(table)) = called(function, arguments) else {
        panic!("no table of {function}");
    };
    let cell = |row: &[Value], name: &str| {
        let place = table.columns.iter().position(|column| &**column == name)?;
        Some(row.get(place)?.quantity().ok()?.si)
    };
    let hole = |row: &Vec<Value>| Hole {
        angle: Angle::new::<uom::si::angle::radian>(cell(row, "angle").unwrap_or_default()),
        x: Length::new::<uom::si::length::meter>(cell(row, "x").expect("x")),
        y: Length::new::<uom::si::length::meter>(cell(row, "y").expect("y")),
        column: cell(row, "column").unwrap_or_default(),
        row: cell(row, "row").unwrap_or_default(),
        chord: cell(row, "chord").map(Length::new::<uom::si::length::meter>),
    };
    table.rows.iter().map(hole).collect()
}

fn plain(count: u32) -> Value {
    Value::whole(count)
}

fn long(length: Length) -> Value {
    let millimetres = length.get::<millimeter>();
    Quantity::of(millimetres, "mm").expect("a length").into()
}

fn turn(angle: Angle) -> Value {
    let degrees = angle.get::<degree>();
    Quantity::of(degrees, "deg").expect("an angle").into()
}

fn pitch_circle(count: u32, diameter: Length, first: Angle, x: Length, y: Length) -> Vec<Hole> {
    let arguments = [plain(count), long(diameter), turn(first), long(x), long(y)];
    pattern("pitch_circle", &arguments)
}

fn part_circle(
    count: u32,
    diameter: Length,
    [first, between]: [Angle; 2],
    [x, y]: [Length; 2],
) -> Vec<Hole> {
    let (first, between) = (turn(first), turn(between));
    let arguments = [
        plain(count),
        long(diameter),
        first,
        between,
        long(x),
        long(y),
    ];
    pattern("part_circle", &arguments)
}

fn hole_row(count: u32, pitch: Length, angle: Angle, x: Length, y: Length) -> Vec<Hole> {
    let arguments = [plain(count), long(pitch), turn(angle), long(x), long(y)];
    pattern("hole_row", &arguments)
}

fn hole_grid(columns: u32, rows: u32, dx: Length, dy: Length) -> Vec<Hole> {
    pattern(
        "hole_grid",
        &[plain(columns), plain(rows), long(dx), long(dy)],
    )
}

/// Source: chord constants sin(180 deg / N), worked out; the table in Machinery's Handbook,
/// lengths of chords for spacing off circles, agrees where it was recalled.
#[test]
fn chord_constants() {
    let table = rows(include_str!("../reference/chord_constants.csv"));
    for row in &table {
        let count: u32 = row["holes"].parse().unwrap();
        let holes = pitch_circle(count, mm(1.0), deg(0.0), mm(0.0), mm(0.0));
        assert_eq!(holes.len(), count as usize);
        let chord = holes[0].chord.unwrap().get::<millimeter>();
        near(chord, row["constant"].parse().unwrap(), 5e-8);
        let step = holes[1].angle - holes[0].angle;
        near(
            step.get::<degree>(),
            row["angle_deg"].parse().unwrap(),
            5e-7,
        );
        // The chord is the distance between the coordinates, all the way round.
        for (hole, next) in holes.iter().zip(holes.iter().cycle().skip(1)) {
            let (x, y) = (next.x - hole.x, next.y - hole.y);
            let distance = x.get::<millimeter>().hypot(y.get::<millimeter>());
            near(distance, chord, 1e-12);
        }
    }
    println!("checked {} chord constants", table.len());
    assert_eq!(table.len(), 98);
}

/// Source: each row names its own.
#[test]
fn worked_examples() {
    let table = rows(include_str!("../reference/worked_holes.csv"));
    for row in &table {
        let given = inputs(row);
        let count = number(given["holes"]) as u32;
        let zero = Length::ZERO;
        let found = match row["topic"].as_str() {
            "chord constant" => {
                let diameter = length(given["diameter"]);
                let holes = pitch_circle(count, diameter, deg(0.0), zero, zero);
                holes[0].chord.unwrap().get::<millimeter>()
            }
            "chord length" if given.contains_key("skip") => {
                let holes = pitch_circle(count, length(given["D"]), deg(0.0), zero, zero);
                let skipped = &holes[number(given["skip"]) as usize];
                let (x, y) = (skipped.x - holes[0].x, skipped.y - holes[0].y);
                x.get::<millimeter>().hypot(y.get::<millimeter>())
            }
            "chord length" => {
                let holes = pitch_circle(count, length(given["D"]), deg(0.0), zero, zero);
                holes[0].chord.unwrap().get::<inch>()
            }
            "bolt-circle coordinates" => {
                let holes = pitch_circle(
                    count,
                    length(given["D"]),
                    deg(number(given["first"])),
                    length(given["centre_x"]),
                    length(given["centre_y"]),
                );
                let hole = &holes[number(given["hole"]) as usize - 1];
                match row["asked"].as_str() {
                    "x" => hole.x.get::<millimeter>(),
                    "y" => hole.y.get::<millimeter>(),
                    other => panic!("asked for {other}"),
                }
            }
            other => panic!("topic {other}"),
        };
        check(row, found);
    }
    println!("checked {} worked examples of holes", table.len());
}

/// Source: Machinery's Handbook, hole coordinates on a circle of 1 in diameter,
/// first hole at the top, datum at the upper left corner with y downwards; from
/// memory.
#[test]
fn handbook_coordinates() {
    for (count, expected) in [
        (3, &[(0.5, 0.0), (0.066_99, 0.75), (0.933_01, 0.75)][..]),
        (
            5,
            &[
                (0.5, 0.0),
                (0.024_47, 0.345_49),
                (0.206_11, 0.904_51),
                (0.793_89, 0.904_51),
                (0.975_53, 0.345_49),
            ][..],
        ),
    ] {
        let size = Length::new::<inch>(1.0);
        let half = size / 2.0;
        let holes = pitch_circle(count, size, deg(90.0), half, -half);
        let points: Vec<Point> = holes
            .iter()
            .map(|hole| Point::new(hole.x, hole.y))
            .collect();
        for (point, (x, y)) in Placement::mirrored("x")
            .places(&points)
            .iter()
            .zip(expected)
        {
            near(point.x.get::<inch>(), *x, 5e-6);
            near(point.y.get::<inch>(), *y, 5e-6);
        }
    }
}

/// Source: Euclid, Elements IV.15: the side of a hexagon is the radius of its
/// circle; so three holes 60 degrees apart stand a radius from one another.
#[test]
fn part_of_a_hexagon() {
    let holes = part_circle(3, mm(50.0), [deg(-30.0), deg(60.0)], [mm(10.0), mm(0.0)]);
    let chords: Vec<Option<f64>> = holes
        .iter()
        .map(|hole| hole.chord.map(|chord| chord.get::<millimeter>()))
        .collect();
    near(chords[0].unwrap(), 25.0, 1e-12);
    near(chords[1].unwrap(), 25.0, 1e-12);
    assert_eq!(chords[2], None);
    near(holes[0].angle.get::<degree>(), 330.0, 1e-9);
    near(
        holes[1].x.get::<millimeter>(),
        10.0 + 25.0 * 0.75_f64.sqrt(),
        1e-12,
    );
    near(holes[2].x.get::<millimeter>(), 10.0, 1e-12);
    near(holes[2].y.get::<millimeter>(), 25.0, 1e-12);
}

/// Source: the 3-4-5 triangle: a row at atan(3/4) goes 4 along and 3 up for
/// every 5.
#[test]
fn row_grid_and_other_datums() {
    let angle = Angle::new::<uom::si::angle::radian>(0.75_f64.atan());
    let row = hole_row(4, mm(5.0), angle, mm(1.0), mm(-3.0));
    near(row[3].x.get::<millimeter>(), 13.0, 1e-12);
    near(row[3].y.get::<millimeter>(), 6.0, 1e-12);
    assert_eq!(row[1].y, Length::ZERO, "3 up from -3 is nothing left over");

    let grid = hole_grid(3, 2, mm(10.0), mm(-4.0));
    let last = &grid[5];
    assert_eq!((grid.len(), last.column, last.row), (6, 3.0, 2.0));
    near(last.x.get::<millimeter>(), 20.0, 1e-12);
    near(last.y.get::<millimeter>(), -4.0, 1e-12);

    let point = [Point::new(mm(4.0), mm(3.0))];
    let quarter = Placement::turned(deg(90.0)).places(&point)[0];
    near(quarter.x.get::<millimeter>(), -3.0, 1e-12);
    near(quarter.y.get::<millimeter>(), 4.0, 1e-12);
    let shifted = Placement::moved(mm(-4.0), mm(1.0)).places(&point)[0];
    assert_eq!(shifted.x, Length::ZERO);
    near(shifted.y.get::<millimeter>(), 4.0, 1e-12);
    let other = Placement::mirrored("y").places(&point)[0];
    near(other.x.get::<millimeter>(), -4.0, 1e-12);
    near(other.y.get::<millimeter>(), 3.0, 1e-12);
    // Turned three times by a third of a turn, every hole is where it was.
    let mut points = vec![
        Point::new(mm(12.5), mm(-7.25)),
        Point::new(mm(0.0), mm(80.0)),
    ];
    let before = points.clone();
    for _ in 0..3 {
        points = Placement::turned(deg(120.0)).places(&points);
    }
    for (now, was) in points.iter().zip(&before) {
        near((now.x - was.x).get::<millimeter>(), 0.0, 1e-12);
        near((now.y - was.y).get::<millimeter>(), 0.0, 1e-12);
    }
}

/// Holes on the axes have coordinates of exactly 0, not 6e-17. Source: own derivation,
/// cos 90 deg is 0.
#[test]
fn nothing_is_left_over_on_the_axes() {
    let holes = pitch_circle(4, mm(80.0), deg(0.0), mm(0.0), mm(0.0));
    let on_axis = [holes[0].y, holes[1].x, holes[2].y, holes[3].x];
    assert_eq!(on_axis, [Length::ZERO; 4]);
    let holes = pitch_circle(6, mm(80.0), deg(90.0), mm(0.0), mm(0.0));
    assert_eq!((holes[0].x, holes[3].x), (Length::ZERO, Length::ZERO));
    let holes = pitch_circle(4, mm(80.0), deg(0.0), mm(40.0), mm(-40.0));
    assert_eq!((holes[2].x, holes[1].y), (Length::ZERO, Length::ZERO));
}
