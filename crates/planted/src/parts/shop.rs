//! The shop for an invented part: enough of lathe and tools for all that is drawn.

use super::drawn::{Feature, Part};
use super::{CONTROLS, Way};

/// A size as a file of these units has it.
fn said(size: i64, way: Way) -> String {
    if way.inch {
        format!("{:.4}", size as f64 * 0.0004)
    } else {
        format!("{:.2}", size as f64 / 100.0)
    }
}

fn units(way: Way) -> &'static str {
    if way.inch { "units = \"inch\"\n" } else { "units = \"mm\"\n" }
}

/// A size in millimeters, so that a file reads the same in both units.
fn mm(size: f64, way: Way) -> String {
    if way.inch { format!("{:.4}", size / 25.4) } else { format!("{size}") }
}

fn feature(one: &Feature, way: Way) -> String {
    let mut text = "[[part.feature]]\n".to_owned();
    for (key, word) in &one.words {
        text += &format!("{key} = {word}\n");
    }
    for (key, size) in &one.sizes {
        text += &format!("{key} = {}\n", said(*size, way));
    }
    text
}

pub(super) fn job(part: &Part, way: Way) -> String {
    let features: String = part.features.iter().map(|one| feature(one, way)).collect();
    let advance = part.parts * (part.length + 350);
    let blank = 6 * advance + 8000;
    format!(
        "{}name = \"invented\"\nprogram = 5000\n\
         [files]\nlathe = \"lathe.toml\"\ngripper = \"gripper.toml\"\ntools = \"tools.toml\"\n\
         control = \"control.toml\"\n\
         [order]\nquantity = 500\n\
         [bar]\nmaterial = \"brass-c360\"\nsize = {}\nlength = {}\nlength_tolerance = {}\n\
         rear_margin = {}\n\
         [part]\nlength = {}\n{features}\
         [advance]\nparts = {}\nface_stock = {}\nfirst_face = {}\njaw_clearance = {}\n\
         [cutting]\nmax_speed = 1500\n\
         [count]\nby = \"{}\"\n",
        units(way),
        said(part.bar, way),
        said(blank, way),
        said(100, way),
        said(500, way),
        said(part.length, way),
        part.parts,
        said(50, way),
        said(150, way),
        said(1400, way),
        way.count,
    )
}

/// The files of the shop, with the control's as it ships.
pub(super) fn files(part: &Part, way: Way, control: String) -> Vec<(&'static str, String)> {
    let (_, writing) = CONTROLS[way.control];
    let control = with_counter(control);
    let control = control.replacen("[writing]\n", &format!("[writing]\n{writing}"), 1);
    vec![
        ("lathe.toml", lathe(way)),
        ("gripper.toml", gripper(way)),
        ("tools.toml", tools(part, way)),
        ("control.toml", control),
    ]
}

/// The control with a part counter that a word of the program steps.
fn with_counter(control: String) -> String {
    let steps = "[[function]]\ndoes = \"part-count\"\nword = \"M77\"\n";
    if control.contains("part-count") {
        return control;
    }
    let counter = "[counter]\nmade = 3901\nwanted = 3902\ncounted_by = [\"M77\"]\n\n";
    let (before, behind) = control.split_once("[counter]").unwrap_or((&control, ""));
    let behind = behind.split_once("\n\n").map_or("", |(_, rest)| rest);
    let control = match behind {
        "" => control.replacen("[reset]", &format!("{counter}[reset]"), 1),
        rest => format!("{before}{counter}{rest}"),
    };
    format!("{control}\n{steps}")
}

fn lathe(way: Way) -> String {
    format!(
        "{}name = \"invented\"\n[travel]\nx = {}\nz = {}\n[rapid]\nx = {}\nz = {}\n\
         x_acceleration = {}\nz_acceleration = {}\n\
         [spindle]\nmax_speed = 4000\nbore = {}\njaw_face_to_rear = {}\nrun_up = 3\nrun_down = 2.5\n\
         waits_for_speed = true\n\
         [chuck]\nopen = 0.6\nclose = 0.7\njaw_length = {}\nleast_grip = {}\nmax_speed = 4000\n\
         start_when_open = \"refused\"\n\
         [turret]\nstations = 12\nstep = 0.25\nindex_x = {}\nindex_z = {}\n",
        units(way),
        mm(400.0, way),
        mm(600.0, way),
        12.0,
        16.0,
        2.5,
        3.0,
        mm(60.0, way),
        mm(1500.0, way),
        mm(40.0, way),
        mm(30.0, way),
        mm(160.0, way),
        mm(100.0, way),
    )
}

fn gripper(way: Way) -> String {
    format!(
        "{}name = \"invented\"\nstyle = \"radial\"\nfingers = {}\nleast_engagement = {}\njaw_gap = {}\n\
         diameter_min = {}\ndiameter_max = {}\npull_speed = {}\napproach_speed = {}\nclear_x = {}\n\
         clear_z = {}\nsettle = 0.5\nbias = {}\ndeviation = {}\n",
        units(way),
        mm(9.0, way),
        mm(6.0, way),
        mm(2.0, way),
        mm(3.0, way),
        mm(45.0, way),
        2500,
        1200,
        mm(100.0, way),
        mm(5.0, way),
        mm(0.02, way),
        mm(0.05, way),
    )
}

fn tools(part: &Part, way: Way) -> String {
    let speed = |m: f64| if way.inch { format!("{:.0}", m / 0.3048) } else { format!("{m}") };
    let feed = |feed: f64| mm(feed, way);
    let depth = said(part.depth, way);
    let stock = said(part.stock, way);
    let mut text = units(way).to_owned();
    let mut station = |number: u32, kind: &str, rest: String| {
        text += &format!(
            "[[station]]\nnumber = {number}\nkind = \"{kind}\"\nname = \"{kind}\"\n{rest}"
        );
    };
    let turning = |nose: i64, main: f64, insert: &str| {
        format!(
            "nose_radius = {}\nedge_angle = {main}\ninsert = \"{insert}\"\nspeed = {}\nfeed = {}\n\
             finish_feed = {}\ndepth = {depth}\nfinish_stock = {stock}\n",
            said(nose, way),
            speed(150.0),
            feed(0.15),
            feed(0.08),
        )
    };
    station(1, "turning", turning(part.nose, 95.0, "CNMG 120404"));
    station(2, "turning", turning(part.nose.min(40), 93.0, "VBMT 160404"));
    let blade = |width: i64, reach: f64| {
        format!(
            "width = {}\nreach = {}\nspeed = {}\nfeed = {}\n",
            said(width, way),
            mm(reach, way),
            speed(90.0),
            feed(0.05)
        )
    };
    station(3, "parting", blade(200, 30.0));
    station(4, "grooving", blade(part.blade, 12.0));
    station(5, "threading", format!("speed = {}\n", speed(60.0)));
    station(7, "gripper", String::new());
    if let Some(drill) = part.drill {
        let rest = format!(
            "diameter = {}\nreach = {}\nspeed = {}\nfeed = {}\n",
            said(drill, way),
            mm(90.0, way),
            speed(50.0),
            feed(0.08)
        );
        station(6, "drill", rest);
        let bar = said((drill * 6 / 10).clamp(300, 1200), way);
        let rest = format!(
            "nose_radius = {}\nshank = {bar}\noverhang = {}\nspeed = {}\nfeed = {}\nfinish_feed = {}\n\
             depth = {}\nfinish_stock = {}\n",
            said(20, way),
            mm(80.0, way),
            speed(100.0),
            feed(0.08),
            feed(0.05),
            said(50, way),
            said(10, way),
        );
        station(8, "boring", rest);
    }
    text
}
