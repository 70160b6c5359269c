//! The ruler in a terminal: one row of cells, each showing what fills most of it.

use super::{Piece, jaw_from_front, pieces};
use crate::scene::Role;
use model::Length;
use model::files::job::Job;
use plan::bar::BarPlan;

/// The ruler in so many columns (at least 20), front end on the right.
pub fn terminal(job: &Job, bar: &BarPlan, columns: usize) -> String {
    let columns = columns.clamp(20, 400);
    let pieces = pieces(bar);
    let cell = Length::from_nm((bar.blank.nm() / columns as i64).max(1));
    let bar_row: String = (0..columns)
        .rev()
        .map(|index| sign(filling(&pieces, cell * index as i64, cell * (index as i64 + 1))))
        .collect();
    let jaw = (jaw_from_front(bar) / cell).clamp(0, columns as i64 - 1) as usize;
    let jaw_row = format!("{}^ jaw face", " ".repeat(columns - 1 - jaw));
    let units = job.file.units;
    let ends = format!("{} {}", bar.blank.shortest(units), units.symbol());
    let scale = format!("{ends:<width$}0", width = columns - 1);
    let legend = "█▓ parts  ░ remnant  ▒ first face";
    format!("{scale}\n{bar_row}\n{jaw_row}\n{legend}\n")
}

/// What fills most of a stretch.
fn filling(pieces: &[Piece], from: Length, to: Length) -> Role {
    let inside = |piece: &Piece| (piece.to.min(to) - piece.from.max(from)).max(Length::ZERO);
    let parts = |piece: &&Piece| !matches!(piece.role, Role::Kerf) && inside(piece).is_positive();
    let most = pieces.iter().filter(parts).max_by_key(|piece| inside(piece));
    most.map_or(Role::Kerf, |piece| match (piece.role, piece.part) {
        // Face stock in front of a part is too thin to show; it goes with its part.
        (Role::Face, part) if part > 0 => {
            if part % 2 == 1 {
                Role::Part
            } else {
                Role::NextPart
            }
        }
        (role, _) => role,
    })
}

const fn sign(role: Role) -> char {
    match role {
        Role::Part => '█',
        Role::NextPart => '▓',
        Role::Remnant => '░',
        Role::Face => '▒',
        _ => '|',
    }
}
