//! `barwright schema KIND`.

use super::{Ended, print};
use crate::json;
use clap::Args;
use clap::builder::{PossibleValuesParser, TypedValueParser as _};
use model::files::FileKind;

/// Print the JSON Schema of one kind of file, for editors that check while you type.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  barwright schema job > job.schema.json")]
pub(super) struct Schema {
    /// Which kind of file.
    #[arg(value_name = "KIND", value_parser = kinds())]
    kind: FileKind,
}

fn kinds() -> impl clap::builder::TypedValueParser<Value = FileKind> {
    PossibleValuesParser::new(FileKind::ALL.map(FileKind::word)).try_map(|word| {
        FileKind::ALL.into_iter().find(|kind| kind.word() == word).ok_or("there is no such kind")
    })
}

impl Schema {
    pub(super) fn run(self) -> Ended {
        print(json::text(&json::schema(self.kind)).as_bytes())
    }
}
