//! Regions kept once each, and what was computed with them.

use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hash, Hasher};
use std::sync::Arc;

use crate::outline::{Chord, Outline};
use crate::overlap::Overlap;
use crate::point::{Bounds, Flaw};
use crate::region::Region;
use crate::sweep::{Move, Sweep};

/// A region of a [`Store`]: equal ids are equal regions.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct RegionId(u32);

/// An outline of a [`Store`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct OutlineId(u32);

/// A stored region at a place along the axis. Moving it is one addition and exact.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Placed {
    /// The region, with its greatest z at 0.
    pub id: RegionId,
    /// How far it is moved along the axis, in nanometers: the z of its front.
    pub shift: i64,
}

impl Placed {
    /// The same region, moved along the axis.
    #[must_use]
    pub fn moved(self, dz: i64) -> Placed {
        Placed { id: self.id, shift: self.shift.saturating_add(dz) }
    }
}

/// Whether a [`Store`] remembers results.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Reuse {
    /// What was asked before is looked up.
    #[default]
    Remember,
    /// Everything is computed anew each time. Results are the same, ids included.
    Anew,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
enum Pair {
    Union,
    Intersection,
    Difference,
}

type Memory<K, V> = HashMap<K, V, BuildHasherDefault<Mixer>>;

/// Keeps every region once, at a standard place, and remembers cuts, overlaps, booleans and pieces.
///
/// All of them are computed at the standard place, so that a shifted region gives the very same
/// result, shifted. The store only grows: by the distinct shapes it has seen.
#[derive(Debug)]
pub struct Store {
    reuse: Reuse,
    chord: Chord,
    regions: Vec<Arc<Region>>,
    region_ids: Memory<Arc<Region>, RegionId>,
    outlines: Vec<Outline>,
    outline_ids: Memory<Outline, OutlineId>,
    cuts: Memory<(RegionId, OutlineId, Move), Placed>,
    overlaps: Memory<(RegionId, OutlineId, Move, i64), Option<Overlap>>,
    pairs: Memory<(Pair, RegionId, RegionId, i64), Placed>,
    pieces: Memory<RegionId, Arc<[Placed]>>,
}

impl Store {
    /// An empty store; `chord` says how closely moves along arcs are followed.
    pub fn new(reuse: Reuse, chord: Chord) -> Store {
        Store {
            reuse,
            chord,
            regions: Vec::new(),
            region_ids: Memory::default(),
            outlines: Vec::new(),
            outline_ids: Memory::default(),
            cuts: Memory::default(),
            overlaps: Memory::default(),
            pairs: Memory::default(),
            pieces: Memory::default(),
        }
    }

    /// Keeps a region.
    pub fn place(&mut self, region: &Region) -> Placed {
        let shift = -region.room_for(region.bounds().map_or(0, |b| -b.max.z));
        let standard = if shift == 0 { region.clone() } else { region.shifted(-shift) };
        if let Some(&id) = self.region_ids.get(&standard) {
            return Placed { id, shift };
        }
        let id = RegionId(self.regions.len() as u32);
        let standard = Arc::new(standard);
        self.regions.push(Arc::clone(&standard));
        self.region_ids.insert(standard, id);
        Placed { id, shift }
    }

    /// Keeps an outline.
    pub fn outline(&mut self, outline: Outline) -> OutlineId {
        let next = OutlineId(self.outlines.len() as u32);
        let id = *self.outline_ids.entry(outline.clone()).or_insert(next);
        if id == next {
            self.outlines.push(outline);
        }
        id
    }

    /// The corners of a kept outline, in order around it; none for an id of another store.
    pub fn outline_points(&self, id: OutlineId) -> &[crate::Point] {
        self.outlines.get(id.0 as usize).map_or(&[], Outline::points)
    }

    /// A stored region at its standard place, greatest z at 0; empty for an id of another store.
    pub fn shape(&self, id: RegionId) -> Arc<Region> {
        self.regions.get(id.0 as usize).cloned().unwrap_or_default()
    }

    /// A placed region with its own coordinates.
    pub fn region(&self, placed: Placed) -> Region {
        self.shape(placed.id).shifted(placed.shift)
    }

    /// The box around a placed region; `None` if empty.
    pub fn bounds(&self, placed: Placed) -> Option<Bounds> {
        let region = self.regions.get(placed.id.0 as usize)?;
        let by = crate::Point::new(placed.shift, 0);
        region.bounds().map(|b| Bounds { min: b.min.plus(by), max: b.max.plus(by) })
    }

    /// How many different regions there are.
    pub fn len(&self) -> usize {
        self.regions.len()
    }

    /// Whether nothing was kept yet.
    pub fn is_empty(&self) -> bool {
        self.regions.is_empty()
    }

    /// What an outline sweeps in a move.
    ///
    /// # Errors
    /// As [`Sweep::of`]; [`Flaw::NoArea`] for an outline of another store.
    pub fn sweep(&self, outline: OutlineId, way: &Move) -> Result<Sweep, Flaw> {
        let outline = self.outlines.get(outline.0 as usize).ok_or(Flaw::NoArea)?;
        Sweep::of(outline, way, self.chord)
    }

    /// The region without what an outline sweeps in a move.
    ///
    /// # Errors
    /// As [`Store::sweep`].
    pub fn cut(&mut self, metal: Placed, outline: OutlineId, way: &Move) -> Result<Placed, Flaw> {
        let way = way.shifted(metal.shift.saturating_neg());
        if self.passes_by(metal.id, outline, &way) {
            return Ok(metal);
        }
        let key = (metal.id, outline, way);
        if let (Reuse::Remember, Some(known)) = (self.reuse, self.cuts.get(&key)) {
            return Ok(known.moved(metal.shift));
        }
        let result = self.shape(metal.id).cut(&self.sweep(outline, &way)?);
        let result = self.place(&result);
        self.cuts.insert(key, result);
        Ok(result.moved(metal.shift))
    }

    /// Where a move of an outline goes deepest into a region: see [`Region::overlap`].
    ///
    /// # Errors
    /// As [`Store::sweep`].
    pub fn overlap(
        &mut self,
        metal: Placed,
        outline: OutlineId,
        way: &Move,
        deeper_than: i64,
    ) -> Result<Option<Overlap>, Flaw> {
        let way = way.shifted(metal.shift.saturating_neg());
        if self.passes_by(metal.id, outline, &way) {
            return Ok(None);
        }
        let key = (metal.id, outline, way, deeper_than);
        let known = (self.reuse == Reuse::Remember).then(|| self.overlaps.get(&key)).flatten();
        let found = match known {
            Some(&known) => known,
            None => self.shape(metal.id).overlap(&self.sweep(outline, &way)?, deeper_than),
        };
        self.overlaps.insert(key, found);
        let by = crate::Point::new(metal.shift, 0);
        Ok(found.map(|o| Overlap { at: o.at.plus(by), ..o }))
    }

    /// What is in either region.
    pub fn union(&mut self, one: Placed, two: Placed) -> Placed {
        self.pair(Pair::Union, one, two)
    }

    /// What is in both regions.
    pub fn intersection(&mut self, one: Placed, two: Placed) -> Placed {
        self.pair(Pair::Intersection, one, two)
    }

    /// What is in the first region only.
    pub fn difference(&mut self, one: Placed, two: Placed) -> Placed {
        self.pair(Pair::Difference, one, two)
    }

    fn pair(&mut self, pair: Pair, one: Placed, two: Placed) -> Placed {
        let key = (pair, one.id, two.id, two.shift.saturating_sub(one.shift));
        if let (Reuse::Remember, Some(known)) = (self.reuse, self.pairs.get(&key)) {
            return known.moved(one.shift);
        }
        let (first, second) = (self.shape(one.id), self.shape(two.id).shifted(key.3));
        let result = match pair {
            Pair::Union => first.union(&second),
            Pair::Intersection => first.intersection(&second),
            Pair::Difference => first.difference(&second),
        };
        let result = self.place(&result);
        self.pairs.insert(key, result);
        result.moved(one.shift)
    }

    /// The connected pieces of a region, in canonical order: by their least point, so from the
    /// back (least z) to the front.
    pub fn pieces(&mut self, metal: Placed) -> Vec<Placed> {
        let known = (self.reuse == Reuse::Remember).then(|| self.pieces.get(&metal.id)).flatten();
        let pieces: Arc<[Placed]> = match known {
            Some(known) => Arc::clone(known),
            None => {
                let shape = self.shape(metal.id);
                let pieces: Arc<[Placed]> = shape.pieces().map(|p| self.place(&p)).collect();
                self.pieces.insert(metal.id, Arc::clone(&pieces));
                pieces
            }
        };
        pieces.iter().map(|p| p.moved(metal.shift)).collect()
    }

    /// Whether a straight move on this side of the axis stays clear of the box around the region:
    /// not worth remembering.
    fn passes_by(&self, id: RegionId, outline: OutlineId, way: &Move) -> bool {
        let Move::Line { from, to } = *way else { return false };
        let (Some(region), Some(outline)) =
            (self.regions.get(id.0 as usize), self.outlines.get(outline.0 as usize))
        else {
            return false;
        };
        let near = |p: crate::Point| p.checked().is_ok();
        let b = outline.bounds();
        let swept = Bounds { min: b.min.plus(from), max: b.max.plus(from) }
            .with(b.min.plus(to))
            .with(b.max.plus(to));
        let clear = region.bounds().is_none_or(|r| !r.touches(&swept));
        clear && swept.min.r >= 0 && near(swept.min) && near(swept.max)
    }
}

/// A plain multiplicative hash: quick, and the same in every run.
#[derive(Debug, Clone, Copy, Default)]
struct Mixer(u64);

impl Hasher for Mixer {
    fn finish(&self) -> u64 {
        self.0 ^ (self.0 >> 29)
    }

    fn write(&mut self, bytes: &[u8]) {
        for chunk in bytes.chunks(8) {
            let mut word = [0; 8];
            word[..chunk.len()].copy_from_slice(chunk);
            self.write_u64(u64::from_le_bytes(word));
        }
    }

    fn write_u64(&mut self, word: u64) {
        self.0 = (self.0.rotate_left(23) ^ word).wrapping_mul(0x9E37_79B9_7F4A_7C15);
    }

    fn write_u32(&mut self, word: u32) {
        self.write_u64(u64::from(word));
    }

    fn write_i64(&mut self, word: i64) {
        self.write_u64(word as u64);
    }

    fn write_usize(&mut self, word: usize) {
        self.write_u64(word as u64);
    }
}
