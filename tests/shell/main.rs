//! The program as a shell runs it: arguments and files in, standard output,
//! standard error and exit status out.

mod builder;
mod calc;
mod faults;
mod first_hour;
mod frozen;
mod hostile;
mod inches;
mod json;
mod layout;
mod needed;
mod newcomer;
mod run;
mod several;
mod summary;
mod wrapping;
