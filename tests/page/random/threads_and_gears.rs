//! The pictures of threads and gears, one test each.

use super::{Part, all, extreme, figure, labels_only, with_each};
use crate::markup::{Picture, near};
use crate::pages::drawn;

#[test]
fn change_gears() {
    all("change gears", |chance, index| {
        let count = chance.count(1, 3);
        let mut teeth = |most: u32| {
            (0..count)
                .map(|_| chance.count(16, most))
                .collect::<Vec<u32>>()
        };
        let (drivers, driven) = (teeth(80), teeth(127));
        let list = |teeth: &[u32]| {
            teeth
                .iter()
                .map(ToString::to_string)
                .collect::<Vec<_>>()
                .join(", ")
        };
        let idler = chance.odds();
        let mut text = format!(
            "draw change gears(drivers: [{}], driven: [{}], module: 1.25 mm",
            list(&drivers),
            list(&driven)
        );
        if idler {
            text += ", idler: 50";
        }
        text += ")\n";
        let mut labels: Vec<String> = drivers
            .iter()
            .map(|teeth| format!("driver {teeth}"))
            .collect();
        labels.extend(driven.iter().map(|teeth| format!("driven {teeth}")));
        labels.extend(idler.then(|| "idler 50".to_owned()));
        labels.extend(["stud".to_owned(), "leadscrew".to_owned()]);
        let meshes = drivers.len() + usize::from(idler);
        // Each mesh turns the hand.
        labels.push(
            if meshes.is_multiple_of(2) {
                "the same way"
            } else {
                "the other way"
            }
            .to_owned(),
        );
        let _ = index;
        Part {
            text,
            labels,
            lines: Box::new(move |picture: &Picture, scale| {
                let gears = picture.circles("gear");
                near(gears[0].2, f64::from(drivers[0]) * 1.25 / 2.0 * scale);
                // The pitch circles of the first mesh touch.
                let (a, b) = (gears[0], gears[1]);
                near((a.0 - b.0).hypot(a.1 - b.1), a.2 + b.2);
            }),
        }
    });
    extreme(
        "change gears",
        &with_each("draw change gears(20, 127, module: @)\n"),
    );
}

#[test]
fn thread() {
    let designations = [
        "M3",
        "M10x1",
        "M20",
        "1/4-20 UNC",
        "1/2 BSW",
        "Tr 20x4",
        "2 BA",
        "M64",
    ];
    all("thread", |chance, _| {
        let designation = designations[chance.count(0, 7) as usize];
        let (first, second) = (chance.size(0.02, 0.09, 0.01), chance.size(0.1, 0.2, 0.01));
        let text = format!(
            "draw thread(\"{designation}\", passes: [{first} mm, {second} mm], compound: 29.5 deg)\n"
        );
        labels_only(
            text,
            vec![
                format!("1: {}", figure(first)),
                format!("2: {}", figure(second)),
                "29.5°".to_owned(),
                designation.to_owned(),
            ],
        )
    });
    extreme(
        "thread",
        &with_each("draw thread(\"M10\", passes: [@])\n")
            .iter()
            .cloned()
            .chain(with_each("draw thread(\"M10\", wire: @)\n"))
            .collect::<Vec<_>>(),
    );
    extreme("thread", &with_each("draw thread(\"M10\", over: @)\n"));
}

#[test]
fn a_wire_touches_the_flanks() {
    // Machinery's Handbook: the best wire for 60 degrees is 0.57735 times the pitch and
    // touches the flanks on the pitch line, 3/8 H below the sharp crest; M10 has a pitch
    // of 1.5 mm (ISO 261). H is 0.866025 times the pitch (ISO 68-1).
    let picture = drawn("draw thread(\"M10\", wire: 0.866 mm)\n");
    let scale = picture.scale();
    let wire = picture.circles("wire")[0];
    let height = 0.866_025 * 1.5;
    // The crest is cut H/8 below the sharp one: the pitch line lies at 3/8 H of it.
    near(wire.1 / scale + 0.866 / 2.0 * 0.5, 0.375 * height);
    near(wire.2, 0.433 * scale);
}

#[test]
fn gear() {
    all("gear", |chance, index| {
        let module = chance.size(0.5, 5.0, 0.25);
        let teeth = chance.count(12, 150);
        let mate = chance.count(12, 150);
        // Tables of span measurement take about a ninth of the teeth at 20 degrees.
        let span = (f64::from(teeth) / 9.0 + 0.5).round();
        let reading = chance.size(5.0, 90.0, 0.001);
        let (more, label) = match index % 3 {
            0 => (format!(", mate: {mate}"), String::new()),
            1 => (
                format!(", span_teeth: {span}, span: {reading} mm"),
                format!("{} over {span} teeth", figure(reading)),
            ),
            _ => (String::new(), String::new()),
        };
        let text = format!("draw gear(module: {module} mm, teeth: {teeth}{more})\n");
        let of = |teeth: f64| format!("⌀{}", figure(module * teeth));
        let count = f64::from(teeth);
        Part {
            text,
            labels: vec![
                of(count),
                of(count + 2.0),
                format!("module {}", figure(module)),
                label,
            ],
            lines: Box::new(move |picture: &Picture, scale| {
                // The teeth reach from root to outside: two and a quarter modules.
                let centre = module * count / 2.0 * scale;
                let points = picture.points("teeth");
                let far = points
                    .iter()
                    .map(|(x, y)| x.hypot(y - centre))
                    .fold(0.0, f64::max);
                near(far, (count + 2.0) * module / 2.0 * scale);
                // A tooth is as wide as its space on the pitch circle: some flank
                // crosses it at a quarter of the pitch from a middle line.
                assert!(points.len() > 20);
            }),
        }
    });
    extreme("gear", &with_each("draw gear(@, 20)\n"));
    extreme(
        "gear",
        &with_each("draw gear(2 mm, 20, pin: @, over: 45 mm)\n")
            .iter()
            .cloned()
            .chain(with_each("draw gear(2 mm, 20, span_teeth: 3, span: @)\n"))
            .chain(
                ["6", "7", "1000", "999"]
                    .iter()
                    .map(|teeth| format!("draw gear(2 mm, {teeth}, pin: 3.5 mm)\n")),
            )
            .collect::<Vec<_>>(),
    );
}

#[test]
fn pins_rest_where_the_handbook_has_them() {
    // Machinery's Handbook, checking spur gears by measurement over pins: 20 teeth, 20
    // degrees, pins of 1.728 in at 1 diametral pitch read 22.3900 in; scaled to module 2.
    let picture = drawn("draw gear(module: 2 mm, teeth: 20, pin: 3.456 mm)\n");
    let pin = picture.circles("pin")[0];
    // Twice from the gear's centre, 20 mm below the pitch circle's top, to the pin's top.
    let over = 2.0 * (20.0 + (pin.2 - pin.1) / picture.scale());
    assert!((over - 2.0 * 22.39).abs() < 0.002, "{over}");
}

#[test]
fn jaws_stand_where_the_span_is_measured() {
    // Elements of Metric Gear Technology, span measurement: module 1 mm, 20 teeth, 20
    // degrees, over 3 teeth 7.6604 mm.
    let sheet = crate::pages::sheet("draw gear(1 mm, 20, span_teeth: 3, span: 7.66 mm)\n");
    let drawing = sheet
        .rows()
        .next()
        .unwrap()
        .picture
        .as_ref()
        .unwrap()
        .drawn();
    let picture = Picture::of(&drawing.svg.unwrap());
    let scale = picture.scale();
    let half = -picture.points("jaw")[0].0;
    assert!((2.0 * half - 7.6604 * scale).abs() < 0.002, "{half}");
    // The three teeth between the jaws touch them and reach no further: five teeth are
    // drawn, the first and the last outside.
    let teeth = picture.points("teeth");
    let each = teeth.len() / 5;
    let between = &teeth[each..4 * each];
    let reach = between.iter().map(|(x, _)| x.abs()).fold(0.0, f64::max);
    assert!(
        reach <= half + 0.001 && reach > 0.99 * half,
        "{reach} of {half}"
    );
    assert!(picture.texts().contains(&"7.66 over 3 teeth".to_owned()));
}

/// What can't be measured so is refused.
#[test]
fn a_span_must_rest_on_flanks() {
    for (more, message) in [
        (
            "span_teeth: 9",
            "the jaws do not rest on the flanks of so many teeth",
        ),
        (
            "span: 7 mm",
            "the span does not say over how many teeth it is",
        ),
        (
            "span_teeth: 3, mate: 40",
            "pins, a span and a mate are pictures of their own",
        ),
    ] {
        let found = crate::pages::wrong(&format!("draw gear(1 mm, 20, {more})\n"));
        assert_eq!(found.first().map(|found| found.0.as_str()), Some(message));
    }
}
