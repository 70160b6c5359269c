//! What the disk can do to a log, and what is said then.

use crate::shop::{Shop, made, told};
use runlog::backup::{beside, restore};
use runlog::store::Depth;
use runlog::{Kind, Live, Log};
use std::fs;
use std::path::Path;

fn filled(shop: &mut Shop, from: i64, events: i64) {
    for number in from..from + events {
        shop.log.record(&[told(&format!("e{number}"), number, made(1))]).unwrap();
    }
}

#[test]
fn a_write_ahead_file_that_was_cut_off_loses_nothing_that_was_confirmed() {
    let mut shop = Shop::in_memory();
    let wal = shop.folder.path().join("shop.barlog-wal");
    let mut lengths = Vec::new();
    for number in 0..30 {
        filled(&mut shop, number, 1);
        lengths.push(fs::metadata(&wal).unwrap().len());
    }
    let (log, wal) = (fs::read(shop.path()).unwrap(), fs::read(&wal).unwrap());
    // As after a power cut: what was waited for is there, of what came later a part, or rubbish.
    let mut tried = 0;
    for cut in (0..=wal.len()).step_by(1511) {
        let confirmed = lengths.iter().filter(|length| **length <= cut as u64).count() as u64;
        for rubbish in [false, true] {
            let mut torn = wal[..cut].to_vec();
            if rubbish {
                torn.extend(wal[cut..].iter().map(|byte| byte ^ 0x5a));
            }
            let folder = Shop::in_memory().folder;
            let path = folder.path().join("torn.barlog");
            fs::write(&path, &log).unwrap();
            fs::write(folder.path().join("torn.barlog-wal"), torn).unwrap();
            // Making the log is the first commit.
            let opened = Log::open(&path).unwrap();
            opened.look_over(Depth::Whole).unwrap();
            assert!(opened.count().unwrap() >= confirmed, "cut at {cut}");
            assert!(opened.count().unwrap() <= confirmed + 1, "cut at {cut}");
            tried += 1;
        }
    }
    assert!(tried > 100, "{tried}");
}

#[test]
fn a_full_disk_is_told_and_nothing_is_half_recorded() {
    let mut shop = Shop::in_memory();
    filled(&mut shop, 0, 5);
    // A limit to the file's pages stands in for the disk; docs/campaigns/log.md tells of a disk that was full.
    shop.log.limit_pages(30).unwrap();
    let mut kept = 5;
    let error = loop {
        let pair =
            [told(&format!("a{kept}"), kept, made(1)), told(&format!("b{kept}"), kept, made(1))];
        match shop.log.record(&pair) {
            Ok(_) => kept += 2,
            Err(error) => break error,
        }
        assert!(kept < 10_000, "the limit is never met");
    };
    assert_eq!(error.kind, Kind::Full);
    assert!(error.message.contains("the disk is full"), "{error}");
    assert!(error.mend.contains("tell it again"), "{}", error.mend);
    assert_eq!(shop.log.count().unwrap() as i64, kept);
    assert!(shop.log.event(&format!("a{kept}")).unwrap().is_none(), "of a pair both or none");
    assert_eq!(
        Live::open(&shop.log).unwrap().state().lathes["L1"].bar.as_ref().unwrap().made,
        kept as u32
    );
    // With room again it goes on.
    shop.log.limit_pages(100_000).unwrap();
    filled(&mut shop, kept, 3);
}

fn spoil(path: &Path, from: usize, bytes: usize) {
    let mut all = fs::read(path).unwrap();
    let end = (from + bytes).min(all.len());
    all[from..end].iter_mut().for_each(|byte| *byte ^= 0xa5);
    fs::write(path, all).unwrap();
}

#[test]
fn a_damaged_log_is_told_with_its_backup_and_left_as_it_is() {
    let mut shop = Shop::in_memory();
    filled(&mut shop, 0, 400);
    let copied = shop.log.backup(None).unwrap();
    assert_eq!(copied.events, 400);
    assert_eq!(beside(&shop.path()), std::slice::from_ref(&copied.path));
    filled(&mut shop, 400, 50);
    let path = shop.path();
    let Shop { folder, log, .. } = shop;
    drop(log);
    for (what, from, bytes) in
        [("a page", 4096 * 12, 2000), ("the first page", 100, 3000), ("the head", 0, 16)]
    {
        let sound = fs::read(&path).unwrap();
        spoil(&path, from, bytes);
        let damaged = fs::read(&path).unwrap();
        // The daily look is over an hour away; a damaged page may be met sooner, when it is read.
        let error = match Log::open(&path) {
            Err(error) => error,
            Ok(log) => log.look_over(Depth::Quick).unwrap_err(),
        };
        assert_eq!(error.kind, Kind::Damaged, "{what}: {error}");
        assert!(error.message.contains("the log is damaged"), "{what}: {error}");
        assert!(
            error.mend.contains("the newest sound backup has 400 events up to 2026-12-01T00:00:00Z: `barwright log restore"),
            "{what}: {}",
            error.mend
        );
        assert_eq!(fs::read(&path).unwrap(), damaged, "{what}: nothing was changed");
        // Restoring overwrites nothing unasked, and keeps what stood there.
        assert_eq!(restore(&copied.path, &path, false).unwrap_err().kind, Kind::Taken);
        let restored = restore(&copied.path, &path, true).unwrap();
        assert_eq!(fs::read(restored.aside.unwrap()).unwrap(), damaged, "{what}");
        assert_eq!(Log::open(&path).unwrap().count().unwrap(), 400);
        fs::write(&path, sound).unwrap();
    }
    drop(folder);
}

#[test]
fn without_a_backup_the_rest_can_be_saved() {
    let mut shop = Shop::in_memory();
    filled(&mut shop, 0, 400);
    let path = shop.path();
    let Shop { folder: _folder, log, .. } = shop;
    drop(log);
    let pages = fs::metadata(&path).unwrap().len() as usize / 4096;
    // Some page of rows: one by one, until the damage lies in what is kept of events.
    let sound = fs::read(&path).unwrap();
    let mut saved_some = 0;
    for page in 2..pages {
        fs::write(&path, &sound).unwrap();
        spoil(&path, page * 4096 + 8, 4000);
        let error = match Log::open(&path) {
            Err(error) => error,
            Ok(log) => match log.look_over(Depth::Whole) {
                Err(error) => error,
                Ok(()) => continue,
            },
        };
        assert!(
            error.mend.contains("log export --damaged"),
            "page {page}: {error}: {}",
            error.mend
        );
        let log = Log::open_damaged(&path).unwrap();
        let mut out = Vec::new();
        let Ok((saved, missing)) = log.export_damaged(&mut out) else { continue };
        if missing > 0 && saved > 0 {
            saved_some += 1;
            let mut other = Shop::in_memory();
            let imported = other.log.import(&mut out.as_slice(), "saved").unwrap();
            assert_eq!(imported.added, saved);
            assert!(saved + missing <= 400, "{saved} {missing}");
        }
    }
    assert!(saved_some > 0);
}

#[test]
fn what_is_no_log_is_told() {
    let shop = Shop::in_memory();
    let folder = shop.folder.path();
    let open = |name: &str| Log::open(&folder.join(name)).unwrap_err();
    let error = open("nothing.barlog");
    assert_eq!((error.kind, error.message.as_str()), (Kind::Missing, "there is no log"));
    assert!(error.mend.contains("barwright log new"), "{}", error.mend);
    fs::write(folder.join("text.barlog"), "not a log at all, but longer than a head").unwrap();
    assert_eq!(open("text.barlog").kind, Kind::NotALog);
    fs::write(folder.join("empty.barlog"), "").unwrap();
    assert_eq!(open("empty.barlog").kind, Kind::NotALog);
    fs::create_dir(folder.join("folder.barlog")).unwrap();
    assert_ne!(open("folder.barlog").message, "");
    let other = rusqlite::Connection::open(folder.join("other.barlog")).unwrap();
    other.execute_batch("CREATE TABLE a (b)").unwrap();
    let error = open("other.barlog");
    assert_eq!(error.message, "this database was not made by barwright");
    let newer = rusqlite::Connection::open(shop.path()).unwrap();
    newer.pragma_update(None, "user_version", 99).unwrap();
    let error = Log::open(&shop.path()).unwrap_err();
    assert_eq!(error.kind, Kind::Newer);
    assert_eq!(Log::create(&shop.path()).unwrap_err().kind, Kind::Taken);
}

#[test]
fn nothing_takes_an_event_away_or_changes_it() {
    let mut shop = Shop::in_memory();
    filled(&mut shop, 0, 3);
    let other = rusqlite::Connection::open(shop.path()).unwrap();
    for sql in
        ["DELETE FROM event", "UPDATE event SET parts = 9", "DELETE FROM event WHERE place = 2"]
    {
        let error = other.execute(sql, []).unwrap_err();
        assert!(error.to_string().contains("record a correction"), "{sql}: {error}");
    }
    other.pragma_update(None, "recursive_triggers", true).unwrap();
    let replace = "INSERT OR REPLACE INTO event SELECT place, clock, time, received, at, 'other', lathe, job, \
                   person, kind, 9, detail, note FROM event WHERE place = 2";
    assert!(other.execute(replace, []).unwrap_err().to_string().contains("record a correction"));
    assert_eq!(
        shop.all().iter().map(|it| it.event.what.clone()).collect::<Vec<_>>(),
        vec![made(1); 3]
    );
}

#[test]
fn a_backup_is_whole_while_others_write() {
    let shop = Shop::in_memory();
    let recorder = runlog::Recorder::start(shop.reopened());
    let writing = std::thread::spawn(move || {
        for number in 0..2000 {
            recorder.record(vec![told(&format!("w{number}"), number, made(1))]).unwrap();
        }
    });
    let mut sizes = Vec::new();
    for copy in 0..6 {
        let to = shop.folder.path().join(format!("copy{copy}.barlog"));
        let copied = shop.log.backup(Some(&to)).unwrap();
        let log = Log::open(&to).unwrap();
        log.look_over(Depth::Whole).unwrap();
        assert_eq!(log.count().unwrap(), copied.events);
        let made = Live::open(&log)
            .unwrap()
            .state()
            .lathes
            .get("L1")
            .map_or(0, |lathe| lathe.bar.as_ref().map_or(0, |bar| bar.made));
        assert_eq!(u64::from(made), copied.events);
        sizes.push(copied.events);
        assert_eq!(shop.log.backup(Some(&to)).unwrap_err().kind, Kind::Taken);
    }
    writing.join().unwrap();
    assert!(sizes.is_sorted(), "{sizes:?}");
}
