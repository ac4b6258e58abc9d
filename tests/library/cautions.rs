//! Every function has its caution, or a word why it needs none.

use std::collections::HashMap;

use setover::internals::language::library;

/// What can hurt, what must be said of it, and the functions that say it.
const CAUTIONED: &[(&str, &[&str])] = &[
    // Speeds, chucks and wheels.
    ("marked maximum", &["spindle_speed", "speed_for"]),
    ("maximum marked", &["surface_speed", "nearest_speed"]),
    ("speed marked on", &["surface_speed", "nearest_speed"]),
    ("grip", &["nearest_speed", "roughing_passes"]),
    ("titanium and magnesium burn", &["speed_for"]),
    ("PTFE", &["speed_for"]),
    ("dust of cast iron, bronze or lead", &["speed_for"]),
    ("never by hand", &["roughing_passes"]),
    ("at rest", &["turning_feed"]),
    ("guard on", &["milling_feed"]),
    ("narrow", &["feed_per_tooth_thinned"]),
    ("stay by the machine", &["cutting_time"]),
    ("estimate", &["cutting_power", "tangential_force"]),
    ("starting value", &["cutting_force"]),
    // Threads.
    (
        "screwed-on chuck",
        &["infeed", "infeed_passes", "thread_dial"],
    ),
    ("half nuts", &["infeed", "thread_dial"]),
    ("reverses", &["top_slide_infeed", "infeed_passes"]),
    (
        "turn the spindle by hand",
        &["infeed_passes", "thread_dial"],
    ),
    (
        "stop the spindle",
        &["over_wires", "over_three_wires", "left_to_take"],
    ),
    (
        "without their lead angle",
        &["over_wires", "pitch_diameter_from_wires"],
    ),
    ("opposite ways", &["spur_gear", "cutter_number"]),
    ("fillets", &["bearing"]),
    ("spring away", &["retaining_ring"]),
    ("measure yours", &["t_slot"]),
    ("ISO 4755", &["undercut"]),
    ("unplug", &["change_gears"]),
    ("licensed practice", &["thread", "taper"]),
    ("full turns", &["thread_length_for"]),
    (
        "licensed engineer",
        &[
            "stress_area",
            "press_fit",
            "retained_torque",
            "retained_force",
            "pin_shear",
            "pin_torque",
            "bolt_preload",
            "bolt_preload_torque",
            "key_torque",
            "spring_stress",
        ],
    ),
    (
        "local codes",
        &[
            "stress_area",
            "press_fit",
            "shrink_temperature",
            "retained_torque",
            "pin_shear",
            "pin_torque",
            "bolt_preload",
            "bolt_preload_torque",
            "key_torque",
            "thread",
            "taper",
        ],
    ),
    // Drilling, tapping, sinking.
    ("uneven lips", &["reaming_drill"]),
    ("broken tap", &["tapping_drill"]),
    (
        "clamp",
        &[
            "counterbore",
            "countersink",
            "drill_depth",
            "through_depth",
            "milling_feed",
        ],
    ),
    (
        "snatch",
        &[
            "countersink",
            "drill_depth",
            "through_depth",
            "table_offset",
        ],
    ),
    // Tapers and measuring.
    ("draw bar", &["taper"]),
    ("centre height", &["top_slide_angle", "indicator_rise"]),
    ("reads long", &["indicator_rise"]),
    (
        "slow tapers only",
        &["set_over", "set_over_from_rate", "set_over_from_angle"],
    ),
    ("shoulder", &["fine_infeed"]),
    ("burr", &["small_from_rolls"]),
    ("45 deg", &["sine_bar"]),
    ("relief grooves", &["dovetail_over_rolls"]),
    ("cool", &["size_at_20", "left_to_take"]),
    ("by hand", &["off_centre"]),
    (
        "backlash",
        &[
            "dial_turns",
            "table_turns",
            "plain_indexing",
            "angle_indexing",
        ],
    ),
    (
        "round the circle",
        &["radius_of_three_points", "centre_of_three_points"],
    ),
    // Rotary table and dividing.
    ("conventional milling", &["table_offset"]),
    ("clamp", &["crank_speed", "table_offset"]),
    (
        "lock",
        &[
            "table_turns",
            "division_angles",
            "plain_indexing",
            "angle_indexing",
        ],
    ),
    ("spindle stopped", &["plain_indexing", "angle_indexing"]),
    ("count the holes twice", &["compound_indexing"]),
    ("try the direction", &["differential_indexing"]),
    // Gears.
    ("not a brake", &["worm", "worm_wheel"]),
    ("by hand only", &["spur_gear"]),
    ("stamped on the cutter", &["cutter_number"]),
    ("stub teeth", &["module_from_outside"]),
    // Joints and springs.
    ("guard", &["press_fit"]),
    ("poisonous fumes", &["shrink_temperature", "speed_for"]),
    ("harmful fumes", &["retained_torque", "retained_force"]),
    ("flies", &["spring_rate"]),
    ("overstressed", &["spring_solid_length"]),
    ("climb", &["overhang_deflection"]),
    ("climbs", &["between_centres_deflection"]),
    // Stock.
    (
        "tackle",
        &["weight_round", "weight_tube", "weight_hex", "weight_flat"],
    ),
    ("sharp", &["blank_length", "weight_flat"]),
    ("rags", &["knurl_blank"]),
    ("trial piece", &["bent_blank"]),
    ("room for holding", &["cutting_list"]),
];

/// Why some functions need no caution.
const NONE_NEEDED: &[(&str, &[&str])] = &[
    (
        "arithmetic",
        &[
            "abs",
            "sqrt",
            "cbrt",
            "sin",
            "cos",
            "tan",
            "asin",
            "acos",
            "atan",
            "atan2",
            "exp",
            "ln",
            "log10",
            "min",
            "max",
            "sum",
            "mean",
            "count",
            "sort",
            "first",
            "last",
            "pick",
            "all",
            "any",
            "round",
            "round_up",
            "round_down",
            "remainder",
            "whole",
        ],
    ),
    (
        "a property of a material: a number of a table",
        &[
            "materials",
            "density",
            "expansion_rate",
            "stiffness",
            "shear_modulus",
            "poisson_ratio",
        ],
    ),
    (
        "plane geometry of a drawing",
        &[
            "spacing_chord",
            "chord",
            "arc_length",
            "sagitta",
            "radius_from_sagitta",
            "chord_from_sagitta",
            "segment_area",
            "flank_angle",
            "flank_length",
            "flank_points",
            "crossed_flank_angle",
            "crossed_flank_length",
            "across_corners",
            "across_flats",
            "flat_depth",
            "flat_width",
            "depth_to_flats",
            "throw_heights",
            "right_triangle",
            "triangle",
            "corner_blend",
        ],
    ),
    (
        "coordinates: the readout shows where the spindle is",
        &[
            "pitch_circle",
            "part_circle",
            "hole_row",
            "hole_grid",
            "moved",
            "turned",
            "mirrored",
            "to_readout",
        ],
    ),
    (
        "a size of a tool or a table: the function that uses it has the caution",
        &[
            "drill",
            "nearest_drill",
            "drill_under",
            "engagement",
            "clearance_drill",
            "point_length",
            "countersink_depth",
            "countersink_diameter",
            "spot_depth",
            "thread_depth",
            "helix_angle",
            "turns_engaged",
            "best_wire",
            "wire_range",
            "wire_constant",
            "gear_set",
            "plate_set",
            "train_ratio",
            "pitch_cut",
            "pitch_error",
            "table_radius",
            "arc_angle",
            "cutter_angle",
        ],
    ),
    (
        "a rate worked out from feeds that the machine has",
        &[
            "feed_per_tooth",
            "removal_rate_turning",
            "removal_rate_milling",
            "removal_rate_drilling",
            "ridge_height",
        ],
    ),
    (
        "a taper's numbers: setting and turning it have the cautions",
        &[
            "taper_rate",
            "half_angle",
            "rate_from_angle",
            "diameter_at",
            "small_end",
            "length_between",
            "infeed_for_diameter",
            "slide_angle_for",
            "angle_correction",
            "stand_off",
            "diameter_to_come_off",
        ],
    ),
    (
        "a reading on the surface plate or in the vice",
        &[
            "angle_from_sine_bar",
            "taper_over_rolls",
            "half_angle_from_rolls",
            "half_angle_from_balls",
            "disc_centres",
            "dovetail_width_from_rolls",
            "radius_over_rolls",
            "reading_over_rolls",
            "vee_depth",
            "vee_centre",
            "expansion",
            "cosine_error",
            "true_reading",
            "centres_from_pins",
            "gauge_blocks",
            "keyway_side_depth",
            "keyseat_far_side",
            "hub_keyseat_far_side",
        ],
    ),
    (
        "numbers of a gear: cutting and running it have the cautions",
        &[
            "module_from_dp",
            "gear_centres",
            "involute",
            "angle_from_involute",
            "span_teeth",
            "span",
            "backlash_depth",
            "formative_teeth",
            "best_pin",
            "over_pins",
            "pin_angle",
            "cutter_set",
            "thickness_from_pins",
            "thickness_from_span",
            "nearest_module",
        ],
    ),
    (
        "limits of a size: what they are for decides",
        &[
            "limits",
            "standard_tolerance",
            "fit",
            "fit_between",
            "preferred_fits",
            "preferred_number",
            "parallel_key",
        ],
    ),
    ("a length of stock", &["pieces_from", "bend_allowance"]),
    (
        "sizes of a table: what they are for decides",
        &[
            "table_row",
            "table_range",
            "table_rows",
            "hexagon",
            "washer",
            "centre_hole",
            "undercut_internal",
        ],
    ),
];

#[test]
fn every_function_is_on_a_list() {
    let mut wanted: HashMap<&str, Vec<&str>> = HashMap::new();
    for (words, names) in CAUTIONED {
        for name in *names {
            wanted.entry(name).or_default().push(words);
        }
    }
    let mut excused: HashMap<&str, &str> = HashMap::new();
    for (why, names) in NONE_NEEDED {
        for name in *names {
            assert!(!wanted.contains_key(name), "{name} is on both lists");
            assert!(
                excused.insert(name, why).is_none(),
                "{name} is listed twice"
            );
        }
    }
    let mut wrong = Vec::new();
    for function in library().all() {
        let doc = function.doc().expect("documentation that can be read");
        let said = doc.cautions.join(" ");
        let words = wanted.remove(function.name);
        let why = excused.remove(function.name);
        let name = function.name;
        match (words, why) {
            (Some(words), _) => {
                for word in words.iter().filter(|word| !said.contains(**word)) {
                    wrong.push(format!("{name}: its caution does not say `{word}`: {said}"));
                }
            }
            (None, Some(why)) if !said.is_empty() => {
                wrong.push(format!("{name} has a caution, and yet: {why}"));
            }
            (None, Some(_)) => {}
            (None, None) => wrong.push(format!(
                "{name} is on neither list of tests/library/cautions.rs: write its caution, or \
                 why it needs none"
            )),
        }
    }
    let gone: Vec<&&str> = wanted.keys().chain(excused.keys()).collect();
    assert!(gone.is_empty(), "no such functions: {gone:?}");
    println!("{} functions", library().all().len());
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The cautions are a column of the sheet: short enough to be read.
#[test]
fn no_caution_is_longer_than_a_few_lines() {
    for function in library().all() {
        let doc = function.doc().expect("documentation that can be read");
        for caution in &doc.cautions {
            assert!(caution.len() <= 480, "{}: {caution}", function.name);
        }
    }
}
