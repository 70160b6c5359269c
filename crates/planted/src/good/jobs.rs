//! Invented jobs over the whole range of what may be asked for, each from one number.

use super::{Folder, Good, Text, Writer, repository};
use crate::seed::Seed;
use model::files::Job;
use model::{Level, Source};

/// Numbers that are tried for one good job; far more than it takes.
const TRIES: u64 = 50;

/// The good program with this number: the first invented job for which the planner would write a
/// program before it asks the prover. What the prover says of it is not looked at.
pub fn good(number: u64) -> Option<Good> {
    (0..TRIES).find_map(|again| {
        let seed = Seed::new(number * TRIES + again);
        let job = invent(seed)?;
        let answer = plan::plan(&job);
        if answer.checks.iter().any(|check| check.level == Some(Level::Stop)) {
            return None;
        }
        // Written once more: where the proof stops a program, the answer has none.
        let texts = plan::program::write(&job, &answer.bar, &answer.process)
            .into_iter()
            .map(|one| Text { name: one.file_name(&job), text: one.text })
            .collect();
        let name = format!("job {number}");
        Some(Good { name, writer: Writer::Plan, texts, setup: prove::Setup::of(&job) })
    })
}

/// A job from its files; none where they do not go together.
fn invent(seed: Seed) -> Option<Job> {
    let mut shop = Shop::draw(seed);
    let job = shop.job();
    let files = vec![
        ("lathe.toml", shop.lathe()),
        ("gripper.toml", shop.gripper()),
        ("tools.toml", shop.tools()),
        ("control.toml", shop.control()),
    ];
    Job::read(&Source::new("job.toml", job), &Folder { files, folder: repository() }).value
}

const MATERIALS: [&str; 20] = [
    "acetal",
    "aluminum-6061",
    "aluminum-7075",
    "brass-c360",
    "copper-c110",
    "ductile-iron",
    "gray-iron",
    "magnesium-az31",
    "nickel-718",
    "stainless-17-4",
    "stainless-303",
    "stainless-304",
    "stainless-316",
    "steel-1018",
    "steel-1045",
    "steel-1215",
    "steel-12l14",
    "steel-4140-annealed",
    "steel-4140-prehard",
    "titanium-6al-4v",
];

/// What is drawn for one shop and its job. Lengths are in tenths of a millimeter.
struct Shop {
    seed: Seed,
    inch: bool,
    shape: &'static str,
    size: i64,
    /// Largest distance from the axis, rounded up.
    reach: i64,
    blade: i64,
    length: i64,
    parts: i64,
    gap: i64,
    fingers: i64,
    bar: i64,
    system: char,
    by: &'static str,
    stations: [i64; 3],
    turret: i64,
    /// Whether the lathe file says where the axes end.
    ends_known: bool,
}

impl Shop {
    fn draw(mut seed: Seed) -> Shop {
        let inch = seed.once_in(3);
        let shape = seed.one(&["round", "round", "round", "hexagon", "square"]).unwrap_or("round");
        let size = seed.between(60, 400);
        let across = match shape {
            "hexagon" => size * 116 / 100,
            "square" => size * 142 / 100,
            _ => size,
        };
        let parts = seed.one(&[1, 1, 1, 2, 3, 4]).unwrap_or(1);
        let length = seed.between(40, if parts == 1 { 600 } else { 200 });
        let turret = seed.one(&[8, 10, 12]).unwrap_or(8);
        let places = seed.shuffled((1..=turret).collect());
        let by = seed.one(&["variable", "counter", "repeat"]).unwrap_or("variable");
        Shop {
            inch,
            shape,
            size,
            reach: across / 2 + 1,
            blade: seed.between(15, 40),
            length,
            parts,
            gap: seed.between(10, 30),
            fingers: seed.between(60, 120),
            bar: seed.between(2500, 7000),
            system: seed.one(&['A', 'A', 'B', 'C']).unwrap_or('A'),
            by,
            stations: [places[0], places[1], places[2]],
            turret,
            ends_known: seed.once_in(2),
            seed,
        }
    }

    fn units(&self) -> &'static str {
        if self.inch { "units = \"inch\"\n" } else { "units = \"mm\"\n" }
    }

    /// A length of so many hundredths of a millimeter as a figure of these units.
    fn fine(&self, hundredths: i64) -> String {
        if self.inch {
            let parts = hundredths * 1000 / 254;
            format!("{}.{:04}", parts / 10_000, parts % 10_000)
        } else {
            format!("{}.{:02}", hundredths / 100, hundredths % 100)
        }
    }

    /// A length of so many tenths of a millimeter as a figure of these units.
    fn long(&self, tenths: i64) -> String {
        self.fine(tenths * 10)
    }

    fn drawn(&mut self, low: i64, high: i64) -> String {
        let tenths = self.seed.between(low, high);
        self.long(tenths)
    }

    /// Tenths of a second or anything else.
    fn tenths(&mut self, low: i64, high: i64) -> String {
        let tenths = self.seed.between(low, high);
        format!("{}.{}", tenths / 10, tenths % 10)
    }

    fn job(&mut self) -> String {
        let quantity = if self.seed.once_in(4) { self.seed.between(2, 40) } else { 5000 };
        let material = self.seed.one(&MATERIALS).unwrap_or("steel-1215");
        let face = self.seed.between(20, 100);
        let first = if self.seed.once_in(3) { 0 } else { self.seed.between(10, 30) };
        let mut text = self.units().to_owned();
        text += &format!("name = \"Part\"\nprogram = {}\n", self.seed.between(1, 9000));
        text += "[files]\nlathe = \"lathe.toml\"\ngripper = \"gripper.toml\"\n";
        text += "tools = \"tools.toml\"\ncontrol = \"control.toml\"\n";
        text += &format!("[order]\nquantity = {quantity}\n[bar]\nmaterial = \"{material}\"\n");
        text += &format!("shape = \"{}\"\nsize = {}\n", self.shape, self.long(self.size));
        text += &format!("length = {}\n", self.long(self.bar));
        text += &format!("length_tolerance = {}\n", self.drawn(5, 20));
        text += &format!("rear_margin = {}\n", self.drawn(20, 100));
        text += &self.part();
        text += &format!("[advance]\nparts = {}\nface_stock = {}\n", self.parts, self.fine(face));
        text += &format!("first_face = {}\n", self.long(first));
        if self.seed.once_in(2) {
            let clearance = self.gap + self.fingers + self.seed.between(0, 40);
            text += &format!("jaw_clearance = {}\n", self.long(clearance));
        }
        if self.seed.once_in(2) {
            text += &format!("[cutting]\nmax_speed = {}\n", self.seed.between(8, 30) * 100);
        }
        let variable = self.seed.between(500, 529);
        text + &format!("[count]\nby = \"{}\"\nvariable = {variable}\n", self.by)
    }

    /// One to three cylinders, never smaller toward the chuck, some with a chamfer.
    fn part(&mut self) -> String {
        let steps = self.seed.between(1, 3);
        let mut text = format!("[part]\nlength = {}\n", self.long(self.length));
        let least = self.size / 2;
        // Whether the last cylinder is as large as the bar.
        let raw = self.seed.between(0, 1);
        let mut before = 0;
        for step in 1..=steps {
            let diameter = least + (self.size - least) * step / (steps + raw);
            let to = self.length * step / steps;
            let room = ((diameter - before) / 2).min(self.length / steps) - 1;
            if self.seed.once_in(2) && room > 3 {
                let leg = self.seed.between(2, room.min(10));
                let leg = self.long(leg);
                text += &format!("[[part.feature]]\nkind = \"chamfer\"\nsize = {leg}\n");
            }
            text += "[[part.feature]]\nkind = \"diameter\"\n";
            text += &format!("diameter = {}\nto = {}\n", self.long(diameter), self.long(to));
            before = diameter;
        }
        text
    }

    fn lathe(&mut self) -> String {
        let open = self.seed.one(&["refused", "warned"]).unwrap_or("refused");
        let least_grip = self.seed.between(150, 320);
        let jaws = least_grip + self.seed.between(0, 80);
        let index_x = self.reach * 2 + self.seed.between(400, 900);
        let waits = self.seed.once_in(2);
        let mut text = self.units().to_owned() + "name = \"Lathe\"\n";
        text += &format!("[travel]\nx = {}\nz = {}\n", self.long(3000), self.long(4500));
        text += &self.travel_ends();
        text += &format!("[rapid]\nx = {}\nz = {}\n", self.tenths(60, 240), self.tenths(80, 300));
        text += &format!("[spindle]\nmax_speed = {}\n", self.seed.between(30, 60) * 100);
        text += &format!("bore = {}\n", self.long(600));
        text += &format!("jaw_face_to_rear = {}\n", self.long(self.bar + 200));
        text += &format!("run_up = {}\n", self.tenths(10, 60));
        text += &format!("run_down = {}\nwaits_for_speed = {waits}\n", self.tenths(10, 120));
        text +=
            &format!("[chuck]\nopen = {}\nclose = {}\n", self.tenths(2, 15), self.tenths(2, 15));
        text += &format!("jaw_length = {}\n", self.long(jaws));
        text += &format!("least_grip = {}\n", self.long(least_grip));
        text += &format!("max_speed = {}\n", self.seed.between(30, 60) * 100);
        text += &format!("start_when_open = \"{open}\"\n[turret]\nstations = {}\n", self.turret);
        text += &format!("step = {}\n", self.tenths(1, 5));
        text + &format!("index_x = {}\nindex_z = {}\n", self.long(index_x), self.drawn(300, 1000))
    }

    /// Where the turret stands at the ends of its travel: far enough for all that is cut here.
    fn travel_ends(&self) -> String {
        if !self.ends_known {
            return String::new();
        }
        format!(
            "[travel.ends]\nx_least = {}\nx_most = {}\nz_least = {}\nz_most = {}\n",
            self.long(0),
            self.long(4000),
            self.long(30),
            self.long(4500)
        )
    }

    /// Where a tip stands on the turret, where the ends of the travel are known.
    fn seat(&self, beyond_face: i64) -> String {
        if !self.ends_known {
            return String::new();
        }
        format!("beyond_rim = {}\nbeyond_face = {}\n", self.long(400), self.long(beyond_face))
    }

    fn gripper(&mut self) -> String {
        let units = self.units();
        let style = self.seed.one(&["radial", "axial"]).unwrap_or("radial");
        let settle = self.seed.one(&["0.0", "0.3", "0.5"]).unwrap_or("0.5");
        let clear = self.reach * 2 + self.seed.between(80, 300);
        format!(
            "{units}name = \"Gripper\"\nstyle = \"{style}\"\nfingers = {}\n\
             least_engagement = {}\njaw_gap = {}\ndiameter_min = {}\ndiameter_max = {}\n\
             pull_speed = {}\napproach_speed = {}\nclear_x = {}\nclear_z = {}\n\
             settle = {settle}\ndeviation = {}\n",
            self.long(self.fingers),
            self.long(self.fingers * 6 / 10),
            self.long(self.gap),
            self.long(30),
            self.long(600),
            self.seed.between(10, 40) * 100,
            self.seed.between(5, 15) * 100,
            self.long(clear),
            self.drawn(30, 80),
            self.fine(3),
        )
    }

    fn tools(&mut self) -> String {
        let units = self.units();
        let [turning, parting, gripper] = self.stations;
        let corner = self.seed.one(&["chuck-side", "front-side"]).unwrap_or("chuck-side");
        let per_minute = if self.inch { 3 } else { 1 };
        let (rough, finish) = (self.seed.between(12, 25), self.seed.between(6, 12));
        let parting_feed = self.seed.between(3, 10);
        let offset = if self.seed.once_in(5) { turning + 20 } else { turning };
        format!(
            "{units}[[station]]\nnumber = {turning}\noffset = {offset}\nkind = \"turning\"\n\
             name = \"turning tool\"\n{seat}turns = \"forward\"\nmost_feed = {most}\n\
             nose_radius = {nose}\nspeed = {}\nfeed = {}\n\
             finish_feed = {}\ndepth = {}\nfinish_stock = {}\n\
             [[station]]\nnumber = {parting}\nkind = \"parting\"\nname = \"blade\"\n{seat}turns = \"forward\"\nwidth = {}\n\
             corner = \"{corner}\"\nreach = {}\nspeed = {}\nfeed = {}\n\
             [[station]]\nnumber = {gripper}\nkind = \"gripper\"\nname = \"gripper\"\n{gripper_seat}",
            self.seed.between(60, 240) * per_minute,
            self.fine(rough),
            self.fine(finish),
            self.drawn(5, 25),
            self.drawn(1, 3),
            self.long(self.blade),
            self.long(self.reach + 30),
            self.seed.between(50, 150) * per_minute,
            self.fine(parting_feed),
            nose = self.long(4),
            most = self.fine(40),
            seat = self.seat(80),
            gripper_seat = self.seat(500),
        )
    }

    fn control(&mut self) -> String {
        let reading = self.seed.one(&["least-increment", "whole-units"]).unwrap_or("whole-units");
        let repeat = self.seed.one(&["L", "packed"]).unwrap_or("L");
        let power_on = self.seed.one(&["mm", "inch"]).unwrap_or("mm");
        let feed = if self.system == 'A' { "G99" } else { "G95" };
        let digits = if repeat == "packed" { 4 } else { self.seed.between(4, 5) };
        let (open, close) = self.seed.one(&[(11, 10), (69, 68), (21, 22)]).unwrap_or((11, 10));
        let mut text = format!(
            "units = \"mm\"\nname = \"Control\"\ncode_system = \"{}\"\nrapid_straight = {}\n\
             repeat_form = \"{repeat}\"\n[numbers]\nwithout_point = \"{reading}\"\n\
             power_on_units = \"{power_on}\"\n[writing]\nprogram_digits = {digits}\n\
             safe_start = [\"G18\", \"G40\", \"G80\", \"G97\", \"{feed}\"]\n",
            self.system,
            self.seed.once_in(2),
        );
        if self.seed.once_in(3) {
            text += "number_step = 5\n";
        }
        let clears = self.seed.once_in(2);
        text += &format!("[variables]\nreset_clears_volatile = {clears}\nkept_last = 531\n");
        let counter = self.by == "counter" || self.seed.once_in(2);
        if counter {
            text += "[counter]\nmade = 3901\nwanted = 3902\ncounted_by = [\"M76\"]\n";
        }
        let most = self.seed.between(1, 40);
        let chuck = if self.seed.once_in(2) {
            format!(", \"M{open}\", \"M{close}\"")
        } else {
            String::new()
        };
        let count = if counter { ", \"M76\"" } else { "" };
        text += &format!(
            "[read_ahead]\nleast_blocks = {}\nmost_blocks = {most}\n\
             stoppers = [\"M0\", \"M1\", \"M2\", \"M30\", \"M5\"{chuck}{count}]\n[reset]\n",
            self.seed.between(0, 1),
        );
        let mut function = |does: &str, word: i64, confirmed: bool| {
            text += &format!(
                "[[function]]\ndoes = \"{does}\"\nword = \"M{word}\"\nconfirmed = {confirmed}\n"
            );
        };
        function("chuck-open", open, self.seed.once_in(2));
        function("chuck-close", close, self.seed.once_in(2));
        function("spindle-stop", 5, self.seed.once_in(3));
        if counter {
            function("part-count", 76, false);
        }
        text
    }
}
