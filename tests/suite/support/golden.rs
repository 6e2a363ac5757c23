//! Golden drawings: SVG as exact text, PNG within one step per channel.

use birdbath::drawing::{Scene, png, svg};
use std::path::{Path, PathBuf};

/// Dots per inch of golden pictures: enough to see every line, small enough to keep.
const DPI: f64 = 60.0;
/// Text edges and slanted lines may fall one step of a channel to either side between machines.
const MOST_OFF: u8 = 1;

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_path_buf()
}

/// Compares a scene with `fixtures/golden/<name>.svg` and `.png`.
///
/// With `UPDATE_GOLDEN=1` the files are written and the test fails once, so that nobody leaves the
/// variable set.
pub fn check(name: &str, scene: &Scene) {
    let dir = root().join("fixtures/golden");
    let (text, picture) = (svg(scene).unwrap(), png(scene, DPI).unwrap());
    let (svg_file, png_file) = (
        dir.join(format!("{name}.svg")),
        dir.join(format!("{name}.png")),
    );
    if std::env::var_os("UPDATE_GOLDEN").is_some() {
        std::fs::create_dir_all(&dir).unwrap();
        std::fs::write(&svg_file, &text).unwrap();
        std::fs::write(&png_file, &picture).unwrap();
        panic!("golden {name} written; run again without UPDATE_GOLDEN");
    }
    let expected = std::fs::read(&png_file)
        .unwrap_or_else(|e| panic!("{}: {e}; make it with UPDATE_GOLDEN=1", png_file.display()));
    let (w, h, want) = decode(&expected);
    let (got_w, got_h, got) = decode(&picture);
    assert_eq!((got_w, got_h), (w, h), "size of {name}");
    let off = |i: usize| {
        (0..3)
            .map(|c| want[i * 3 + c].abs_diff(got[i * 3 + c]))
            .max()
            .unwrap()
    };
    let wrong: Vec<bool> = (0..(w * h) as usize).map(|i| off(i) > MOST_OFF).collect();
    let count = wrong.iter().filter(|&&b| b).count();
    if count > 0 {
        let strip = strip(w, h, &want, &wrong, &got);
        let file = root().join(format!("target/golden-{name}.png"));
        std::fs::write(&file, strip).unwrap();
        panic!(
            "{name}: {count} of {} dots differ by more than {MOST_OFF}; see {}",
            w * h,
            file.display()
        );
    }
    let expected = std::fs::read_to_string(&svg_file).unwrap();
    if let Some((line, (a, b))) = expected
        .lines()
        .zip(text.lines())
        .enumerate()
        .find(|(_, (a, b))| a != b)
    {
        panic!("{name}.svg line {}: expected\n{a}\nfound\n{b}", line + 1);
    }
    assert_eq!(expected.len(), text.len(), "length of {name}.svg");
}

/// Width, height and RGB of a PNG of ours.
pub fn decode(bytes: &[u8]) -> (u32, u32, Vec<u8>) {
    let mut reader = ::png::Decoder::new(std::io::Cursor::new(bytes))
        .read_info()
        .unwrap();
    let mut out = vec![0; reader.output_buffer_size().unwrap()];
    let info = reader.next_frame(&mut out).unwrap();
    out.truncate(info.buffer_size());
    (info.width, info.height, out)
}

/// Expected, difference and found side by side.
fn strip(w: u32, h: u32, want: &[u8], wrong: &[bool], got: &[u8]) -> Vec<u8> {
    let mut rgb = Vec::new();
    for y in 0..h as usize {
        let row = y * w as usize..(y + 1) * w as usize;
        rgb.extend_from_slice(&want[row.start * 3..row.end * 3]);
        for i in row.clone() {
            rgb.extend_from_slice(if wrong[i] {
                &[255, 0, 0]
            } else {
                &[255, 255, 255]
            });
        }
        rgb.extend_from_slice(&got[row.start * 3..row.end * 3]);
    }
    let mut out = Vec::new();
    let mut encoder = ::png::Encoder::new(&mut out, w * 3, h);
    encoder.set_color(::png::ColorType::Rgb);
    encoder
        .write_header()
        .unwrap()
        .write_image_data(&rgb)
        .unwrap();
    out
}
