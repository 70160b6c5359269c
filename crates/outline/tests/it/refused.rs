//! What is no outline of a turned part is refused with reason and place, and nothing makes it panic.

use model::{Source, Units};
use outline::{Drawn, Format, Front, Refused, Told};
use proptest::prelude::*;

/// A DXF drawing of lines `x y x y`, one a row, from line 8 of the file on, twelve lines of text each.
fn dxf(lines: &[[f64; 4]]) -> String {
    let mut text = "0\nSECTION\n2\nENTITIES\n".to_owned();
    for [a, b, c, d] in lines {
        text += &format!("0\nLINE\n8\npart\n10\n{a}\n20\n{b}\n11\n{c}\n21\n{d}\n");
    }
    text + "0\nENDSEC\n0\nEOF\n"
}

/// A closed way through corners.
fn closed(corners: &[(f64, f64)]) -> Vec<[f64; 4]> {
    let next = corners.iter().cycle().skip(1);
    corners.iter().zip(next).map(|(a, b)| [a.0, a.1, b.0, b.1]).collect()
}

fn told(drawn: Drawn) -> Told {
    let (units, front) = (Some(Units::Mm), Some(Front::Left));
    Told { units, front, drawn: Some(drawn), ..Told::default() }
}

/// The message, the line of the file, and the mend.
fn refused(text: &str, drawn: Drawn) -> (String, u32, String) {
    match outline::read(&Source::new("part.dxf", text), Format::Dxf, &told(drawn)) {
        Err(Refused::Troubles(list)) => {
            let first = &list[0];
            let line = first.source.locate(first.span.start).line;
            (first.message.clone(), line, first.help.clone())
        }
        other => panic!("{other:?}\n{text}"),
    }
}

#[track_caller]
fn says(lines: &[[f64; 4]], drawn: Drawn, message: &str, line: u32) {
    let (said, at, help) = refused(&dxf(lines), drawn);
    assert_eq!(said, message);
    assert_eq!(at, line, "{said}");
    assert!(!help.is_empty() && !help.ends_with('.'), "{help}");
}

const SHAFT: [(f64, f64); 6] =
    [(0.0, 0.0), (0.0, 4.0), (10.0, 4.0), (10.0, 5.0), (20.0, 5.0), (20.0, 0.0)];

#[test]
fn the_shaft_itself_is_read() {
    let text = dxf(&closed(&SHAFT));
    let read = outline::read(&Source::new("part.dxf", text), Format::Dxf, &told(Drawn::Half));
    assert_eq!(read.unwrap().features.len(), 2);
}

#[test]
fn a_gap_is_told_with_place_and_size() {
    let mut lines = closed(&SHAFT);
    lines[1][0] = 0.2;
    lines[3][0] = 10.05;
    says(
        &lines,
        Drawn::Half,
        "the outline is open: 4 ends meet nothing, the nearest two 0.050 mm apart, at x 10, y 5 and at x 10.05, y 5",
        30,
    );
    // The join itself: 0.001 mm.
    let mut lines = closed(&SHAFT);
    lines[3][0] = 10.001;
    let text = dxf(&lines);
    let read = outline::read(&Source::new("part.dxf", text), Format::Dxf, &told(Drawn::Half));
    assert!(read.is_ok(), "{read:?}");
    lines[3][0] = 10.0011;
    assert!(refused(&dxf(&lines), Drawn::Half).0.contains("is open"));
}

#[test]
fn an_open_outline_is_told() {
    let lines = closed(&SHAFT);
    says(
        &lines[..3],
        Drawn::Half,
        "the outline is open: its ends meet neither each other nor the axis",
        30,
    );
    says(&lines[..3], Drawn::Full, "read as all of the section, the outline is open", 30);
    // Without the line on the axis it is whole: the axis closes it.
    let text = dxf(&lines[..5]);
    let read = outline::read(&Source::new("part.dxf", text), Format::Dxf, &told(Drawn::Half));
    assert_eq!(read.unwrap().features.len(), 2);
}

#[test]
fn a_branch_and_a_second_outline_are_told() {
    let mut lines = closed(&SHAFT);
    lines.push([10.0, 4.0, 10.0, 0.0]);
    says(&lines, Drawn::Half, "3 lines meet at x 10, y 4: an outline has two", 78);
    let mut lines = closed(&SHAFT);
    lines.extend(closed(&[(2.0, 1.0), (3.0, 1.0), (3.0, 2.0)]));
    says(&lines, Drawn::Half, "2 outlines stand on this layer; one of them begins here", 78);
}

#[test]
fn a_crossing_is_told() {
    let mut corners = SHAFT.to_vec();
    corners.splice(2..2, [(8.0, 4.0), (8.0, 7.0), (6.0, 7.0), (6.0, 3.0), (9.0, 3.0), (9.0, 4.0)]);
    let (message, ..) = refused(&dxf(&closed(&corners)), Drawn::Half);
    assert_eq!(message, "the outline crosses or touches itself at x 6, y 4");
    let spike =
        [(0.0, 0.0), (0.0, 4.0), (12.0, 4.0), (10.0, 4.0), (10.0, 5.0), (20.0, 5.0), (20.0, 0.0)];
    let (message, ..) = refused(&dxf(&closed(&spike)), Drawn::Half);
    assert_eq!(message, "the outline crosses or touches itself at x 11, y 4");
}

#[test]
fn an_outline_over_the_axis_is_told() {
    let corners: Vec<_> =
        SHAFT.iter().map(|(x, y)| (*x, if *y == 0.0 { -1.0 } else { *y })).collect();
    says(
        &closed(&corners),
        Drawn::Half,
        "read as half of the section, the outline crosses the axis here, at y 0",
        6,
    );
    says(
        &closed(&corners),
        Drawn::Full,
        "read as all of the section, this line has no mirror image: the outline is not alike on both sides of its middle, y 2",
        6,
    );
}

#[test]
fn what_no_feature_says_is_told() {
    let undercut = [
        (0.0, 0.0),
        (0.0, 4.0),
        (10.0, 4.0),
        (9.0, 3.0),
        (12.0, 3.0),
        (12.0, 5.0),
        (20.0, 5.0),
        (20.0, 0.0),
    ];
    says(
        &closed(&undercut),
        Drawn::Half,
        "the outside goes back toward the front face here, by 1.000 mm: no feature of a job says this",
        30,
    );
    let back_bore = [(0.0, 0.0), (0.0, 4.0), (20.0, 4.0), (20.0, 2.0), (12.0, 2.0), (12.0, 0.0)];
    says(
        &closed(&back_bore),
        Drawn::Half,
        "a bore that opens at the back face: features count from the front face",
        42,
    );
    let face_groove = [
        (0.0, 0.0),
        (0.0, 1.0),
        (2.0, 1.0),
        (2.0, 2.0),
        (0.0, 2.0),
        (0.0, 4.0),
        (20.0, 4.0),
        (20.0, 0.0),
    ];
    let (message, ..) = refused(&dxf(&closed(&face_groove)), Drawn::Half);
    assert_eq!(message, "a groove in the front face is not read from an outline");
}

#[test]
fn what_is_no_drawing_is_told() {
    let cases = [
        ("", "this file has no section ENTITIES, in which DXF keeps its lines", 1),
        (
            "0\nSECTION\n2\nENTITIES\n0\nLINE\n8\nA\n10\nx\n20\n0\n11\n1\n21\n1\n0\nENDSEC\n",
            "`x` is not a number",
            10,
        ),
        (
            "0\nSECTION\n2\nENTITIES\n0\nLINE\n8\nA\n10\n1e999\n20\n0\n11\n1\n21\n1\n0\nENDSEC\n",
            "`1e999` is not a number",
            10,
        ),
        (
            "0\nSECTION\n2\nENTITIES\n0\nLINE\n8\nA\n10\n1\n0\nENDSEC\n",
            "this LINE has no group 20",
            6,
        ),
        ("0\nSECTION\n2\nENTITIES\n0\nLINE\n8\nA\n10", "the file ends before its drawing does", 9),
        ("<svg/>", "a group code of DXF, a whole number, should stand here", 1),
        (
            "0\nSECTION\n2\nENTITIES\n0\nTEXT\n8\nA\n0\nENDSEC\n",
            "no line, arc, polyline or path stands in this drawing",
            1,
        ),
        ("Some Binary DXF\r\n\x1a\0", "this is a binary DXF file, which is not read", 1),
    ];
    for (text, message, line) in cases {
        let (said, at, _) = refused(text, Drawn::Half);
        assert_eq!((said.as_str(), at), (message, line));
    }
    let far = dxf(&[[0.0, 0.0, 2e6, 0.0]]);
    assert_eq!(
        refused(&far, Drawn::Half).0,
        "this lies more than 1000 m from the origin of the drawing"
    );
}

/// Bytes that look like a drawing here and there.
fn pieces() -> impl Strategy<Value = Vec<u8>> {
    let words = [
        "0\n",
        "SECTION\n",
        "2\nENTITIES\n",
        "LINE\n",
        "ARC\n",
        "LWPOLYLINE\n",
        "POLYLINE\n",
        "VERTEX\n",
        "SEQEND\n",
        "ENDSEC\n",
        "8\nA\n",
        "10\n1\n",
        "20\n2\n",
        "11\n5\n",
        "21\n7\n",
        "40\n3\n",
        "50\n0\n",
        "51\n90\n",
        "42\n0.5\n",
        "42\n1e300\n",
        "70\n1\n",
        "10\n-1e308\n",
        "20\nnan\n",
        "230\n-1\n",
        "EOF\n",
        "<svg xmlns='http://www.w3.org/2000/svg' width='9mm' height='9mm' viewBox='0 0 9 9'>",
        "<path d='M0 0",
        " L 9 0",
        " A 3 3 0 1 0 9 9",
        " C 1 2 3 4 5 6",
        " Q 1e9 2 3 4",
        " S 1 2 3 4",
        " z'/>",
        "</svg>",
        "<g transform='scale(-1,2)'>",
        "</g>",
        "<rect width='4' height='5'/>",
        "<polygon points='0,0 9,0 9,4'/>",
    ];
    let word = (0..words.len()).prop_map(move |index| words[index].as_bytes().to_vec());
    let piece = prop_oneof![6 => word, 1 => prop::collection::vec(any::<u8>(), 0..6)];
    prop::collection::vec(piece, 0..40).prop_map(|pieces| pieces.concat())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(3000))]
    #[test]
    fn no_bytes_make_it_panic(bytes in pieces(), front in 0..5_usize, axis_at in prop::option::of(any::<f64>())) {
        let front = Front::ALL.get(front).copied();
        let told = Told { units: Some(Units::Mm), front, axis_at, ..Told::default() };
        for format in [Format::Dxf, Format::Svg] {
            let _ = outline::read(&Source::new("bytes", bytes.clone()), format, &told);
        }
    }

    /// Corners anywhere, joined by lines and arcs: mostly no part, never a panic, and what is read is a
    /// part whose features go on to its back face.
    #[test]
    fn no_figures_make_it_panic(
        corners in prop::collection::vec((-3..9_i32, 0..6_i32, prop_oneof![Just(0.0), -2.0..2.0_f64]), 2..9),
        front in 0..4_usize,
    ) {
        let mut text = "0\nSECTION\n2\nENTITIES\n0\nLWPOLYLINE\n8\nA\n70\n1\n".to_owned();
        for (x, y, bulge) in &corners {
            text += &format!("10\n{x}\n20\n{y}\n42\n{bulge}\n");
        }
        text += "0\nENDSEC\n0\nEOF\n";
        let told = Told { units: Some(Units::Mm), front: Some(Front::ALL[front]), ..Told::default() };
        if let Ok(read) = outline::read(&Source::new("part.dxf", text), Format::Dxf, &told) {
            let last = read.features.iter().filter(|it| it.on_outside()).map(|it| it.to).max();
            prop_assert_eq!(last, Some(read.length));
        }
    }
}
