//! Labels: their codes are read back from the printed page by a reader that shares nothing with what wrote them.

use ropeloft::{
    domain::{LabelSheet, PaperSize, SymbolKind},
    export::paper::{
        label::{Label, LabelFault, labels},
        symbol::Symbol,
    },
};
use rxing::{
    BinaryBitmap, DecodeHints, Luma8LuminanceSource, Reader, common::HybridBinarizer,
    datamatrix::DataMatrixReader, qrcode::QRCodeReader,
};
use time::{OffsetDateTime, macros::datetime};

use crate::paper_reader::{Page, checked, pages, text_of};

const AT: OffsetDateTime = datetime!(2026-03-01 09:30 UTC);
const ADDRESS: &str = "https://gear.example.org/t/";

/// What a reader finds in a picture.
pub fn read(kind: SymbolKind, picture: &Page) -> Result<String, String> {
    let (width, height) = (
        picture.width.try_into().unwrap(),
        picture.height.try_into().unwrap(),
    );
    let source = Luma8LuminanceSource::new(picture.grey.clone(), width, height).unwrap();
    let mut bitmap = BinaryBitmap::new(HybridBinarizer::new(source));
    let hints = DecodeHints {
        TryHarder: Some(true),
        ..DecodeHints::default()
    };
    let found = match kind {
        SymbolKind::Qr => QRCodeReader::new().decode_with_hints(&mut bitmap, &hints),
        SymbolKind::DataMatrix => DataMatrixReader.decode_with_hints(&mut bitmap, &hints),
    };
    found
        .map(|found| found.getText().to_owned())
        .map_err(|error| format!("{error:?}"))
}

/// A code as a picture, four dots a module.
pub fn picture(symbol: &Symbol) -> Page {
    const DOTS: usize = 4;
    let side = (symbol.side_with_quiet() + 4) * DOTS;
    let mut grey = vec![255; side * side];
    for (column, row) in symbol.modules() {
        for y in 0..DOTS {
            for x in 0..DOTS {
                let at = |place: usize, dot: usize| (place + symbol.kind.quiet() + 2) * DOTS + dot;
                grey[at(row, y) * side + at(column, x)] = 0;
            }
        }
    }
    Page {
        width: side,
        height: side,
        grey,
    }
}

fn label(number: usize) -> Label {
    Label {
        content: format!("{ADDRESS}7KM3TX{number:03}"),
        mark: format!("RL-{number:04}"),
        lines: vec![
            "7KM-3TX-9AF".to_owned(),
            "Tarn & Fell Line 11".to_owned(),
            "made 2021".to_owned(),
        ],
    }
}

#[test]
fn a_code_says_what_it_was_given() {
    let long = "x".repeat(300);
    for kind in SymbolKind::ALL {
        for text in [
            "7KM-3TX-9AF",
            "https://gear.example.org/t/7KM3TX9AF",
            "Größe",
            &long,
        ] {
            let symbol = Symbol::new(kind, text).unwrap();
            assert_eq!(
                read(kind, &picture(&symbol)).as_deref(),
                Ok(text),
                "{kind:?}"
            );
        }
        let endless = "x".repeat(5000);
        let fault = Symbol::new(kind, &endless).unwrap_err();
        assert_eq!(fault.length, 5000);
    }
}

#[test]
fn every_code_on_the_printed_sheets_is_read_back() {
    let grids = [
        LabelSheet {
            skip: 5,
            ..LabelSheet::new(PaperSize::A4, (3, 8), (70.0, 37.0))
        },
        LabelSheet {
            margin: (4.8, 12.7),
            gap: (3.0, 0.0),
            ..LabelSheet::new(PaperSize::Letter, (3, 10), (66.7, 25.4))
        },
        LabelSheet::roll((40.0, 20.0)),
    ];
    for grid in grids {
        for kind in SymbolKind::ALL {
            let wanted: Vec<Label> = (0..22).map(label).collect();
            let file = labels(&wanted, kind, &grid, AT).unwrap();
            checked(&file);
            let Some(printed) = pages(&file, 200) else {
                return;
            };
            assert_eq!(
                printed.len(),
                (grid.skip + wanted.len()).div_ceil(grid.on_sheet())
            );
            for (at, label) in (grid.skip..).zip(&wanted) {
                let (page, place) = (&printed[at / grid.on_sheet()], at % grid.on_sheet());
                let (column, row) = (place % grid.across, place / grid.across);
                let corner = |n: usize, margin: f32, label: f32, gap: f32| {
                    let n = u16::try_from(n).map(f32::from).unwrap();
                    margin + n * (label + gap)
                };
                let left = corner(column, grid.margin.0, grid.label.0, grid.gap.0);
                let top = corner(row, grid.margin.1, grid.label.1, grid.gap.1);
                let cut = page.cut((left, top), grid.label, 200.0);
                assert_eq!(
                    read(kind, &cut).as_deref(),
                    Ok(label.content.as_str()),
                    "{kind:?} {}",
                    label.mark
                );
            }
            if let Some(text) = text_of(&file) {
                for label in &wanted {
                    assert!(
                        text.contains(&label.mark),
                        "{} is not beside its code:\n{text}",
                        label.mark
                    );
                }
            }
        }
    }
}

#[test]
fn a_code_that_would_be_too_fine_is_refused_with_the_size_that_it_needs() {
    let wanted = [label(1)];
    for kind in SymbolKind::ALL {
        let fault = labels(&wanted, kind, &LabelSheet::roll((20.0, 6.0)), AT).unwrap_err();
        let LabelFault::Fine {
            module,
            needed,
            wide,
            ..
        } = &fault
        else {
            panic!("{fault}")
        };
        assert!(*module < 0.25, "{fault}");
        assert!(fault.to_string().contains("RL-0001"), "{fault}");
        // With exactly the height that it asks for, and just enough width, it is made.
        let enough = LabelSheet::roll((wide + 20.0, needed + 0.001));
        labels(&wanted, kind, &enough, AT).unwrap();
        let short = LabelSheet::roll((wide + 20.0, needed - 0.01));
        assert!(labels(&wanted, kind, &short, AT).is_err());
    }
}

#[test]
fn a_word_on_a_small_label_stands_on_one_line() {
    let mut small = label(1);
    small.lines = vec!["6JC-J3P-FDX".to_owned(), "Tessoriks Kolmpas".to_owned()];
    for kind in SymbolKind::ALL {
        let grid = LabelSheet::roll((40.0, 30.0));
        let file = labels(std::slice::from_ref(&small), kind, &grid, AT).unwrap();
        checked(&file);
        let Some(text) = text_of(&file) else { return };
        for word in ["6JC-J3P-FDX", "Tessoriks", "Kolmpas"] {
            assert!(text.contains(word), "{kind:?}: {word} is broken:\n{text}");
        }
    }
}

#[test]
fn a_mark_that_nobody_could_read_is_refused() {
    let mut long = label(1);
    long.mark = "A mark that somebody has made much too long for a sticker".to_owned();
    let fault = labels(
        &[long],
        SymbolKind::DataMatrix,
        &LabelSheet::roll((30.0, 12.0)),
        AT,
    )
    .unwrap_err();
    assert!(matches!(fault, LabelFault::Tiny { .. }), "{fault}");
}

/// Of two digits side by side the ASCII encodation makes one codeword; 8 codewords fill 14 modules a side, 12 fill 16.
/// ISO/IEC 16022, from memory.
#[test]
fn pairs_of_digits_make_a_code_smaller() {
    for (code, side) in [("7KM-3TX-9AF", 16), ("23K-34X-46F", 14)] {
        let symbol = Symbol::new(SymbolKind::DataMatrix, code).unwrap();
        assert_eq!(symbol.side, side, "{code}");
    }
}
