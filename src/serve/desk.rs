//! One open job: its texts, what was changed, and what the disk says to that.

pub(super) mod shape;

use super::asker::Asker;
use super::edit;
use super::fields::{self, KINDS};
use super::lay::{self, Laid, ShopRead};
use super::shelf::{Around, Shelf};
use crate::files::shipped_names;
use model::Diagnostic;
use model::files::{FileKind, Job};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use view::pages::{Field, Fields, Role};

/// Changes that can be undone.
const MOST_STEPS: usize = 200;

/// One file of the job, as it is on the disk as far as is known.
#[derive(Debug, Clone)]
pub(super) struct Opened {
    pub(super) kind: FileKind,
    /// As the job names it.
    pub(super) name: String,
    path: PathBuf,
    pub(super) text: String,
}

/// One change that was saved.
#[derive(Debug, Clone)]
struct Step {
    kind: FileKind,
    /// The key; none where a whole feature came or went.
    key: Option<String>,
    before: Version,
    after: Version,
}

/// A text and what one key of it says.
#[derive(Debug, Clone)]
struct Version {
    text: String,
    value: Option<String>,
}

/// A wish to change one key.
#[derive(Debug, Clone, Copy)]
pub(super) struct Wish<'w> {
    pub(super) kind: FileKind,
    pub(super) key: &'w str,
    pub(super) typed: &'w str,
    /// What stood there when it was begun, where that is known.
    pub(super) was: Option<&'w str>,
}

/// What became of a wish.
#[derive(Debug)]
pub(super) enum Done {
    /// It is shown, and saved where that was asked.
    Shown(Arc<Laid>),
    /// The file was changed on the disk by someone else, and its text was taken over; the wish was saved on top.
    Merged(Arc<Laid>, String),
    /// Someone else changed this very key on the disk: nothing was written.
    Conflict {
        /// What stands there now.
        disk: Option<String>,
        /// The file.
        file: String,
    },
    /// It cannot be: why, and what to write.
    Refused(String, String),
}

/// A text with a wish in it, and the job that it makes or what still stands against that.
type Wished = (String, Result<Job, Vec<Diagnostic>>);

/// An open job.
pub(super) struct Desk {
    pub(super) name: String,
    path: PathBuf,
    pub(super) files: Vec<Opened>,
    undo: Vec<Step>,
    redo: Vec<Step>,
    /// Counts every change that all browsers must see.
    pub(super) revision: u64,
    laid: Option<Arc<Laid>>,
    /// A program that a person gave to be proven.
    pub(super) typed: Option<String>,
}

impl Desk {
    /// Opens a job with every file it names; what cannot be read is told when it is answered.
    pub(super) fn open(folder: &Shelf, name: &str, path: PathBuf) -> Desk {
        let mut desk = Desk {
            name: name.to_owned(),
            path,
            files: Vec::new(),
            undo: Vec::new(),
            redo: Vec::new(),
            revision: 1,
            laid: None,
            typed: None,
        };
        desk.files = desk.opened(folder);
        desk
    }

    fn opened(&self, folder: &Shelf) -> Vec<Opened> {
        let text = |path: &Path| {
            folder.read(path).ok().map(|bytes| String::from_utf8_lossy(&bytes).into_owned())
        };
        let Some(job) = text(&self.path) else { return Vec::new() };
        let named = edit::document(&job).ok();
        let file = self
            .path
            .file_name()
            .map(|name| name.to_string_lossy().into_owned())
            .unwrap_or_default();
        let mut files =
            vec![Opened { kind: FileKind::Job, name: file, path: self.path.clone(), text: job }];
        for kind in KINDS.into_iter().skip(1) {
            let key = format!("files.{}", kind.word());
            let Some(name) = named.as_ref().and_then(|document| edit::value(document, &key)) else {
                continue;
            };
            let Ok(path) = folder.beside(&self.path, &name) else { continue };
            if let Some(text) = text(&path) {
                files.push(Opened { kind, name, path, text });
            }
        }
        let shop = folder.shop_of(&self.path);
        if let Some((path, text)) = shop.and_then(|path| Some((path.clone(), text(&path)?))) {
            let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
            files.push(Opened { kind: FileKind::Shop, name, path, text });
        }
        files
    }

    /// Takes over what was changed on the disk; whether anything was.
    pub(super) fn read_anew(&mut self, folder: &Shelf) -> bool {
        let files = self.opened(folder);
        let same = files.len() == self.files.len()
            && files
                .iter()
                .zip(&self.files)
                .all(|(new, old)| (&new.path, &new.text) == (&old.path, &old.text));
        if !same {
            self.files = files;
            self.changed();
        }
        !same
    }

    fn changed(&mut self) {
        self.laid = None;
        self.revision += 1;
    }

    pub(super) fn file(&self, kind: FileKind) -> Option<&Opened> {
        self.files.iter().find(|file| file.kind == kind)
    }

    /// What may be edited, where a change is sent, what it must carry, and whether this asker may make one.
    pub(super) fn fields(&self, asker: &Asker) -> Fields {
        Fields {
            action: format!("/change/{}", view::pages::frame::address(&self.name)),
            token: asker.token.clone(),
            open: asker.role >= Role::Change,
            all: self.every_field(),
            materials: shipped_names("materials"),
        }
    }

    /// Every key of every file.
    pub(super) fn every_field(&self) -> Vec<Field> {
        self.files.iter().flat_map(|file| fields::of(file.kind, &file.text)).collect()
    }

    /// The job as its files stand, with one file replaced where that is given.
    fn read(
        &self,
        folder: &Shelf,
        other: Option<(FileKind, &str)>,
    ) -> Result<Job, Vec<Diagnostic>> {
        let text = |file: &'_ Opened| -> String {
            let replaced = other.filter(|(kind, _)| *kind == file.kind);
            replaced.map_or_else(|| file.text.clone(), |(_, text)| text.to_owned())
        };
        let texts: Vec<String> = self.files.iter().map(text).collect();
        let named: Vec<(&str, &str)> = self
            .files
            .iter()
            .zip(&texts)
            .skip(1)
            .map(|(file, text)| (file.name.as_str(), text.as_str()))
            .collect();
        let around = Around { shelf: folder, job: &self.path, texts: named };
        let (file, text) = match (self.files.first(), texts.first()) {
            (Some(file), Some(text)) => (file.name.as_str(), text.as_str()),
            _ => (self.name.as_str(), ""),
        };
        lay::read(text, file, &around)
    }

    /// The shop as its file stands, or as this text says.
    fn shop(&self, other: Option<(FileKind, &str)>) -> ShopRead {
        let file = self.file(FileKind::Shop)?;
        let other = other.filter(|(kind, _)| *kind == FileKind::Shop);
        Some(lay::read_shop(other.map_or(&file.text, |(_, text)| text), &file.name))
    }

    /// The job as its files stand.
    pub(super) fn job(&self, folder: &Shelf) -> Result<Job, Vec<Diagnostic>> {
        self.read(folder, None)
    }

    /// The pieces of the present answer.
    pub(super) fn laid(&mut self, folder: &Shelf) -> Arc<Laid> {
        if let Some(laid) = &self.laid {
            return Arc::clone(laid);
        }
        let laid = match self.job(folder) {
            Ok(job) => lay::answered(&self.name, job, self.shop(None), None),
            Err(diagnostics) => lay::refused(&self.name, &diagnostics),
        };
        let laid = Arc::new(laid);
        self.laid = Some(Arc::clone(&laid));
        laid
    }

    /// The pieces of the present answer, where they are known already.
    pub(super) const fn known(&self) -> Option<&Arc<Laid>> {
        self.laid.as_ref()
    }

    /// The answer as it would be with this change, nothing saved.
    pub(super) fn try_out(&mut self, folder: &Shelf, wish: Wish<'_>) -> Done {
        let wished = self.wished(folder, wish);
        self.tried(folder, wish.kind, wished)
    }

    /// `kind` is the file whose text is another.
    fn tried(
        &mut self,
        folder: &Shelf,
        kind: FileKind,
        wished: Result<Wished, (String, String)>,
    ) -> Done {
        match wished {
            Ok((text, Ok(job))) => {
                let earlier = self.laid(folder);
                let shop = self.shop(Some((kind, &text)));
                let laid = lay::answered(&self.name, job, shop, Some(&earlier.advances));
                Done::Shown(Arc::new(laid))
            }
            Ok((_, Err(diagnostics))) => refusal(&diagnostics),
            Err((why, mend)) => Done::Refused(why, mend),
        }
    }

    /// The text of a file with a wish in it, where its reader takes it, and what the job is then.
    fn wished(&self, folder: &Shelf, wish: Wish<'_>) -> Result<Wished, (String, String)> {
        let unknown = || ("there is no such key".to_owned(), String::new());
        let fact = fields::fact(wish.kind, wish.key).ok_or_else(unknown)?;
        let file = self.file(wish.kind).ok_or_else(unknown)?;
        let text = edit::set(&file.text, wish.key, &fact.kind, wish.typed)
            .map_err(|why| (why, String::new()))?;
        self.judged(folder, wish.kind, text)
    }

    /// Whether the reader takes another text of a file, and what the job is then.
    fn judged(
        &self,
        folder: &Shelf,
        kind: FileKind,
        text: String,
    ) -> Result<Wished, (String, String)> {
        if let Some(Err(after)) = self.shop(Some((kind, &text))).filter(|_| kind == FileKind::Shop)
        {
            // What the shop's file lacked before may be mended one key at a time.
            let before = self.shop(None).and_then(Result::err).map_or(0, |before| before.len());
            return if after.len() < before {
                Ok((text, self.job(folder)))
            } else {
                Err(told(&after))
            };
        }
        let after = match self.read(folder, Some((kind, &text))) {
            Ok(job) => return Ok((text, Ok(job))),
            Err(after) => after,
        };
        match self.job(folder) {
            // Files that could not be used before may be mended one key at a time.
            Err(before) if after.len() < before.len() => Ok((text, Err(after))),
            _ => Err(told(&after)),
        }
    }

    /// Makes a change and saves it.
    pub(super) fn change(&mut self, folder: &Shelf, wish: Wish<'_>) -> Done {
        let Some(known) = self.file(wish.kind).cloned() else {
            return Done::Refused("there is no such file".to_owned(), String::new());
        };
        let before = wish.was.map(str::to_owned).or_else(|| key_of(&known.text, wish.key));
        let elsewhere = self.read_anew(folder);
        let disk = self.file(wish.kind).and_then(|file| key_of(&file.text, wish.key));
        let differs = disk.as_deref().unwrap_or_default() != before.as_deref().unwrap_or_default();
        if differs && disk.as_deref() != Some(wish.typed.trim()) {
            return Done::Conflict { disk, file: known.name };
        }
        match self.write(folder, wish) {
            Ok(()) if elsewhere => Done::Merged(self.laid(folder), known.name),
            Ok(()) => Done::Shown(self.laid(folder)),
            Err((why, mend)) => Done::Refused(why, mend),
        }
    }

    fn write(&mut self, folder: &Shelf, wish: Wish<'_>) -> Result<(), (String, String)> {
        let (text, _) = self.wished(folder, wish)?;
        self.save(folder, wish.kind, Some(wish.key), text)?;
        // Which files there are may have been what was changed.
        if wish.key.starts_with("files.") {
            self.files = self.opened(folder);
        }
        Ok(())
    }

    /// Writes another text of a file, so that it can be undone.
    fn save(
        &mut self,
        folder: &Shelf,
        kind: FileKind,
        key: Option<&str>,
        text: String,
    ) -> Result<(), (String, String)> {
        let unknown = || ("there is no such file".to_owned(), String::new());
        let file = self.files.iter_mut().find(|file| file.kind == kind).ok_or_else(unknown)?;
        if text == file.text {
            return Ok(());
        }
        folder
            .write(&file.path, &text)
            .map_err(|trouble| (crate::term::plainly(&trouble), String::new()))?;
        let version = |text: &str| Version {
            text: text.to_owned(),
            value: key.and_then(|key| key_of(text, key)),
        };
        let (before, after) = (version(&file.text), version(&text));
        file.text = text;
        if self.undo.len() == MOST_STEPS {
            self.undo.remove(0);
        }
        self.undo.push(Step { kind, key: key.map(str::to_owned), before, after });
        self.redo.clear();
        self.changed();
        Ok(())
    }

    /// Takes back the last change, or makes the one again that was taken back last.
    pub(super) fn turn(&mut self, folder: &Shelf, back: bool) -> Done {
        self.read_anew(folder);
        let steps = if back { &self.undo } else { &self.redo };
        let Some(step) = steps.last().cloned() else {
            let what = if back { "nothing to undo" } else { "nothing to make again" };
            return Done::Refused(what.to_owned(), String::new());
        };
        let (from, to) =
            if back { (&step.after, &step.before) } else { (&step.before, &step.after) };
        if let Err((why, mend)) = self.put(folder, &step, from, to) {
            return Done::Refused(why, mend);
        }
        let (mine, other) =
            if back { (&mut self.undo, &mut self.redo) } else { (&mut self.redo, &mut self.undo) };
        other.extend(mine.pop());
        self.changed();
        Done::Shown(self.laid(folder))
    }

    fn put(
        &mut self,
        folder: &Shelf,
        step: &Step,
        from: &Version,
        to: &Version,
    ) -> Result<(), (String, String)> {
        let gone = || ("the file is not there any more".to_owned(), String::new());
        let file = self.files.iter_mut().find(|file| file.kind == step.kind).ok_or_else(gone)?;
        let elsewhere = |what: &str| {
            (format!("{what} was changed elsewhere since"), "change it by hand".to_owned())
        };
        let text = match &step.key {
            _ if file.text == from.text => to.text.clone(),
            Some(key) if key_of(&file.text, key) == from.value => {
                let fact = fields::fact(step.kind, key).ok_or_else(gone)?;
                let typed = to.value.as_deref().unwrap_or_default();
                edit::set(&file.text, key, &fact.kind, typed).map_err(|why| (why, String::new()))?
            }
            Some(key) => return Err(elsewhere(&format!("`{key}`"))),
            None => return Err(elsewhere(&file.name)),
        };
        folder
            .write(&file.path, &text)
            .map_err(|trouble| (crate::term::plainly(&trouble), String::new()))?;
        file.text = text;
        Ok(())
    }
}

fn key_of(text: &str, key: &str) -> Option<String> {
    edit::document(text).ok().and_then(|document| edit::value(&document, key))
}

fn told(diagnostics: &[Diagnostic]) -> (String, String) {
    let first = diagnostics.first();
    first.map_or_else(Default::default, |one| (one.message.clone(), one.help.clone()))
}

fn refusal(diagnostics: &[Diagnostic]) -> Done {
    let (why, mend) = told(diagnostics);
    Done::Refused(why, mend)
}
