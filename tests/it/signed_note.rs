//! Signed notes and checkpoints: their bytes, and everything that is none.

use base64::{Engine, engine::general_purpose::STANDARD};
use ed25519_dalek::SigningKey;
use ropeloft::domain::{
    checkpoint::Checkpoint,
    signed_note::{Note, NoteError, Signed, Signs, Verifier},
};
use time::macros::datetime;

/// The secret of the first test in RFC 8032, section 7.1.
const SEED: &str = "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60";
/// Its public key, there.
const PUBLIC: &str = "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a";

fn key(byte: u8) -> SigningKey {
    SigningKey::from_bytes(&[byte; 32])
}

fn published() -> SigningKey {
    SigningKey::from_bytes(&hex::decode(SEED).unwrap().try_into().unwrap())
}

fn verifier(name: &str, signs: Signs, key: &SigningKey) -> Verifier {
    Verifier::new(name, signs, key.verifying_key()).unwrap()
}

fn signed(name: &str, at: Option<u64>) -> Signed {
    let name = name.to_owned();
    Signed { name, at }
}

/// Identifier and text worked out with another program: the first four bytes of SHA-256 over name, end of line, kind
/// and key; kind and key in base64.
#[test]
fn a_key_is_written_as_others_write_it() {
    let key = published();
    assert_eq!(hex::encode(key.verifying_key().as_bytes()), PUBLIC);
    let text = "loft/one+e5c5edec+AddamAGCsQq31Uv+08lkBzoO4XLz2qYjJa8CGmj3B1Ea";
    let verifier = verifier("loft/one", Signs::Text, &key);
    assert_eq!(verifier.text(), text);
    assert_eq!(Verifier::read(&format!("{text}\n")), Ok(verifier));
}

/// The key of the checksum database of the Go programming language, as the Go distribution publishes it
/// (`cmd/go/internal/modfetch/key.go`): name, identifier and key of a verifier that others wrote. Given here from memory; an
/// identifier of 32 bits that fits its name and key shows that no letter of it is another one.
#[test]
fn a_key_that_others_published_has_the_identifier_that_they_wrote() {
    let text = "sum.golang.org+033de0ae+Ac4zctda0e5eza+HJyk9SxEdh+s3Ux18htTTAD8OuAn8";
    let verifier = Verifier::read(text).unwrap();
    assert_eq!(
        (verifier.name(), verifier.signs()),
        ("sum.golang.org", Signs::Text)
    );
    assert_eq!(verifier.text(), text);
    let other = text.replace("sum.", "sun.");
    assert!(
        matches!(Verifier::read(&other), Err(NoteError::Key(_))),
        "{other}"
    );
}

#[test]
fn what_is_no_key_is_refused() {
    let good = verifier("loft/one", Signs::Seen, &key(1)).text();
    assert_eq!(Verifier::read(&good).unwrap().signs(), Signs::Seen);
    for text in [
        "",
        "loft/one",
        "loft/one+00000000",
        "loft/one+00000000+AddamAGCsQq31Uv+08lkBzoO4XLz2qYjJa8CGmj3B1Ea",
        "loft/one+e5c5edec+AtdamAGCsQq31Uv+08lkBzoO4XLz2qYjJa8CGmj3B1Ea",
        "loft/one+e5c5edec+Addam",
        "loft/one+e5c5edec+not base64",
        "loft/two+e5c5edec+AddamAGCsQq31Uv+08lkBzoO4XLz2qYjJa8CGmj3B1Ea",
    ] {
        assert!(
            matches!(Verifier::read(text), Err(NoteError::Key(_))),
            "{text}"
        );
    }
    for name in ["", "two words", "a+b", "line\nend"] {
        let refused = Verifier::new(name, Signs::Text, key(1).verifying_key());
        assert_eq!(refused, Err(NoteError::Name(name.to_owned())));
    }
    // A key whose signatures fit any text: the neutral point of the curve.
    let mut weak = [0; 33];
    weak[..2].copy_from_slice(&[1, 1]);
    let hash = <sha2::Sha256 as sha2::Digest>::digest([b"loft/one\n", &weak[..]].concat());
    let identifier = hex::encode(&hash[..4]);
    let text = format!("loft/one+{identifier}+{}", STANDARD.encode(weak));
    assert_eq!(
        Verifier::read(&text),
        Err(NoteError::Key("the key is no Ed25519 key"))
    );
}

#[test]
fn a_note_comes_back_from_its_text_and_says_who_signed() {
    let mut note = Note::of("one\n\ntwo\n".to_owned()).unwrap();
    note.sign("loft/one", &key(1)).unwrap();
    note.sign("loft/two", &key(2)).unwrap();
    note.witness("yard", &key(3), 1_790_000_000).unwrap();
    let read = Note::read(&note.whole()).unwrap();
    assert_eq!(read, note);
    let known = [
        verifier("loft/two", Signs::Text, &key(2)),
        verifier("yard", Signs::Seen, &key(3)),
    ];
    let by = [
        signed("loft/two", None),
        signed("yard", Some(1_790_000_000)),
    ];
    assert_eq!(read.signed_by(&known), Ok(by.to_vec()));
    assert_eq!(read.signed_by(&[]), Err(NoteError::Unsigned));
    // The same name with another key is somebody else.
    let other = [verifier("loft/two", Signs::Text, &key(9))];
    assert_eq!(read.signed_by(&other), Err(NoteError::Unsigned));
}

#[test]
fn a_changed_text_or_moment_is_forged() {
    let mut note = Note::of("size 7\n".to_owned()).unwrap();
    note.sign("loft/one", &key(1)).unwrap();
    note.witness("yard", &key(3), 77).unwrap();
    let known = [verifier("loft/one", Signs::Text, &key(1))];
    let forged = Note::read(&note.whole().replace("size 7", "size 8")).unwrap();
    assert_eq!(
        forged.signed_by(&known),
        Err(NoteError::Forged("loft/one".to_owned()))
    );
    let witness = [verifier("yard", Signs::Seen, &key(3))];
    assert_eq!(note.signed_by(&witness), Ok(vec![signed("yard", Some(77))]));
    assert_eq!(
        forged.signed_by(&witness),
        Err(NoteError::Forged("yard".to_owned()))
    );
}

#[test]
fn a_witness_s_line_is_taken_over_once_and_only_for_this_text() {
    let mut ours = Note::of("size 7\n".to_owned()).unwrap();
    ours.sign("loft/one", &key(1)).unwrap();
    let mut theirs = Note::read(&ours.whole()).unwrap();
    theirs.witness("yard", &key(3), 77).unwrap();
    theirs.witness("stranger", &key(4), 78).unwrap();
    let witness = [verifier("yard", Signs::Seen, &key(3))];
    for _ in 0..2 {
        assert_eq!(
            ours.take(&theirs, &witness),
            Ok(vec![signed("yard", Some(77))])
        );
        assert_eq!(ours.whole().matches("\u{2014} ").count(), 2);
    }
    let mut other = Note::of("size 8\n".to_owned()).unwrap();
    other.witness("yard", &key(3), 77).unwrap();
    assert!(matches!(
        ours.take(&other, &witness),
        Err(NoteError::Form(_))
    ));
}

#[test]
fn what_is_no_note_is_refused() {
    let mut note = Note::of("size 7\n".to_owned()).unwrap();
    note.sign("loft/one", &key(1)).unwrap();
    let whole = note.whole();
    let many = whole.clone() + &whole[whole.find('\u{2014}').unwrap()..].repeat(64);
    for text in [
        "",
        "size 7\n",
        "size 7\n\n",
        "\n\n",
        whole.trim_end(),
        &whole.replace('\u{2014}', "-"),
        &whole.replace("loft/one ", "loft/one+"),
        &many,
        &format!("{}\n{whole}", "x".repeat(70_000)),
        &whole.replace("size 7", "size\u{7}"),
    ] {
        assert!(
            matches!(Note::read(text), Err(NoteError::Form(_))),
            "{text:.40}"
        );
    }
    assert!(Note::of("no end".to_owned()).is_err());
}

#[test]
fn a_checkpoint_is_written_and_read() {
    let checkpoint = Checkpoint {
        origin: "loft/one".to_owned(),
        size: 7,
        root: [0xab; 32],
        made_at: Some(datetime!(2026-11-26 09:30 UTC)),
    };
    let text =
        "loft/one\n7\nq6urq6urq6urq6urq6urq6urq6urq6urq6urq6urq6s=\nmade 2026-11-26T09:30:00Z\n";
    assert_eq!(checkpoint.to_string(), text);
    assert_eq!(Checkpoint::read(text), Ok(checkpoint.clone()));
    let plain = Checkpoint {
        made_at: None,
        ..checkpoint
    };
    let foreign = format!("{plain}a line that others added\n");
    assert_eq!(Checkpoint::read(&foreign), Ok(plain));
}

#[test]
fn what_is_no_checkpoint_is_refused() {
    let root = "q6urq6urq6urq6urq6urq6urq6urq6urq6urq6urq6s=";
    for text in [
        String::new(),
        format!("\n7\n{root}\n"),
        format!("loft\n07\n{root}\n"),
        format!("loft\n+7\n{root}\n"),
        format!("loft\n-7\n{root}\n"),
        format!("loft\nseven\n{root}\n"),
        format!("loft\n18446744073709551616\n{root}\n"),
        format!("loft\n7\n{}\n", &root[4..]),
        format!("loft\n7\n{root}\n\nmore\n"),
        format!("loft\n7\n{root}\nmade yesterday\n"),
    ] {
        assert!(Checkpoint::read(&text).is_err(), "{text}");
    }
}
