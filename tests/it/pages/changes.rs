//! Changes over HTTP: tried, saved, undone, in conflict; programs and files that come of them.

use super::server::{JOB, Server};
use std::fs;

#[test]
fn a_change_is_tried_saved_undone_and_made_again() {
    let server = Server::start();
    let file = server.file("detent-pin.job.toml");
    let text = fs::read_to_string(&file).unwrap();
    let told = server.change("job", "bar.length", "900", false);
    assert!(
        told["trial"] == true && told["pieces"]["many-said"].as_str().unwrap().contains("27 parts"),
        "{told}"
    );
    assert_eq!(fs::read_to_string(&file).unwrap(), text, "a trial writes nothing");
    assert!(
        server.get(&format!("/job/{JOB}")).body.contains("30 parts from each bar"),
        "and others do not see it"
    );
    let told = server.change("job", "bar.length", "900", true);
    assert!(told["pieces"]["figures"].as_str().unwrap().contains("27 parts"));
    let changed = text.replace("length = 1000 ", "length = 900 ");
    assert_eq!(fs::read_to_string(&file).unwrap(), changed, "comments and all else are kept");
    let turn = |way: &str| {
        let said = serde_json::json!({ "token": server.token() }).to_string();
        let answer =
            server.post(&format!("/{way}/{JOB}"), "Content-Type: application/json\r\n", &said);
        serde_json::from_str::<serde_json::Value>(&answer.body).unwrap()
    };
    assert!(turn("undo")["pieces"]["figures"].as_str().unwrap().contains("30 parts"));
    assert_eq!(fs::read_to_string(&file).unwrap(), text);
    assert!(turn("undo")["refused"].is_string(), "no more to undo");
    assert!(turn("redo")["revision"].is_u64());
    assert_eq!(fs::read_to_string(&file).unwrap(), changed);
}

#[test]
fn what_was_changed_on_the_disk_is_not_lost() {
    let server = Server::start();
    let file = server.file("detent-pin.job.toml");
    let text = fs::read_to_string(&file).unwrap();
    server.get(&format!("/job/{JOB}"));
    // Another key: both changes stand.
    fs::write(&file, text.replace("quantity = 400", "quantity = 500")).unwrap();
    let told = server.change("job", "bar.length", "900", true);
    assert!(told["pieces"]["many-said"].as_str().unwrap().contains("order of 500"), "{told}");
    let both = fs::read_to_string(&file).unwrap();
    assert!(both.contains("quantity = 500") && both.contains("length = 900 "));
    // The same key: nothing is written, both values are told.
    fs::write(&file, both.replace("length = 900 ", "length = 950 ")).unwrap();
    let wish = serde_json::json!({ "file": "job", "key": "bar.length", "value": "800", "was": "900", "save": true });
    let told = server.say(&wish);
    assert_eq!(told["conflict"]["disk"], "950", "{told}");
    assert!(fs::read_to_string(&file).unwrap().contains("length = 950 "));
}

#[test]
fn a_file_that_cannot_be_read_is_told_and_mended() {
    let server = Server::start();
    let file = server.file("lathe.toml");
    let text = fs::read_to_string(&file).unwrap();
    fs::write(&file, text.replace("bore = 43", "bore = -43")).unwrap();
    let page = server.get(&format!("/job/{JOB}")).body;
    assert!(
        page.contains("The files cannot be used as they stand") && page.contains("lathe.toml:"),
        "{page}"
    );
    assert!(page.contains("No answer until the files can be used."));
    let told = server.change("lathe", "spindle.bore", "43", true);
    assert!(told["pieces"]["figures"].as_str().unwrap().contains("30 parts"), "{told}");
    assert_eq!(fs::read_to_string(&file).unwrap(), text);
}

#[test]
fn a_typed_program_is_proven_with_its_findings_in_place() {
    let server = Server::start();
    let token = server.token();
    let text = "O1\nN1 T0101\nG96 S100 M3\nM11\nG0 X10. Z2.\nM30\n";
    let body: String = form_urlencoded::Serializer::new(String::new())
        .append_pair("token", &token)
        .append_pair("text", text)
        .finish();
    let answer = server.post(
        &format!("/prove/{JOB}"),
        "Content-Type: application/x-www-form-urlencoded\r\n",
        &body,
    );
    assert_eq!(answer.code, 303, "{}", answer.head);
    let page = server.get(&format!("/program/{JOB}?of=typed")).body;
    let line =
        page.split("id=\"L0-4\"").nth(1).and_then(|rest| rest.split("</li>").next()).unwrap();
    assert!(line.contains("M11") && line.contains("chuck opens while turning"), "{line}");
    for odd in [
        "?of=typed&cycle=0",
        "?of=typed&cycle=99999999",
        "?cycle=-1",
        "?part=4000000000",
        "?of=%3Cscript%3E",
    ] {
        assert_eq!(server.get(&format!("/program/{JOB}{odd}")).code, 200, "{odd}");
    }
}

#[test]
fn the_files_of_a_plan_are_those_of_the_command() {
    let server = Server::start();
    let folder = tempfile::tempdir().unwrap();
    let job = server.file("detent-pin.job.toml");
    let mut plan = assert_cmd::Command::cargo_bin("barwright").unwrap();
    plan.arg("plan").arg(&job).arg("--out").arg(folder.path()).assert().code(0);
    let page = server.get(&format!("/job/{JOB}")).body;
    let ways: Vec<&str> = page
        .split("href=\"/file/")
        .skip(1)
        .filter_map(|rest| rest.split('"').next())
        .filter_map(|way| way.strip_prefix(&format!("{JOB}/")))
        .collect();
    assert!(ways.len() > 8, "{ways:?}");
    assert_eq!(ways.contains(&"sheet.pdf"), cfg!(feature = "sheets"), "{ways:?}");
    for name in ways {
        let answer = server.get(&format!("/file/{JOB}/{name}"));
        assert_eq!(answer.code, 200, "{name}: {}", answer.body);
        assert!(
            answer.head.to_ascii_lowercase().contains("content-disposition: attachment"),
            "{name}"
        );
        // The answer of the command names the paths that it wrote, a PDF is no text.
        if name.ends_with(".json") || name.ends_with(".pdf") {
            assert!(answer.body.len() > 5000, "{name}");
            continue;
        }
        assert_eq!(answer.body, fs::read_to_string(folder.path().join(name)).unwrap(), "{name}");
    }
    for nowhere in [
        "../lathe.toml",
        "lathe.toml",
        "tables/../answer.json",
        "%2e%2e/lathe.toml",
        "tables/no.csv",
        "",
    ] {
        let code = server.get(&format!("/file/{JOB}/{nowhere}")).code;
        assert_eq!(code, 404, "{nowhere}");
    }
}

#[test]
fn the_page_of_a_job_says_what_the_log_taught_it() {
    let server = Server::start();
    let page = || server.get(&format!("/job/{JOB}")).body;
    assert!(!page().contains("Learned from the log"));
    let file = server.file("detent-pin.job.toml");
    let mut text = fs::read_to_string(&file).unwrap();
    text += "\n[learned.load]\ntime = 3.4\ndeviation = 0.3\ncount = 11\nuse = true\n\n[[learned.edge]]\nstation = 1\n\
             life = 12\nlow = 8\nhigh = 15\nworn = 4\ncutting = 99\nuse = true\n";
    fs::write(&file, text).unwrap();
    // A file that changed is seen within a second.
    let seen = (0..40).find_map(|_| {
        std::thread::sleep(std::time::Duration::from_millis(100));
        Some(page()).filter(|page| page.contains("Learned from the log"))
    });
    let page = seen.expect("the page follows the file");
    assert!(page.contains("Learned from the log, and used: ") && page.contains("11 loads"));
    assert!(page.contains("Learned from the log, but not used: "), "its cuts took 99 s then");
}
