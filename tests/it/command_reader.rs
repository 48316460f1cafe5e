//! Whoever reads what a command prints may stop before its end.

use std::process::Command;

#[test]
fn a_reader_that_goes_away_ends_nothing_otherwise() {
    for (line, code) in [
        (&["rig", "--schema"][..], 0),
        (&["rig", "tripod-with-belay"], 0),
        (&["rig", "no-such-rig", "--json"], 2),
    ] {
        let told = Command::new(env!("CARGO_BIN_EXE_ropeloft"))
            .args(line)
            .output()
            .unwrap();
        assert_eq!(
            told.status.code(),
            Some(code),
            "{}",
            String::from_utf8_lossy(&told.stderr)
        );
        let (reader, writer) = std::io::pipe().unwrap();
        drop(reader);
        let done = Command::new(env!("CARGO_BIN_EXE_ropeloft"))
            .args(line)
            .stdout(writer)
            .output()
            .unwrap();
        assert_eq!(done.status.code(), Some(code), "{line:?}");
        assert_eq!(
            String::from_utf8_lossy(&done.stderr),
            String::from_utf8_lossy(&told.stderr),
            "{line:?}"
        );
    }
}
