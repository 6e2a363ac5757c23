//! An old binary workbook (XLS) is looked over before the parser allocates for it.
//!
//! Such a file is a small file system (compound file) with a stream of records in it. Damaged chains
//! of sectors can run in circles, and a record can claim four thousand million cells: both are found
//! here, with every step bounded by the size of the file.

use super::ImportErrors;
use super::error::{Fault, whole};
use super::zip_guard::encrypted;
use crate::survey::Place;

/// The most cells a sheet may span.
const MAX_SPAN: u64 = 8_000_000;
const LAST_SECTOR: u32 = 0xFFFF_FFFA;
const END_OF_CHAIN: u32 = 0xFFFF_FFFE;

/// Looks an XLS file over.
pub(super) fn check(bytes: &[u8], place: &dyn Fn() -> Place) -> Result<(), ImportErrors> {
    let damaged = |why: &str| {
        whole(
            place(),
            Fault::Damaged,
            format!("a workbook that is cut short or damaged ({why})"),
            "a whole XLS file",
            "Copy or export it again.",
        )
    };
    let file = Compound::open(bytes).map_err(damaged)?;
    if file.find("EncryptedPackage").is_some() || file.find("EncryptionInfo").is_some() {
        return Err(encrypted(place()));
    }
    let Some(entry) = file.find("Workbook").or_else(|| file.find("Book")) else {
        return Err(whole(
            place(),
            Fault::NotATable,
            "an office file without a workbook in it",
            "CSV, TSV, XLSX, XLS or ODS",
            "Save the table as XLSX or CSV.",
        ));
    };
    let stream = file.stream(entry).map_err(damaged)?;
    match records(&stream) {
        Ok(()) => Ok(()),
        Err(Trouble::Damaged(why)) => Err(damaged(why)),
        Err(Trouble::Encrypted) => Err(encrypted(place())),
        Err(Trouble::Span(cells)) => Err(whole(
            place(),
            Fault::TooMany,
            format!("a sheet that spans {cells} cells"),
            format!("at most {MAX_SPAN}"),
            "Delete the rows and columns that hold nothing.",
        )),
    }
}

/// The stream of records of a workbook that was looked over.
pub(super) fn workbook_stream(bytes: &[u8]) -> Option<Vec<u8>> {
    let file = Compound::open(bytes).ok()?;
    let entry = file.find("Workbook").or_else(|| file.find("Book"))?;
    file.stream(entry).ok()
}

/// Shows every record from a place on, until its part of the stream ends.
pub(super) fn each_record(stream: &[u8], start: usize, mut see: impl FnMut(u16, &[u8])) {
    // What is damaged was told when the file was looked over.
    let _ = walk(stream, start, |kind, data| {
        see(kind, data);
        Ok(())
    });
}

fn u16_at(bytes: &[u8], at: usize) -> Option<u16> {
    let pair = bytes.get(at..at.checked_add(2)?)?;
    Some(u16::from_le_bytes([pair[0], pair[1]]))
}

fn u32_at(bytes: &[u8], at: usize) -> Option<u32> {
    let four = bytes.get(at..at.checked_add(4)?)?;
    Some(u32::from_le_bytes([four[0], four[1], four[2], four[3]]))
}

/// A stream of the file system.
#[derive(Debug, Clone)]
struct Entry {
    name: String,
    start: u32,
    size: u64,
}

struct Compound<'a> {
    bytes: &'a [u8],
    sector: usize,
    fat: Vec<u32>,
    mini_fat: Vec<u32>,
    mini: Vec<u8>,
    entries: Vec<Entry>,
}

impl<'a> Compound<'a> {
    fn open(bytes: &'a [u8]) -> Result<Self, &'static str> {
        const CUT: &str = "no whole header";
        if bytes.len() < 512 {
            return Err(CUT);
        }
        let sector = match u16_at(bytes, 30) {
            Some(9) => 512,
            Some(12) => 4096,
            _ => return Err("an unknown sector size"),
        };
        let mut file = Self {
            bytes,
            sector,
            fat: Vec::new(),
            mini_fat: Vec::new(),
            mini: Vec::new(),
            entries: Vec::new(),
        };
        let most = bytes.len() / sector + 1;
        // Sectors that hold the allocation table: 109 in the header, more in a chain.
        let mut tables: Vec<u32> = (0..109).filter_map(|i| u32_at(bytes, 76 + 4 * i)).collect();
        let mut next = u32_at(bytes, 68).ok_or(CUT)?;
        let mut steps = 0;
        while next < LAST_SECTOR {
            steps += 1;
            if steps > most {
                return Err("a chain of sectors without end");
            }
            let data = file.sector_at(next).ok_or("a sector past the end")?;
            let mut words: Vec<u32> = words(data).collect();
            next = words.pop().ok_or("an empty sector")?;
            tables.extend(words);
        }
        for id in tables.into_iter().filter(|&id| id < LAST_SECTOR) {
            if file.fat.len() > most + sector {
                return Err("an allocation table larger than the file");
            }
            let data = file.sector_at(id).ok_or("a sector past the end")?;
            file.fat.extend(words(data));
        }
        let directory = file.chain(u32_at(bytes, 48).ok_or(CUT)?, u64::MAX)?;
        file.entries = directory.chunks_exact(128).map(entry).collect();
        let Some(root) = file.entries.first().cloned() else {
            return Err("no directory");
        };
        if u32_at(bytes, 64).ok_or(CUT)? > 0 {
            if root.size > bytes.len() as u64 {
                return Err("a stream larger than the file");
            }
            file.mini = file.chain(root.start, root.size)?;
            let table = file.chain(u32_at(bytes, 60).ok_or(CUT)?, u64::MAX)?;
            file.mini_fat = words(&table).collect();
        }
        Ok(file)
    }

    fn sector_at(&self, id: u32) -> Option<&'a [u8]> {
        let start = (id as usize).checked_add(1)?.checked_mul(self.sector)?;
        let end = (start + self.sector).min(self.bytes.len());
        (start < self.bytes.len()).then(|| &self.bytes[start..end])
    }

    /// Follows a chain of sectors; more sectors than the file has is a circle.
    fn chain(&self, start: u32, size: u64) -> Result<Vec<u8>, &'static str> {
        let most = self.bytes.len() / self.sector + 1;
        let mut out = Vec::new();
        let mut id = start;
        let mut steps = 0;
        while id != END_OF_CHAIN && (out.len() as u64) < size {
            steps += 1;
            if steps > most {
                return Err("a chain of sectors without end");
            }
            out.extend_from_slice(self.sector_at(id).ok_or("a sector past the end")?);
            id = *self
                .fat
                .get(id as usize)
                .ok_or("a sector that the table does not know")?;
        }
        out.truncate(usize::try_from(size).unwrap_or(usize::MAX));
        Ok(out)
    }

    fn find(&self, name: &str) -> Option<&Entry> {
        self.entries
            .iter()
            .find(|e| e.name.eq_ignore_ascii_case(name))
    }

    fn stream(&self, entry: &Entry) -> Result<Vec<u8>, &'static str> {
        if entry.size > self.bytes.len() as u64 {
            return Err("a stream larger than the file");
        }
        if entry.size >= 4096 {
            return self.chain(entry.start, entry.size);
        }
        let most = self.mini.len() / 64 + 1;
        let mut out = Vec::new();
        let mut id = entry.start;
        let mut steps = 0;
        while id != END_OF_CHAIN && (out.len() as u64) < entry.size {
            steps += 1;
            if steps > most {
                return Err("a chain of sectors without end");
            }
            let start = id as usize * 64;
            let end = (start + 64).min(self.mini.len());
            out.extend_from_slice(
                self.mini
                    .get(start..end)
                    .ok_or("a small sector past the end")?,
            );
            id = *self
                .mini_fat
                .get(id as usize)
                .ok_or("a small sector that the table does not know")?;
        }
        out.truncate(entry.size as usize);
        Ok(out)
    }
}

fn words(bytes: &[u8]) -> impl Iterator<Item = u32> + '_ {
    bytes
        .chunks_exact(4)
        .map(|c| u32::from_le_bytes([c[0], c[1], c[2], c[3]]))
}

fn entry(bytes: &[u8]) -> Entry {
    let units: Vec<u16> = bytes[..64]
        .chunks_exact(2)
        .map(|c| u16::from_le_bytes([c[0], c[1]]))
        .take_while(|&u| u != 0)
        .collect();
    Entry {
        name: String::from_utf16_lossy(&units),
        start: u32_at(bytes, 116).unwrap_or(END_OF_CHAIN),
        size: u64::from(u32_at(bytes, 120).unwrap_or(0)),
    }
}

enum Trouble {
    Damaged(&'static str),
    Encrypted,
    Span(u64),
}

/// Walks the records: the workbook's own, then each sheet's from the place its entry names.
fn records(stream: &[u8]) -> Result<(), Trouble> {
    let mut sheets = Vec::new();
    walk(stream, 0, |kind, data| {
        match kind {
            0x002F if u16_at(data, 0).unwrap_or(1) != 0 => return Err(Trouble::Encrypted),
            0x0085 => sheets.extend(u32_at(data, 0)),
            _ => {}
        }
        Ok(())
    })?;
    let mut total = 0u64;
    for start in sheets {
        let mut span = Span::default();
        walk(stream, start as usize, |kind, data| {
            span.see(kind, data);
            Ok(())
        })?;
        total = total.saturating_add(span.cells());
        if total > MAX_SPAN {
            return Err(Trouble::Span(total));
        }
    }
    Ok(())
}

fn walk(
    stream: &[u8],
    start: usize,
    mut see: impl FnMut(u16, &[u8]) -> Result<(), Trouble>,
) -> Result<(), Trouble> {
    let mut at = start;
    let mut depth = 0usize;
    if at >= stream.len() {
        return Err(Trouble::Damaged("a sheet past the end"));
    }
    while let (Some(kind), Some(length)) = (u16_at(stream, at), u16_at(stream, at + 2)) {
        let end = at + 4 + length as usize;
        let data = stream
            .get(at + 4..end)
            .ok_or(Trouble::Damaged("a record past the end"))?;
        see(kind, data)?;
        match kind {
            0x0809 => depth += 1,
            0x000A if depth <= 1 => return Ok(()),
            0x000A => depth -= 1,
            _ => {}
        }
        at = end;
    }
    Ok(())
}

/// Rows and columns that a sheet's cells reach, and that its own record claims.
#[derive(Default)]
struct Span {
    claimed: u64,
    corners: Option<[u64; 4]>,
}

impl Span {
    fn see(&mut self, kind: u16, data: &[u8]) {
        let word = |at| u16_at(data, at).map(u64::from);
        match kind {
            0x0200 => {
                let rows_columns = if data.len() == 10 {
                    (word(0), word(2), word(4), word(6))
                } else {
                    let long = |at| u32_at(data, at).map(u64::from);
                    (long(0), long(4), word(8), word(10))
                };
                if let (Some(first), Some(last), Some(left), Some(right)) = rows_columns {
                    // A column past the last one is taken for zero by readers.
                    let left = if left > 0xFF || right < left { 0 } else { left };
                    let rows = if last < first {
                        u64::MAX / 1024
                    } else {
                        last - first + 1
                    };
                    self.claimed = self
                        .claimed
                        .saturating_add(rows.saturating_mul(right.saturating_sub(left) + 1));
                }
            }
            0x0203 | 0x0204 | 0x00D6 | 0x0205 | 0x027E | 0x00FD | 0x0006 => {
                if let (Some(row), Some(column)) = (word(0), word(2)) {
                    self.reach(row, column);
                }
            }
            0x00BD => {
                if let (Some(row), Some(first)) = (word(0), word(2)) {
                    self.reach(row, first);
                    self.reach(row, first + data.len() as u64 / 6 + 1);
                }
            }
            _ => {}
        }
    }

    fn reach(&mut self, row: u64, column: u64) {
        let [top, left, bottom, right] = self.corners.unwrap_or([row, column, row, column]);
        self.corners = Some([
            top.min(row),
            left.min(column),
            bottom.max(row),
            right.max(column),
        ]);
    }

    fn cells(&self) -> u64 {
        let reached = self
            .corners
            .map_or(0, |[t, l, b, r]| (b - t + 1).saturating_mul(r - l + 1));
        self.claimed.max(reached)
    }
}
