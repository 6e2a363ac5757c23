//! A floor divided into bays: which follows which so that nobody is shut in, how each is poured, and where the dams between them stand.

use super::batch::{Key, Patch, key, patches};
use super::footing::Footing;
use super::layout::{Cut, Layout, Need, Run, run};
use super::passes::{Across, Passes};
use super::piece::{Corner, Piece, nearest};
use super::pieces::{self, Sweep, root};
use super::practical::LEAST_WAY_M;
use super::result::{BayDam, Order, PourError};
use super::split;
use crate::geometry::Point;
use std::collections::{HashMap, HashSet};

/// A part of a bay that takes less than this share of a batch is no bay of its own: it goes to the one it borders most.
const LEAST_BAY: f64 = 0.5;

/// Segments this near to one line, and to each other's ends, are one, metres.
const ONE_LINE_M: f64 = 1e-6;

/// A part of the floor that is poured for itself, as it lies.
struct Slab {
    sections: Vec<Vec<Piece>>,
}

impl Slab {
    fn pieces(&self) -> Vec<Piece> {
        self.sections.iter().flatten().cloned().collect()
    }

    /// The same as if no pour stopped at a joint.
    fn without_joints(&self) -> Vec<Piece> {
        let section = 0;
        let pieces = self.pieces().into_iter();
        pieces.map(|p| Piece { section, ..p }).collect()
    }
}

/// The sections in strips, each divided into so many bays of equal volume side by side (`counts`, one a section), or more where a bay would lie in
/// parts that do not hang together. Sections of one bay that follow each other are one bay together: nothing stands between them but floor that
/// stays bare.
///
/// # Method
/// Bays that border each other along a step hang together. Of the group at the way out the bay nearest to it is poured last, of every other one the
/// bay at its longest joint with a group that is poured later; every other bay before the one that its own way out leads over (the tree of shortest
/// ways, leaves first): floor that is still dry always hangs together. In a bay the strips end at its way out; where none of the ways tried does so,
/// at the door its last strip is poured from both ends.
pub(super) fn in_bays(
    sections: &[Vec<Piece>],
    (sweep, footing): (&Sweep, &Footing),
    counts: &[u32],
    need: &Need,
) -> Result<Layout, PourError> {
    let slabs = slabs(sections, sweep, counts, need);
    let borders = patches(
        &slabs.iter().map(Slab::pieces).collect::<Vec<_>>(),
        &vec![1; slabs.len()],
    );
    // Without joints they are the same, and of a large floor not measured twice.
    let joined = if sections.len() > 1 {
        let whole: Vec<Vec<Piece>> = slabs.iter().map(Slab::without_joints).collect();
        patches(&whole, &vec![1; whole.len()])
    } else {
        borders.clone()
    };
    let divided = slabs.len() > 1;
    let order = order(&slabs, &borders, &joined, sweep);
    let one_after_another = |footing: Option<&Footing>| -> Result<(Run, Vec<u32>), PourError> {
        let (mut all, mut bays, mut first) = (Run::default(), Vec::new(), 0);
        for (bay, turn) in (1u32..).zip(&order) {
            let lines = turn.over.map(|next| border(&joined, turn.slab, next));
            let way = lines.and_then(|lines| longest_line(&lines, sweep.towards_door));
            let sweep = match way {
                Some([a, b]) => Sweep {
                    exit: a.lerp(b, 0.5),
                    opening: [a, b],
                    ..*sweep
                },
                None => *sweep,
            };
            let out = Out {
                footing: footing.map(|f| (f, all.parts.concat())),
                // A group apart that has no door is left over the wet floor of nobody.
                at_door: bay as usize == order.len(),
            };
            let (cut, next) = poured(&slabs[turn.slab], (&sweep, &out), (need, divided), first)?;
            first = next;
            bays.extend(vec![bay; cut.parts.len()]);
            all.parts.extend(cut.parts);
            all.bags.extend(cut.bags);
        }
        Ok((all, bays))
    };
    // Bay by bay they are looked at only where something is cut off.
    let (mut all, mut bays) = one_after_another(None)?;
    if footing.is_cut_off(&[], &all.parts) {
        (all, bays) = one_after_another(Some(footing))?;
    }
    let Run { parts, bags } = all;
    let patches = patches(&parts, &bays);
    Ok(Layout {
        order: Order::Strips,
        bags,
        bays,
        parts,
        patches,
        dams: dams(&slabs, &borders, &order, sweep.towards_door),
    })
}

/// The parts that are poured for themselves, side by side.
fn slabs(sections: &[Vec<Piece>], sweep: &Sweep, counts: &[u32], need: &Need) -> Vec<Slab> {
    let mut slabs: Vec<Slab> = Vec::new();
    let mut open: Vec<Vec<Piece>> = Vec::new();
    let along = Point::new(-sweep.towards_door.y, sweep.towards_door.x);
    for (section, &count) in sections.iter().zip(counts) {
        if count <= 1 {
            open.push(section.clone());
            continue;
        }
        if !open.is_empty() {
            let sections = std::mem::take(&mut open);
            slabs.push(Slab { sections });
        }
        let mut sideways = section.clone();
        for c in sideways.iter_mut().flat_map(|p| &mut p.corners) {
            c.order = c.at.dot(along);
        }
        let cut = split::split(sideways, &vec![1.0; count as usize]);
        let apart: Vec<Vec<Piece>> = cut.into_iter().flat_map(hanging_together).collect();
        let whole = joined(apart, LEAST_BAY * need.capacity());
        slabs.extend(whole.into_iter().map(|pieces| Slab {
            sections: vec![pieces],
        }));
    }
    if !open.is_empty() {
        slabs.push(Slab { sections: open });
    }
    slabs
}

/// Pieces by what hangs together over sides that two of them share.
fn hanging_together(pieces: Vec<Piece>) -> Vec<Vec<Piece>> {
    let mut parent: Vec<u32> = (0..pieces.len() as u32).collect();
    let mut by_side: HashMap<(Key, Key), u32> = HashMap::new();
    for (i, piece) in (0u32..).zip(&pieces) {
        let n = piece.corners.len();
        for k in 0..n {
            let (a, b) = (key(piece.corners[k].at), key(piece.corners[(k + 1) % n].at));
            if let Some(&other) = by_side.get(&(b, a)) {
                let (p, q) = (root(&mut parent, i), root(&mut parent, other));
                parent[p.max(q) as usize] = p.min(q);
            }
            by_side.insert((a, b), i);
        }
    }
    let mut place: HashMap<u32, usize> = HashMap::new();
    let mut parts: Vec<Vec<Piece>> = Vec::new();
    for (i, piece) in (0u32..).zip(pieces) {
        let at = *place.entry(root(&mut parent, i)).or_insert(parts.len());
        if at == parts.len() {
            parts.push(Vec::new());
        }
        parts[at].push(piece);
    }
    parts
}

/// The same parts, those of less than a volume joined to the one that each borders most.
fn joined(mut parts: Vec<Vec<Piece>>, least_m3: f64) -> Vec<Vec<Piece>> {
    let volume = |part: &Vec<Piece>| part.iter().map(Piece::volume).sum::<f64>();
    // Every round joins two parts or ends.
    while parts.len() > 1 {
        let Some(small) = parts.iter().position(|p| volume(p) < least_m3) else {
            break;
        };
        let borders = patches(&parts, &vec![1; parts.len()]);
        let length = |i: usize| {
            let (later, earlier) = (small.max(i), small.min(i));
            borders[later].ties.get(&earlier).copied().unwrap_or(0.0)
        };
        let widest = (0..parts.len())
            .filter(|&i| i != small)
            .max_by(|&i, &j| length(i).total_cmp(&length(j)).then(j.cmp(&i)));
        let Some(to) = widest else { break };
        let moved = std::mem::take(&mut parts[small]);
        parts[to].extend(moved);
        parts.remove(small);
    }
    parts
}

/// A bay's turn: which it is, and over which of those poured later its way out leads.
struct Turn {
    slab: usize,
    over: Option<usize>,
}

/// The order of the bays; `joined` are their borders as if no pour stopped at a joint.
fn order(slabs: &[Slab], borders: &[Patch], joined: &[Patch], sweep: &Sweep) -> Vec<Turn> {
    let along_m = |borders: &[Patch], i: usize, j: usize| {
        let along_m = borders[i.max(j)].ties.get(&i.min(j)).copied();
        along_m.filter(|m| i != j && *m > LEAST_WAY_M)
    };
    let nearest_of = |among: &[usize]| {
        let these: Vec<&Slab> = among.iter().map(|&i| &slabs[i]).collect();
        let near = nearest(sweep.exit, &these, |s| {
            s.sections.iter().flatten().collect()
        });
        near.map(|k| among[k])
    };
    // From the way out inwards: each group of bays hangs on the one met before along the longest joint.
    let mut groups: Vec<Vec<Turn>> = Vec::new();
    let mut reached: Vec<usize> = Vec::new();
    while reached.len() < slabs.len() {
        let rest: Vec<usize> = (0..slabs.len()).filter(|i| !reached.contains(i)).collect();
        let over_joint = rest
            .iter()
            .flat_map(|&to| reached.iter().map(move |&from| (to, from)))
            .filter_map(|(to, from)| Some((along_m(joined, to, from)?, to, from)))
            .max_by(|p, q| (p.0.total_cmp(&q.0)).then((q.1, q.2).cmp(&(p.1, p.2))));
        let (last, over) = match over_joint {
            Some((_, to, from)) => (Some(to), Some(from)),
            // What hangs on none of them is left over the wet floor of nobody.
            None => (nearest_of(&rest), None),
        };
        let Some(last) = last else { break };
        let turns = leaves_first(last, over, |bay| {
            (0..slabs.len())
                .filter(|&next| along_m(borders, bay, next).is_some())
                .collect()
        });
        reached.extend(turns.iter().map(|t| t.slab));
        groups.push(turns);
    }
    groups.into_iter().rev().flatten().collect()
}

/// A group of bays, each before the one that its way to the last of them leads over: the tree of shortest ways, leaves first.
fn leaves_first(
    last: usize,
    over_joint: Option<usize>,
    neighbours: impl Fn(usize) -> Vec<usize>,
) -> Vec<Turn> {
    let mut over: HashMap<usize, Option<usize>> = HashMap::from([(last, over_joint)]);
    let mut reached = vec![last];
    let mut at = 0;
    while let Some(&bay) = reached.get(at) {
        at += 1;
        for next in neighbours(bay) {
            if let std::collections::hash_map::Entry::Vacant(free) = over.entry(next) {
                free.insert(Some(bay));
                reached.push(next);
            }
        }
    }
    // Every bay after those whose way leads over it; the last in the list is the one that the walk began with.
    let mut turns = Vec::new();
    let mut open = vec![(last, false)];
    while let Some((bay, done)) = open.pop() {
        if done {
            let over = over.get(&bay).copied().flatten();
            turns.push(Turn { slab: bay, over });
            continue;
        }
        open.push((bay, true));
        let mut behind: Vec<usize> = (reached.iter().copied())
            .filter(|b| *b != last && over.get(b) == Some(&Some(bay)))
            .collect();
        behind.sort_unstable();
        open.extend(behind.into_iter().rev().map(|b| (b, false)));
    }
    turns
}

/// The lines that two slabs share.
fn border(borders: &[Patch], a: usize, b: usize) -> Vec<[Point; 2]> {
    let (later, earlier) = (a.max(b), a.min(b));
    let lines = borders.get(later).and_then(|p| p.lines_to.get(&earlier));
    whole_lines(lines.map_or(&[][..], Vec::as_slice))
}

/// Segments on one line that follow one another, each run as one.
fn whole_lines(segments: &[[Point; 2]]) -> Vec<[Point; 2]> {
    let mut lines: Vec<[Point; 2]> = Vec::new();
    let mut rest: Vec<[Point; 2]> = segments.to_vec();
    while let Some(mut line) = rest.pop() {
        // Every round takes a segment out of the rest or ends.
        while let Some(k) = rest.iter().position(|s| goes_on(line, *s)) {
            let [a, b] = rest.swap_remove(k);
            let along = line[1] - line[0];
            let place = |p: &Point| (*p - line[0]).dot(along);
            let mut ends = [line[0], line[1], a, b];
            ends.sort_by(|p, q| place(p).total_cmp(&place(q)));
            line = [ends[0], ends[3]];
        }
        lines.push(line);
    }
    lines.sort_by(|p, q| {
        (p[0].x.min(p[1].x).total_cmp(&q[0].x.min(q[1].x)))
            .then(p[0].y.min(p[1].y).total_cmp(&q[0].y.min(q[1].y)))
    });
    lines
}

/// Whether a segment lies on the same straight line as another and touches it.
fn goes_on([a, b]: [Point; 2], [c, d]: [Point; 2]) -> bool {
    let length = a.distance(b);
    if length <= 0.0 {
        return false;
    }
    let along = (b - a) * (1.0 / length);
    let off = |p: Point| along.cross(p - a).abs();
    let (low, high) = {
        let (s, t) = ((c - a).dot(along), (d - a).dot(along));
        (s.min(t), s.max(t))
    };
    off(c) <= ONE_LINE_M
        && off(d) <= ONE_LINE_M
        && low <= length + ONE_LINE_M
        && high >= -ONE_LINE_M
}

/// The longest of some lines; of equal ones the one nearest to the door.
fn longest_line(lines: &[[Point; 2]], towards_door: Point) -> Option<[Point; 2]> {
    let near = |l: &[Point; 2]| (l[0] + l[1]).dot(towards_door);
    lines.iter().copied().max_by(|p, q| {
        (p[0].distance(p[1]).total_cmp(&q[0].distance(q[1]))).then(near(p).total_cmp(&near(q)))
    })
}

/// Square to a way out, out of the bay; `None` where it has no width.
fn outwards(slab: &Slab, [a, b]: [Point; 2]) -> Option<Point> {
    let length = a.distance(b);
    let along = (length > 0.0).then(|| (b - a) * (1.0 / length))?;
    let square = Point::new(along.y, -along.x);
    let weighed = slab
        .sections
        .iter()
        .flatten()
        .map(|p| (p.area(), p.middle()));
    let inwards: f64 = weighed.map(|(area, p)| area * (p - a).dot(square)).sum();
    Some(if inwards <= 0.0 {
        square
    } else {
        square * -1.0
    })
}

/// How a crew leaves a bay.
struct Out<'a> {
    /// Where it stands and goes, and what was poured before; `None` where that is not looked at.
    footing: Option<(&'a Footing, Vec<Piece>)>,
    /// Whether it ends at the way out of the room.
    at_door: bool,
}

/// One bay cut into batches, and the number of the next one's strip.
fn poured(
    slab: &Slab,
    (sweep, out): (&Sweep, &Out<'_>),
    (need, divided): (&Need, bool),
    first: usize,
) -> Result<(Run, usize), PourError> {
    // Its last batch lies away from the way out of the room, wet floor cuts dry floor off in it, batches lie in pieces or threads.
    let faults = |parts: &[Vec<Piece>]| {
        let ones = vec![1; parts.len()];
        let alone = Layout {
            order: Order::Strips,
            bags: Vec::new(),
            patches: patches(parts, &ones),
            bays: ones,
            parts: parts.to_vec(),
            dams: Vec::new(),
        };
        let footing = out.footing.as_ref();
        let cuts_off = footing.is_some_and(|(footing, wet)| footing.is_cut_off(wet, parts));
        usize::from(out.at_door && !alone.ends_at(sweep.opening))
            + usize::from(cuts_off)
            + usize::from(alone.torn() > 0)
    };
    let mut best: Option<(usize, Run, usize)> = None;
    // Across the way out of the room, else across the bay's own.
    let [a, b] = sweep.opening;
    let own = Sweep {
        towards_door: outwards(slab, [a, b]).unwrap_or(sweep.towards_door),
        ..*sweep
    };
    let ways = [*sweep, own];
    for (way, turned) in ways.iter().flat_map(|w| [(w, false), (w, true)]) {
        let way = Sweep { turned, ..*way };
        let mut next = first;
        let mut ordered = Vec::with_capacity(slab.sections.len());
        for section in &slab.sections {
            let (pieces, after) = pieces::strips(section.clone(), &way, next);
            next = after;
            ordered.push(pieces);
        }
        let cut = run(ordered, need, Cut::InOrder)?;
        let found = faults(&cut.parts);
        if best.as_ref().is_none_or(|b| found < b.0) {
            best = Some((found, cut, next));
        }
        if found == 0 || (turned && !divided) {
            break;
        }
    }
    // As many batches side by side as lie in a strip or fewer, the last ones from both ends towards the way out.
    let batches = best.as_ref().map_or(1, |b| b.1.parts.len());
    let strips = best.as_ref().map_or(1, |b| b.2 - first).max(1);
    let most = batches.div_ceil(strips).max(1) as u32 + 1;
    for (way, count) in ways
        .iter()
        .flat_map(|w| (1..=most).rev().map(move |n| (w, n)))
    {
        if !divided || best.as_ref().is_some_and(|b| b.0 == 0) {
            break;
        }
        let mut ordered = slab.sections.clone();
        for c in ordered.iter_mut().flatten().flat_map(|p| &mut p.corners) {
            c.order = c.at.dot(way.towards_door);
        }
        let passes = Passes {
            count,
            across: Across::Straight(Point::new(-way.towards_door.y, way.towards_door.x)),
            exit: way.exit,
            from_both_ends: true,
        };
        let cut = run(ordered, need, Cut::Passes(passes))?;
        let found = faults(&cut.parts);
        if best.as_ref().is_none_or(|b| found < b.0) {
            best = Some((found, cut, first + strips));
        }
    }
    let (_, cut, next) = best.ok_or(PourError::NothingToPour)?;
    Ok((cut, next))
}

/// The dam of each bay, in the order of pouring, towards all that are poured after it: where it stands, as high as material stands along it.
fn dams(slabs: &[Slab], borders: &[Patch], order: &[Turn], towards_door: Point) -> Vec<BayDam> {
    let place = |c: &Corner| key(c.at);
    let corners = |slab: usize| {
        let pieces = slabs[slab].sections.iter().flatten();
        pieces.flat_map(|p| p.corners.clone()).collect::<Vec<_>>()
    };
    let of = |(k, turn): (usize, &Turn)| {
        let own: HashSet<Key> = corners(turn.slab).iter().map(place).collect();
        let mut dam = BayDam::default();
        for later in &order[k + 1..] {
            let lines = border(borders, turn.slab, later.slab);
            if lines.is_empty() {
                continue;
            }
            let shared = corners(later.slab)
                .into_iter()
                .filter(|c| own.contains(&place(c)));
            dam.highest_m = shared.map(|c| c.depth).fold(dam.highest_m, f64::max);
            dam.length_m += lines.iter().map(|[a, b]| a.distance(*b)).sum::<f64>();
            // Each from the far wall towards the door.
            dam.lines.extend(lines.into_iter().map(|[a, b]| {
                if a.dot(towards_door) <= b.dot(towards_door) {
                    [a, b]
                } else {
                    [b, a]
                }
            }));
        }
        dam
    };
    order.iter().enumerate().map(of).collect()
}
