//! Builds again when a migration is added: the migrations are embedded by a macro, which cannot see new files.

fn main() {
    println!("cargo::rerun-if-changed=migrations");
}
