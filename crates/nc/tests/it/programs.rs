//! Where programs start and end, and where their jumps and loops go.

use model::Source;
use nc::program::{FlowTroubleKind, Library, ProgramId};
use nc::read::read;

fn library(texts: &[&str]) -> Library {
    Library::new(texts.iter().map(|text| read(&Source::new("test.nc", *text))).collect())
}

/// Number, file and the text of the first and last block of each program.
fn shown(library: &Library) -> Vec<String> {
    let programs = library.programs().iter();
    let text = |tree: usize, block: usize| {
        let tree = &library.trees()[tree];
        tree.source.text_of(tree.blocks[block].span).trim().to_owned()
    };
    programs
        .map(|program| {
            let number = program.number.map_or("none".into(), |number| number.to_string());
            let (first, last) = (program.blocks.start, program.blocks.end - 1);
            format!("{number}: {} to {}", text(program.tree, first), text(program.tree, last))
        })
        .collect()
}

fn troubles(text: &str) -> Vec<(String, FlowTroubleKind)> {
    let library = library(&[text]);
    let tell = |trouble: &nc::program::FlowTrouble| {
        let source = &library.trees()[trouble.tree].source;
        let line = source.locate(trouble.span.start).line;
        (format!("{line}: {}", source.text_of(trouble.span)), trouble.kind)
    };
    library.troubles().iter().map(tell).collect()
}

#[test]
fn programs_run_to_the_next_number_or_sign() {
    let found = library(&["%\nO1 (A)\nG0\nM30\nO2\nM99\n%\nrest X1", "O3\nM99\n%\nO4 M99"]);
    let expected = ["1: O1 (A) to M30", "2: O2 to M99", "3: O3 to M99", "4: O4 M99 to O4 M99"];
    assert_eq!(shown(&found), expected);
    assert_eq!(found.find(4), Some(ProgramId(3)));
    assert_eq!(found.find(5), None);
    assert_eq!(found.main(), ProgramId(0));
}

#[test]
fn a_file_may_start_without_a_number() {
    assert_eq!(shown(&library(&["(TOP)\nN1 G0\nM30\n"])), ["none: N1 G0 to M30"]);
    assert_eq!(shown(&library(&["N1\nO5\nM99"])), ["none: N1 to N1", "5: O5 to M99"]);
    assert_eq!(shown(&library(&["%O7\nM30"])), ["7: %O7 to M30"]);
}

#[test]
fn the_main_program_is_in_the_first_file() {
    for texts in [&[] as &[&str], &[""], &["%\n%"], &["(nothing)", "O2\nM99"]] {
        let found = library(texts);
        let main = found.program(found.main());
        assert!(main.tree == 0 && main.blocks.is_empty(), "{texts:?}");
        assert_eq!(found.search(found.main(), 0, 1), None);
    }
}

#[test]
fn a_search_goes_forward_and_then_from_the_top() {
    let found = library(&["O1\nN5\nN7\nN5\nN7\nO2\nN9"]);
    let main = found.main();
    assert_eq!(found.search(main, 0, 5), Some(1));
    assert_eq!(found.search(main, 1, 5), Some(1));
    assert_eq!(found.search(main, 2, 5), Some(3));
    assert_eq!(found.search(main, 4, 5), Some(1));
    assert_eq!(found.search(main, 0, 9), None, "N9 stands in another program");
}

#[test]
fn loops_find_their_other_half() {
    let found = library(&["WHILE[1]DO1\nDO2\nEND2\nDO2\nEND2\nEND1"]);
    let main = found.main();
    for (start, end) in [(0, 5), (1, 2), (3, 4)] {
        assert_eq!(found.loop_end(main, start), Some(end));
        assert_eq!(found.loop_start(main, end), Some(start));
    }
    assert_eq!(found.loop_end(main, 2), None);
    assert!(found.troubles().is_empty());
}

#[test]
fn broken_loops_are_told() {
    use FlowTroubleKind::{DoWithoutEnd, EndWithoutDo, LoopNumber, LoopsCross};
    let told = |text, line: &str, kind| {
        assert_eq!(troubles(text), [(line.to_owned(), kind)], "{text}");
    };
    told("G0\nEND1", "2: END1", EndWithoutDo);
    told("DO1\nG0", "1: DO1", DoWithoutEnd);
    told("DO1\nDO2\nEND1\nEND2", "3: END1", LoopsCross);
    told("DO4\nG0", "1: DO4", LoopNumber);
    told("DO1\nDO1\nEND1", "2: DO1", LoopNumber);
    told("DO1\nO2\nM99", "1: DO1", DoWithoutEnd);
}

#[test]
fn numbers_that_stand_twice_are_told_where_it_matters() {
    use FlowTroubleKind::{ProgramTwice, TargetTwice};
    assert_eq!(troubles("O1\nM99\nO1 (AGAIN)\nM99"), [("3: O1".into(), ProgramTwice)]);
    assert_eq!(troubles("N1\nN1\nM30"), []);
    assert_eq!(troubles("N1\nN1\nGOTO1"), [("2: N1".into(), TargetTwice)]);
    assert_eq!(troubles("N1\nN1\nM99 P1"), [("2: N1".into(), TargetTwice)]);
    assert_eq!(troubles("G71 P1 Q2\nN1\nN2\nN2"), [("4: N2".into(), TargetTwice)]);
    assert_eq!(troubles("N1\nN1\nM98 P1"), [], "P names a program");
}

#[test]
fn a_jump_to_a_number_that_is_not_there_is_told() {
    use FlowTroubleKind::TargetMissing;
    assert_eq!(troubles("N1\nIF[#1EQ1]GOTO 7"), [("2: GOTO 7".into(), TargetMissing(7))]);
    assert_eq!(troubles("N7\nO2\nGOTO7"), [("3: GOTO7".into(), TargetMissing(7))]);
    assert_eq!(troubles("GOTO#1\nGOTO7\nN7"), []);
}
