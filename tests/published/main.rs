//! Checks against published values: standards, handbook tables, worked examples.

mod drills;
mod rows;
mod screws;
mod thread_examples;
mod thread_forms;
mod thread_values;
mod threads;
