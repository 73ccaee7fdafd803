//! Cells of a line, and the rain in one.

use crate::hydrology::rain_record::cell::{RainCell, RainReader, cells, shown};

#[test]
fn identity_a_line_is_cut_at_its_delimiters() {
    for (line, delimiter, want) in [
        ("a,b,c", b',', ["a", "b", "c"].as_slice()),
        (" a , b ", b',', &["a", "b"]),
        ("a;b,c;", b';', &["a", "b,c", ""]),
        ("a\tb c\td", b'\t', &["a", "b c", "d"]),
        ("", b',', &[""]),
        (",", b',', &["", ""]),
        ("a,,b", b',', &["a", "", "b"]),
        // a delimiter between quotes is none; what stands behind the second quote is dropped
        ("\"a, b\",c", b',', &["a, b", "c"]),
        ("  \" a, b \"  , c", b',', &["a, b", "c"]),
        ("\"a\"x,b", b',', &["a", "b"]),
        ("\"\",b", b',', &["", "b"]),
        ("a,\"b\"", b',', &["a", "b"]),
        ("\"a\",\"b,c\",\"d\"", b',', &["a", "b,c", "d"]),
        // a quote inside a cell is a letter, one without its second ends with the line
        ("a\"b,c", b',', &["a\"b", "c"]),
        ("x,\"a,b", b',', &["x", "a,b"]),
        ("\"", b',', &[""]),
    ] {
        let found: Vec<String> =
            cells(line.as_bytes(), delimiter).iter().map(|cell| String::from_utf8_lossy(cell).into_owned()).collect();
        assert_eq!(found, want, "{line}");
    }
}

#[test]
fn identity_a_long_or_odd_cell_is_shown_on_one_line() {
    assert_eq!(shown(b"a\tb\x1b"), "a b ");
    assert_eq!(shown("ü".repeat(60).as_bytes()), "ü".repeat(60));
    assert_eq!(shown("ü".repeat(61).as_bytes()), "ü".repeat(60) + "…");
    assert_eq!(shown(b"\xff"), "\u{fffd}");
}

#[test]
fn identity_what_a_cell_says_of_rain() {
    use RainCell::{Missing, Number, Trace, Unreadable};
    for (cell, want) in [
        ("0", Number(0.0)),
        ("0.0", Number(0.0)),
        ("0.00", Number(0.0)),
        ("0.000", Number(0.0)),
        ("0.25", Number(0.25)),
        (".5", Number(0.5)),
        ("5.", Number(5.0)),
        ("+1.5", Number(1.5)),
        ("2.5e-1", Number(0.25)),
        ("25E1", Number(250.0)),
        ("-0.01", Number(-0.01)),
        ("-98.9", Number(-98.9)),
        ("-99", Missing),
        ("-99.01", Missing),
        ("-9999", Missing),
        ("", Missing),
        ("M", Missing),
        ("m", Missing),
        ("NA", Missing),
        ("n/a", Missing),
        ("NaN", Missing),
        ("NULL", Missing),
        ("none", Missing),
        ("Missing", Missing),
        ("-", Missing),
        ("--", Missing),
        ("---", Missing),
        ("T", Trace),
        ("trace", Trace),
        ("0,25", Unreadable),
        ("1.2.3", Unreadable),
        ("inf", Unreadable),
        ("1e999", Unreadable),
        ("e", Unreadable),
        ("+", Unreadable),
        (".", Unreadable),
        ("0.2 in", Unreadable),
        ("wet", Unreadable),
    ] {
        assert_eq!(RainReader::new(b',').read(cell.as_bytes()), want, "{cell}");
    }
    // forty characters are a figure, more are none
    assert_eq!(RainReader::new(b',').read(format!("{:040}", 7).as_bytes()), Number(7.0));
    assert_eq!(RainReader::new(b',').read(format!("{:041}", 7).as_bytes()), Unreadable);
}

#[test]
fn identity_the_first_decimal_sign_holds_for_all_rows() {
    use RainCell::{Number, Unreadable};
    for (delimiter, rows) in [
        (b';', [("7", Number(7.0)), ("0,5", Number(0.5)), ("0.5", Unreadable), ("1,5", Number(1.5))]),
        (b';', [("0.5", Number(0.5)), ("0,5", Unreadable), ("1.5", Number(1.5)), ("2", Number(2.0))]),
        // a cell that is no figure settles nothing; nor does a plain zero
        (b'\t', [("0,5,5", Unreadable), ("0.00", Number(0.0)), ("0,5", Number(0.5)), ("0.00", Number(0.0))]),
        (b',', [("0,5", Unreadable), ("0.5", Number(0.5)), ("0,5", Unreadable), ("8", Number(8.0))]),
    ] {
        let mut reader = RainReader::new(delimiter);
        for (cell, want) in rows {
            assert_eq!(reader.read(cell.as_bytes()), want, "{cell} of {rows:?}");
        }
    }
}
