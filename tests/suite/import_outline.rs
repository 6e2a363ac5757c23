//! Outline files.

use birdbath::import::{Fault, ImportErrors, ImportOptions, Source, outline};
use birdbath::survey::Room;
use birdbath::units::LengthUnit;

fn read(text: &str) -> Result<Room, ImportErrors> {
    outline(
        &Source {
            name: "room.csv",
            bytes: text.as_bytes(),
        },
        &ImportOptions::default(),
    )
}

#[test]
fn an_outline_with_everything_in_it() {
    let text = "\
kind,name,x_ft,y_ft,width_in,under_cut_in,adjoining_reading_in,limit_reading_in
outline,room,0,0,,,,
outline,room,0,10,,,,
outline,room,8,10,,,,
outline,room,8,0,,,,
outline,room,0,0,,,,
slope,shower,5,5,,,,
slope,shower,8,5,,,,
slope,shower,8,10,,,,
slope,shower,5,10,,,,
void,column,1,1,,,,
void,column,2,1,,,,
void,column,2,2,,,,
void,column,1,2,,,,
joint,saw cut,0,4,,,,
joint,saw cut,8,4,,,,
movement joint,,4,0,,,,
movement joint,,4,3,,,,
door,hall door,2.5,0,30,5/8,35 1/2,
drain,,6.5,7.5,,,,
fixture,flange,3,8,,,,36 1/4
wall,north,4,10,,,,
";
    let room = read(text).unwrap_or_else(|e| panic!("{e}"));
    // ORACLE: hand. 8 by 10 ft; the shower takes 15 sq ft and the column 1.
    let ft2 = |m2: f64| (m2 / 0.3048 / 0.3048 * 1e9).round() / 1e9;
    assert_eq!(ft2(room.outline.area()), 80.0);
    assert_eq!(ft2(room.region().area()), 64.0);
    assert_eq!(room.outline.points().len(), 4);
    assert_eq!(
        (room.voids[0].name.as_str(), room.slopes[0].name.as_str()),
        ("column", "shower")
    );
    assert_eq!(room.joints.len(), 2);
    assert!(!room.joints[0].movement && room.joints[1].movement);
    assert_eq!(room.joints[1].name, "joint 2");
    let door = &room.doors[0];
    assert!((door.width_m - 0.762).abs() < 1e-12);
    assert!((door.under_cut_m.unwrap() - 0.015875).abs() < 1e-12);
    // A reading of 35 1/2 in down from the line at 0.
    assert!((door.adjoining_m.unwrap() + 0.9017).abs() < 1e-12);
    assert!(room.fixtures[0].drain && room.fixtures[0].limit_m.is_none());
    assert!((room.fixtures[1].limit_m.unwrap() + 0.92075).abs() < 1e-12);
    assert_eq!(room.walls[0].name, "north");
}

#[test]
fn without_a_kind_column_all_rows_are_the_outline() {
    let room = read("x (m);y (m)\n0;0\n4,5;0\n4,5;3\n0;3\n").unwrap();
    assert!((room.outline.area() - 13.5).abs() < 1e-12);
    let options = ImportOptions {
        plan_unit: Some(LengthUnit::Foot),
        ..ImportOptions::default()
    };
    let bytes = b"x,y\n0,0\n10,0\n0,10\n";
    let room = outline(
        &Source {
            name: "a.csv",
            bytes,
        },
        &options,
    )
    .unwrap();
    assert!((room.outline.area() - 50.0 * 0.3048 * 0.3048).abs() < 1e-12);
}

const SQUARE: &str =
    "kind,name,x_ft,y_ft\noutline,,0,0\noutline,,9,0\noutline,,9,9\noutline,,0,9\n";

// ORACLE: hand. Two columns of 1 sq ft that bear one name are two; so are two joints.
#[test]
fn a_blank_row_sets_two_of_one_name_apart() {
    let one = "void,col,1,2\nvoid,col,1,1\nvoid,col,2,1\nvoid,col,2,2\n";
    let two = "void,col,2,5\nvoid,col,2,6\nvoid,col,1,6\nvoid,col,1,5\n";
    let joints = "joint,MJ,3,0\njoint,MJ,3,3\n,,,\njoint,MJ,5,5\njoint,MJ,5,9\n";
    for blank in ["\n", ",,,\n"] {
        let room = read(&format!("{SQUARE}{one}{blank}{two}{joints}")).unwrap();
        assert_eq!((room.voids.len(), room.joints.len()), (2, 2));
        let ft2 = room.region().area() / 0.3048 / 0.3048;
        assert!((ft2 - 79.0).abs() < 1e-9, "{ft2}");
    }
    let said = read(&format!("{SQUARE}{one}{one}"))
        .unwrap_err()
        .to_string();
    assert!(said.contains("blank row"), "{said}");
}

// ORACLE: hand. Units may stand in a row of their own below the headings.
#[test]
fn a_row_of_units_holds_for_the_columns_above_it() {
    let room = read("kind,name,x,y,width\n,,ft,ft,in\noutline,,0,0,\noutline,,9,0,\noutline,,9,9,\noutline,,0,9,\ndoor,D,4,0,30\n").unwrap();
    assert!((room.outline.area() - 81.0 * 0.3048 * 0.3048).abs() < 1e-9);
    assert!((room.doors[0].width_m - 0.762).abs() < 1e-12);
}

// ORACLE: hand. An outline is drawn as it is written; readings beside it may be turned over, and then the two would differ.
#[test]
fn an_outline_that_counts_from_another_corner_is_refused() {
    let rows = SQUARE.split_once('\n').unwrap().1;
    for text in [
        format!("Origin: NE corner\n{SQUARE}"),
        format!("y from far wall\n{SQUARE}"),
        format!("kind,name,x from right wall (ft),y_ft\n{rows}"),
        format!("kind,name,x_ft,\"y (from back, ft)\"\n{rows}"),
    ] {
        let said = read(&text).unwrap_err().to_string();
        assert!(said.contains("not turned over"), "{said}");
    }
    for text in [
        format!("Origin: SW corner\n{SQUARE}"),
        format!("Plan of the hall\n{SQUARE}"),
        format!("kind,name,x from left wall (ft),y from near wall (ft)\n{rows}"),
    ] {
        read(&text).unwrap_or_else(|e| panic!("{e}"));
    }
}

#[test]
fn the_demo_outline_reads() {
    let bytes = include_bytes!("../../fixtures/demo/outline.csv");
    let room = outline(
        &Source {
            name: "outline.csv",
            bytes,
        },
        &ImportOptions::default(),
    )
    .unwrap();
    assert_eq!(room.outline.points().len(), 6);
    assert_eq!(room.doors.len(), 1);
}

#[test]
fn faulty_rings_are_told_with_their_rows() {
    let fault = |text: &str, row: u32, words: &str| {
        let errors = read(text).unwrap_err();
        assert!(
            errors
                .list()
                .iter()
                .any(|e| e.fault == Fault::Ring && e.place.row == row),
            "{errors}"
        );
        assert!(errors.to_string().contains(words), "{errors}");
    };
    fault("x_m,y_m\n0,0\n1,1\n", 2, "2 corners");
    // A bow tie.
    fault("x_m,y_m\n0,0\n4,4\n4,0\n0,4\n", 4, "cross");
    let square = "kind,name,x_m,y_m\noutline,,0,0\noutline,,4,0\noutline,,4,4\noutline,,0,4\n";
    fault(
        &format!("{square}void,post,6,1\nvoid,post,7,1\nvoid,post,7,2\n"),
        6,
        "outside",
    );
    fault(
        &format!("{square}void,post,3,1\nvoid,post,5,1\nvoid,post,5,2\n"),
        6,
        "sticks out",
    );
    fault(&format!("{square}joint,cut,1,1\n"), 6, "one point");
    fault(
        "kind,x_m,y_m\nvoid,0,0\nvoid,1,0\nvoid,0,1\n",
        0,
        "no outline",
    );
    let errors = read(&format!("{square}dor,,2,0\nvoid,a,x,1\n")).unwrap_err();
    assert!(
        errors.has(Fault::Layout) && errors.has(Fault::NoPosition),
        "{errors}"
    );
    assert!(errors.to_string().contains("movement joint"), "{errors}");
    let errors = read("x,y\n0,0\n1,0\n0,1\n").unwrap_err();
    assert!(errors.has(Fault::MissingUnit), "{errors}");
    let errors = read("a,b\n0,0\n").unwrap_err();
    assert!(errors.has(Fault::Column), "{errors}");
    let errors = read(&format!("{square}door,d,2,0\n")).unwrap_err();
    assert!(errors.to_string().contains("width"), "{errors}");
}

// ORACLE: hand. What would be lost is refused at its cell: a length under a heading that says nothing, a door's height given as a
// fixture's, a height given twice, a door in no wall. Words for people are no loss.
#[test]
fn nothing_of_an_outline_is_lost() {
    let rows = |header: &str, last: &str| {
        let rest = ",".repeat(header.matches(',').count() - 3);
        let corner = |x: u32, y: u32| format!("outline,room,{x},{y}{rest}\n");
        format!(
            "{header}\n{}{}{}{}{last}\n",
            corner(0, 0),
            corner(10, 0),
            corner(10, 8),
            corner(0, 8)
        )
    };
    for (header, last, place, found, remedy) in [
        (
            "kind,name,x_ft,y_ft,width_in,clearance_in",
            "door,hall,5,0,30,5/8",
            "cell F1",
            "a column headed “clearance_in”",
            "Rename it",
        ),
        (
            "kind,name,x_ft,y_ft,adjoining_reading_in",
            "fixture,flange,5,4,36",
            "cell E6",
            "“36”",
            "limit_reading",
        ),
        (
            "kind,name,x_ft,y_ft,width_in,limit_reading_in",
            "door,hall,5,0,30,36",
            "cell F6",
            "“36”",
            "adjoining_reading",
        ),
        (
            "kind,name,x_ft,y_ft,limit_reading_in,limit_in",
            "fixture,flange,5,4,36,2",
            "cell F6",
            "“2”",
            "Leave one of the two blank",
        ),
        (
            "kind,name,x_ft,y_ft,width_in",
            "door,hall,200,0,30",
            "row 6",
            "far from every wall",
            "Is the place right",
        ),
    ] {
        let told = read(&rows(header, last)).unwrap_err().to_string();
        for part in [place, found, remedy] {
            assert!(told.contains(part), "{part}: {told}");
        }
    }
    let with_notes = rows(
        "kind,name,x_ft,y_ft,width_in,note",
        "door,hall,5,-2.9,30,swings out",
    );
    assert_eq!(read(&with_notes).unwrap().doors.len(), 1);
}
