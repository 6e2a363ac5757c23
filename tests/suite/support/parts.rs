//! Parts of zipped workbooks, changed one by one.

use std::io::{Cursor, Read, Write};
use zip::{CompressionMethod, ZipArchive, ZipWriter, write::SimpleFileOptions};

/// The same workbook with its parts changed; the change is told each part's place and name.
pub fn changed(bytes: &[u8], mut change: impl FnMut(usize, &str, &mut Vec<u8>)) -> Vec<u8> {
    let mut source = ZipArchive::new(Cursor::new(bytes)).unwrap();
    let mut out = ZipWriter::new(Cursor::new(Vec::new()));
    let stored = SimpleFileOptions::default().compression_method(CompressionMethod::Stored);
    for i in 0..source.len() {
        let mut part = source.by_index(i).unwrap();
        let name = part.name().unwrap().into_owned();
        let mut content = Vec::new();
        part.read_to_end(&mut content).unwrap();
        change(i, &name, &mut content);
        out.start_file(name, stored).unwrap();
        out.write_all(&content).unwrap();
    }
    out.finish().unwrap().into_inner()
}

/// The same workbook with one part's text changed, told by the end of its name.
pub fn rewritten(bytes: &[u8], part: &str, change: impl Fn(&str) -> String) -> Vec<u8> {
    let mut met = false;
    let out = changed(bytes, |_, name, content| {
        if name.ends_with(part) {
            met = true;
            *content = change(std::str::from_utf8(content).unwrap()).into_bytes();
        }
    });
    assert!(met, "no part {part}");
    out
}
