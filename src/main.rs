//! Reads the command line and hands over to the library.

fn main() {}
