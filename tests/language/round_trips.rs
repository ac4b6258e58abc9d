//! There and back: from trees to text and from one unit to another.

use proptest::prelude::*;
use setover::internals::quantity::{Quantity, definitions, parse_unit};
use setover::internals::syntax::{
    parse_expression, parse_statement, print_expression, print_statement,
};

use crate::generated::{expression, statement};
use crate::support::trials;

proptest! {
    #![proptest_config(trials(300))]

    #[test]
    fn a_statement_printed_and_parsed_is_the_same(tree in statement()) {
        let printed = print_statement(&tree);
        let again = parse_statement(&printed);
        prop_assert_eq!(again.as_ref(), Ok(&tree), "{}", printed);
        prop_assert_eq!(print_statement(&again.expect("compared above")), printed);
    }

    #[test]
    fn an_expression_printed_and_parsed_is_the_same(tree in expression()) {
        let printed = print_expression(&tree);
        let again = parse_expression(&printed).map(|formula| formula.expression);
        prop_assert_eq!(again, Ok(tree), "{}", printed);
    }

    /// Any two units of one dimension, products of up to three units included.
    #[test]
    fn a_quantity_goes_to_another_unit_and_back(
        number in prop_oneof![-1e6..1e6, prop::num::f64::NORMAL.prop_filter("of a size that occurs", |n| (1e-12..1e12).contains(&n.abs()))],
        parts in prop::collection::vec((any::<prop::sample::Index>(), any::<prop::sample::Index>(), any::<bool>()), 1..4),
    ) {
        let all: Vec<_> = definitions().iter().filter(|unit| unit.offset == 0.0).collect();
        let mut written = (String::new(), String::new());
        for (place, (first, second, below)) in parts.iter().enumerate() {
            let from = first.get(&all);
            let alike: Vec<_> = all.iter().filter(|unit| unit.dimension == from.dimension).collect();
            let to = second.get(&alike);
            let joint = match (place, *below) {
                (0, _) => "",
                (_, false) => "*",
                (_, true) => "/",
            };
            written.0 += &format!("{joint}{}", from.symbol);
            written.1 += &format!("{joint}{}", to.symbol);
        }
        let (Ok(from), Ok(to)) = (parse_unit(&written.0), parse_unit(&written.1)) else {
            return Ok(());
        };
        let there = Quantity::new(number, from).shown_in(to);
        let there = there.map_err(|fault| TestCaseError::fail(format!("{} as {}: {fault}", written.0, written.1)))?;
        let back = Quantity::new(there.in_unit(to), to).in_unit(from);
        prop_assert!((back - number).abs() <= 1e-14 * number.abs(), "{number} {} by {} came back as {back}", written.0, written.1);
    }

    #[test]
    fn temperatures_go_there_and_back(number in -200.0..3000.0) {
        for (from, to) in [("degC", "degF"), ("degF", "degC"), ("degC", "K"), ("degF", "K")] {
            let [from, to] = [from, to].map(|text| parse_unit(text).expect("a unit"));
            let there = Quantity::new(number, from).in_unit(to);
            let back = Quantity::new(there, to).in_unit(from);
            prop_assert!((back - number).abs() < 1e-11, "{number} came back as {back}");
        }
    }
}
