//! What the tests, benchmarks and fuzz targets use of the rooms: no promise to anybody else.

pub mod cli {
    pub use crate::cli::Files;
}
pub mod diagnostic {
    pub use crate::diagnostic::{Diagnostic, Fault, Lines, Severity, Source, Span, render};
}
pub mod language {
    pub use crate::language::{
        Contract, Function, KindWord, ParameterDoc, STEPS, SlotId, Value, library, native,
        native_names,
    };
}
pub mod notebook {
    pub use crate::notebook::{
        Definition, FORMS, Failure, Known, Limits, Monotonicity, Outcome, PageId, Problem, Request,
        Sampled, Settings, Share, Shelf, Spread, Statistics, Subject, ToleranceAnalysis, Verdict,
        Workspace, arisen, moved, problems, sample, sampled_values, vary, with_expression,
        with_reading,
    };
    pub use crate::syntax::ItemKind;
}
pub mod quantity {
    pub use crate::quantity::{Quantity, Style, System, Unit, definitions, in_unit, parse_unit};
}
pub mod repl {
    pub use crate::repl::{Analysis, Bench, Refused, Session, complete, highlight, hint};
}
pub mod sheet {
    pub use crate::sheet::{
        Colophon, Explanation, Row, RowKind, RowState, Sheet, TerminalStyle, Writer, csv, explain,
        explanation_text, html, moved_rows, moved_text, slot_called, terminal,
    };
    pub mod reference {
        pub use crate::sheet::reference::{Entry, markdown};
    }
}
pub mod syntax {
    pub use crate::syntax::{
        Argument, Binding, Column, Expression, Find, Formula, Kind, Name, Number, OpEach, OpPart,
        Operator, Parameter, Range, Row, Rows, StatementKind, Tolerance, VaryRange, parse_document,
        parse_expression, parse_statement, print_expression, print_statement, split, unfinished,
    };
}
pub mod trade {
    pub mod change_gears {
        pub use crate::trade::change_gears::{Train, change_gears, gear_set, gear_set_names};
    }
    pub mod cutting_list {
        pub use crate::trade::cutting_list::{CuttingList, Stock, cutting_list};
    }
    pub mod cutting_speeds {
        pub use crate::trade::cutting_speeds::{nearest_speed, speed_for};
    }
    pub mod dividing {
        pub use crate::trade::dividing::{
            Plate, angle_indexing, compound_indexing, differential_indexing, plain_indexing,
            plate_set,
        };
    }
    pub mod drills {
        pub use crate::trade::drills::{Stock, drill, nearest_drill, reaming_drill};
    }
    pub mod gauge_blocks {
        pub use crate::trade::gauge_blocks::{Stack, gauge_blocks, gauge_blocks_from};
    }
    pub mod holes {
        pub use crate::trade::holes::{Placement, Point};
    }
    pub mod involute {
        pub use crate::trade::involute::angle_from_involute;
    }
    pub mod iso286 {
        pub use crate::trade::iso286::{FitKind, deviations, fit, limits, standard_tolerance};
    }
    pub mod materials {
        pub use crate::trade::materials::{
            cutting_force, density, expansion_rate, materials, stiffness,
        };
    }
    pub mod screws {
        pub use crate::trade::screws::{counterbore, countersink};
    }
    pub mod tapers {
        pub use crate::trade::tapers::{Taper, taper};
    }
    pub mod threads {
        pub use crate::trade::threads::{
            Thread, clearance_drill, engagement, stress_area, tapping_drill, thread,
        };
    }
    pub mod triangles {
        pub use crate::trade::triangles::{Triangle, triangle};
    }
}
