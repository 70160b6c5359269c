//! Holding legs back, leaving out what disappears, and handing on what is decided.

use super::corner::{Kind, Piece, Round, Turn};
use super::curve::{Curve, TOUCH, Vector};
use super::few::Few;
use super::{Follower, HELD, Leg, Told};
use crate::action::Path;

impl Follower {
    /// Takes what lies beside the next leg.
    pub(super) fn follow(&mut self, mut next: Piece, told: &mut Told<'_>) {
        let Some(last) = self.waiting.last_mut() else {
            return self.resume(next, told);
        };
        // A leg between the two that could not be followed leaves them without a common point.
        if last.kind == Kind::Approach || last.leg.to != next.leg.from {
            return self.append(next, false, told);
        }
        let owner = if last.is_rapid() { next.leg } else { last.leg };
        let mut links = Few::new();
        match self.round.join(last, &mut next, &owner, &mut links) {
            // The smaller arc is the one that the nose cannot get at.
            Turn::Apart if next.curve.radius() <= last.curve.radius() => {
                return told.overcut(&next.leg);
            }
            Turn::Apart => {
                told.overcut(&last.leg);
                self.waiting.pop();
                return self.append(next, false, told);
            }
            Turn::None | Turn::Inside | Turn::Outside => {}
        }
        for piece in links.iter().chain([&next]) {
            self.append(*piece, true, told);
        }
    }

    /// Tells where the nose cuts into a leg: on what is newly decided into all that wait, and on
    /// all that is decided into the newest leg; or, with `ends`, on the newest leg itself.
    pub(super) fn inspect(&self, ends: bool, told: &mut Told<'_>) {
        let legs = self.waiting.iter().enumerate().filter(|(_, piece)| !piece.is_link());
        let (before, newest) = legs.fold((0, 0), |(_, last), (index, _)| (last, index));
        let wanted = |piece: usize, leg: usize| {
            if ends {
                piece == newest
            } else {
                piece < newest && (piece >= before || leg == newest)
            }
        };
        for (index, piece) in self.waiting.iter().enumerate() {
            let others = self.waiting.iter().enumerate();
            let mut others = others.filter(|(other, _)| *other != index && wanted(index, *other));
            if others.any(|(_, leg)| self.round.cuts_into(piece, leg)) {
                told.overcut(&piece.leg);
            }
        }
    }

    /// Puts a piece behind those that wait. Where it is not yet joined to the last of them, or
    /// the last of them would now run backward, the two are joined that meet.
    fn append(&mut self, mut piece: Piece, mut joined: bool, told: &mut Told<'_>) {
        let stands = self.stands();
        while let Some(last) = self.waiting.last_mut() {
            if last.kind == Kind::Approach {
                last.curve = Curve::between(stands, piece.begin());
                last.ways = (0.0, last.curve.length);
                break;
            }
            let meet = joined || last.meet(&mut piece);
            if meet && !last.runs_backward() {
                break;
            }
            if !meet && Round::turn(last, &piece).abs() < 1.0 {
                // Beside one another and nearly parallel: straight across.
                last.ways.1 = last.curve.length;
                piece.ways.0 = 0.0;
                if !last.runs_backward() {
                    let link = Piece::link(&piece.leg, last.end(), piece.begin());
                    self.add(link, told);
                    break;
                }
            }
            told.overcut(&last.leg);
            self.waiting.pop();
            piece.ways.0 = 0.0;
            joined = false;
        }
        if self.waiting.is_empty() {
            // From where it stands straight aside, not back to the piece's own begin.
            let way = piece.curve.way(stands, 0.0);
            piece.ways.0 = way.clamp(0.0, piece.curve.length);
            let link = Piece::link(&piece.leg, stands, piece.begin());
            self.add(link, told);
        }
        self.untangle(told);
        self.add([piece], told);
    }

    /// Goes on from where the last leg ended square, nothing having been known ahead there.
    fn resume(&mut self, mut next: Piece, told: &mut Told<'_>) {
        let owner = next.leg;
        let mut way = Few::<Piece, 6>::new();
        let mut stands = self.stands();
        if let Some(mut last) = self.last.take() {
            let mut links = Few::new();
            if last.leg.to == next.leg.from {
                self.round.join(&mut last, &mut next, &owner, &mut links);
            } else {
                last.meet(&mut next);
            }
            way.push_all(Piece::link(&owner, stands, last.end()));
            way.push_all(links.iter().copied());
            stands = links.last().unwrap_or(&last).end();
        }
        way.push_all(Piece::link(&owner, stands, next.begin()));
        way.push(next);
        self.add(way.iter().copied(), told);
    }

    /// Where the last of those that wait crosses an earlier one the nose does not fit between
    /// the two: the loop is left out.
    fn untangle(&mut self, told: &mut Told<'_>) {
        let Some(mut last) = self.waiting.pop() else { return };
        // A leg that meets it at an inside corner does not cross it there once more.
        let joined = self.waiting.last().is_some_and(|piece| !piece.is_link());
        let apart = self.legs_waiting().saturating_sub(usize::from(joined));
        let legs = self.waiting.iter().enumerate().filter(|(_, piece)| !piece.is_link());
        let found = legs.take(apart).find_map(|(index, piece)| {
            let cut = [piece, &last].iter().all(|piece| piece.is_cut());
            let place = piece.curve.crosses(piece.ways, &last.curve, last.ways)?;
            (cut && !self.round.cross_as_programmed(piece, &last)).then_some((index, place))
        });
        if let Some((index, place)) = found {
            told.overcut(&last.leg);
            self.waiting.truncate(index + 1);
            if let Some(piece) = self.waiting.last_mut() {
                piece.ways.1 = piece.curve.way(place, piece.ways.1);
            }
            last.ways.0 = last.curve.way(place, last.ways.0);
        }
        self.waiting.push(last);
    }

    /// Hands on all that waits, the last leg ending square to its own end.
    pub(super) fn end_square(&mut self, told: &mut Told<'_>) {
        while let Some(last) = self.waiting.last_mut() {
            last.ways.1 = last.curve.length;
            if !last.is_link() && !last.runs_backward() {
                break;
            }
            if !last.is_link() {
                told.overcut(&last.leg);
                self.last = Some(*last);
            }
            self.waiting.pop();
        }
        self.untangle(told);
        self.inspect(true, told);
        if let Some(last) = self.waiting.last() {
            self.last = Some(Piece { kind: Kind::Leg, ..*last });
        }
        while let Some(piece) = self.waiting.pop_first() {
            self.hand_on(&piece, told);
        }
    }

    /// Hands on what no longer depends on what may come.
    pub(super) fn release(&mut self, told: &mut Told<'_>) {
        while self.legs_waiting() > HELD {
            if let Some(piece) = self.waiting.pop_first() {
                self.hand_on(&piece, told);
            }
        }
    }

    fn legs_waiting(&self) -> usize {
        self.waiting.iter().filter(|piece| !piece.is_link()).count()
    }

    fn add(&mut self, pieces: impl IntoIterator<Item = Piece>, told: &mut Told<'_>) {
        for piece in pieces {
            if self.waiting.is_full()
                && let Some(first) = self.waiting.pop_first()
            {
                self.hand_on(&first, told);
            }
            self.waiting.push(piece);
        }
    }

    fn hand_on(&mut self, piece: &Piece, told: &mut Told<'_>) {
        let to = (piece.end() + self.tip).point();
        let from = *self.at.get_or_insert(to);
        let path = match piece.curve.arc_of_tip(piece.ways, self.tip) {
            Some(arc) => Path::Arc(arc),
            None if piece.is_rapid() => Path::Rapid,
            None => Path::Line,
        };
        // Only an arc that is nearly a whole circle ends where it begins.
        let goes = matches!(path, Path::Arc(arc) if arc.turn.abs() > 1.0 && arc.radius > TOUCH);
        if from != to || goes {
            told.out.push(Leg { from, to, path, ..piece.leg });
            self.at = Some(to);
        }
    }

    /// Where the nose center stands with all that was handed on.
    fn stands(&self) -> Vector {
        self.at.map_or(self.tip, Vector::of) - self.tip
    }
}
